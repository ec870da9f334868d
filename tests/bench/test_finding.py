"""A newcomer finds the right question by the words that he has for it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, words
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.words.en import MESSAGES

ASKED = {
    "ring": "ring_size",
    "o-ring": "ring_size",
    "O ring": "ring_size",
    "gasket": "ring_size",
    "nitrile": "seal_stands",
    "NBR": "seal_stands",
    "bolt": "which_bolt",
    "bolt 17": "which_bolt",
    "17 mm": "which_bolt",
    "spanner": "which_bolt",
    "torque": "how_tight",
    "how tight": "how_tight",
    "star pattern": "bolt_order",
    "loosen cover": "bolt_order",
    "hose": "hose_end",
    "JIC": "hose_end",
    "how old is my hose": "hose_age",
    "milky oil": "debris_means",
    "metal in filter": "debris_means",
    "black sludge": "debris_means",
    "foam": "debris_means",
    "fault": "look_next",
    "slow": "function_slower",
    "boom drops": "cylinder_drift",
    "drift": "cylinder_drift",
    "it sinks": "cylinder_drift",
    "beta": "filter_beta",
    "iso code": "oil_code",
    "4406": "oil_code",
    "lab": "wear_rising",
    "iron": "wear_rising",
    "top up": "level",
    "other brand": "may_top_up",
    "mix": "oil_blend",
    "leaking": "losing",
    "oil low": "level",
    "dipstick": "level",
    "how much oil": "level",
    "sight glass stuck": "glass_moves",
    "overflow": "cold_mark",
    "cold start": "cold_mark",
    "warning light": "filter_warm_up",
    "filter full": "element_left",
    "how long does a filter last": "element_hours",
    "wrong filter": "element_right",
    "cavitation": "pump_starves",
    "noise": "pump_starves",
    "howling pump": "pump_starves",
    "diesel in the oil": "oil_share",
    "bio oil changes": "oil_changes",
    "which oil": "oil_choice",
    "winter oil": "oil_choice",
    "thick oil": "oil_viscosity",
    "accumulator": "accumulator_oil",
    "next service": "next_due",
    "overdue": "next_due",
    "breaker hours": "next_due",
    "litres missing": "litres_balance",
    "flushing": "cleaning_time",
}


@pytest.mark.parametrize(("asked", "key"), ASKED.items())
def test_the_right_question_is_among_the_first_three(asked: str, key: str) -> None:
    assert key in catalogue.find(asked)[:3]


def test_every_calculation_has_words_that_find_it() -> None:
    for key in ENTRIES:
        assert words.has(f"catalogue.{key}.words"), key
        assert key in catalogue.find(words.sentence(ENTRIES[key].question))[:2], key


def test_no_words_are_kept_for_a_calculation_that_there_is_not() -> None:
    kept = [one.split(".")[1] for one in MESSAGES if one.startswith("catalogue.") and one.endswith(".words")]
    assert sorted(kept) == sorted(ENTRIES)


def test_nothing_finds_all_and_nonsense_nothing() -> None:
    assert catalogue.find("  ") == tuple(ENTRIES)
    assert catalogue.find("giraffe") == ()
    assert catalogue.find("the of") == ()
    assert catalogue.find("?!") == ()


def test_a_word_finds_what_begins_so_and_not_what_only_holds_it() -> None:
    assert "oil_grade" not in catalogue.find("hose"), "whose"
    assert "accumulator_oil" in catalogue.find("accum")


@given(st.text(max_size=40))
def test_any_text_may_be_typed(text: str) -> None:
    found = catalogue.find(text)
    assert len(set(found)) == len(found)
    assert set(found) <= set(ENTRIES)
    assert sum(map(len, catalogue.by_topic(found, best_first=True).values())) == len(found)
