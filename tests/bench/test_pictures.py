"""Drawings: well-formed, named, without style or script, true to what they show, and fit for paper."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Literal

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import cleanliness, evidence, joint, pictures, wear
from coldmark.bench.errors import Contradiction, OutOfRange
from coldmark.bench.hose import SEATS, SEXES
from coldmark.bench.oil import Oil, choose, window
from coldmark.bench.oilhistory import changes_until
from coldmark.bench.pictures import DueRow, TrayItem, svg
from coldmark.bench.pictures.excavator import _boom_angle, _front
from coldmark.bench.pictures.glass import BOTTOM_Y, LOWER_Y, TOP_Y, UPPER_Y, height_of
from coldmark.bench.pictures.rods import GROUND, HEIGHT, WIDTH
from coldmark.bench.timings import Timed, trend
from coldmark.bench.working import Range

NASTY = "<script>alert('x')</script> & \"quoted\""
SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(__file__).parents[2] / "src" / "coldmark" / "papers" / "fonts"
FIRST = date(2026, 2, 23)
SAMPLES = [wear.Sample(0, 4), wear.Sample(250, 9.5), wear.Sample(500, 15)]
NOTHING = [wear.Sample(0, 0), wear.Sample(250, 0)]
OIL = Oil("Valley 46", 46, viscosity_index=100)
DRIFTS = trend([Timed("drift", watched_min=10, moved_mm=one, hours=100 * one) for one in (5, 9, 30)])
PARTS = ("cover", "spring", "valve", "seal", "element", "strainer", "bowl", "plate", "breather", "other")

DRAWN: dict[str, Callable[[], str]] = {
    "glass": lambda: pictures.glass(0.35, cold_mark=0.72, hot=0.93),
    "glass below": lambda: pictures.glass("below", hot="below"),
    "glass above": lambda: pictures.glass("above", hot="above"),
    "glass unread": lambda: pictures.glass(None, title=NASTY),
    "bullseye": lambda: pictures.glass(0.5, cold_mark=0.6, kind="bullseye"),
    "dipstick": lambda: pictures.glass(0.5, hot=0.6, kind="dipstick"),
    "tray": lambda: pictures.tray([TrayItem(NASTY, "cover"), TrayItem("Ring", "seal", 2, True)]),
    "tray back": lambda: pictures.tray([TrayItem(f"Part {kind}", kind) for kind in PARTS], reverse=True),
    "tray empty": lambda: pictures.tray([]),
    "oil window": lambda: pictures.oil_window(OIL),
    "oil window us": lambda: pictures.oil_window(Oil(NASTY, 32, viscosity_index=150, pour_c=-39), units="us"),
    "oil choice": lambda: pictures.oil_choice(choose(coldest_c=-15, hottest_c=75)),
    "oil choice us": lambda: pictures.oil_choice(
        choose([OIL, Oil(NASTY, 32, viscosity_index=150, pour_c=-10)], coldest_c=-15, hottest_c=75), units="us"
    ),
    "oil left": lambda: pictures.oil_left(changes_until(1.0, 0.02, 48, 78), 1.0, 0.02),
    "oil left, many": lambda: pictures.oil_left(changes_until(1.0, 0.001, 10, 78), 1.0, 0.001),
    "code": lambda: pictures.code_ladder(cleanliness.parse("20/16/≥7"), cleanliness.parse("18/16/13")),
    "code not counted": lambda: pictures.code_ladder(cleanliness.parse("*/–/0")),
    "code wanted": lambda: pictures.code_ladder(None, cleanliness.parse(">28/16/13")),
    "metal": lambda: pictures.metal_course(SAMPLES, wear.fill(SAMPLES, 120)),
    "metal standing still": lambda: pictures.metal_course(NOTHING, wear.fill(NOTHING, 120), units="us"),
    "causes": lambda: pictures.causes(evidence.rank({"bronze_flakes": "seen", "gearbox_rises": "seen"}).raised),
    "all causes": lambda: pictures.causes(evidence.rank({}).causes),
    "bolts": lambda: pictures.bolt_order(joint.sequence(6).tighten, sprung=True),
    "one bolt": lambda: pictures.bolt_order([1]),
    "bolt measured": lambda: pictures.bolt_measures(17, names=(NASTY, "M12")),
    "bolt measured us": lambda: pictures.bolt_measures(12.7, diameter_mm=7.9, pitch_mm=1.41, units="us"),
    "torque": lambda: pictures.torque_range(36.3, worked_out=Range(48.3, 36.3, 58.8)),
    "torque of the sheet": lambda: pictures.torque_range(24, worked_out=Range(24, 18, 30), sheet=Range(24, 22, 26)),
    "torque of the sheet alone": lambda: pictures.torque_range(24, sheet=Range(24, 24, 24), units="us"),
    "hose end": lambda: pictures.hose_end(19, "male", seat="flare_37", name=NASTY),
    "hose end unseen": lambda: pictures.hose_end(19, "male", units="us"),
    **{
        f"hose end {sex} {seat}": (lambda sex=sex, seat=seat: pictures.hose_end(17, sex, seat=seat))  # type: ignore[misc]
        for sex in SEXES
        for seat in SEATS
    },
    "ring": lambda: pictures.ring(18.64, 3.53, size="210"),
    "ring that has no number": lambda: pictures.ring(658.88, 5.33, size=NASTY, units="us"),
    **{
        f"ring in a groove, {kind}": (lambda kind=kind: pictures.ring_in_groove(3.53, 2.6, 4.6, kind))  # type: ignore[misc]
        for kind in ("face_inside", "face_outside", "spigot", "bore")
    },
    "ring too thick for its groove": lambda: pictures.ring_in_groove(5.33, 2.0, 4.0, "face_outside", units="us"),
    "ring that does not touch": lambda: pictures.ring_in_groove(1.02, 8.0, 20.0, "bore"),
    "timing trend": lambda: pictures.timing_trend(DRIFTS.points, "drift", most=4, units="us"),
    "timing once": lambda: pictures.timing_trend(DRIFTS.points[:1], "drift"),
    "strip": lambda: pictures.due_strip([DueRow(NASTY, NASTY, FIRST, FIRST, None)], FIRST, 8),
    "strip's windows": lambda: pictures.due_strip([DueRow(NASTY, "", FIRST, FIRST, None)], FIRST, 8, what="windows"),
    "strip's weeks": lambda: pictures.due_strip([], FIRST, 8, what="weeks"),
    "strip empty": lambda: pictures.due_strip([], FIRST, 8),
    "excavator": lambda: pictures.silhouette("excavator", {"boom": 0.3, "arm": 0, "bucket": 1}, title=NASTY),
    "track loader": lambda: pictures.silhouette("track_loader", {"lift": 0.5, "tilt": 0.5}),
    "telehandler": lambda: pictures.silhouette("telehandler", {"lift": 0.5, "telescope": 1}),
    "wheel loader": lambda: pictures.silhouette("wheel_loader", {}),
    "dumper": lambda: pictures.silhouette("dumper", {"tip": 1}),
    **{f"part {kind}": (lambda kind=kind: pictures.part(kind, title=NASTY)) for kind in PARTS},  # type: ignore[misc]
}
every = pytest.mark.parametrize("name", DRAWN)


def parsed(text: str) -> ET.Element:
    return ET.fromstring(text)


def moved_to(drawn: str, part: str) -> float:
    found = re.search(rf'data-part="{part}" transform="translate\(0 ([-0-9.]+)\)"', drawn)
    assert found, part
    return float(found[1])


class TestEveryDrawing:
    @every
    def test_it_is_well_formed_named_and_described(self, name: str) -> None:
        root = parsed(DRAWN[name]())
        title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert (root.tag, root.get("role")) == (f"{SVG}svg", "img")
        assert title is not None
        assert desc is not None
        assert title.text
        assert desc.text
        assert root.get("aria-labelledby") == title.get("id")
        assert root.get("aria-describedby") == desc.get("id")

    @every
    def test_it_carries_no_style_script_or_link(self, name: str) -> None:
        for element in parsed(DRAWN[name]()).iter():
            assert element.tag.removeprefix(SVG) not in {"style", "script", "a", "image", "use", "foreignObject"}
            for attribute, value in element.attrib.items():
                assert attribute not in {"style", "href", "src"}
                assert not attribute.startswith("on")
                assert "://" not in value or attribute == "xmlns"

    @every
    def test_every_reference_inside_it_leads_somewhere(self, name: str) -> None:
        drawn = DRAWN[name]()
        root = parsed(drawn)
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids))
        assert set(re.findall(r"url\(#([^)]+)\)", drawn)) <= set(ids)
        assert "@id@" not in drawn

    @every
    def test_it_holds_no_number_that_is_none(self, name: str) -> None:
        assert not re.search(r'="[^"]*\b(nan|inf|None)\b', DRAWN[name]())

    @every
    def test_it_is_the_same_each_time(self, name: str) -> None:
        assert DRAWN[name]() == DRAWN[name]()

    def test_two_different_ones_on_a_page_do_not_share_names(self) -> None:
        first, second = (set(re.findall(r' id="([^"]+)"', pictures.glass(level))) for level in (0.2, 0.4))
        assert first.isdisjoint(second)

    @pytest.mark.slow
    def test_papers_can_set_them(self) -> None:
        names = list(DRAWN)
        source = "#let d = json(bytes(sys.inputs.d))\n#for s in d { image(bytes(s), height: 4cm) }"
        drawn = [DRAWN[name]() for name in names]
        inputs = {"d": json.dumps(drawn)}
        made: bytes = typst.compile(source.encode(), sys_inputs=inputs, font_paths=[str(FONTS)])  # type: ignore[misc]
        assert made[:5] == b"%PDF-"


class TestTheBuilder:
    def test_text_is_escaped(self) -> None:
        assert svg.text(0, 0, NASTY).count("<") == 2

    @given(st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co")), min_size=1))
    def test_any_name_comes_out_as_it_went_in(self, name: str) -> None:
        root = parsed(svg.drawing(1, 1, f"x{name}", name, class_="c"))
        assert [element.text for element in root] == [f"x{name}", name]

    @pytest.mark.parametrize("attribute", ["style", "onclick", "href", "onload"])
    def test_style_script_and_links_are_refused(self, attribute: str) -> None:
        with pytest.raises(Contradiction, match=attribute):
            svg.tag("rect", **{attribute: "x"})

    def test_a_drawing_without_a_title_is_refused(self) -> None:
        with pytest.raises(Contradiction, match="title"):
            svg.drawing(1, 1, " ", "says", class_="c")


class TestTheGlass:
    @given(st.floats(-0.3, 1.3), st.floats(-0.3, 1.3))
    def test_more_oil_stands_higher(self, one: float, other: float) -> None:
        low, high = sorted([one, other])
        assert height_of(high) <= height_of(low)

    def test_the_marks_are_where_the_root_says(self) -> None:
        drawn = pictures.glass(0.0)
        root = parsed(drawn)
        assert float(root.get("data-lower-y", "")) == moved_to(drawn, "lower") == LOWER_Y == moved_to(drawn, "oil")
        assert float(root.get("data-upper-y", "")) == moved_to(drawn, "upper") == UPPER_Y
        assert float(root.get("data-top-y", "")) == TOP_Y < UPPER_Y < LOWER_Y < BOTTOM_Y

    def test_nothing_to_be_seen_is_an_empty_glass_and_too_much_a_full_one(self) -> None:
        assert moved_to(pictures.glass("below"), "oil") > BOTTOM_Y
        assert moved_to(pictures.glass("above"), "oil") < TOP_Y

    def test_cold_mark_and_ghost_are_drawn_only_when_known(self) -> None:
        assert 'data-part="cold"' not in pictures.glass(0.5)
        assert 'data-part="ghost"' not in pictures.glass(0.5)
        assert moved_to(pictures.glass(0.5, cold_mark=1.0), "cold") == UPPER_Y
        assert moved_to(pictures.glass(0.5, hot=0.0), "ghost") == LOWER_Y

    def test_labels_that_would_cover_each_other_move_apart(self) -> None:
        drawn = pictures.glass(0.5, cold_mark=0.7, hot=0.71)
        ys = []
        for part in ("cold", "ghost"):
            group = re.search(rf'data-part="{part}".*?<text x="[^"]+" y="([-0-9.]+)"', drawn)
            assert group
            ys.append(moved_to(drawn, part) + float(group[1]))
        assert abs(ys[0] - ys[1]) >= 20

    def test_it_says_in_words_what_it_shows(self) -> None:
        said = parsed(pictures.glass(0.35, cold_mark=0.72, hot=0.93)).findtext(f"{SVG}desc")
        assert said == (
            "The oil stands 35% of the way from the lower to the upper mark. "
            "The cold mark is at 72%: fill to here now. Hot, the oil will stand at 93%."
        )


shares = st.floats(0, 1)


class TestMachines:
    @given(shares, shares, shares)
    def test_a_longer_boom_rod_raises_the_boom(self, one: float, other: float, arm: float) -> None:
        # common practice, no source
        low, high = sorted([one, other])
        assert _boom_angle(low) <= _boom_angle(high)

    @given(shares, shares, shares)
    def test_a_longer_arm_rod_folds_the_arm_in(self, one: float, other: float, bucket: float) -> None:
        # common practice, no source: arm out is rod in
        low, high = sorted([one, other])
        assert _front(0.4, high, bucket).arm_angle <= _front(0.4, low, bucket).arm_angle

    def test_a_longer_bucket_rod_curls_the_bucket(self) -> None:
        # common practice, no source: curled, the teeth are nearer to the cab
        teeth = [min(x for x, _ in _front(0.4, 0.5, share).bucket) for share in (0.0, 0.5, 1.0)]
        assert teeth[2] < teeth[1] < teeth[0]

    @given(shares, shares, shares, shares)
    def test_nothing_is_drawn_under_the_ground_or_off_the_picture(
        self, boom: float, arm: float, bucket: float, blade: float
    ) -> None:
        drawn = pictures.silhouette("excavator", {"boom": boom, "arm": arm, "bucket": bucket, "blade": blade})
        for points in re.findall(r'class="body (?:bucket|arm|boom)"|points="([^"]+)"', drawn):
            for pair in points.split():
                x, y = map(float, pair.split(","))
                assert -1 <= x <= WIDTH + 1
                assert -12 <= y <= GROUND + 3 < HEIGHT

    @pytest.mark.parametrize(
        ("kind", "rod"),
        [
            ("excavator", "boom"), ("excavator", "arm"), ("excavator", "bucket"), ("excavator", "blade"),
            ("track_loader", "lift"), ("track_loader", "tilt"), ("telehandler", "lift"), ("telehandler", "telescope"),
            ("telehandler", "tilt"), ("wheel_loader", "lift"), ("dumper", "tip"),
        ],
    )  # fmt: skip
    def test_each_rod_changes_the_picture(self, kind: str, rod: str) -> None:
        quarters = (0.0, 0.25, 0.5, 0.75, 1.0)
        drawn = {pictures.silhouette(kind, {rod: share}, rod=rod) for share in quarters}  # type: ignore[arg-type]
        assert len(drawn) == len(quarters)

    def test_a_rod_that_is_not_known_changes_nothing_but_is_not_refused(self) -> None:
        assert pictures.silhouette("excavator", {"swing": 1.0}) == pictures.silhouette("excavator", {})


class TestTheTray:
    def test_going_back_the_numbers_run_the_other_way_and_the_parts_lie_as_before(self) -> None:
        items = [TrayItem("Cover", "cover"), TrayItem("Spring", "spring"), TrayItem("Element", "element", renew=True)]
        out, back = pictures.tray(items), pictures.tray(items, reverse=True)
        names = re.findall(r'class="tray-name">([^<]+)', out)
        assert names == re.findall(r'class="tray-name">([^<]+)', back) == ["Cover", "Spring", "Element"]
        assert re.findall(r'class="tray-digit">(\d)', out) == ["1", "2", "3"]
        assert re.findall(r'class="tray-digit">(\d)', back) == ["3", "2", "1"]
        assert parsed(back).findtext(f"{SVG}desc") == "As they go back: Element, Spring, Cover."


class TestTheBolts:
    @given(st.integers(1, joint.MOST))
    def test_each_bolt_is_drawn_with_its_turn(self, count: int) -> None:
        drawn = pictures.bolt_order(joint.sequence(count).tighten)
        turns = [int(turn) for turn in re.findall(r'class="bolt-(?:lead-)?digit">(\d+)', drawn)]
        assert sorted(turns) == list(range(1, count + 1))

    @pytest.mark.parametrize("order", [[], [1, 1], [1, 3], [0, 1]])
    def test_an_order_that_is_none_is_refused(self, order: list[int]) -> None:
        with pytest.raises(Contradiction, match="every bolt"):
            pictures.bolt_order(order)


class TestTheOilWindow:
    def test_the_best_range_is_drawn_where_the_window_has_it(self) -> None:
        drawn = pictures.oil_window(OIL)
        found = window(OIL)
        labels = re.findall(r'class="edge-label">([^<]+)', drawn)
        assert labels == [
            f"{edge.t_c:.0f} °C"
            for edge in (found.start, found.work_from, found.best_from, found.best_to, found.work_to)
        ]

    def test_the_line_falls(self) -> None:
        line = re.search(r'<polyline points="([^"]+)"[^>]*class="oil-line"', pictures.oil_window(OIL))
        assert line
        points = [tuple(map(float, pair.split(","))) for pair in line[1].split()]
        assert points == sorted(points)
        assert [y for _, y in points] == sorted(y for _, y in points)


class TestTheOilsForAPlace:
    def test_each_oil_is_named_with_its_verdict_and_the_fitting_ones_are_bold(self) -> None:
        found = choose(coldest_c=-15, hottest_c=75)
        drawn = pictures.oil_choice(found)
        words = re.findall(r'<text[^>]*?(font-weight="700" )?[^>]*class="band-name"[^>]*>([^<]+)<', drawn)
        names = [text for _, text in words]
        assert names[: 2 * 8 : 2] == [one.oil.name for one in found.candidates]
        assert names[1 : 2 * 8 : 2] == [
            "too thin", "too thin", "too stiff and too thin", "fits", "too stiff", "too stiff", "too stiff", "too stiff"
        ]  # fmt: skip

    def test_a_best_range_stands_further_right_for_a_thicker_oil(self) -> None:
        drawn = pictures.oil_choice(choose(coldest_c=-15, hottest_c=75))
        bars = re.findall(r'<rect x="([0-9.]+)" y="([0-9.]+)"[^>]*class="band band-best"', drawn)[:8]
        assert [float(x) for x, _ in bars[::2]] == sorted(float(x) for x, _ in bars[::2])


class TestTheOilThatIsLeft:
    def test_a_bar_shrinks_with_each_change_and_the_last_one_is_enough(self) -> None:
        changes = changes_until(1.0, 0.02, 48, 78)
        drawn = pictures.oil_left(changes, 1.0, 0.02)
        widths = [float(width) for width in re.findall(r'width="([0-9.]+)" height="20"[^>]*class="band-best"', drawn)]
        assert len(widths) == 6
        assert widths == sorted(widths, reverse=True)
        assert drawn.count("enough") == 1


class TestTheStrip:
    def window_of(self, row: DueRow, what: Literal["all", "windows"] = "all") -> tuple[float, float] | None:
        drawn = pictures.due_strip([row], FIRST, 10, width=360, what=what)
        found = re.search(r'<rect x="([0-9.]+)" y="[0-9.]+" width="([0-9.]+)"[^>]*class="due-window"', drawn)
        return (float(found[1]), float(found[1]) + float(found[2])) if found else None

    def test_a_window_spans_its_days(self) -> None:
        span = self.window_of(DueRow("T", "", date(2026, 3, 2), date(2026, 3, 12), date(2026, 3, 30)))
        assert span is not None
        day = 340 / 70
        assert span == pytest.approx((10 + 7 * day, 10 + 35 * day), abs=0.02)

    def test_its_parts_stand_on_the_same_days_as_the_whole(self) -> None:
        row = DueRow("T", "soon", date(2026, 3, 2), date(2026, 3, 12), date(2026, 3, 30))
        whole = pictures.due_strip([row], FIRST, 10)
        windows = pictures.due_strip([row], FIRST, 10, what="windows")
        weeks = pictures.due_strip([], FIRST, 10, what="weeks")
        rules = [re.findall(r'<line x1="([0-9.]+)"[^>]*class="week"', drawn) for drawn in (whole, windows, weeks)]
        assert rules[0] == rules[1] == rules[2] != []
        assert "<text" not in windows
        assert self.window_of(row) == self.window_of(row, "windows")

    def test_a_long_strip_is_ruled_by_months(self) -> None:
        drawn = pictures.due_strip([], date(2026, 1, 15), 52, what="weeks")
        assert drawn.count('class="week"') == 12
        labels = re.findall(r'class="week-label"[^>]*>([^<]+)<', drawn)
        assert labels[0] == "Feb"
        assert not any(label[0].isdigit() for label in labels)

    def test_one_without_an_end_fades_out_at_the_strips_end(self) -> None:
        span = self.window_of(DueRow("T", "", date(2026, 3, 2), date(2026, 3, 12), None))
        assert span is not None
        assert span[1] == pytest.approx(350)

    def test_one_behind_the_last_week_is_an_arrow_and_one_without_a_day_a_dotted_line(self) -> None:
        later = pictures.due_strip([DueRow("T", "", date(2027, 3, 2), date(2027, 3, 12), None)], FIRST, 10)
        never = pictures.due_strip([DueRow("T", "", None, None, None)], FIRST, 10)
        assert 'class="due-later"' in later
        assert 'class="due-unknown"' in never
        assert "due-window" not in later + never
        assert "no day known" in never

    def test_one_that_is_past_points_back(self) -> None:
        past = pictures.due_strip([DueRow("T", "", date(2026, 1, 2), date(2026, 1, 12), date(2026, 1, 20))], FIRST, 10)
        assert 'class="due-past"' in past

    def test_days_out_of_order_are_refused(self) -> None:
        with pytest.raises(Contradiction, match="early, likely and late"):
            DueRow("T", "", date(2026, 3, 2), date(2026, 3, 1), None)

    @pytest.mark.parametrize("weeks", [0, 105])
    def test_weeks_that_no_strip_can_show_are_refused(self, weeks: int) -> None:
        with pytest.raises(OutOfRange, match="weeks"):
            pictures.due_strip([], FIRST, weeks)
