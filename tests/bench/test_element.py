"""Elements laid side by side: the eye first, the calliper in doubt, and nothing proven that nobody can see."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import catalogue, element, words
from coldmark.bench.element import (
    FEATURES,
    SIGHTS,
    UNSEEN,
    Element,
    Reject,
    Seen,
    compare,
    in_range,
    notes,
    rejects,
    says,
)
from coldmark.bench.element.model import tolerance_mm
from coldmark.bench.errors import Missing, NotAChoice, OutOfRange
from coldmark.bench.ledger import effective
from coldmark.bench.sheet import Part, read
from tests.bench.recorder import JOB, Recorder

SHEET_TEXT = (Path(__file__).parents[2] / "src/coldmark/demo/sheets/excavator_5t.toml").read_text(encoding="utf-8")
SHEET = read(SHEET_TEXT)
PART = SHEET.parts["return_element"]
SAME: dict[str, Seen] = dict.fromkeys(SIGHTS, "same")


def part(**changed: Any) -> Part:
    told = {
        "key": "return_element",
        "name": "return element",
        "kind": "element",
        "number": "MA-7310-22",
        "features": {"length_mm": 218.0},
        "holds_l": None,
        "serial_from": "",
        "serial_to": "",
        "origin": "sheet",
    }
    return Part(**(told | changed))


def answers(found: element.Comparison, feature: str) -> set[str]:
    return {one.answer for one in found.judged if one.feature == feature}


class TestSight:
    def test_what_looks_the_same_needs_no_calliper(self) -> None:
        found = compare(Element(), Element(), sight=SAME)
        assert (found.answer, found.measure) == ("fits", ())
        assert says(found)[0] == "Fits, as far as eye and calliper can tell."

    @pytest.mark.parametrize("name", SIGHTS)
    def test_one_difference_is_enough(self, name: str) -> None:
        found = compare(Element(), Element(), sight=SAME | {name: "different"})
        assert found.answer == "does_not_fit"
        assert "By sight different" in says(found)[1]

    @pytest.mark.parametrize("name", SIGHTS)
    def test_what_the_eye_is_not_sure_of_is_measured(self, name: str) -> None:
        found = compare(Element(), Element(), sight=SAME | {name: "in_doubt"})
        assert found.answer == "in_doubt"
        assert len(found.measure) == 1
        feature = found.measure[0]
        fits, short = (
            compare(
                Element(features={feature: new}), Element(features={feature: 50.0}), sight=SAME | {name: "in_doubt"}
            )
            for new in (50.0, 45.0)
        )
        assert (fits.answer, short.answer) == ("fits", "does_not_fit")

    def test_what_nobody_looked_at_is_asked_for_in_one_sentence(self) -> None:
        found = compare(Element(), Element(), sight={"length": "same", "seal": "same"})
        assert found.answer == "in_doubt"
        assert says(found)[1] == "Lay new and old side by side and look: upper end, lower end, spigot or opening."

    def test_a_length_is_settled_by_the_calliper_whatever_the_eye_says(self) -> None:
        new, old = Element(features={"length_mm": 218.4}), Element(features={"length_mm": 218.0})
        assert compare(new, old, sight=SAME | {"length": "different"}).answer == "fits"

    def test_a_seal_of_another_kind_stays_different_however_it_measures(self) -> None:
        both = Element(features={"section_mm": 3.0})
        assert compare(both, both, sight=SAME | {"seal": "different"}).answer == "does_not_fit"

    def test_measures_do_not_make_up_for_ends_that_nobody_looked_at(self) -> None:
        both = Element(features=dict.fromkeys(FEATURES, 40.0))
        found = compare(both, both)
        assert found.answer == "in_doubt"
        assert {one.feature for one in found.having("in_doubt")} == set(SIGHTS) - {"length"}


class TestMeasures:
    @given(st.sampled_from(FEATURES), st.floats(10, 500), st.floats(-5, 5))
    def test_within_its_tolerance_a_feature_fits_and_beyond_it_does_not(
        self, name: str, old: float, off: float
    ) -> None:
        found = compare(Element(features={name: old + off}), Element(features={name: old}), sight=SAME)
        apart = abs(old + off - old)
        assert (found.answer == "fits") == (apart <= tolerance_mm(name) + 1e-9)

    def test_the_sheet_goes_before_the_old_one_which_may_have_been_wrong(self) -> None:
        found = compare(
            Element(features={"length_mm": 218.3}), Element(features={"length_mm": 212.0}), PART, sight=SAME
        )
        assert found.answer == "fits"
        assert notes(found)[0] == (
            "The old one is not what it should be: length 212.00 mm instead of 218.00 mm. "
            "It may have been the wrong one."
        )

    def test_it_says_what_too_short_an_element_does(self) -> None:
        found = compare(Element(features={"length_mm": 212.0}), None, PART, sight=SAME)
        assert says(found)[1] == (
            "Smaller than it should be by 6.00 mm: length; 1.00 mm would pass. "
            "The spring would not press it home, and oil would pass its end."
        )
        assert "by 0.236 in" in says(found, "us")[1]

    def test_a_feature_of_a_name_of_its_own_has_a_tolerance_too(self) -> None:
        reference = part(features={"flange_mm": 60.0})
        assert compare(Element(features={"flange_mm": 60.4}), None, reference, sight=SAME).answer == "fits"
        found = compare(Element(features={"flange_mm": 61.0}), None, reference, sight=SAME)
        assert says(found)[1] == "Larger than it should be by 1.00 mm: flange; 0.50 mm would pass."

    def test_what_cannot_be_measured_is_refused_by_name(self) -> None:
        with pytest.raises(OutOfRange, match="length"):
            Element(features={"length_mm": 0})


class TestUnseen:
    def test_nothing_that_nobody_can_see_is_ever_proven(self) -> None:
        for reference in (None, PART, part(number="")):
            found = compare(Element("MA-7310-22"), Element(), reference, sight=SAME)
            for name in UNSEEN:
                assert answers(found, name) == {"unproven"}
            assert "Unproven" in says(found)[-1]

    def test_what_the_sheet_says_of_it_is_shown_in_the_readers_units(self) -> None:
        found = compare(Element(), Element(), PART, sight=SAME)
        assert "Bypass setting: the sheet says 1.50 bar, and nobody can see it." in notes(found)
        assert "Bypass setting: the sheet says 22 psi, and nobody can see it." in notes(found, "us")

    def test_a_number_or_a_ratio_without_a_unit_is_shown_as_it_is(self) -> None:
        found = compare(Element(), Element(), part(features={"beta": 200.0, "media": 3.0}), sight=SAME)
        assert any("Rating: the sheet says 200" in note for note in notes(found))

    def test_the_sheets_number_on_it_stands_for_what_nobody_sees(self) -> None:
        found = compare(Element("ma 7310/22"), Element(), PART, sight=SAME)
        assert answers(found, "number") == {"fits"}
        assert any("the right number on it stands for it" in note for note in notes(found))

    def test_another_number_is_to_be_asked_about_and_one_that_was_not_read_is_to_be_read(self) -> None:
        other = compare(Element("ZZ-1"), Element(), PART, sight=SAME)
        assert other.answer == "fits"
        assert (
            "It carries ZZ-1, and MA-7310-22 is asked for: find out whether the one takes the other's place."
            in notes(other)
        )
        unread = compare(Element(), Element(), PART, sight=SAME)
        assert "Read the number on it: MA-7310-22 is asked for." in notes(unread)


class TestUpsideDown:
    @pytest.mark.parametrize(
        ("ends", "upper", "lower", "said"),
        [
            ("alike", None, None, "either_way"),
            ("differ", None, None, "one_way"),
            ("not_looked", None, None, "unproven"),
            ("alike", 48.0, 48.2, "either_way"),
            ("alike", 48.0, 44.0, "mistakable"),
            ("differ", 48.0, 44.0, "one_way"),
            ("differ", 48.0, 48.1, "mistakable"),
            ("not_looked", 48.0, 44.0, "one_way"),
            ("not_looked", 48.0, 48.0, "unproven"),
        ],
    )
    def test_which_way_up(self, ends: element.Ends, upper: float | None, lower: float | None, said: str) -> None:
        measured = {} if upper is None or lower is None else {"upper_mm": upper, "lower_mm": lower}
        found = compare(Element(features=measured), Element(), sight=SAME, ends=ends)
        assert found.upside_down == said
        assert words.sentence(f"element.upside_down.{said}") in says(found)


class TestSerials:
    def test_a_part_for_other_serials_does_not_fit(self) -> None:
        reference = part(serial_from="KT1001", serial_to="KT1999")
        inside, outside = (
            compare(Element(), Element(), reference, sight=SAME, serial=one) for one in ("KT 1500", "KT2000")
        )
        assert (inside.answer, outside.answer) == ("fits", "does_not_fit")
        assert says(outside)[1] == (
            "The sheet's part is for serials KT1001 to KT1999, and this machine is KT2000: "
            "look for the part of its own range."
        )

    def test_a_serial_that_cannot_be_compared_or_was_not_read_stays_unproven(self) -> None:
        reference = part(serial_from="KT1001")
        for serial in ("", "B7", "1500"):
            found = compare(Element(), Element(), reference, sight=SAME, serial=serial)
            assert found.answer == "fits"
            assert answers(found, "serial") == {"unproven"}

    def test_a_part_for_all_serials_says_nothing_of_them(self) -> None:
        assert answers(compare(Element(), Element(), part(), sight=SAME, serial="KT1"), "serial") == set()

    @given(st.integers(0, 99999), st.integers(0, 99999), st.integers(0, 99999))
    def test_serials_are_compared_as_numbers(self, one: int, first: int, last: int) -> None:
        assert in_range(f"A{one}", f"A{first}", f"A{last:08}") is (first <= one <= last)
        assert in_range(f"A-{one}", f"a {first}", "") is (first <= one)
        assert in_range(f"A{one}", "", f"A{last}") is (one <= last)
        assert in_range(f"A{one}", f"B{first}", "") is None

    def test_a_serial_with_two_numbers_goes_by_the_first_and_then_the_second(self) -> None:
        assert in_range("K2-50", "K1-900", "K2-60") is True
        assert in_range("K2-61", "K1-900", "K2-60") is False
        assert in_range("K2", "K1-900", "") is None


class TestRemembered:
    def test_a_part_found_wrong_before_does_not_fit_whatever_it_looks_like(self) -> None:
        earlier = Reject("MA-7310.22", "return.element", "2026-03-02")
        found = compare(Element("ma7310 22"), Element(), PART, sight=SAME, rejects=[earlier])
        assert found.answer == "does_not_fit"
        assert says(found)[1] == (
            "ma7310 22 was found to be the wrong part on this machine before (return.element, 2026-03-02)."
        )
        assert compare(Element("other"), Element(), PART, sight=SAME, rejects=[earlier]).answer == "fits"
        assert compare(Element(), Element(), PART, sight=SAME, rejects=[Reject("", "x", "")]).answer == "fits"

    def _fitted(self, record: Recorder, at: str, number: str | None, place: str = "return.element") -> None:
        body: dict[str, Any] = {"place": place, "count": 1, "fresh": True, "part": "return_element"}
        record("part_in", at, body | ({} if number is None else {"number": number}), job=JOB)

    def _found(self, record: Recorder, at: str, about: str) -> Any:
        body = {"about": about, "what": "wrong_part", "urgency": "before_next_work"}
        return record("finding", at, body)

    @pytest.mark.parametrize("about", ["return", "return.element", "return_element"])
    def test_it_is_read_from_the_facts_by_place_housing_or_part(self, about: str) -> None:
        record = Recorder()
        self._fitted(record, "2026-03-02", "ZZ-1")
        self._fitted(record, "2026-03-02", "QQ-9", "pilot.element")
        self._found(record, "2026-04-01", about)
        found = rejects(effective(record.made))
        assert Reject("ZZ-1", "return.element", "2026-04-01") in found
        assert (about == "return_element") == (len(found) == 2)

    def test_a_part_that_was_refused_is_remembered_with_what_was_wrong_with_it(self) -> None:
        record = Recorder()
        told = {"place": "return.element", "number": "ZZ-1", "why": "too_long"}
        record("part_refused", "2026-03-02", told)
        record("part_refused", "2026-05-02", told | {"number": "zz 1", "why": "too_short"})
        record("part_refused", "2026-05-02", told | {"place": "pilot.element"})
        found = rejects(effective(record.made))
        assert found == (
            Reject("zz 1", "return.element", "2026-05-02", "too_short"),
            Reject("ZZ-1", "pilot.element", "2026-05-02", "too_long"),
        )
        compared = compare(Element("ZZ.1"), Element(), PART, sight=SAME, rejects=found)
        assert compared.answer == "does_not_fit"
        assert says(compared)[1] == ("ZZ.1 was refused on this machine before (return.element, 2026-05-02): too short.")

    def test_of_a_part_named_without_a_day_no_day_is_said(self) -> None:
        compared = compare(Element("ZZ-1"), Element(), PART, sight=SAME, rejects=[Reject("ZZ-1", "earlier", "")])
        assert says(compared)[1] == "ZZ-1 was found to be the wrong part on this machine before (earlier)."

    def test_a_finding_before_anything_was_fitted_names_no_part(self) -> None:
        record = Recorder()
        self._found(record, "2026-03-01", "return.element")
        self._fitted(record, "2026-03-02", "ZZ-1")
        assert rejects(effective(record.made)) == ()

    def test_the_sheets_own_part_has_taken_the_place_of_the_wrong_one(self) -> None:
        record = Recorder()
        self._fitted(record, "2026-03-02", "ZZ-1")
        self._fitted(record, "2026-03-03", None)
        self._found(record, "2026-04-01", "return.element")
        assert rejects(effective(record.made)) == ()

    def test_a_finding_that_was_withdrawn_is_forgotten(self) -> None:
        record = Recorder()
        self._fitted(record, "2026-03-02", "ZZ-1")
        wrong = self._found(record, "2026-04-01", "return.element")
        record("correction", "2026-04-02", {"of": wrong.id, "action": "withdraw", "reason": "undo"})
        assert rejects(effective(record.made)) == ()


def test_there_must_be_something_to_compare_it_with() -> None:
    with pytest.raises(Missing) as caught:
        compare(Element(features={"length_mm": 218}))
    assert caught.value.name == "old"
    with pytest.raises(NotAChoice, match="upper_end"):
        compare(Element(), Element(), sight={"colour": "same"})
    with pytest.raises(NotAChoice, match="in_doubt"):
        compare(Element(), Element(), sight={"length": "yes"})  # type: ignore[dict-item]
    with pytest.raises(NotAChoice, match="alike"):
        compare(Element(), Element(), sight=SAME, ends="round")  # type: ignore[arg-type]


@given(
    st.fixed_dictionaries({name: st.sampled_from(element.SEEN) for name in SIGHTS}),
    st.dictionaries(st.sampled_from(FEATURES), st.floats(1, 300)),
    st.dictionaries(st.sampled_from(FEATURES), st.floats(1, 300)),
    st.sampled_from(element.ENDS),
    st.sampled_from(["metric", "us"]),
)
def test_every_comparison_is_told_without_a_gap_the_verdict_first(
    sight: dict[str, Seen], new: dict[str, float], old: dict[str, float], ends: element.Ends, units: words.UnitSystem
) -> None:
    found = compare(Element(features=new), Element(features=old), PART, sight=sight, ends=ends, serial="X1")
    said = says(found, units)
    assert said[0] == words.sentence(f"element.answer.{found.answer}")
    assert all("{" not in sentence and sentence[-1] in ".?" for sentence in (*said, *notes(found, units)))
    assert (found.answer == "does_not_fit") == bool(found.having("does_not_fit"))
    assert found.answer != "fits" or not found.having("in_doubt")


class TestAsked:
    """What the catalogue adds to the comparison."""

    TOLD: dict[str, object] = {"ends": "alike", **{f"seen_{name}": "same" for name in SIGHTS}}

    def test_a_part_of_a_sheet_is_the_reference(self) -> None:
        told = self.TOLD | {"sheet": SHEET_TEXT, "part": "return_element"}
        rows = [["part_length", "212"], ["part_outside", "95.6"]]
        found = catalogue.run("element_right", told | {"features": rows})
        assert "by 6.00 mm: length" in found.says[1]
        assert any("the sheet says 1.50 bar" in note for note in found.notes)
        with pytest.raises(Missing, match="part"):
            catalogue.run("element_right", self.TOLD | {"sheet": SHEET_TEXT})
        with pytest.raises(NotAChoice, match="return_element") as caught:
            catalogue.run("element_right", told | {"part": "cover"})
        assert caught.value.name == "part"

    def test_a_list_of_its_own_goes_before_the_sheet(self) -> None:
        told = self.TOLD | {"sheet": SHEET_TEXT, "part": "return_element"}
        found = catalogue.run("element_right", told | {"features": [["part_length", "212", "", "212"]]})
        assert found.fields[0].value == "fits"

    def test_numbers_found_wrong_before_are_told_apart_by_commas(self) -> None:
        found = catalogue.run("element_right", self.TOLD | {"number": "ZZ 1", "refused": "QQ-9, ZZ-1"})
        assert found.fields[0].value == "does_not_fit"
        assert "wrong part on this machine before" in found.says[1]
