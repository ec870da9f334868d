"""``coldmark due``, ``kit``, ``card`` and ``report``: the same as the pages say, in a terminal or as JSON."""

from __future__ import annotations

import io
import json
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone
from pypdf import PdfReader

from coldmark import cli
from coldmark.records import queries, services
from coldmark.records.models import Document
from coldmark.records.services import MachineData, VisitData, VisitPart
from tests.records.house import House
from tests.records.jobs import Work, close, do_all


class Terminal:
    """Runs commands and hands back what they printed."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def says(self, *arguments: str, code: int = 0) -> str:
        """What a command printed that ended with this code."""
        assert cli.run(list(arguments)) == code
        said = self._capsys.readouterr()
        assert said.err == ""
        return said.out

    def json(self, *arguments: str, code: int = 0) -> Any:
        """What a command printed as JSON."""
        return json.loads(self.says(*arguments, "--json", code=code))

    def refuses(self, *arguments: str, code: int = 1) -> str:
        """Why a command was refused."""
        assert cli.run(list(arguments)) == code
        said = self._capsys.readouterr()
        assert said.out == ""
        return said.err


@pytest.fixture
def terminal(capsys: pytest.CaptureFixture[str]) -> Terminal:
    return Terminal(capsys)


def text_of(file: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(file.read_bytes())).pages)


@pytest.fixture
def used(house: House) -> House:
    """A house whose machine works about three hours a day."""
    house.phone.send(*(house.phone.meter(400 + 21 * week, at=house.days(7 * week)) for week in range(6)))
    return house


def test_due_says_what_the_page_says(used: House, terminal: Terminal) -> None:
    told = terminal.json("due", "--weeks", "104")
    found = queries.due_rows(used.office, day=timezone.localdate(), weeks=104)
    assert [one["machine"]["id"] for one in told["machines"]] == [one.machine.id for one in found.machines]
    rows = {row["task"]: row for row in told["machines"][0]["due"]}
    assert rows["hyd_500"]["stands"] == "over"
    on_page = {row.task: row for row in found.machines[0].due}
    assert rows["hyd_500"]["due_h"] == on_page["hyd_500"].due_h
    said = terminal.says("due", "--weeks", "104")
    assert "Digger (7)" in said
    assert f"over    {queries.due_says(on_page['hyd_500'])}" in " ".join(said.split("\n          "))


def test_everything_fits_a_terminal_of_eighty_columns(used: House, work: Work, terminal: Terminal) -> None:
    for command in (["due", "--weeks", "104"], ["kit", work.job], ["card", work.job]):
        assert max(map(len, terminal.says(*command).splitlines())) <= 80, command


def test_due_is_filtered_by_name_and_refuses_what_is_none(used: House, terminal: Terminal) -> None:
    other = terminal.json("due", "--weeks", "104", "--customer", "hallbeck")
    assert {one["machine"]["customer_name"] for one in other["machines"]} <= {"Hallbeck Farm"}
    by_site = terminal.json("due", "--weeks", "104", "--site", "upper")
    assert {one["machine"]["site_name"] for one in by_site["machines"]} == {"Upper bench"}
    by_task = terminal.json("due", "--weeks", "104", "--task", "hyd_500")
    assert {row["task"] for one in by_task["machines"] for row in one["due"]} == {"hyd_500"}
    assert "customer = nobody is not one of:" in terminal.refuses("due", "--customer", "nobody")
    assert "weeks" in terminal.refuses("due", "--weeks", "0", code=2)


def test_who_asks_sees_what_he_may(used: House, work: Work, terminal: Terminal) -> None:
    assert "Loader" not in terminal.says("due", "--weeks", "104", "--as", "edda")
    assert "Loader" in terminal.says("due", "--weeks", "104", "--as", "INA")
    assert terminal.refuses("due", "--as", "nobody") == "There is no person nobody.\n"
    assert terminal.refuses("card", work.job, "--as", "olm") == f"There is no job {work.job}.\n"
    services.set_active(used.office, str(used.owner.id), False)
    assert "no person edda" in terminal.refuses("due", "--as", "edda")


def test_a_kit_of_a_job_and_of_tasks(house: House, work: Work, terminal: Terminal) -> None:
    told = terminal.json("kit", work.job)
    page = queries.job_kit(house.office, work.job)
    assert page.kit is not None
    assert [one["number"] for one in told["kit"]["elements"]] == [one.number for one in page.kit.elements]
    said = terminal.says("kit", work.job[:8])
    assert "Elements" in said
    assert said == terminal.says("kit", "7")
    tasks = terminal.json("kit", "digger", "--task", "engine_250", "--task", "hyd_500")
    assert {"engine_250", "hyd_500"} <= set(tasks["kit"]["tasks"])
    assert "task = tea is not one of" in terminal.refuses("kit", "7", "--task", "tea")


def test_a_kit_on_paper(work: Work, tmp_path: Path, terminal: Terminal) -> None:
    file = tmp_path / "kit.pdf"
    assert str(file) in terminal.says("kit", work.job, "--pdf", str(file))
    assert "return element" in text_of(file)
    assert "is there already" in terminal.refuses("kit", work.job, "--pdf", str(file))
    assert "--pdf" in terminal.refuses("kit", "7", "--task", "hyd_500", "--pdf", "new.pdf", code=2)


def test_a_card_in_the_terminal_has_every_step_in_order(house: House, work: Work, terminal: Terminal) -> None:
    card = queries.job_card(house.mechanic, work.job)["card"]
    assert terminal.json("card", work.job) == json.loads(json.dumps(card))
    said = " ".join(terminal.says("card", work.job).split())
    at = 0
    for number, screen in enumerate(card["screens"], 1):
        at = said.index(f"{number} {screen['title']}", at)
    for caution in (one for screen in card["screens"] for one in screen["cautions"]):
        for part in ("hazard", "consequence", "avoidance"):
            assert caution[part] in said


def test_a_card_on_paper(work: Work, tmp_path: Path, terminal: Terminal) -> None:
    file = tmp_path / "card.pdf"
    assert terminal.says("card", work.job, "--pdf", str(file)) == f"{file}\n"
    assert "Read the hour meter" in text_of(file)
    nowhere = tmp_path / "no" / "card.pdf"
    assert "give a file in a folder that is there" in terminal.refuses("card", work.job, "--pdf", str(nowhere))


def test_a_report_is_issued_once_and_written_again(
    work: Work, tmp_path: Path, terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    do_all(work)
    close(work)
    monkeypatch.chdir(tmp_path)
    told = terminal.json("report", work.job)
    issued = Document.objects.get(number=told["number"])
    assert told["file"] == f"report-{issued.number}.pdf"
    assert "Hydraulic service" in text_of(tmp_path / told["file"])
    again = tmp_path / "again.pdf"
    terminal.says("report", "7", "--last", "--out", str(again))
    assert again.read_bytes() == (tmp_path / told["file"]).read_bytes()
    assert Document.objects.count() == 1
    assert "is there already" in terminal.refuses("report", work.job, "--out", str(again))
    assert Document.objects.count() == 1, "nothing is issued when it cannot be written"


def test_a_machine_means_its_open_job_then_the_next_one_planned(house: House, work: Work, terminal: Terminal) -> None:
    plan = VisitData(str(uuid.uuid4()), house.days(90).date(), (VisitPart(house.machine, ("engine_250",)),))
    planned = services.plan_visit(house.office, plan).machines[0].job
    assert terminal.json("card", "7")["job"] == work.job
    do_all(work)
    close(work)
    assert terminal.json("card", "7")["job"] == planned
    assert queries.find_job(house.office, "7", planned=False) == work.job


def test_what_is_meant_must_be_plain(house: House, work: Work, terminal: Terminal) -> None:
    services.keep_machine(house.office, MachineData(str(uuid.uuid4()), "Digger", "9"))
    several = terminal.refuses("kit", "digger")
    assert "Digger (7)" in several
    assert "Digger (9)" in several
    assert terminal.refuses("kit", "9") == "There is no job 9.\n"
    assert terminal.refuses("card", "crane") == "There is no machine crane.\n"
    nobody = str(uuid.UUID(int=5))
    assert terminal.refuses("card", nobody) == f"There is no job {nobody}.\n"
    assert terminal.json("kit", "digger", code=1)["name"] == "machine"


def test_an_empty_house_has_nobody_to_ask(
    db: None, data_folder: Path, monkeypatch: pytest.MonkeyPatch, terminal: Terminal
) -> None:
    monkeypatch.setenv("COLDMARK_DATA", str(data_folder))
    assert "no person of the office" in terminal.refuses("due")


def test_the_help_says_who_may_read_what(terminal: Terminal) -> None:
    said = " ".join(terminal.says("due", "--help").split())
    assert "who may read the data folder may read all that is in it" in said
