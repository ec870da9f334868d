from __future__ import annotations

import pytest

from coldmark.bench import samples
from coldmark.bench.evidence import network, rank
from coldmark.bench.facts import moment_ms
from coldmark.bench.facts.kinds import KINDS
from coldmark.bench.ledger.state import Pour
from coldmark.bench.samples import Drawn, code_of, plain_name, signs, wear_of

JOB = "0190a000-0000-7000-8000-000000000001"


def _at(day: int) -> str:
    return f"2026-03-{day:02d}T08:00:00+00:00"


def _drawn(day: int, hours: float | None, job: str | None = None, **values: float) -> Drawn:
    return Drawn(moment_ms("at", _at(day)), hours, job, {name: (value, "mg/kg") for name, value in values.items()})


def _pour(day: int, way: str, litres: float, hours: float | None = None, job: str | None = JOB) -> Pour:
    return Pour(_at(day), "", way, litres, "valley_46", 40.0, job, hours)


# Signs.


def test_every_finding_that_is_a_sign_is_one_that_can_be_found() -> None:
    choices = KINDS["finding"].fields["what"].choices
    assert set(samples.FINDINGS) <= set(choices)
    assert set(samples.FINDINGS.values()) <= set(network().signs)


def test_signs_of_samples_are_signs_of_the_ranking() -> None:
    values = dict.fromkeys(("iron", "copper", "chromium", "silicon", "sodium", "calcium", "magnesium"), 1000.0)
    found = signs([], [_drawn(1, 100, calcium=5, magnesium=5), _drawn(2, 200, None, **values)])
    assert set(found) <= set(network().signs)
    assert set(found.values()) == {"seen"}
    assert len(found) == 7
    rank(found)


def test_what_was_measured_and_is_low_was_looked_for_in_vain() -> None:
    assert signs([], [_drawn(1, 100, copper=3, water=120)]) == {"copper_up": "absent", "water_by_lab": "absent"}


def test_what_was_not_measured_says_nothing() -> None:
    assert signs(["wrong_part"], []) == {}
    assert signs([], [_drawn(1, 100, soot=3)]) == {}
    assert signs([], [_drawn(1, 100, calcium=900)]) == {}, "a jump needs a sample before"


def test_a_metal_that_jumps_within_its_limit_is_up() -> None:
    assert signs([], [_drawn(1, 100, iron=4), _drawn(2, 200, iron=19)])["iron_up"] == "absent"
    steep = signs([], [_drawn(1, 100, silicon=2, sodium=1), _drawn(2, 200, silicon=14, sodium=30)])
    assert steep == {"silicon_up": "absent", "sodium_up": "seen"}


def test_calcium_that_jumps_is_engine_oil() -> None:
    found = signs([], [_drawn(1, 100, calcium=40), _drawn(2, 350, calcium=400)])
    assert found == {"calcium_up": "seen"}
    assert rank(found).raised[0].key == "engine_oil_in"


def test_potassium_shows_what_sodium_does_not() -> None:
    assert signs([], [_drawn(1, 100, sodium=2, potassium=60)]) == {"sodium_up": "seen"}
    assert signs([], [_drawn(1, 100, sodium=60, potassium=2)]) == {"sodium_up": "seen"}


def test_water_in_per_cent_is_water() -> None:
    wet = Drawn(0, 100.0, None, {"water": (0.15, "%")})
    assert signs([], [wet]) == {"water_by_lab": "seen"}
    odd = Drawn(0, 100.0, None, {"water": (0.15, "drops")})
    assert signs([], [odd]) == {}, "a unit that nobody knows says nothing"


@pytest.mark.parametrize(
    ("kv40", "thicker", "thinner"), [(46, "absent", "absent"), (52, "seen", "absent"), (40, "absent", "seen")]
)
def test_viscosity_is_held_against_the_oil_that_is_in(kv40: float, thicker: str, thinner: str) -> None:
    one = Drawn(0, 100.0, None, {"kv40": (kv40, "mm²/s")})
    assert signs([], [one], kv40_mm2_s=46.0) == {"thicker_oil": thicker, "thinner_oil": thinner}
    assert signs([], [one]) == {}


@pytest.mark.parametrize(("kv40", "thinner"), [(40, "absent"), (36, "seen")])
def test_an_oil_with_index_improver_may_grow_twice_as_thin(kv40: float, thinner: str) -> None:
    one = Drawn(0, 100.0, None, {"kv40": (kv40, "mm²/s")})
    assert signs([], [one], kv40_mm2_s=46.0, improved=True)["thinner_oil"] == thinner
    assert signs([], [one], kv40_mm2_s=46.0)["thinner_oil"] == "seen"


# Cleanliness, and levels.


def test_a_printed_code_beyond_the_published_one_is_too_many_particles() -> None:
    for code, state in (("21/19/16", "seen"), ("20/18/15", "absent"), ("–/18/15", "absent"), ("–/19/15", "seen")):
        assert signs([], [Drawn(0, 1.0, None, {}, {"cleanliness": code})]) == {"too_many_particles": state}, code


def test_counts_have_their_code_and_tell_the_same() -> None:
    counts = {"count4": (12_000.0, "1/mL"), "count6": (4_000.0, "1/mL"), "count14": (500.0, "1/mL")}
    assert str(code_of(Drawn(0, 1.0, None, counts))) == "21/19/16"
    assert signs([], [Drawn(0, 1.0, None, counts)]) == {"too_many_particles": "seen"}
    assert plain_name("particles.14") == "count14"


def test_what_cannot_be_read_as_a_code_tells_nothing() -> None:
    rising = {"count4": (100.0, "1/mL"), "count6": (400.0, "1/mL")}
    per_100 = {"count4": (100.0, "1/100mL")}
    for one in (Drawn(0, 1.0, None, {}, {"cleanliness": "class 9"}), Drawn(0, 1.0, None, rising)):
        assert code_of(one) is None
        assert signs([], [one]) == {}
    assert code_of(Drawn(0, 1.0, None, per_100)) is None
    assert code_of(Drawn(0, 1.0, None, {})) is None


@pytest.mark.parametrize("what", sorted(KINDS["finding"].fields["what"].choices))
def test_what_is_found_is_a_sign_of_the_table_or_none(what: str) -> None:
    assert set(signs([what], [])) <= set(network().signs)


def test_what_lies_in_an_opened_housing_points_to_its_causes() -> None:
    for found, cause in (
        ("almost_no_debris", {"bypass_open", "element_gone", "recent_change"}),
        ("swarf", {"repair_dirt"}),
        ("grit", {"dirt_in", "repair_dirt"}),
        ("stuck_valve", {"bypass_open"}),
        ("scored_rod", {"rod_wear"}),
        ("bad_breather", {"dirt_in", "water_in"}),
    ):
        assert rank(signs([found], [])).raised[0].key in cause, found


def test_a_gearbox_that_rises_while_the_hydraulic_falls_is_a_shaft_seal() -> None:
    found = signs([], [], falls=True, gearbox=["steady", "rising", "unknown"])
    assert found == {"hydraulic_falls": "seen", "gearbox_rises": "seen"}
    assert rank(found).raised[0].key == "shaft_seal"
    assert signs([], [], falls=False, gearbox=["steady", "unknown"]) == {
        "hydraulic_falls": "absent",
        "gearbox_rises": "absent",
    }
    assert signs([], [], falls=None, gearbox=["unknown"]) == {}


# Wear.


def test_samples_before_the_change_are_of_another_fill() -> None:
    drawn = [_drawn(1, 100, iron=60), _drawn(10, 700, iron=5), _drawn(20, 950, iron=10)]
    pours = [_pour(5, "drained", -70, 500), _pour(5, "fill", 70, 500)]
    found = wear_of("iron", drawn, pours, 80)
    assert found is not None
    assert found.verdict == "open"
    assert found.latest.stays_mg_kg_100h is not None
    assert found.latest.stays_mg_kg_100h.value == pytest.approx(2.0)


def test_a_sample_of_the_old_oil_tells_what_the_new_fill_started_with() -> None:
    drawn = [_drawn(5, 500, JOB, iron=60), _drawn(10, 750, iron=17), _drawn(20, 1000, iron=22)]
    pours = [_pour(5, "drained", -64, 500), _pour(5, "fill", 64, 500)]
    found = wear_of("iron", drawn, pours, 80)
    assert found is not None
    # 16 of 80 L stayed behind with 60 mg/kg: the new fill started with 12, so that it gained 5 and 5.
    assert found.verdict == "steady"
    assert found.mg_kg_100h is not None
    assert found.mg_kg_100h.value == pytest.approx(2.0)


def test_top_ups_between_samples_are_reckoned_in() -> None:
    drawn = [_drawn(1, 100, iron=10), _drawn(10, 350, iron=15)]
    without = wear_of("iron", drawn, [], 80)
    topped = wear_of("iron", drawn, [_pour(5, "top_up", 4, 200), _pour(12, "top_up", 30, 400)], 80)
    assert without is not None
    assert topped is not None
    assert topped.latest.at_most_mg_kg_100h > without.latest.at_most_mg_kg_100h
    assert topped.latest.expected_mg_kg == pytest.approx(10 * (1 - 4 / 80), rel=0.01)


def test_a_metal_that_was_not_measured_or_whose_hours_nobody_knows_has_no_rate() -> None:
    drawn = [_drawn(1, 100, iron=10), _drawn(10, None, iron=15), _drawn(20, 100.2, iron=18)]
    assert wear_of("iron", drawn, [], 80) is None
    assert wear_of("copper", drawn, [], 80) is None
    assert wear_of("iron", [], [], 80) is None
