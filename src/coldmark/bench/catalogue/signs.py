"""Calculations on signs: what may be behind them, and what to look at next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from coldmark.bench import evidence, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction
from coldmark.bench.working import Given, Step, Working

__all__ = ["ENTRIES"]

# The names stand here too, because a catalogue is described before the table is read; a test holds them to it.
_SIGNS = (
    "bronze_flakes",
    "bright_metal",
    "rubber_bits",
    "gritty_element",
    "swarf",
    "almost_no_debris",
    "torn_element",
    "valve_stuck",
    "rust_seen",
    "dark_residue",
    "water_seen",
    "foam_seen",
    "burnt_smell",
    "bad_breather",
    "lamp_when_warm",
    "changed_lately",
    "hydraulic_falls",
    "gearbox_rises",
    "oil_outside",
    "scored_rod",
    "aged_hose",
    "rod_creeps",
    "pump_noise",
    "weak_when_warm",
    "runs_hot",
    "much_case_drain",
    "too_many_particles",
    "iron_up",
    "copper_up",
    "chromium_up",
    "silicon_up",
    "water_by_lab",
    "calcium_up",
    "magnesium_up",
    "sodium_up",
    "acid_up",
    "thicker_oil",
    "thinner_oil",
)
_SOURCE = "noisy-OR network; links common practice unless the table says otherwise, strengths assumed"


def _table(example: tuple[tuple[str, str], ...]) -> Input:
    return Input(
        "signs",
        "table",
        columns=(
            Input("sign", "choice", choices=_SIGNS),
            Input("state", "choice", choices=evidence.STATES, optional=True, default="seen"),
        ),
        example=example,
    )


def _observations(values: Values) -> Mapping[str, Any]:
    return {"observations": [(row["sign"], row["state"]) for row in values["signs"]]}


def _ranking(observations: Sequence[tuple[str, str]]) -> evidence.Ranking:
    try:
        return evidence.rank(observations)
    except Contradiction as refused:
        raise refused.under("signs", words.sentence(f"evidence.sign.{refused.name}")) from None


def _tell_debris(found: evidence.Ranking, _values: Values, _units: words.UnitSystem) -> Answer:
    first, second = [*found.raised[:2], None, None][:2]
    return Answer(
        says=tuple(evidence.says(found)),
        fields={
            "first_cause": None if first is None else first.key,
            "first_share": None if first is None else first.chance,
            "second_cause": None if second is None else second.key,
            "second_share": None if second is None else second.chance,
            "look_at": found.checks[0].sign if found.checks else None,
        },
        working=found.working,
        picture=pictures.causes(found.raised) if found.raised else None,
    )


def _within(values: Values) -> Mapping[str, Any]:
    return {**_observations(values), "time_min": values["time_min"]}


def _ranked(observations: Sequence[tuple[str, str]], time_min: float | None) -> tuple[evidence.Check, ...]:
    checks = _ranking(observations).checks
    return checks if time_min is None else tuple(one for one in checks if one.minutes <= time_min)


def _tell_next(found: tuple[evidence.Check, ...], _values: Values, units: words.UnitSystem) -> Answer:
    best = found[0] if found else None
    said = partial(words.sentence, units=units)
    steps = tuple(
        Step(
            f"evidence.sign.{one.sign}",
            "H(sign) − Σ P(causes) · H(sign | causes)",
            (Given(said("evidence.symbol.minutes"), one.minutes, "min", "assumed"),),
            one.bits,
            "bit",
            _SOURCE,
        )
        for one in found[:5]
    )
    nothing = Step("working.evidence.next", "", (), 0.0, "bit", _SOURCE)
    return Answer(
        says=(*evidence.next_says(found), said("evidence.worth")),
        fields={
            "look_at": None if best is None else best.sign,
            "tells_bits": None if best is None else best.bits,
            "looking_min": None if best is None else best.minutes,
        },
        working=Working(steps or (nothing,)),
    )


ENTRIES = (
    Entry(
        "debris_means",
        (_table((("bronze_flakes", "seen"), ("dark_residue", "seen"), ("rubber_bits", "absent"))),),
        _observations,
        _ranking,
        _tell_debris,
        ("first_cause", "first_share", "second_cause", "second_share", "look_at"),
        (_SOURCE,),
        topic="dirt",
        formulas=(
            r"P(\text{sign} \mid \text{causes}) = 1 - (1 - b) \prod_{i \text{ holds}} (1 - p_i)",
            r"P(\text{causes} \mid \text{signs}) \propto P(\text{causes}) \prod_j P(\text{sign}_j \mid \text{causes})",
        ),
    ),
    Entry(
        "look_next",
        (
            _table((("almost_no_debris", "seen"), ("changed_lately", "absent"))),
            Input("time_min", low=0, high=600, above=True, source="time at the machine", optional=True, step=5),
        ),
        _within,
        _ranked,
        _tell_next,
        ("look_at", "tells_bits", "looking_min"),
        (_SOURCE,),
        topic="dirt",
        formulas=(r"I = H(\text{sign}) - \sum_{\text{causes}} P(\text{causes}) \, H(\text{sign} \mid \text{causes})",),
    ),
)
