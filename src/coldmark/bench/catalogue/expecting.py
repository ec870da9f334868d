"""The code that the oil should have with its filter, against the one that was found."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import cleanliness, pictures, words
from coldmark.bench import filter as filters
from coldmark.bench.catalogue.filtering import BALANCE, PAST, WITHIN
from coldmark.bench.catalogue.filters import flow_input
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction, Missing

__all__ = ["ENTRIES"]

_GETS_IN = "dirt that gets in"
_EXAMPLES = {4: ("200", "4"), 6: ("60", "20"), 14: ("5", "200")}


def _dirt(size_um: int) -> Input:
    name, example = f"particles{size_um}_million_min", _EXAMPLES[size_um][0]
    return Input(name, low=0, high=1_000_000, above=True, source=_GETS_IN, example=example, step=5)


def _beta(size_um: int) -> Input:
    example = _EXAMPLES[size_um][1]
    return Input(f"beta{size_um}", low=1, high=1_000_000, above=True, source="ISO 16889", example=example, step=5)


def _told(values: Values) -> Mapping[str, Any]:
    shared = (values["flow_l_min"], values["bypassed_share"], values["within"])
    return {
        "sizes": tuple(
            (values[f"particles{size}_million_min"], values[f"beta{size}"]) for size in cleanliness.SIZES_UM
        ),
        "shared": shared,
        "found": None if values["code"] is None else _code(values["code"]),
    }


def _code(typed: str) -> cleanliness.Code:
    try:
        return cleanliness.parse(typed)
    except Contradiction as refused:
        raise refused.under("code", typed) from None


def _expected(
    sizes: tuple[tuple[float, float], ...], shared: tuple[float, float, float], found: cleanliness.Code | None
) -> filters.Expected:
    flow, past, within = shared
    smaller, before_um = 0.0, 0
    for size, (rate, _) in zip(reversed(cleanliness.SIZES_UM), reversed(sizes), strict=True):
        if rate < smaller:
            name = f"particles{size}_million_min"
            raise Contradiction(name=name, value=rate, why="catalogue.expected_code.rises", size_um=before_um)
        smaller, before_um = rate, size
    one, two, three = (filters.settle(rate, flow, beta, bypass_share=past, within=within) for rate, beta in sizes)
    try:
        return filters.against_expected((one, two, three), found)
    except Missing as refused:
        raise Missing(name="code", needed_for=str(refused.values["needed_for"])) from None
    except Contradiction:
        # Counts of a larger size came out higher: an element that keeps small ones better than large ones.
        raise Contradiction(name="beta14", value=sizes[2][1], why="catalogue.expected_code.beta") from None


def _tell(found: filters.Expected, _values: Values, units: words.UnitSystem) -> Answer:
    worst = max((one for one in found.steps if one is not None), key=abs, default=None)
    return Answer(
        says=tuple(filters.says(found, units)),
        fields={
            "cleanest_code": str(found.clean),
            "dirtiest_code": str(found.dirty),
            "count_verdict": found.verdict,
            "code_steps": None if worst is None else float(worst),
        },
        working=found.working,
        picture=pictures.code_ladder(found.found, found.dirty),
        notes=(words.sentence("catalogue.count_tells.note", units=units),),
    )


ENTRIES = (
    Entry(
        "expected_code",
        (
            flow_input(),
            *(_dirt(size) for size in cleanliness.SIZES_UM),
            *(_beta(size) for size in cleanliness.SIZES_UM),
            Input("code", "text", optional=True, example="23/20/17"),
            PAST,
            WITHIN,
        ),
        _told,
        _expected,
        _tell,
        ("cleanest_code", "dirtiest_code", "count_verdict", "code_steps"),
        (BALANCE, "ISO 4406, table of scale numbers", "a code is good to one step: common practice, no source"),
        topic="dirt",
        formulas=(
            r"N_x = \frac{R_x}{Q \, (1 - k)(1 - 1 / \beta_x)}, \quad x = 4, 6, 14",
            r"\text{above} < N_x \le \text{up to} \;\Rightarrow\; \text{scale number}",
        ),
    ),
)
