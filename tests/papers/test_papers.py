"""Papers are made from plain data; what is on them is read back by a general PDF library."""

from __future__ import annotations

import unicodedata
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageFont
from pypdf import PdfReader

from coldmark.bench import words
from coldmark.bench.pictures import glass
from coldmark.papers import data as paper
from coldmark.papers.letters import FONT, typeface
from coldmark.papers.render import pdf

ISSUED = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
BUSINESS = paper.Business("Lammer Field Service", ("3 Mill Row", "Ostwick"), "0100 555 010")
MACHINE = paper.MachineName("Digger 4", "Brannock B50", "B50-00412")


def report(**changes: object) -> paper.ReportPaper:
    values: dict[str, object] = {
        "business": BUSINESS,
        "number": "R-2026-0041",
        "day": "2 March 2026",
        "machine": MACHINE,
        "owner": "Hollin Quarry",
        "site": "Upper bench",
        "mechanic": "Mara Tull",
        "meter": "2013.4 h",
        "verdict": ("Yes, as far as was looked at.",),
        "findings": (paper.FindingLine("Chafed hose", "boom", "plan for it", advice="Replace it."),),
        "plan": (paper.PlanLine("Boom hose", "120 to 180", "600 to 900"),),
        "next": (paper.NextLine("Engine oil", "2250 h", "January"),),
        "glasses": (),
        "parts": (paper.PartLine("Return element", "RE-50", "1"),),
        "litres": (paper.LitreLine("In, VG 46", "2.4 L"),),
        "balance": ("Nothing is unexplained.",),
        "readings": (paper.ValueLine("Hour meter", "2013.4 h"),),
        "steps": (paper.StepLine("Vent the tank", "done"),),
        "reasons": (paper.ReasonLine("Sample", "no bottle here"),),
        "signature": paper.Signed(),
        "sheet": "Brannock B50",
    }
    return paper.ReportPaper(**(values | changes))  # type: ignore[arg-type]


def text_of(made: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(made)).pages)


def made(content: paper.ReportPaper, **more: object) -> bytes:
    return pdf("report", content, labels=words.labels("paper.report."), issued=ISSUED, **more)  # type: ignore[arg-type]


def test_the_report_answers_the_owners_questions_in_their_order() -> None:
    text = text_of(made(report()))
    questions = [
        words.sentence(f"paper.report.{key}") for key in ("all_right", "found", "money", "next", "parts", "reasons")
    ]
    places = [text.index(question) for question in questions]
    assert places == sorted(places)
    for value in ("Brannock B50", "B50-00412", "RE-50", "2.4 L", "no bottle here", "600 to 900"):
        assert value in text


def test_the_same_data_and_moment_give_the_same_bytes() -> None:
    assert made(report()) == made(report())


def test_the_report_is_tagged_and_names_its_language() -> None:
    catalog: Any = PdfReader(BytesIO(made(report()))).root_object
    assert catalog["/Lang"] == "en-GB"
    assert catalog["/MarkInfo"]["/Marked"]


@pytest.mark.parametrize("hostile", ["#panic()", '"quoted" \\ $x$ @ref <label> *bold*', "ä ß 漢字", "line\nline"])
def test_no_text_of_a_user_is_taken_for_markup(hostile: str) -> None:
    text = text_of(made(report(owner=hostile)))
    for word in hostile.split():
        if word.isascii():
            assert word in text


def test_a_report_with_nothing_in_it_still_says_so() -> None:
    text = text_of(made(report(findings=(), plan=(), next=(), parts=(), litres=(), readings=(), reasons=())))
    for key in ("nothing_found", "nothing_to_plan", "nothing_next", "not_signed"):
        assert words.sentence(f"paper.report.{key}") in text


def test_glasses_are_drawn_with_their_words() -> None:
    svg = glass(reading=0.4)
    content = report(glasses=(paper.GlassPicture("As found", svg, "oil at 0.40", ("At 0.40.",)),))
    assert "As found" in text_of(made(content))


def test_a_long_record_runs_over_pages_without_losing_a_line() -> None:
    steps = tuple(paper.StepLine(f"Step number {count}", "done") for count in range(120))
    text = text_of(made(report(steps=steps)))
    assert all(f"Step number {count}" in text for count in range(120))


@pytest.mark.parametrize("foreign", ["漢字", "🙂", "Дмитро", "e\u0301te\u0301", "a\u200db\x07c", "\ud7ff\uffff"])
def test_a_letter_that_the_typeface_lacks_does_not_stop_a_paper(foreign: str) -> None:
    assert "Hallbeck" in text_of(made(report(owner=f"{foreign} Hallbeck")))


def test_what_the_typeface_has_is_read_as_another_reader_of_fonts_has_it() -> None:
    # A second opinion from Pillow's FreeType: a letter that is lacking is drawn like any other one that is.
    face = ImageFont.truetype(str(FONT), 40, layout_engine=ImageFont.Layout.BASIC)
    lacking = bytes(face.getmask("\uffff"))
    for point in (*range(0x21, 0x7F), *range(0xA1, 0x250), *range(0x2010, 0x2040), 0x20AC, 0x2192, 0x6F22):
        drawn = bytes(face.getmask(chr(point)))
        assert (drawn != lacking) or point not in typeface() or unicodedata.category(chr(point)) in {"Cf", "Zs"}, point
        assert (point in typeface()) or drawn == lacking or not drawn, hex(point)


def a_jpeg(**saved: object) -> bytes:
    file = BytesIO()
    Image.new("RGB", (40, 30), (180, 90, 40)).save(file, "JPEG", **saved)
    return file.getvalue()


def pictures_in(made: bytes) -> int:
    return sum(len(page.images) for page in PdfReader(BytesIO(made)).pages)


def test_a_photo_that_cannot_be_drawn_is_left_out_and_the_others_stay() -> None:
    good = a_jpeg()
    frame = good.index(b"\xff\xc0")
    damaged = good[:2] + good[frame:]  # without the tables by which it is read
    finding = paper.FindingLine("Chafed hose", "boom", "plan for it", photos=("bad.jpg", "good.jpg"))
    paper_made = made(report(findings=(finding,)), pictures={"good.jpg": good, "bad.jpg": damaged})
    assert "Chafed hose" in text_of(paper_made)
    assert pictures_in(paper_made) == 1
    finding = paper.FindingLine("Chafed hose", "boom", "plan for it", photos=("bad.jpg",))
    assert pictures_in(made(report(findings=(finding,)), pictures={"bad.jpg": damaged})) == 0
