"""The oils that may go into a machine, by what is inside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import words
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil, Verdict, may_top_up
from coldmark.bench.oilhistory import Inside, inside
from coldmark.bench.sheet import Compartment, Sheet

__all__ = ["oil_inside", "oils_offered"]

_BEST_FIRST = ("yes", "yes_with_notes", "unknown", "no")


def oils_offered(
    sheet: Sheet,
    state: State,
    oils: Mapping[str, Oil],
    *,
    coldest_c: float | None = None,
    units: words.UnitSystem = "metric",
) -> list[dict[str, Any]]:
    """Return the oils, and for each compartment of their kind of fluid whether one may be topped up or filled in.

    Parameters
    ----------
    sheet
        The machine's data sheet.
    state
        What its facts say.
    oils
        The oils by their keys.
    coldest_c
        The coldest start of the place [°C], or ``None``; the hottest work is the sheet's.
    units
        The reader's units.

    Returns
    -------
    list
        An entry an oil; ``goes`` holds, by compartment and way, the answer and the reason that weighs most.

    Valid for
        Every machine with a sheet.

    Raises
    ------
    Nothing.

    Source
        See docs/how/oil.md.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> oils_offered(read(template("dumper")), State("m"), {})
    []
    """
    offered = []
    known = {key: inside(parts, oils) for key, parts in state.oils.items() if parts}
    for key, jug in sorted(oils.items()):
        goes = {}
        for place in sheet.compartments.values():
            if place.fluid != jug.fluid:
                continue
            # Filled into what was drained, an oil meets only itself and what the sheet asks.
            found = {
                "top_up": _topped_up(known.get(place.key), jug, place, sheet, coldest_c),
                "fill": may_top_up(jug, jug, place, coldest_c=coldest_c, hottest_c=sheet.hydraulic.hot_c, limits=sheet),
            }
            goes[place.key] = {
                way: {
                    "answer": verdict.answer,
                    "says": words.sentence(verdict.reasons[0].message, units=units, **verdict.reasons[0].values),
                    "rank": _BEST_FIRST.index(verdict.answer),
                }
                for way, verdict in found.items()
            }
        offered.append({"key": key, "name": jug.name, "goes": goes})
    return offered


def _topped_up(found: Inside | None, jug: Oil, place: Compartment, sheet: Sheet, coldest_c: float | None) -> Verdict:
    """Whether an oil may be topped up onto what is inside: the oil of the greatest share, if that is a known one."""
    main = None if found is None or found.parts[0].oil is None else found.main
    other = None if found is None or not found.bio or found.other_share is None else found.other_share.value
    return may_top_up(
        main,
        jug,
        place,
        coldest_c=coldest_c,
        hottest_c=sheet.hydraulic.hot_c,
        limits=sheet,
        other_share=other,
        unknown_share=0.0 if found is None else found.unknown_share,
    )


def oil_inside(state: State, compartment: str, oils: Mapping[str, Oil]) -> Oil | None:
    """Return the oil of the greatest share in a compartment, where it is known and among ``oils``.

    Parameters
    ----------
    state
        What the machine's facts say.
    compartment
        The compartment's key.
    oils
        The oils by their keys.

    Returns
    -------
    Oil or None
        The oil.

    Valid for
        Every compartment.

    Raises
    ------
    Nothing.

    Source
        Definition.

    Examples
    --------
    >>> oil_inside(State("m"), "hydraulic", {})
    """
    most = max(state.oils.get(compartment, ()), key=lambda part: part.share, default=None)
    return None if most is None or most.oil is None else oils.get(most.oil)
