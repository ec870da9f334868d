"""Seals: every size found again, old rings among the candidates, grooves and materials judged by what is known."""

from __future__ import annotations

from hashlib import sha256
from importlib.resources import files
from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, data_file, seal, words
from coldmark.bench.errors import Contradiction, Missing, NotAChoice, OutOfRange, Refused
from coldmark.bench.seal import Groove, Kind, Ring, gland, identify, says
from coldmark.bench.seal.gland import fitted_section_mm
from coldmark.bench.seal.table import gland_row

SIZES = list(seal.sizes().values())
any_size = st.sampled_from(SIZES)
stretched = st.floats(0, 0.05)


def names(found: seal.Found) -> list[str]:
    return [one.ring.size for one in found.candidates]


class TestSizes:
    def test_the_table_is_whole(self) -> None:
        assert len(SIZES) == 349
        series = [(1, 50), (102, 178), (201, 284), (309, 395), (425, 475)]
        assert list(seal.sizes()) == [f"{one:03}" for low, high in series for one in range(low, high + 1)]

    def test_within_a_section_sizes_rise_and_tolerances_never_fall(self) -> None:
        for one, after in pairwise(SIZES):
            if one.section_mm == pytest.approx(after.section_mm):
                assert after.inner_mm > one.inner_mm
                assert after.inner_tolerance_mm >= one.inner_tolerance_mm

    def test_a_size_is_found_however_its_number_is_written(self) -> None:
        assert seal.size("210") == seal.size(" -210 ") == seal.size("\N{EN DASH}210")
        assert seal.size("6") == seal.size("006")

    def test_a_number_that_is_not_in_the_table_is_refused_with_those_that_are(self) -> None:
        with pytest.raises(NotAChoice, match="102 to 178, 201 to 284") as caught:
            seal.size("185")
        assert caught.value.name == "size"
        for wrong in ("904", "P22A", "", "²"):
            with pytest.raises(NotAChoice, match="size"):
                seal.size(wrong)

    def test_the_licence_lies_beside_the_tables(self) -> None:
        folder = files("coldmark.bench.seal")
        assert "Apache License" in (folder / "LICENSE-Apache-2.0.txt").read_text(encoding="utf-8")
        assert "bd-warehouse 0.4.0" in (folder / "README.md").read_text(encoding="utf-8")
        for name in ("sizes.csv", "glands_static.csv", "glands_moving.csv"):
            assert "bd-warehouse 0.4.0" in (folder / name).read_text(encoding="utf-8")

    def test_a_table_that_a_hand_slipped_in_is_not_used(self) -> None:
        text = (files("coldmark.bench.seal") / "sizes.csv").read_text(encoding="utf-8")
        spoilt = sha256(text.replace("18.64", "18.46").encode()).hexdigest()
        with pytest.raises(Contradiction, match=r"sizes\.csv"):
            data_file.table("coldmark.bench.seal", "sizes.csv", spoilt)


class TestIdentify:
    @pytest.mark.parametrize("ring", SIZES, ids=lambda ring: ring.size)
    def test_every_size_is_found_from_its_own_measures_and_from_the_worst_of_its_tolerance(self, ring: Ring) -> None:
        found = identify(ring.inner_mm, ring.section_mm)
        assert (found.answer, names(found)) == ("one", [ring.size])
        for inner in (-1, 1):
            for section in (-1, 1):
                worst = identify(
                    ring.inner_mm + inner * ring.inner_tolerance_mm,
                    ring.section_mm + section * ring.section_tolerance_mm,
                )
                assert worst.answer in ("one", "several")
                assert ring.size in names(worst)

    @given(any_size, st.floats(-1, 1), st.floats(-1, 1))
    def test_a_new_ring_anywhere_within_its_tolerance_is_among_those_found(
        self, ring: Ring, inner: float, section: float
    ) -> None:
        found = identify(
            ring.inner_mm + inner * ring.inner_tolerance_mm, ring.section_mm + section * ring.section_tolerance_mm
        )
        assert ring.size in names(found)

    @given(any_size, stretched, st.floats(0, 0.22))
    def test_an_old_ring_stretched_and_flattened_is_among_the_candidates(
        self, ring: Ring, stretch: float, flattened: float
    ) -> None:
        wall_mm = ring.inner_mm * (1 + stretch)
        section_mm = fitted_section_mm(ring, wall_mm, outside=False) * (1 - flattened)
        found = identify(wall_mm, section_mm, from_="old_ring")
        assert found.answer == "candidates"
        assert ring.size in names(found)

    @given(any_size)
    def test_an_old_ring_never_gives_one_size_for_sure(self, ring: Ring) -> None:
        found = identify(ring.inner_mm, ring.section_mm, from_="old_ring")
        assert found.answer == "candidates"
        assert names(found)[0] == ring.size

    @given(st.floats(0.3, 1500), st.floats(0.5, 20))
    def test_what_is_found_is_within_tolerance_and_nothing_else_is_found(self, inner: float, section: float) -> None:
        found = identify(inner, section)
        within = {
            ring.size
            for ring in SIZES
            if abs(round(inner - ring.inner_mm, 3)) <= ring.inner_tolerance_mm + 1e-6
            and abs(round(section - ring.section_mm, 3)) <= ring.section_tolerance_mm + 1e-6
        }
        assert set(names(found)) == within or (not within and found.answer in ("near", "none"))
        assert bool(found.nearest) == (found.answer == "none")

    def test_none_within_tolerance_is_not_in_the_table_and_the_nearest_are_not_to_be_fitted(self) -> None:
        found = identify(44.2, 3.0)
        assert (found.answer, len(found.nearest)) == ("none", 3)
        said = says(found)
        assert said[0] == "Not in this table. Do not put the nearest one in its place."
        assert "132" in said[1]
        assert "0.38 mm thicker" in said[1]
        assert "JIS" in said[-1]

    def test_a_little_outside_of_the_tolerance_is_measured_again(self) -> None:
        ring = seal.size("210")
        found = identify(ring.inner_mm + ring.inner_tolerance_mm + 0.08, ring.section_mm)
        assert (found.answer, names(found)) == ("near", ["210"])
        assert "Measure again" in says(found)[0]
        assert says(found)[1] == "Yours is 0.33 mm wider and as thick."

    def test_an_old_ring_that_nothing_explains_is_not_in_the_table(self) -> None:
        found = identify(100.0, 9.0, from_="old_ring")
        assert found.answer == "none"
        assert found.nearest

    def test_the_same_inside_in_two_sections_is_told_apart(self) -> None:
        assert names(identify(116.84, 5.33)) == ["350"]
        assert names(identify(116.84, 6.99)) == ["426"]

    def test_what_is_missing_or_too_much_is_refused_by_name(self) -> None:
        with pytest.raises(Missing) as caught:
            identify(section_mm=3.5)
        assert caught.value.name == "inner_mm"
        with pytest.raises(Missing, match="section"):
            identify(18.6)
        with pytest.raises(Missing, match="groove"):
            identify(from_="groove")
        with pytest.raises(Contradiction, match="measures of a ring"):
            identify(18.6, 3.5, from_="groove", groove=Groove(2.6, 4.6, inner_mm=44))
        with pytest.raises(Contradiction, match="a groove is given"):
            identify(18.6, 3.5, groove=Groove(2.6, 4.6, inner_mm=44))
        with pytest.raises(OutOfRange, match="section"):
            identify(18.6, 35)
        with pytest.raises(NotAChoice, match="old_ring"):
            identify(18.6, 3.5, from_="worn")  # type: ignore[arg-type]


# A groove made for a ring: as deep as the middle of the table's depths, as wide as it says, the wall where it aims.
def groove_for(ring: Ring, kind: Kind, *, moving: bool = False) -> Groove:
    row = gland_row(ring.section_mm, moving=moving)
    assert row is not None
    way = "face" if kind.startswith("face") else "radial"
    depth_mm = (row[f"{way}_depth_low_mm"] + row[f"{way}_depth_high_mm"]) / 2
    wall_mm = {
        "face_inside": ring.outer_mm / 1.015,
        "bore": ring.outer_mm / 1.01,
        "face_outside": ring.inner_mm * 1.02,
        "spigot": ring.inner_mm * 1.02,
    }[kind]
    side = {"outer_mm" if kind in ("face_inside", "bore") else "inner_mm": wall_mm}
    return Groove(depth_mm, row["width_mm"], **side)


class TestGland:
    @pytest.mark.parametrize("kind", seal.KINDS)
    def test_every_ring_fits_the_groove_that_the_tables_make_for_it_and_is_found_from_it(self, kind: Kind) -> None:
        for ring in SIZES:
            groove = groove_for(ring, kind)
            assert gland(ring, groove, kind).answer == "fits", ring
            found = identify(from_="groove", groove=groove, kind=kind)
            assert found.answer in ("one", "several")
            assert ring.size in names(found)

    @given(any_size, st.floats(0.5, 0.99), st.floats(0.5, 0.99))
    def test_squeeze_and_filling_fall_as_the_groove_grows_deeper(self, ring: Ring, one: float, other: float) -> None:
        low, high = sorted((one, other))
        tight, loose = (
            gland(ring, Groove(share * ring.section_mm, 1.4 * ring.section_mm, inner_mm=ring.inner_mm), "spigot")
            for share in (low, high)
        )
        for name in ("squeeze", "fill"):
            first, second = tight.measure(name), loose.measure(name)
            assert first is not None
            assert second is not None
            assert first.value.value >= second.value.value

    @given(any_size, st.floats(1.1, 2), st.floats(1.1, 2))
    def test_filling_falls_as_the_groove_grows_wider(self, ring: Ring, one: float, other: float) -> None:
        low, high = sorted((one, other))
        fills = [
            gland(ring, Groove(0.8 * ring.section_mm, share * ring.section_mm, inner_mm=ring.inner_mm), "spigot")
            .measures[2]
            .value.value
            for share in (low, high)
        ]
        assert fills[0] >= fills[1]

    @given(any_size, st.floats(0.001, 0.06))
    def test_a_stretched_ring_keeps_its_volume_and_one_pushed_in_grows(self, ring: Ring, share: float) -> None:
        def volume(inner_mm: float, section_mm: float) -> float:
            return pi**2 / 4 * section_mm**2 * (inner_mm + section_mm)

        wall_mm = ring.inner_mm * (1 + share)
        thinner = fitted_section_mm(ring, wall_mm, outside=False)
        assert thinner < ring.section_mm
        assert volume(wall_mm, thinner) == pytest.approx(volume(ring.inner_mm, ring.section_mm), rel=1e-6)
        outside_mm = ring.outer_mm / (1 + share)
        thicker = fitted_section_mm(ring, outside_mm, outside=True)
        assert thicker > ring.section_mm
        inner_mm = outside_mm - 2 * thicker
        assert volume(inner_mm, thicker) == pytest.approx(volume(ring.inner_mm, ring.section_mm), rel=1e-6)

    @given(any_size, st.sampled_from(seal.KINDS), st.floats(0.6, 1.1), st.floats(0.95, 1.08))
    def test_the_range_of_each_measure_holds_it(self, ring: Ring, kind: Kind, depth: float, wall: float) -> None:
        made = groove_for(ring, kind)
        wall_mm = made.wall_mm(kind) * wall
        side = {"outer_mm" if kind in ("face_inside", "bore") else "inner_mm": wall_mm}
        found = gland(ring, Groove(max(made.depth_mm * depth, 0.3), made.width_mm, **side), kind)
        for one in found.measures:
            assert one.value.low <= one.value.value <= one.value.high
            allowed = [limit.low <= one.value.value <= limit.high for limit in one.limits]
            assert (one.answer == "fits") == allowed[0]
            assert (one.answer == "does_not_fit") == (not any(allowed))
        worst = "does_not_fit" if any(one.answer == "does_not_fit" for one in found.measures) else None
        assert worst is None or found.answer == worst

    def test_the_pressed_side_decides_which_diameter_counts(self) -> None:
        ring = seal.size("225")
        right = Groove(2.64, 4.57, outer_mm=ring.outer_mm / 1.01)
        assert gland(ring, right, "face_inside").answer == "fits"
        # The same groove with the pressure outside: the ring lies loose round the inner wall.
        other = gland(ring, right, "face_outside")
        assert other.answer == "does_not_fit"
        assert other.worst.name == "stretch"
        assert other.worst.side == "low"

    def test_a_face_ring_smaller_than_the_groove_is_refused_because_pressure_moves_it(self) -> None:
        found = gland(seal.size("225"), Groove(2.64, 4.57, outer_mm=55.0), "face_inside")
        assert found.answer == "does_not_fit"
        assert says(found) == [
            "Does not fit: 1.3% smaller than the wall it should lie against.",
            "Pressure pushes it outwards each time until it reaches the wall, and it wears.",
        ]

    def test_a_groove_deeper_than_the_ring_is_thick_does_not_touch(self) -> None:
        found = gland(seal.size("210"), Groove(3.6, 4.6, inner_mm=19), "spigot")
        assert found.answer == "does_not_fit"
        assert says(found)[1] == "It does not touch the other side, and cannot seal."

    def test_too_full_a_groove_is_named_before_what_is_only_in_doubt(self) -> None:
        found = gland(seal.size("210"), Groove(2.6, 3.9, outer_mm=25.5), "face_inside")
        assert found.worst.name == "fill"
        assert says(found)[0] == "Does not fit: the groove 96.5% full."

    def test_where_sources_differ_both_are_shown(self) -> None:
        found = gland(seal.size("210"), Groove(2.87, 4.6, inner_mm=18.64 * 1.042), "spigot")
        assert found.answer == "fits"
        sources = next(note for note in seal.notes(found) if "stretched by 4.2%" in note)
        assert "up to 5.0%" in sources
        assert "1.0% to 3.0%" in sources

    def test_one_source_for_and_one_against_leaves_it_in_doubt(self) -> None:
        found = gland(seal.size("210"), Groove(2.6, 4.3, outer_mm=25.5), "face_inside")
        assert found.answer == "near"
        assert says(found)[0] == "In doubt: the groove 87.5% full. One source allows it, another does not."

    def test_back_up_rings_want_a_wider_groove_and_filling_is_not_judged(self) -> None:
        ring = seal.size("210")
        found = gland(ring, Groove(2.87, 5.51, inner_mm=19), "spigot", backups=1)
        assert found.measure("fill") is None
        assert found.table_width_mm == pytest.approx(5.51)
        assert says(found)[0] == "Fits: squeezed by 18.7%."
        assert any("filling is not judged" in note for note in seal.notes(found))

    def test_a_gap_that_the_tables_do_not_allow_does_not_fit(self) -> None:
        found = gland(seal.size("210"), Groove(2.87, 4.6, inner_mm=19), "spigot", clearance_mm=0.25)
        assert (found.answer, found.worst.name) == ("does_not_fit", "clearance")
        assert "nibbled" in says(found)[1]

    def test_a_ring_that_was_only_measured_has_the_wider_range(self) -> None:
        groove = Groove(2.87, 4.6, inner_mm=19)
        thin = Ring(18.64, 3.53, 0.0, 0.0)
        exact, read = (gland(ring, groove, "spigot").measures[0].value for ring in (thin, seal.measured(18.64, 3.53)))
        assert read.width > exact.width

    def test_a_section_that_the_groove_tables_do_not_have_is_judged_by_the_others(self) -> None:
        found = gland(seal.measured(44.2, 3.0), Groove(2.25, 3.9, inner_mm=45), "face_outside")
        assert found.table_width_mm is None
        assert [one.source for one in found.measures[0].limits] == ["a seal guide", "collected design notes"]
        assert any("no ring of this thickness" in note for note in seal.notes(found))

    def test_measures_that_cannot_be_are_refused_by_name(self) -> None:
        ring = seal.size("210")
        with pytest.raises(Missing) as caught:
            gland(ring, Groove(2.87, 4.6), "spigot")
        assert caught.value.name == "inner_mm"
        with pytest.raises(Missing) as caught:
            gland(ring, Groove(2.87, 4.6), "bore")
        assert caught.value.name == "outer_mm"
        with pytest.raises(Contradiction, match="twice the width"):
            gland(ring, Groove(2.87, 4.6, inner_mm=19, outer_mm=24), "face_inside")
        with pytest.raises(Contradiction, match="do not slide"):
            gland(ring, Groove(2.87, 4.6, inner_mm=19), "face_outside", moving=True)
        with pytest.raises(OutOfRange, match="depth"):
            Groove(0.1, 4.6)
        with pytest.raises(OutOfRange, match="inner"):
            gland(ring, Groove(2.87, 4.6, outer_mm=4), "spigot")
        with pytest.raises(NotAChoice, match="spigot"):
            gland(ring, Groove(2.87, 4.6, inner_mm=19), "plug")  # type: ignore[arg-type]
        with pytest.raises(NotAChoice, match="backups"):
            gland(ring, Groove(2.87, 4.6, inner_mm=19), "spigot", backups=3)
        with pytest.raises(LookupError, match="no limit for twist"):
            seal.limits("twist", "spigot", moving=False)

    def test_either_diameter_tells_the_other(self) -> None:
        assert Groove(2.6, 4.6, inner_mm=43.5).wall_mm("face_inside") == pytest.approx(52.7)
        assert Groove(2.6, 4.6, outer_mm=52.7).wall_mm("face_outside") == pytest.approx(43.5)
        assert Groove(2.9, 4.6, inner_mm=19).wall_mm("bore") == pytest.approx(24.8)
        assert Groove(2.9, 4.6, outer_mm=24.8).wall_mm("spigot") == pytest.approx(19)


class TestMaterial:
    @pytest.mark.parametrize("material", seal.MATERIALS)
    @pytest.mark.parametrize("fluid", [*seal.FLUIDS, "HM", "HEES", "HFD", "HS"])
    def test_every_material_has_an_answer_for_every_fluid(self, material: str, fluid: str) -> None:
        found = seal.stands(material, fluid, 0, 60)
        assert found.answer in ("suits", "ask", "does_not")
        assert len(found.known) == 3
        assert all("{" not in said for said in (*says(found), *seal.notes(found)))
        assert (found.known[0].standing == "not known") == (not found.known[0].source)

    @given(st.sampled_from(seal.MATERIALS), st.floats(-60, 150), st.floats(0, 90), st.floats(0, 90))
    def test_a_narrower_span_never_answers_worse(self, material: str, cold: float, wide: float, less: float) -> None:
        weight = {"suits": 0, "ask": 1, "does_not": 2}
        wider = seal.stands(material, "HM", cold, min(cold + wide, 250))
        narrower = seal.stands(material, "HM", cold, min(cold + min(wide, less), 250))
        assert weight[narrower.answer] <= weight[wider.answer]

    def test_what_no_source_tells_is_to_be_asked(self) -> None:
        found = seal.stands("VMQ", "HFD", 0, 60)
        assert found.answer == "ask"
        assert says(found)[1] == "Nothing is known here of VMQ in a fluid of the family HFD."

    def test_between_two_sources_limits_it_is_asked_and_beyond_both_it_does_not(self) -> None:
        assert [seal.stands("NBR", "HM", -20, t_c).answer for t_c in (100, 101, 121, 122)] == [
            "suits",
            "ask",
            "ask",
            "does_not",
        ]
        assert [seal.stands("NBR", "HM", t_c, 60).answer for t_c in (-25, -26, -40, -41)] == [
            "suits",
            "ask",
            "ask",
            "does_not",
        ]

    def test_what_does_not_suit_says_why_in_the_readers_units(self) -> None:
        found = seal.stands("FKM", "HM", -40, 100)
        assert says(found, "us")[1] == "At -40 °F it is too stiff to seal: no source goes below -15 °F."

    def test_what_cannot_be_is_refused_by_name(self) -> None:
        with pytest.raises(NotAChoice, match="NBR"):
            seal.stands("RUBBER", "HM", 0, 60)
        with pytest.raises(NotAChoice, match="mineral"):
            seal.stands("NBR", "water", 0, 60)
        with pytest.raises(Contradiction, match="not be warmer"):
            seal.stands("NBR", "HM", 80, 60)
        with pytest.raises(OutOfRange, match="hottest"):
            seal.stands("NBR", "HM", 0, 400)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_result_is_told_without_a_gap(units: words.UnitSystem) -> None:
    found: list[seal.Found | seal.Gland] = [
        identify(18.64, 3.53),
        identify(132, 3.5),
        identify(44.2, 3.0),
        identify(132, 3.3, from_="old_ring"),
        identify(1.4, 1.3, from_="old_ring"),
        *(identify(from_="groove", groove=Groove(depth, 4.2, inner_mm=44)) for depth in (1.2, 2.3, 2.6, 3.2)),
        *(
            gland(seal.size("210"), Groove(depth, width, inner_mm=inner), kind)
            for depth in (2.0, 2.8, 3.4, 4.0)
            for width in (3.0, 4.6, 8.0)
            for inner in (17, 19, 21)
            for kind in seal.KINDS
        ),
    ]
    for one in found:
        said = [*says(one, units), *(seal.notes(one, units) if isinstance(one, seal.Gland) else ())]
        assert said
        for sentence in said:
            assert "{" not in sentence
            assert sentence[-1] == "."
            assert "-0." not in sentence


class TestAsked:
    """What the catalogue adds to the sums."""

    GROOVE: dict[str, object] = {"groove_kind": "spigot", "groove_depth_mm": 2.87, "groove_width_mm": 4.6}

    def test_a_ring_is_told_by_its_number_or_by_its_measures(self) -> None:
        told = self.GROOVE | {"groove_inner_mm": 19}
        by_name = catalogue.run("ring_gland", told | {"ring_name": "-210"})
        by_measure = catalogue.run("ring_gland", told | {"ring_inner_mm": 18.64, "ring_section_mm": 3.53})
        assert by_name.says == by_measure.says
        with pytest.raises(Missing) as caught:
            catalogue.run("ring_gland", told | {"ring_inner_mm": 18.64})
        assert caught.value.name == "ring_section_mm"

    def test_a_ring_that_measures_something_else_than_its_number_says_is_refused(self) -> None:
        told = self.GROOVE | {"groove_inner_mm": 19, "ring_name": "210"}
        assert catalogue.run("ring_gland", told | {"ring_inner_mm": 18.9, "ring_section_mm": 3.5}).says
        with pytest.raises(Contradiction, match=r"size 210 has 3\.53 mm") as caught:
            catalogue.run("ring_gland", told | {"ring_section_mm": 2.62})
        assert caught.value.name == "ring_section_mm"
        with pytest.raises(NotAChoice, match="102 to 178") as wrong:
            catalogue.run("ring_gland", told | {"ring_name": "P22"})
        assert wrong.value.name == "ring_name"

    @pytest.mark.parametrize("asked", ["ring_gland", "groove_ring"])
    def test_a_groove_is_refused_under_the_names_of_the_form(self, asked: str) -> None:
        told = self.GROOVE | ({"ring_name": "210"} if asked == "ring_gland" else {})
        with pytest.raises(Refused) as caught:
            catalogue.run(asked, told)
        assert caught.value.name == "groove_inner_mm"
        assert str(caught.value).startswith("groove inner is not known")
        with pytest.raises(Refused, match="twice the depth") as caught:
            catalogue.run(asked, told | {"groove_inner_mm": 19, "groove_outer_mm": 30})
        assert caught.value.name == "groove_outer_mm"

    def test_sizes_are_shown_to_a_hundredth(self) -> None:
        fields = {
            one.name: one.text
            for one in catalogue.run("ring_size", {"ring_inner_mm": 18.7, "ring_section_mm": 3.5}).fields
        }
        assert (fields["nominal_inner_mm"], fields["inner_off_mm"]) == ("18.64 mm", "0.06 mm")

    def test_an_unknown_ring_is_drawn_as_it_was_measured(self) -> None:
        drawn = catalogue.run("ring_size", {"ring_inner_mm": 44.2, "ring_section_mm": 3}).picture
        assert drawn is not None
        assert "44.20 mm inside" in drawn
        assert "Size" not in drawn

    def test_a_groove_that_no_ring_fits_is_not_drawn_with_one(self) -> None:
        found = catalogue.run(
            "groove_ring", self.GROOVE | {"groove_depth_mm": 2.6, "groove_width_mm": 4, "groove_inner_mm": 44}
        )
        assert found.fields[0].text == "not in this table"
        assert found.picture is None
