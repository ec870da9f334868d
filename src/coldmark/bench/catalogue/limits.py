"""A laboratory's value against the limits that others print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import wear, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Missing, NotAChoice
from coldmark.bench.working import Given, Step, Working

__all__ = ["ENTRIES"]

_LABORATORY = "a laboratory's values"
_QUANTITIES = (
    "iron",
    "copper",
    "lead",
    "chromium",
    "tin",
    "aluminium",
    "silicon",
    "sodium",
    "potassium",
    "boron",
    "water",
    "water_of_saturation",
    "kv40",
    "kv100",
    "acid",
    "base",
    "colour",
    "pentane_insolubles",
    "insolubles",
    "impurities",
    "fuel",
    "coolant_glycol",
    "flash",
)
_AS_LISTED = {"coolant_glycol": "glycol"}
"""What the lists call otherwise: a seal's fluid has the plain name."""

_UNITS = {"mg_in_kg": "mg/kg", "per_cent": "%"}
"""Units of a share by mass, of which a laboratory prints either; all else is printed in the limit's own."""

_FORMULAS = {"value": "value", "change_pct": "100 · (value − new oil) / new oil", "rise": "value − new oil"}

Found = tuple[tuple[wear.Limit, bool | None], ...]


def _prepare(values: Values) -> Mapping[str, Any]:
    return {"values": values}


def _unit(values: Values, listed: tuple[wear.Limit, ...]) -> str:
    """The unit that the value was printed in: the limits' own; of water both are usual, so there it is to be told."""
    own = next((one.unit for one in listed if one.of != "change_pct"), "")
    told = values["share_unit"]
    if values["quantity"] == "water" and told is None:
        raise Missing(name="share_unit", needed_for=words.sentence("catalogue.value_limit.water"))
    if told is None or values["quantity"] == "water_of_saturation" or own not in _UNITS.values():
        return own
    return _UNITS[told]


def _hold(values: Values) -> Found:
    system, named = values["oil_system"], values["quantity"]
    quantity = _AS_LISTED.get(str(named), str(named))
    try:
        unit = _unit(values, wear.limits(system, quantity))
        return wear.passed(system, quantity, values["laboratory_value"], unit, fresh=values["fresh_value"])
    except NotAChoice as refused:
        raise NotAChoice(name="quantity", value=named, choices=(str(refused.values["choices"]),)) from None


def _line(limit: wear.Limit, beyond: bool | None) -> str:
    how = "untold" if beyond is None else "beyond" if beyond else "within"
    return words.sentence(
        f"catalogue.value_limit.{how}",
        limit=words.with_symbol(limit.limit, limit.unit) if limit.unit else limit.limit,
        of=words.sentence(f"catalogue.value_limit.{limit.of}"),
        step=words.sentence(f"catalogue.value_limit.{limit.step}"),
        source=limit.source,
        known=words.sentence(f"catalogue.wear_rising.{limit.standing.replace(' ', '_')}"),
    )


def _tell(found: Found, values: Values, units: words.UnitSystem) -> Answer:
    beyond = [limit for limit, passed in found if passed]
    known = [limit for limit, passed in found if passed is not None]
    verdict = "untold" if not known else "some" if beyond else "none"
    first = words.sentence(f"catalogue.value_limit.{verdict}_of", units=units, count=len(beyond), all=len(known))
    steps = tuple(
        Step(
            f"working.wear.limit.{limit.side}",
            _FORMULAS[limit.of],
            (
                Given("value", values["laboratory_value"], "", "told"),
                *(() if values["fresh_value"] is None else (Given("new oil", values["fresh_value"], "", "told"),)),
                Given("limit", f"{limit.limit} {limit.unit}".strip(), "", "practice"),
            ),
            words.sentence(f"catalogue.value_limit.{'unknown' if passed is None else 'passed' if passed else 'kept'}"),
            "",
            f"{limit.source}, {limit.standing}",
        )
        for limit, passed in found
    )
    return Answer(
        says=(first, *(_line(limit, passed) for limit, passed in found)),
        fields={
            "limit_verdict": f"limits_{verdict}",
            "limits_passed": float(len(beyond)),
            "limits_held": float(len(known)),
        },
        working=Working(steps),
        notes=(words.sentence("catalogue.value_limit.note"),),
    )


ENTRIES = (
    Entry(
        "value_limit",
        (
            Input("oil_system", "choice", choices=tuple(wear.SYSTEMS), default="hydraulic"),
            Input("quantity", "choice", choices=_QUANTITIES, example="copper"),
            Input("laboratory_value", low=0, high=1_000_000, source=_LABORATORY, example="24", step=1),
            Input("share_unit", "choice", choices=tuple(_UNITS), optional=True),
            Input("fresh_value", low=0, high=1_000_000, source=_LABORATORY, optional=True, step=1),
        ),
        _prepare,
        _hold,
        _tell,
        ("limit_verdict", "limits_passed", "limits_held"),
        ("published lists of limits; each names its source and whether it was read or remembered",),
        topic="dirt",
        formulas=(
            r"\text{change} = 100 \, \frac{x - x_{\text{new}}}{x_{\text{new}}}",
            r"\text{rise} = x - x_{\text{new}}",
        ),
    ),
)
