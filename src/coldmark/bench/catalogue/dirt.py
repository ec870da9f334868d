"""Calculations on dirt in the tank: what it settles at, how fast, how much gets in, and what counts tell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import cleanliness, pictures, words
from coldmark.bench import filter as filters
from coldmark.bench.catalogue.filtering import BALANCE, PAST, WITHIN
from coldmark.bench.catalogue.filters import flow_input
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction, Missing
from coldmark.bench.working import Range

__all__ = ["ENTRIES"]

_4406 = "ISO 4406"
_COUNTS = "counts of particles"
_TANKS = "tanks of mobile machines"

_BETA = Input("beta", low=1, high=1_000_000, above=True, source="ISO 16889", example="200", step=10)
_DIRT = Input(
    "particles_million_min", low=0, high=1_000_000, above=True, source="dirt that gets in", example="10", step=5
)


# oil_settles


def _settles(values: Values) -> Mapping[str, Any]:
    return {
        "ingress_million_min": values["particles_million_min"],
        "flow_l_min": values["flow_l_min"],
        "beta": values["beta"],
        "bypass_share": values["bypassed_share"],
        "within": values["within"],
    }


def _numbers(tank: Range) -> Range:
    value, low, high = (cleanliness.scale_number(one) for one in (tank.value, tank.low, tank.high))
    return Range(value, low, high)


def _tell_settles(found: filters.Settled, values: Values, units: words.UnitSystem) -> Answer:
    tank, counted = found.tank_per_ml, values["found_per_ml"]
    number = _numbers(tank)
    judged = filters.judge(tank, tank.value if counted is None else counted)
    first, *more = filters.says(found, units)
    says = [
        first,
        words.sentence(
            "catalogue.oil_settles.number",
            units=units,
            number=int(number.value),
            low=int(number.low),
            high=int(number.high),
        ),
        more[0],
    ]
    # What no count shows is told once: with the count where there is one, else by itself.
    says = [*says, *more[1:]] if counted is None else [*filters.says(judged, units), *says]
    return Answer(
        says=tuple(says),
        fields={
            "tank_per_ml": tank,
            "scale_number": number,
            "behind_per_ml": found.after_per_ml,
            "flat_per_ml": found.flat_per_ml,
            "times": None if counted is None else judged.times,
            "explains_share": None if counted is None else judged.explains_share,
            "hidden_share": judged.hidden_share,
        },
        working=found.working if counted is None else found.working + judged.working,
        picture=pictures.tank_dirt(
            values["particles_million_min"],
            values["flow_l_min"],
            values["beta"],
            bypass_share=values["bypassed_share"],
            found_per_ml=counted,
            units=units,
        ),
    )


# cleaning_time


def _cleaning(values: Values) -> Mapping[str, Any]:
    return {"values": values}


def _going_round(values: Values) -> filters.Passing:
    wanted, minutes = values["wanted_per_ml"], values["going_min"]
    if wanted is not None and minutes is not None:
        raise Contradiction(name="going_min", value=minutes, why="catalogue.cleaning_time.one_of_two")
    if wanted is None and minutes is None:
        raise Missing(name="wanted_per_ml", needed_for=words.sentence("catalogue.cleaning_time.needed_for"))
    loop = (values["system_l"], values["flow_l_min"], values["beta"])
    named = {"ingress_million_min": values["particles_million_min"], "bypass_share": values["bypassed_share"]}
    if wanted is None:
        return filters.count_after(values["count_before_per_ml"], minutes, *loop, **named)
    try:
        return filters.cleaning_time(values["count_before_per_ml"], wanted, *loop, **named)
    except Contradiction as refused:
        raise refused.under("wanted_per_ml") from None


def _tell_cleaning(found: filters.Passing, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "takes_minutes": found.minutes_min,
            "then_per_ml": found.count_per_ml,
            "settles_per_ml": found.settles_per_ml,
            "halves_minutes": found.halves_min,
        },
        working=found.working,
    )


# dirt_in


def _dirt_in(values: Values) -> Mapping[str, Any]:
    return {
        "count_per_ml": values["found_per_ml"],
        "flow_l_min": values["flow_l_min"],
        "beta": values["beta"],
        "bypass_share": values["bypassed_share"],
        "before_per_ml": values["count_before_per_ml"],
        "minutes_min": values["apart_min"],
        "volume_l": values["system_l"],
    }


def _getting_in(**given: Any) -> filters.Ingress:
    names = {"before_per_ml": "count_before_per_ml", "minutes_min": "apart_min", "volume_l": "system_l"}
    told = [name for name in names if given[name] is not None]
    if told:
        for name, called in names.items():
            if given[name] is None:
                raise Missing(name=called, needed_for=words.sentence("catalogue.dirt_in.needed_for"))
    try:
        return filters.ingress_by_count(**given)
    except Contradiction as refused:
        if refused.name != "count_per_ml":
            raise
        raise refused.under("found_per_ml") from None


def _tell_dirt_in(found: filters.Ingress, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={"particles_million_min": found.rate_million_min, "half_million_min": found.half_bypassed_million_min},
        working=found.working,
    )


# count_tells


def _code(values: Values, name: str) -> cleanliness.Code:
    try:
        return cleanliness.parse(values[name])
    except Contradiction as refused:
        raise refused.under(name, values[name]) from None


def _codes(values: Values) -> Mapping[str, Any]:
    return {"before": _code(values, "code_before"), "now": _code(values, "code_now")}


def _tell_codes(found: filters.Judged, _values: Values, units: words.UnitSystem) -> Answer:
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "count_verdict": found.verdict,
            "code_steps": found.steps,
            "times": found.times,
            "explains_share": found.explains_share,
            "hidden_share": found.hidden_share,
        },
        working=found.working,
        notes=(words.sentence("catalogue.count_tells.note", units=units),),
    )


ENTRIES = (
    Entry(
        "oil_settles",
        (
            _DIRT,
            flow_input(),
            _BETA,
            Input("found_per_ml", low=0, high=1e9, above=True, source=_COUNTS, optional=True, example="450", step=10),
            PAST,
            WITHIN,
        ),
        _settles,
        filters.settle,
        _tell_settles,
        ("tank_per_ml", "scale_number", "behind_per_ml", "flat_per_ml", "times", "explains_share", "hidden_share"),
        (BALANCE, _4406, "a count is good to one step of the code: common practice, no source"),
        topic="dirt",
        formulas=(
            r"N = \frac{R}{Q \, (1 - k)(1 - 1 / \beta)}",
            r"k_{\text{hidden}} = 1 - \frac{N_{\text{expected}}}{N_{\text{most}}}",
        ),
    ),
    Entry(
        "cleaning_time",
        (
            Input("count_before_per_ml", low=0, high=1e9, source=_COUNTS, example="20000", step=1000),
            Input(
                "wanted_per_ml", low=0, high=1e9, above=True, source=_COUNTS, optional=True, example="1000", step=100
            ),
            Input("going_min", low=0, high=100_000, source="minutes of work", optional=True, step=5),
            Input("system_l", low=0, high=10_000, above=True, source=_TANKS, example="200", step=5),
            flow_input(),
            _BETA,
            Input("particles_million_min", low=0, high=1_000_000, source="dirt that gets in", default="0", step=5),
            PAST,
        ),
        _cleaning,
        _going_round,
        _tell_cleaning,
        ("takes_minutes", "then_per_ml", "settles_per_ml", "halves_minutes"),
        (BALANCE,),
        topic="dirt",
        formulas=(
            r"N(t) = N_\infty + (N_0 - N_\infty) \, e^{-t / \tau}",
            r"\tau = \frac{V}{Q \, (1 - k)(1 - 1 / \beta)}, \quad N_\infty = \frac{R \, \tau}{V}",
        ),
    ),
    Entry(
        "dirt_in",
        (
            Input("found_per_ml", low=0, high=1e9, source=_COUNTS, example="100.5", step=10),
            flow_input(),
            _BETA,
            PAST,
            Input("count_before_per_ml", low=0, high=1e9, source=_COUNTS, optional=True, step=1000),
            Input("apart_min", low=0, high=100_000, above=True, source="minutes of work", optional=True, step=5),
            Input("system_l", low=0, high=10_000, above=True, source=_TANKS, optional=True, step=5),
        ),
        _dirt_in,
        _getting_in,
        _tell_dirt_in,
        ("particles_million_min", "half_million_min"),
        (BALANCE, "a count is good to one step of the code: common practice, no source"),
        topic="dirt",
        formulas=(
            r"R = N_\infty \, Q \, (1 - k)(1 - 1 / \beta)",
            r"N_\infty = \frac{N - N_0 \, e^{-t / \tau}}{1 - e^{-t / \tau}}",
        ),
    ),
    Entry(
        "count_tells",
        (
            Input("code_before", "text", source=_4406, example="18/16/13"),
            Input("code_now", "text", source=_4406, example="21/19/16"),
        ),
        _codes,
        filters.compare_codes,
        _tell_codes,
        ("count_verdict", "code_steps", "times", "explains_share", "hidden_share"),
        (BALANCE, "ISO 4406, table of scale numbers", "one step lies within two samples: common practice, no source"),
        topic="dirt",
        formulas=(
            r"N \propto \frac{R}{1 - k}",
            r"k = 1 - \frac{N_{\text{before}}}{N_{\text{now}}}",
        ),
    ),
)
