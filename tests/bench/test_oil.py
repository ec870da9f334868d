from __future__ import annotations

import hashlib
import json
import math
import subprocess
import sys
from dataclasses import dataclass, replace

import pytest
from chemicals.viscosity import VI_Hs, VI_Ls, VI_nus
from hypothesis import assume, given
from hypothesis import strategies as st

from coldmark.bench import oil, words
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, NotANumber, OutOfRange, Refused
from coldmark.bench.oil.index_table import INDEX_TABLE, INDEX_TABLE_SHA256
from coldmark.bench.working import lines

KV40 = st.floats(5, 700)
INDEX = st.floats(20, 250)
HM46 = oil.Oil("Valley 46", 46, 6.8, density15_kg_m3=880, family="HM", additive="zinc", pour_c=-30, flash_c=220)


def _oil(kv40: float, index: float) -> oil.Oil:
    try:
        return oil.Oil("any", kv40, viscosity_index=index, density15_kg_m3=880)
    except OutOfRange:
        assume(False)
        raise


# the table


def test_the_index_table_is_unchanged_and_the_librarys() -> None:
    text = "\n".join(" ".join(f"{cell:g}" for cell in row) for row in INDEX_TABLE)
    assert hashlib.sha256(text.encode()).hexdigest() == INDEX_TABLE_SHA256
    assert [tuple(map(float, row)) for row in zip(VI_nus, VI_Ls, VI_Hs, strict=True)] == list(INDEX_TABLE)
    assert len(INDEX_TABLE) == 311


def test_importing_the_oil_brings_no_library_in() -> None:
    code = "import sys; from coldmark.bench import oil; print(sorted(m.split('.')[0] for m in sys.modules))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert "numpy" not in loaded
    assert "chemicals" not in loaded


# index


@given(KV40, INDEX)
def test_index_to_viscosity_and_back(kv40: float, index: float) -> None:
    found = _oil(kv40, index)
    assert oil.viscosity_index(kv40, found.kv100_mm2_s) == pytest.approx(index, abs=1e-6)


@given(st.floats(2.01, 400), st.floats(1.2, 15))
def test_viscosity_to_index_and_back(kv100: float, ratio: float) -> None:
    index = oil.viscosity_index(kv100 * ratio, kv100)
    # Where table and equations meet, at 70 mm²/s, an index may belong to two viscosities a thousandth apart.
    assert oil.kv100_from_index(kv100 * ratio, index) == pytest.approx(kv100, rel=2e-3 if 69 < kv100 < 71 else 1e-9)


@given(KV40, INDEX, st.floats(0.5, 50))
def test_a_higher_index_is_a_thicker_oil_when_hot(kv40: float, index: float, more: float) -> None:
    assert _oil(kv40, index + more).kv100_mm2_s > _oil(kv40, index).kv100_mm2_s


def test_procedures_a_and_b_meet_at_100() -> None:
    high = oil.reference_series(6.8)[1]
    assert oil.viscosity_index(high, 6.8) == pytest.approx(100)
    assert oil.viscosity_index(high * (1 + 1e-9), 6.8) == pytest.approx(oil.viscosity_index(high, 6.8), abs=1e-5)


@pytest.mark.parametrize(("kv40", "kv100"), [(46, 1.99), (46, 500.1), (46, math.nan), (math.inf, 6.8), (math.nan, 6.8)])
def test_an_index_outside_the_method_is_refused(kv40: float, kv100: float) -> None:
    with pytest.raises(OutOfRange, match="ASTM D2270"):
        oil.viscosity_index(kv40, kv100)


def test_the_refusal_reads_as_a_sentence() -> None:
    with pytest.raises(OutOfRange) as refused:
        oil.viscosity_index(46, 1.4)
    assert str(refused.value) == "kv100 = 1.4 mm²/s is outside 2 to 500 mm²/s (ASTM D2270)."


def test_an_oil_that_thickens_as_it_warms_is_refused() -> None:
    with pytest.raises(Contradiction, match="thicker at 40 °C"):
        oil.viscosity_index(6.8, 46)


@pytest.mark.parametrize("index", [-3000.0, 5000.0, math.nan])
def test_an_index_that_no_oil_can_have_is_refused_with_those_that_it_can(index: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        oil.kv100_from_index(46, index)
    assert refused.value.name == "viscosity_index"


# viscosity and temperature


@given(KV40, INDEX, st.floats(-30, 140), st.floats(0.1, 20))
def test_oil_thins_as_it_warms(kv40: float, index: float, t_c: float, more: float) -> None:
    fluid = _oil(kv40, index)
    try:
        warm = fluid.viscosity(min(150, t_c + more))
        cold = fluid.viscosity(t_c)
    except OutOfRange:
        assume(False)
    assert warm < cold


@given(KV40, INDEX, st.floats(-30, 150))
def test_temperature_to_viscosity_and_back(kv40: float, index: float, t_c: float) -> None:
    fluid = _oil(kv40, index)
    try:
        kv = fluid.viscosity(t_c)
    except OutOfRange:
        assume(False)
    assert fluid.temperature_at(kv) == pytest.approx(t_c, abs=1e-7)


@given(st.floats(0.3, 1.9), st.floats(1.2, 4))
def test_thin_oils_meet_both_their_points(kv100: float, ratio: float) -> None:
    curve = oil.curve_through(40, kv100 * ratio, 100, kv100)
    assert curve.viscosity(40) == pytest.approx(kv100 * ratio, rel=1e-10)
    assert curve.viscosity(100) == pytest.approx(kv100, rel=1e-10)


def test_the_oil_meets_what_its_label_says() -> None:
    assert HM46.viscosity(40) == pytest.approx(46)
    assert HM46.viscosity(100) == pytest.approx(6.8)


@pytest.mark.parametrize("t_c", [-30.1, 150.1, math.nan, math.inf])
def test_viscosity_is_not_given_below_the_pour_point_or_beyond_the_method(t_c: float) -> None:
    with pytest.raises(OutOfRange, match="pour point"):
        HM46.viscosity(t_c)


def test_a_viscosity_that_the_oil_never_has_is_refused_with_those_it_has() -> None:
    with pytest.raises(OutOfRange) as refused:
        HM46.temperature_at(1.0)
    assert refused.value.values["low"] == pytest.approx(HM46.viscosity(150))
    with pytest.raises(OutOfRange):
        HM46.temperature_at(0.1)
    with pytest.raises(OutOfRange):
        HM46.temperature_at(3e7)


def test_the_edges_of_the_span_are_answered() -> None:
    assert HM46.temperature_at(HM46.viscosity(-30)) == pytest.approx(-30)
    assert HM46.temperature_at(HM46.viscosity(150)) == pytest.approx(150)


def test_an_oil_colder_than_a_float_can_hold_is_refused_and_does_not_overflow() -> None:
    with pytest.raises(OutOfRange):
        oil.curve_through(40, 600, 100, 3).viscosity(-60)


@pytest.mark.parametrize(
    ("points", "error"),
    [
        ((100, 46, 40, 6.8), Contradiction),
        ((40, 6.8, 100, 46), Contradiction),
        ((40, 46, 201, 6.8), OutOfRange),
        ((40, 46, 100, 0.2), OutOfRange),
        ((40, math.nan, 100, 6.8), OutOfRange),
    ],
)
def test_a_line_needs_two_points_that_thin(points: tuple[float, float, float, float], error: type[Exception]) -> None:
    with pytest.raises(error):
        oil.curve_through(*points)


# density


@given(st.floats(801, 1164), st.floats(-50, 150), st.floats(-50, 150))
def test_mass_is_kept_when_oil_warms(density15: float, one: float, other: float) -> None:
    fluid = oil.Oil("any", 46, 6.8, density15_kg_m3=density15)
    assert fluid.expansion(one, other) * fluid.density(other) == pytest.approx(fluid.density(one))


@given(st.floats(801, 1164), st.floats(-50, 149), st.floats(0.1, 10))
def test_oil_grows_as_it_warms(density15: float, t_c: float, more: float) -> None:
    assert oil.Oil("any", 46, 6.8, density15_kg_m3=density15).expansion(t_c, min(150, t_c + more)) > 1


def test_without_a_density_the_volume_is_refused_by_name() -> None:
    with pytest.raises(Missing, match="density15 is not known"):
        oil.Oil("Bare", 46, 6.8).density(20)


@pytest.mark.parametrize(("density15", "t_c"), [(800, 20), (1165, 20), (880, -51), (880, 151), (math.nan, 20)])
def test_a_density_outside_the_method_is_refused(density15: float, t_c: float) -> None:
    with pytest.raises(OutOfRange):
        oil.density_at(density15, t_c)


# the oil


def test_an_oil_needs_a_name_and_a_second_viscosity() -> None:
    with pytest.raises(Missing, match="kv100 is not known"):
        oil.Oil("Bare", 46)
    with pytest.raises(Missing):
        oil.Oil(" ", 46, 6.8)


def test_a_printed_index_may_differ_by_rounding_and_no_more() -> None:
    assert oil.Oil("Rounded", 46, 6.8, viscosity_index=100).viscosity_index == pytest.approx(101.608, abs=0.001)
    with pytest.raises(Contradiction, match=r"46 and 6\.8 mm²/s give 102"):
        oil.Oil("Mistyped", 46, 6.8, viscosity_index=150)


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        ({"family": "HX"}, NotAChoice),
        ({"additive": "some"}, NotAChoice),
        ({"fluid": "soup"}, NotAChoice),
        ({"pour_c": 60}, OutOfRange),
        ({"flash_c": 20}, OutOfRange),
        ({"density15_kg_m3": 88}, OutOfRange),
        ({"fluid": "engine oil"}, Contradiction),
    ],
)
def test_what_no_oil_can_be_is_refused(changes: dict[str, object], error: type[Exception]) -> None:
    with pytest.raises(error):
        replace(HM46, **changes)  # type: ignore[arg-type]


def test_an_oil_between_two_grades_has_none_and_its_neighbours_are_named() -> None:
    assert oil.Oil("Between", 38, 6).grade() is None
    assert oil.Oil("Between", 38, 6).label() == ""
    assert oil.neighbours(38) == (32, 46)
    assert oil.neighbours(4000) == (3200, None)


# its text


def test_plain_data_round_trip_through_json() -> None:
    plain = oil.oil_to_plain(HM46)
    assert oil.oil_from_plain(json.loads(json.dumps(plain))) == HM46


@given(KV40, INDEX)
def test_an_oil_given_by_its_index_survives_the_round_trip(kv40: float, index: float) -> None:
    fluid = _oil(kv40, index)
    assert oil.oil_from_plain(oil.oil_to_plain(fluid)) == fluid


def test_toml_and_json_say_the_same_and_each_text_has_its_own_hash() -> None:
    toml = 'name = "Valley 46"\nkv40_cst = 46\nkv100_mm2_s = 6.8\npour_f = -22\n'
    as_json = '{"name": "Valley 46", "kv40_mm2_s": "46", "kv100_mm2_s": "6,8", "pour_c": -30}'
    assert oil.from_text(toml) == oil.from_text(as_json)
    assert oil.from_text(toml).sha256 == hashlib.sha256(toml.encode()).hexdigest() != oil.from_text(as_json).sha256


def test_the_template_is_an_oil() -> None:
    assert oil.from_text(oil.template()).key == "valley_46"


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("name = ", "oil"),
        ("{", "oil"),
        ("kv40_mm2_s = 46", "name"),
        ('name = "x"', "kv40_mm2_s"),
        ('name = "x"\nkv40_mm2_s = "thick"', "kv40_mm2_s"),
        ('name = "x"\nkv40_mm2_s = nan', "kv40_mm2_s"),
        ('name = "x"\nkv40_mm2_s = true', "kv40_mm2_s"),
        ('name = "x"\nkv40_c = 46', "key"),
        ('name = "x"\nkv40 = 46', "key"),
        ('name = "x"\nkv40_mm2_s = 46\nkv40_cst = 46', "key"),
        ('name = "x"\nkv40_mm2_s = 46\nkv100_mm2_s = 6.8\ncolour = 3', "key"),
        ("name = 7\nkv40_mm2_s = 46", "name"),
    ],
)
def test_a_text_that_is_no_oil_is_refused_by_the_key(text: str, named: str) -> None:
    with pytest.raises(Refused) as refused:
        oil.from_text(text)
    assert refused.value.name == named
    assert str(refused.value)


def test_a_number_refused_in_a_text_says_what_would_do() -> None:
    with pytest.raises(NotANumber, match="kv40 = thick is not a number; write it like"):
        oil.from_text('name = "x"\nkv40_mm2_s = "thick"')


# window


@given(KV40, INDEX)
def test_the_window_runs_from_cold_to_hot(kv40: float, index: float) -> None:
    found = oil.window(_oil(kv40, index))
    edges = (found.start, found.work_from, found.best_from, found.best_to, found.work_to)
    assert [edge.t_c for edge in edges] == sorted(edge.t_c for edge in edges)
    assert len(lines(found.working)) > 10


def test_the_sheets_limits_go_before_practice_and_are_marked() -> None:
    found = oil.window(HM46, oil.Limits(start_limit_mm2_s=1600, lowest_mm2_s=13))
    assert (found.start.origin, found.start.kv_mm2_s) == ("sheet", 1600)
    assert found.start.t_c == pytest.approx(HM46.temperature_at(1600))
    assert found.best_from.origin == "practice"
    assert found.work_to.t_c == pytest.approx(HM46.temperature_at(13))


def test_practice_gives_way_to_a_sheet_that_stands_on_its_other_side() -> None:
    thick = oil.window(HM46, oil.Limits(lowest_mm2_s=20))
    assert thick.best_to.kv_mm2_s == thick.work_to.kv_mm2_s == 20
    thin = oil.window(HM46, oil.Limits(start_limit_mm2_s=150))
    assert thin.work_from.kv_mm2_s == 150


def test_the_pour_point_ends_the_window_where_it_comes_first() -> None:
    stiff = replace(HM46, pour_c=0)
    assert (oil.window(stiff).start.t_c, oil.window(stiff).start.by) == (0, "pour point")


def test_limits_that_do_not_fall_are_refused() -> None:
    with pytest.raises(Contradiction, match="fall from cold to hot"):
        oil.window(HM46, oil.Limits(best_high_mm2_s=20, best_low_mm2_s=30))
    with pytest.raises(OutOfRange):
        oil.window(HM46, oil.Limits(lowest_mm2_s=math.nan))


@pytest.mark.parametrize(
    ("t_c", "said"),
    [(-20, "too_stiff"), (0, "idle_only"), (30, "cool"), (55, "best"), (75, "warm"), (95, "too_thin")],
)
def test_the_window_says_what_a_temperature_means(t_c: float, said: str) -> None:
    message = oil.window(HM46).says(t_c)
    assert message == f"oil.window.{said}"
    assert words.sentence(message)


# top-up


def _jug(**changes: object) -> oil.Oil:
    return replace(HM46, name="Ridge", **changes)  # type: ignore[arg-type]


def _messages(verdict: oil.Verdict) -> set[str]:
    for reason in verdict.reasons:
        values: dict[str, words.Value] = {
            name: words.sentence(text) if isinstance(text, str) and words.has(text) else text
            for name, text in reason.values.items()
        }
        assert words.sentence(reason.message, units="metric", **values)
    assert words.has(f"top_up.{verdict.answer}")
    return {reason.message for reason in verdict.reasons}


def test_the_same_oil_may_go_in() -> None:
    assert oil.may_top_up(HM46, HM46).answer == "yes"


def test_another_of_the_same_family_and_grade_may_go_in_and_what_was_not_told_is_named() -> None:
    verdict = oil.may_top_up(HM46, _jug())
    assert verdict.answer == "yes_with_notes"
    assert _messages(verdict) == {
        "top_up.family.same",
        "top_up.grade.same",
        "top_up.additive.same",
        "top_up.cold.untold",
        "top_up.hot.untold",
        "top_up.approval",
    }


@pytest.mark.parametrize(
    ("changes", "answer", "message"),
    [
        ({"family": "HEES"}, "no", "top_up.family.mixed"),
        ({"family": "HV"}, "yes_with_notes", "top_up.family.higher"),
        ({"family": "HL"}, "no", "top_up.family.lower"),
        ({"family": "HG"}, "unknown", "top_up.family.untold"),
        ({"family": ""}, "unknown", "top_up.family.unknown"),
        ({"kv40_mm2_s": 68, "kv100_mm2_s": 8.7}, "yes_with_notes", "top_up.grade.next"),
        ({"kv40_mm2_s": 100, "kv100_mm2_s": 11.4}, "no", "top_up.grade.far"),
        ({"kv40_mm2_s": 38, "kv100_mm2_s": 6.0}, "unknown", "top_up.grade.none"),
        ({"additive": "zinc_free"}, "unknown", "top_up.additive.differs"),
        ({"additive": "unknown"}, "yes_with_notes", "top_up.additive.unknown"),
        ({"fluid": "engine oil", "family": "", "sae": "SAE 10W"}, "no", "top_up.fluid_mixed"),
    ],
)
def test_family_grade_and_additive_decide(changes: dict[str, object], answer: str, message: str) -> None:
    if "kv40_mm2_s" in changes:
        jug = oil.Oil("Ridge", changes["kv40_mm2_s"], changes["kv100_mm2_s"], family="HM", additive="zinc")  # type: ignore[arg-type]
    else:
        jug = _jug(**changes)
    verdict = oil.may_top_up(HM46, jug)
    assert verdict.answer == answer
    assert message in _messages(verdict)


def test_onto_an_oil_that_nobody_knows_nothing_can_be_told() -> None:
    verdict = oil.may_top_up(None, HM46)
    assert (verdict.answer, _messages(verdict)) == ("unknown", {"top_up.inside_unknown"})


@dataclass(frozen=True)
class Allowed:
    fluid: str = "hydraulic oil"
    families: tuple[str, ...] = ("HM", "HV")
    grades: tuple[str, ...] = ("VG 46",)
    additive: str = "any"


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"families": ("HEES",)}, "top_up.sheet.family"),
        ({"grades": ("ISO VG 32", "VG 68")}, "top_up.sheet.grade"),
        ({"additive": "zinc_free"}, "top_up.sheet.additive"),
        ({"fluid": "gear oil"}, "top_up.sheet.fluid"),
    ],
)
def test_what_the_sheet_does_not_allow_stays_out_even_where_nobody_knows_what_is_inside(
    changes: dict[str, object], message: str
) -> None:
    verdict = oil.may_top_up(None, HM46, Allowed(**changes))  # type: ignore[arg-type]
    assert verdict.answer == "no"
    assert message in _messages(verdict)


@pytest.mark.parametrize("allowed", ["VG 46", "ISO VG 46", "46", "vg46"])
def test_a_grade_is_recognised_however_the_sheet_writes_it(allowed: str) -> None:
    assert oil.may_top_up(HM46, HM46, Allowed(grades=(allowed,))).answer == "yes"


# workings


def test_every_working_ends_in_the_value_that_the_method_gives() -> None:
    assert oil.explain_viscosity(HM46, 20).steps[-1].result == HM46.viscosity(20)
    assert oil.explain_temperature(HM46, 20).steps[-1].result == HM46.temperature_at(20)
    assert oil.explain_density(HM46, 20).steps[-1].result == HM46.density(20)
    assert oil.explain_expansion(HM46, 10, 70).steps[-1].result == HM46.expansion(10, 70)
    assert oil.explain_index(46, 6.8).steps[-1].result == oil.viscosity_index(46, 6.8)
    for working in (oil.explain_viscosity(HM46, 20), oil.explain_expansion(HM46, 10, 70), oil.explain_index(70, 6.8)):
        assert all(lines(working, "us"))
