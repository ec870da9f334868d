"""How fast a system loses oil: a known loss comes back, whatever postures, warmth and top-ups do in between."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from coldmark.bench import level
from coldmark.bench.errors import CannotTell, Contradiction, Missing
from coldmark.bench.level import LevelAt, Losses, Stand, losses, says_losses
from coldmark.bench.level.losses import _line
from tests.bench.level_machines import OIL, excavator

SYSTEM = excavator(3.5)


def _reading(held_l: float, oil_c: float, posture: str) -> float:
    """Where the glass stands when the system holds so much more than with 0.5 at 15 °C in the check posture [L, 15 °C].

    Worked apart from the code under test: the tank's volume is what all the oil has less what is outside, with the
    growth of steel and the rods by hand.
    """
    between, at_lower, system = 7.5, 26.0, 48.0
    rho15, rho = OIL.density(15), OIL.density(oil_c)
    grown15, grown = 1 + 35e-6 * (15 - 20), 1 + 35e-6 * (oil_c - 20)
    outside = system - at_lower - between / 2
    mass = rho15 * ((at_lower + between / 2) * grown15 + outside + held_l)
    arm = math.pi / 4 * 45**2 * 580 / 1e6  # the arm's rod is out when tucked
    drawn = arm if posture == "tucked" else 0.0
    tank = (mass - rho * (outside + drawn)) / rho / grown
    return (tank - at_lower) / between


def _seen(
    loss_l_100h: float, rng: random.Random, *, count: int = 12, off: float = 0.0, step_h: float = 60
) -> list[LevelAt]:
    """A machine that loses so much and is topped up when it stands low."""
    seen: list[LevelAt] = []
    held = 0.0
    for place in range(count):
        hours = 1000.0 + step_h * place
        poured = 0.0
        if place:
            held -= loss_l_100h * step_h / 100
            if held < -2.0:
                poured = 2.5
                held += poured
        oil_c, posture = rng.uniform(0, 50), rng.choice(("check", "tucked"))
        reading = _reading(held, oil_c, posture) + rng.gauss(0, off) if off else _reading(held, oil_c, posture)
        seen.append(LevelAt(hours, Stand(reading, oil_c, posture), moved_l=poured, moved_spread_l=0.02 * poured))
    return seen


@settings(max_examples=30, deadline=None)
@given(st.floats(0.0, 2.0), st.integers(0, 2**32 - 1))
def test_a_known_loss_comes_back_whatever_posture_warmth_and_top_ups_do(loss: float, seed: int) -> None:
    found = losses(SYSTEM, _seen(loss, random.Random(seed)), oil=OIL)
    assert found.litres_100h.value == pytest.approx(loss, abs=0.02)
    assert found.litres_100h.low <= found.litres_100h.value <= found.litres_100h.high


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_readings_as_people_take_them_leave_the_true_loss_within_three_errors(seed: int) -> None:
    found = losses(SYSTEM, _seen(0.6, random.Random(seed), off=0.02), oil=OIL)
    error = (found.litres_100h.high - found.litres_100h.low) / 2
    assert abs(found.litres_100h.value - 0.6) < 3.5 * error


def test_a_tight_machine_is_told_apart_from_one_that_loses() -> None:
    tight = [losses(SYSTEM, _seen(0.0, random.Random(seed), off=0.02), oil=OIL) for seed in range(40)]
    leaking = [losses(SYSTEM, _seen(1.0, random.Random(seed), off=0.02), oil=OIL) for seed in range(40)]
    assert sum(one.clear for one in tight) <= 2, "a tight machine is called leaking more often than one time in twenty"
    assert sum(one.clear for one in leaking) >= 38
    assert "No loss can be told" in says_losses(next(one for one in tight if not one.clear))[0]
    assert says_losses(leaking[0])[0].startswith("It loses about")
    assert "drops a minute" in says_losses(leaking[0])[1]


def test_the_line_is_the_weighted_least_squares_of_a_general_library() -> None:
    """scipy.optimize.curve_fit with absolute errors; the scatter here is below the errors, so nothing is widened."""
    rng = np.random.default_rng(7)
    hours = np.array([0.0, 55, 130, 210, 340, 420])
    off = np.array([0.3, 0.2, 0.4, 0.25, 0.3, 0.2])
    litres = -0.004 * hours + 0.1 * off * rng.standard_normal(6)
    fitted, covariance = curve_fit(lambda x, a, b: a * x + b, hours, litres, sigma=off, absolute_sigma=True)
    slope, error = _line(list(zip(hours.tolist(), litres.tolist(), off.tolist(), strict=True)))
    assert slope == pytest.approx(fitted[0], rel=1e-6)
    assert error == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-6)


def test_where_readings_scatter_more_than_their_own_errors_the_slope_is_known_less_well() -> None:
    hours = np.array([0.0, 100, 200, 300, 400])
    litres = np.array([0.0, 1.0, -1.5, 0.8, -2.0])
    off = np.full(5, 0.1)
    _fitted, covariance = curve_fit(lambda x, a, b: a * x + b, hours, litres, sigma=off, absolute_sigma=False)
    _slope, error = _line(list(zip(hours.tolist(), litres.tolist(), off.tolist(), strict=True)))
    assert error == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-6)


def test_one_reading_that_is_far_off_does_not_turn_the_line() -> None:
    seen = _seen(0.6, random.Random(3))
    wrong = LevelAt(seen[6].hours_h, Stand(seen[6].stand.reading - 0.9, 20, "check"), seen[6].moved_l)  # type: ignore[operator]
    found = losses(SYSTEM, [*seen[:6], wrong, *seen[7:]], oil=OIL)
    assert found.left_out == (6,)
    assert found.litres_100h.value == pytest.approx(0.6, abs=0.05)
    assert "reading 7" in says_losses(found)[-1]


def _bare(readings: Sequence[object], **told: object) -> list[LevelAt]:
    return [
        LevelAt(1000.0 + 100 * place, Stand(reading, 20, "check"), **told)  # type: ignore[arg-type]
        for place, reading in enumerate(readings)
    ]


def test_foam_and_what_is_out_of_the_glass_count_for_nothing_but_their_pours_do() -> None:
    seen = _bare([0.8, "below", 0.6])
    seen[1] = LevelAt(1100.0, Stand("below", 20, "check"), moved_l=3.0)
    found = losses(SYSTEM, seen, oil=OIL)
    assert found.left_out == (1,)
    # 0.2 of 7.5 L lower and 3 L poured in over 200 h.
    assert found.litres_100h.value == pytest.approx((1.5 + 3.0) / 2, abs=0.02)
    foaming = [LevelAt(1000.0 + place, Stand(0.5, 20, "check"), foam=True) for place in range(0, 300, 100)]
    with pytest.raises(Missing, match="two readings"):
        losses(SYSTEM, foaming, oil=OIL)


def test_a_glass_that_stood_still_while_oil_was_poured_is_blocked() -> None:
    seen = _bare([0.5, 0.5, 0.51])
    seen[1] = LevelAt(1100.0, Stand(0.5, 20, "check"), moved_l=3.0)
    with pytest.raises(CannotTell, match="stood still"):
        losses(SYSTEM, seen, oil=OIL)


def test_a_glass_that_stood_still_through_a_change_of_warmth_is_blocked() -> None:
    seen = [LevelAt(1000.0, Stand(0.5, 0, "check")), LevelAt(1100.0, Stand(0.5, 60, "check"))]
    with pytest.raises(CannotTell, match="stood still"):
        losses(SYSTEM, seen, oil=OIL)


def test_a_glass_that_had_no_reason_to_move_is_not_called_blocked() -> None:
    assert not losses(SYSTEM, _bare([0.5, 0.5, 0.5]), oil=OIL).clear


def test_too_little_to_go_by_is_said_by_name() -> None:
    with pytest.raises(Missing, match="levels"):
        losses(SYSTEM, _bare([0.5]), oil=OIL)
    with pytest.raises(CannotTell, match="an hour"):
        losses(SYSTEM, [LevelAt(10.0, Stand(0.6, 20, "check")), LevelAt(10.5, Stand(0.5, 20, "check"))], oil=OIL)
    with pytest.raises(Contradiction, match="it follows 10 h"):
        losses(SYSTEM, [LevelAt(10.0, Stand(0.6, 20, "check")), LevelAt(5.0, Stand(0.5, 20, "check"))], oil=OIL)
    with pytest.raises(Missing, match="between marks"):
        losses(excavator(3.5, between_marks_l=None), _bare([0.6, 0.5]), oil=OIL)


def test_oil_that_comes_from_somewhere_is_said_to_do_so() -> None:
    found: Losses = losses(SYSTEM, _bare([0.2, 0.35, 0.5, 0.65]), oil=OIL)
    assert found.litres_100h.value < 0
    assert found.drops_min < 0
    assert "gains" in says_losses(found)[0]
    assert "water" in says_losses(found)[1]


def test_us_readers_are_told_in_gallons() -> None:
    assert "gal in 100 hours" in says_losses(losses(SYSTEM, _bare([0.9, 0.5, 0.1]), oil=OIL), "us")[0]


def test_the_gauge_being_read_less_well_widens_the_range() -> None:
    coarse = excavator(3.5, gauge=level.Gauge("glass", hold_from_c=45, hold_to_c=60, resolution=0.1))
    seen = _bare([0.9, 0.5, 0.1])
    assert losses(coarse, seen, oil=OIL).litres_100h.width > losses(SYSTEM, seen, oil=OIL).litres_100h.width


# A gearbox, which no rod moves.


@pytest.mark.parametrize(
    ("readings", "found"),
    [
        ([], "unknown"),
        ([(0.4, 20.0)], "unknown"),
        ([(0.4, None), (0.9, None)], "unknown"),
        ([(0.4, 20.0), (0.6, 20.0)], "steady"),
        ([(0.4, 20.0), (0.65, 22.0)], "rising"),
        ([(0.4, 20.0), (0.9, 70.0)], "unknown"),
        ([(0.4, 20.0), (0.9, 70.0), (0.7, 25.0)], "rising"),
        ([(0.8, 20.0), (0.4, 20.0)], "steady"),
        ([("below", 20.0), (0.1, 20.0)], "steady"),
        ([(0.9, 20.0), ("above", 20.0)], "steady"),
        ([(0.7, 20.0), ("above", 20.0)], "rising"),
    ],
)
def test_a_level_rises_only_when_like_is_held_against_like(
    readings: list[tuple[level.Reading, float | None]], found: str
) -> None:
    assert level.rising(readings) == found


@given(st.lists(st.tuples(st.floats(-0.5, 1.5), st.floats(0, 80)), max_size=6))
def test_readings_that_never_rise_are_never_called_rising(readings: list[tuple[float, float]]) -> None:
    falling = sorted(readings, key=lambda one: -one[0])
    assert level.rising(falling) != "rising"
