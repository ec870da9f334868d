"""The ranking of causes: against going through all sets of causes, by its laws, and for sense."""

from __future__ import annotations

import math
import time
from functools import cache
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldmark.bench import evidence, words
from coldmark.bench.errors import Contradiction, NotAChoice
from coldmark.bench.evidence import Ranking, network, rank
from tests.bench.all_sets import AllSets

NETWORK = network()
SIGNS = sorted(NETWORK.signs)
CAUSES = sorted(NETWORK.before)


@cache
def _all_sets() -> AllSets:
    return AllSets(NETWORK)


def _chance(found: Ranking, cause: str) -> float:
    return next(one.chance for one in found.causes if one.key == cause)


def _seen(*signs: str) -> Ranking:
    return rank(dict.fromkeys(signs, "seen"))


def _observations(most_seen: int) -> st.SearchStrategy[dict[str, str]]:
    seen = st.lists(st.sampled_from(SIGNS), max_size=most_seen, unique=True)
    absent = st.lists(st.sampled_from(SIGNS), max_size=10, unique=True)

    def put(pair: tuple[list[str], list[str]]) -> dict[str, str]:
        states: dict[str, str] = dict.fromkeys(pair[1], "absent")
        return states | dict.fromkeys(pair[0], "seen")

    return st.tuples(seen, absent).map(put)


# Against an independent way: all 262 144 sets of causes, each weighed whole.


@settings(max_examples=40, deadline=None)
@given(_observations(4))
def test_chances_are_those_of_going_through_all_sets_of_causes(observations: dict[str, str]) -> None:
    found, wanted = rank(observations), _all_sets().chances(observations)
    for cause, chance in wanted.items():
        assert _chance(found, cause) == pytest.approx(chance, abs=1e-4)


@pytest.mark.parametrize(
    "signs",
    [
        ("bronze_flakes",),
        ("rubber_bits", "rod_creeps"),
        ("almost_no_debris",),
        ("gearbox_rises", "hydraulic_falls"),
        ("rust_seen", "foam_seen", "water_by_lab"),
    ],
)
def test_few_signs_are_weighed_exactly(signs: tuple[str, ...]) -> None:
    found, wanted = _seen(*signs), _all_sets().chances(dict.fromkeys(signs, "seen"))
    for cause, chance in wanted.items():
        assert _chance(found, cause) == pytest.approx(chance, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(_observations(12))
def test_many_signs_at_once_are_weighed_to_within_three_in_a_hundred(observations: dict[str, str]) -> None:
    found, wanted = rank(observations), _all_sets().chances(observations)
    for cause, chance in wanted.items():
        assert _chance(found, cause) == pytest.approx(chance, abs=0.03)


@pytest.mark.parametrize("signs", [(), ("bronze_flakes",), ("almost_no_debris",), ("rust_seen", "rubber_bits")])
def test_what_a_check_tells_is_what_going_through_all_sets_says(signs: tuple[str, ...]) -> None:
    observations: dict[str, str] = dict.fromkeys(signs, "seen")
    found = rank(observations)
    targets = [one.key for one in found.raised]
    for check in found.checks:
        aims = targets or [one for one in NETWORK.links[check.sign] if one not in NETWORK.harmless]
        assert check.bits == pytest.approx(_all_sets().tells(observations, check.sign, aims), rel=1e-6)


def test_the_expected_bits_are_those_of_asking_twice() -> None:
    """Mutual information by its other definition: what is open now less what is open on average afterwards."""
    found = _seen("almost_no_debris")
    aims = [one.key for one in found.raised]
    table, check = _all_sets(), found.checks[0]
    there = table.shows({"almost_no_debris": "seen"}, check.sign)
    after = {state: {"almost_no_debris": "seen", check.sign: state} for state in ("seen", "absent")}
    open_after = there * table.open_bits(after["seen"], aims) + (1 - there) * table.open_bits(after["absent"], aims)
    assert check.bits == pytest.approx(table.open_bits({"almost_no_debris": "seen"}, aims) - open_after, rel=1e-6)


# Laws.


def test_without_a_sign_every_cause_is_as_likely_as_before() -> None:
    for one in rank({}).causes:
        assert one.chance == pytest.approx(one.before)
        assert not one.raised
        assert one.speaks_for == one.speaks_against == ()


@pytest.mark.parametrize("sign", SIGNS)
def test_one_sign_raises_exactly_the_causes_that_show_it(sign: str) -> None:
    for one in _seen(sign).causes:
        if one.key in NETWORK.links[sign]:
            assert one.chance > one.before
            assert [reason.signs for reason in one.speaks_for] == [(sign,)]
        else:
            assert one.chance == pytest.approx(one.before, rel=1e-9)


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_looked_for_in_vain_lowers_exactly_the_causes_that_would_show_it(sign: str) -> None:
    for one in rank({sign: "absent"}).causes:
        if one.key in NETWORK.links[sign]:
            assert one.chance < one.before
            assert [(reason.signs, reason.seen) for reason in one.speaks_against] == [((sign,), False)]
        else:
            assert one.chance == pytest.approx(one.before, rel=1e-9)


ONLY_ONE_SHOWS_IT = [sign for sign in SIGNS if len(NETWORK.links[sign]) == 1]


@settings(max_examples=60, deadline=None)
@given(_observations(3), st.sampled_from(ONLY_ONE_SHOWS_IT))
def test_a_sign_of_one_cause_never_lowers_it_and_its_absence_never_raises_it(
    observations: dict[str, str], sign: str
) -> None:
    # Of a sign with several causes this holds for all of them together only: what one gains another may lose.
    if any(NETWORK.signs[one].group == NETWORK.signs[sign].group for one in observations):
        return
    cause = next(iter(NETWORK.links[sign]))
    before = _chance(rank(observations), cause)
    assert _chance(rank(observations | {sign: "seen"}), cause) >= before - 1e-9
    assert _chance(rank(observations | {sign: "absent"}), cause) <= before + 1e-9


@given(st.permutations(["bronze_flakes", "foam_seen", "rust_seen", "iron_up"]))
def test_the_order_of_telling_changes_nothing(signs: list[str]) -> None:
    assert _seen(*signs).causes == _seen(*sorted(signs)).causes


def test_what_nobody_looked_for_is_as_if_not_told() -> None:
    told = rank([("rust_seen", "seen"), ("foam_seen", "not_looked"), ("rust_seen", "seen")])
    assert told == _seen("rust_seen")


def test_signs_of_one_thing_count_once() -> None:
    assert NETWORK.signs["copper_up"].group == NETWORK.signs["bronze_flakes"].group
    for cause in ("pump_wear", "motor_wear"):
        once, twice = (_chance(_seen(*signs), cause) for signs in (("bronze_flakes",), ("bronze_flakes", "copper_up")))
        assert twice == pytest.approx(once, rel=1e-9)
    assert _chance(_seen("bronze_flakes", "iron_up"), "pump_wear") > _chance(_seen("bronze_flakes"), "pump_wear")


def test_a_found_explanation_makes_the_others_less_likely() -> None:
    alone, explained = _seen("hydraulic_falls"), _seen("hydraulic_falls", "gearbox_rises")
    assert _chance(explained, "outside_leak") < _chance(alone, "outside_leak")
    reasons = next(one for one in explained.causes if one.key == "outside_leak").speaks_against
    assert [(one.signs, one.seen) for one in reasons] == [(("gearbox_rises",), True)]


def test_a_group_that_was_looked_at_is_not_proposed_again() -> None:
    for state in ("seen", "absent"):
        left = {NETWORK.signs[one.sign].group for one in rank({"bronze_flakes": state}).checks}
        assert "bronze" not in left
        assert left


def test_one_sign_cannot_be_there_and_not_there() -> None:
    with pytest.raises(Contradiction, match="seen and as looked for") as caught:
        rank([("rust_seen", "seen"), ("rust_seen", "absent")])
    assert caught.value.name == "rust_seen"
    with pytest.raises(NotAChoice, match="bronze_flakes"):
        rank({"gold_dust": "seen"})
    with pytest.raises(NotAChoice, match="not_looked"):
        rank({"rust_seen": "perhaps"})


# Sense.


def _raised(found: Ranking) -> set[str]:
    return {one.key for one in found.raised}


def test_dark_residue_alone_raises_nothing() -> None:
    found = _seen("dark_residue")
    assert _raised(found) == set()
    assert found.idle == ("dark_residue",)
    assert [one.chance for one in found.causes] == pytest.approx([one.before for one in found.causes])
    assert any("Dark residue tells nothing" in line for line in evidence.says(found))


def test_dark_residue_beside_another_sign_changes_nothing() -> None:
    assert _seen("dark_residue", "bronze_flakes").causes == _seen("bronze_flakes").causes


def test_bronze_flakes_raise_pump_or_motor_wear() -> None:
    assert _raised(_seen("bronze_flakes")) == {"pump_wear", "motor_wear"}


def test_rubber_raises_cylinder_seals_or_a_hoses_lining() -> None:
    assert _raised(_seen("rubber_bits")) == {"cylinder_seals", "hose_liner"}


def test_rust_raises_water() -> None:
    assert _raised(_seen("rust_seen")) == {"water_in"}


def test_almost_no_debris_after_long_raises_the_bypass_and_the_element() -> None:
    found = rank({"almost_no_debris": "seen", "changed_lately": "absent"})
    assert _raised(found) == {"bypass_open", "element_gone"}
    assert found.checks[0].sign == "torn_element"


def test_almost_no_debris_soon_after_a_change_is_no_fault() -> None:
    found = rank({"almost_no_debris": "seen", "changed_lately": "seen"})
    assert _raised(found) == {"recent_change"}
    assert not found.raised[0].fault
    assert _seen("almost_no_debris").checks[0].sign == "changed_lately"


@pytest.mark.parametrize("sign", ["calcium_up", "magnesium_up"])
def test_a_jump_of_calcium_or_magnesium_raises_engine_oil(sign: str) -> None:
    found = _seen(sign)
    assert found.raised[0].key == "engine_oil_in"


def test_a_gearbox_that_gains_while_the_hydraulic_loses_raises_the_shaft_seal() -> None:
    both = _seen("gearbox_rises", "hydraulic_falls")
    assert both.raised[0].key == "shaft_seal"
    for sign in ("gearbox_rises", "hydraulic_falls"):
        assert _chance(both, "shaft_seal") > _chance(_seen(sign), "shaft_seal")
    assert _seen("hydraulic_falls").raised[0].key == "outside_leak"


# Words, time and the files.


def test_every_sign_and_cause_has_its_words() -> None:
    for sign in SIGNS:
        assert words.has(f"evidence.sign.{sign}")
        assert words.has(f"catalogue.choice.{sign}")
        assert words.has(f"evidence.check.{sign}" if NETWORK.links[sign] else f"evidence.idle.{sign}")
    assert all(words.has(f"evidence.cause.{cause}") for cause in CAUSES)


def test_every_strength_is_a_chance_and_every_link_has_an_origin() -> None:
    chances = [*NETWORK.before.values(), *(one.background for one in NETWORK.signs.values())]
    chances += [strength for links in NETWORK.links.values() for strength in links.values()]
    assert all(0 < one < 1 for one in chances)
    assert {(cause, sign) for sign, links in NETWORK.links.items() for cause in links} == set(NETWORK.origins)
    assert all(origin.strip() for origin in NETWORK.origins.values())


def test_a_ranking_says_what_speaks_for_and_against() -> None:
    said = evidence.says(rank({"bronze_flakes": "seen", "iron_up": "seen", "much_case_drain": "absent"}))
    assert said[0] == "Likely: wear of a pump (56%)."
    assert "For it: bronze flakes and iron up in the sample." in said
    assert "Against it, looked for and not there: much flow from a case drain." in said
    assert said[-1].startswith("This ranks causes")


def test_a_whole_visits_signs_are_ranked_in_no_time() -> None:
    states = dict(zip(SIGNS, [state for state, _ in product(("seen", "absent"), range(5))], strict=False))
    rank(states)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        rank(states)
        times.append(time.perf_counter() - start)
    assert min(times) < 0.02


def test_no_chance_is_nothing_or_all_however_much_is_seen() -> None:
    found = _seen(*SIGNS)
    assert all(0 < one.chance < 1 and math.isfinite(one.chance) for one in found.causes)
    assert found.checks == ()
