from __future__ import annotations

import re
from string import ascii_letters

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import words
from coldmark.bench.words.en import MESSAGES, TOPICS


def test_no_sentence_is_written_in_two_topics() -> None:
    assert sum(map(len, TOPICS)) == len(MESSAGES)


@given(st.text())
def test_what_somebody_typed_is_put_in_untouched_braces_and_all(typed: str) -> None:
    said = words.sentence("refused.choice", name="posture", value=typed, choices="{value} {name}")
    assert said == f"posture = {typed} is not one of: {{value}} {{name}}."


def test_a_quantity_is_shown_in_the_readers_own_unit() -> None:
    assert words.quantity(100.0, "c", units="us") == "212 °F"
    assert words.quantity(1.0, "bar", units="us") == "15 psi"
    assert words.quantity(25.4, "mm", units="us") == "1.000 in"


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.55, "0.55 bar"), (12.34, "12.3 bar"), (250.0, "250 bar"), (0.004, "0.00 bar"), (9.996, "10.00 bar")],
)
def test_large_pressures_lose_decimals_that_would_only_pretend(value: float, said: str) -> None:
    assert words.quantity(value, "bar") == said


def test_nothing_is_shown_as_minus_nothing() -> None:
    assert words.quantity(-0.01, "l") == "0.0 L"
    assert words.quantity(-0.2, "c") == "0 °C"


def test_a_share_is_shown_as_per_cent() -> None:
    assert words.quantity(0.42, "share") == "42%"


def test_what_fits_are_judged_by_is_shown_finer() -> None:
    assert words.quantity(18.64, "mm", fine=True) == "18.64 mm"
    assert words.quantity(18.64, "mm", units="us", fine=True) == "0.734 in"
    assert words.quantity(0.2014, "share", fine=True) == "20.1%"
    assert words.quantity(0.2014, "share", digits=0, fine=True) == "20%"


@given(st.floats(-1e12, 1e12, allow_nan=False))
def test_figures_never_use_an_exponent_and_keep_the_value(value: float) -> None:
    text = words.figures(value, 10)
    if abs(value) > 1e-9:
        assert not set(text) & set(ascii_letters)
    assert float(text) == pytest.approx(value, rel=1e-9)


def test_an_unknown_message_is_a_mistake_in_the_program() -> None:
    assert not words.has("no.such.message")
    with pytest.raises(KeyError):
        words.sentence("no.such.message")
    with pytest.raises(KeyError):
        words.sentence("refused.choice", name="posture")


@pytest.mark.parametrize("message", sorted(MESSAGES))
def test_every_brace_in_a_message_is_a_field_that_can_be_filled(message: str) -> None:
    left = re.sub(r"\{([a-z0-9_]+)(?:\|([a-z0-9_]+))?(?::(\d|fine|given|bare))?\}", "", MESSAGES[message])
    assert "{" not in left
    assert "}" not in left
    assert MESSAGES[message].strip()
