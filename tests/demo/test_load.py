"""The invented business is loaded whole into an empty house, or not at all, and carries the mark of a demo."""

from __future__ import annotations

import json
import os
import signal
import stat
import subprocess
import sys
import uuid
from datetime import UTC, datetime
from pathlib import Path

import pytest

from coldmark import cli
from coldmark.bench.errors import Refused
from coldmark.demo import load as loading
from coldmark.demo.world import id_of
from coldmark.records import services
from coldmark.records.folder import demo_mark, prepare
from coldmark.records.models import Attachment, Fact, JobRow, Machine, MachineState, OwnerSpan, Person, Store
from coldmark.records.plain import PersonData
from coldmark.records.queries import job_card, story, today
from tests.demo.valley import TODAY, ZONE, some_of

FEW = ("Bench digger", "Yard handler", "Muck loader", "Hire 14")
PASSWORD = "glass between marks"


def load(folder: Path, names: tuple[str, ...] = FEW) -> loading.Loaded:
    return loading.load(folder, today=TODAY, seed=1, zone=ZONE, valley=some_of(names))


@pytest.fixture
def loaded(db: None, data_folder: Path) -> loading.Loaded:
    """A few machines of the valley, loaded."""
    return load(data_folder)


def person(sign_in: str) -> Person:
    return Person.objects.get(sign_in=sign_in)


class TestLoaded:
    def test_all_machines_are_folded_without_trouble(self, loaded: loading.Loaded) -> None:
        assert MachineState.objects.count() == loaded.machines == len(FEW)
        assert not MachineState.objects.filter(stale=True).exists()
        assert not MachineState.objects.exclude(trouble="").exists()
        assert not MachineState.objects.filter(flags__gt=0).exists()
        assert Fact.objects.count() == loaded.facts

    def test_it_is_marked_as_the_demo(self, loaded: loading.Loaded, data_folder: Path) -> None:
        mark = demo_mark(data_folder)
        assert Store.objects.get().demo
        assert loading.standing() == "demo"
        assert stat.S_IMODE(mark.stat().st_mode) == 0o600
        assert json.loads(mark.read_text()) == {"name": "mara", "password": loaded.password}
        assert [one.name for one in data_folder.iterdir() if "demo.json" in one.name] == ["demo.json"]

    def test_everybody_signs_in_with_the_password(self, loaded: loading.Loaded) -> None:
        assert loaded.sign_ins == ("mara", "jonas", "edda")
        assert [person(name).role for name in loaded.sign_ins] == ["mechanic", "office", "owner"]
        assert all(person(name).check_password(loaded.password) for name in loaded.sign_ins)

    def test_the_place_reckons_with_its_coldest_start(self, loaded: loading.Loaded) -> None:
        assert Store.objects.get().coldest_c == -18.0

    def test_today_leads_to_a_card(self, loaded: loading.Loaded) -> None:
        mara = person("mara")
        day = today(mara, TODAY)
        stop = day.visits[0].stops[0]
        assert stop.machine.name == "Bench digger"
        assert stop.tasks == ("hyd_500",)
        assert any(one.task == "hyd_500" and one.stands(TODAY) in {"now", "over"} for one in stop.due)
        assert stop.kit is not None
        assert [one.machine.name for one in day.open_jobs] == ["Hire 14"]
        page = job_card(mara, stop.job.job)
        assert [task["key"] for task in page["card"]["tasks"]] == ["hyd_500"]
        assert page["facts"] == []

    def test_a_job_of_the_history_is_whole(self, loaded: loading.Loaded) -> None:
        closed = JobRow.objects.filter(closed_at__isnull=False)
        assert closed.exists()
        assert all(row.tasks_done for row in closed)

    def test_photos_and_texts_are_kept(self, loaded: loading.Loaded) -> None:
        kinds = set(Attachment.objects.values_list("media_type", flat=True))
        assert {"image/jpeg", "text/plain; charset=utf-8", "application/json"} <= kinds

    def test_the_owner_sees_his_machines_alone(self, loaded: loading.Loaded) -> None:
        edda = person("edda")
        assert {stop.machine.name for visit in today(edda, TODAY).visits for stop in visit.stops} == {
            "Bench digger",
            "Yard handler",
        }

    def test_who_sold_a_machine_sees_nothing_of_it_afterwards(self, loaded: loading.Loaded) -> None:
        jonas = person("jonas")
        id = str(uuid.uuid4())
        kelder = id_of(1, "customer", "kelder")
        services.keep_person(jonas, PersonData(id, "Ott Kelder", "ott", "owner", kelder), password=PASSWORD)
        machine = Machine.objects.get(name="Muck loader")
        sold = OwnerSpan.objects.get(machine=machine, customer=kelder).until
        assert sold is not None
        seen = story(Person.objects.get(id=id), str(machine.id)).entries
        everything = story(jonas, str(machine.id)).entries
        assert seen
        assert all(entry.at < sold for entry in seen)
        assert any(entry.at >= sold for entry in everything)

    def test_a_new_password_is_given_where_the_mark_was_lost(self, loaded: loading.Loaded, data_folder: Path) -> None:
        demo_mark(data_folder).unlink()
        password = loading.renew_sign_in(data_folder)
        assert password != loaded.password
        assert person("mara").check_password(password)
        assert json.loads(demo_mark(data_folder).read_text())["password"] == password


class TestNotLoaded:
    def test_it_is_not_loaded_twice(self, loaded: loading.Loaded, data_folder: Path) -> None:
        with pytest.raises(Refused) as refused:
            load(data_folder)
        assert refused.value.message == "demo.already_loaded"
        assert demo_mark(data_folder).exists()

    def test_it_is_not_loaded_into_a_house_that_is_used(self, db: None, data_folder: Path) -> None:
        services.first_person("Ina Orr", "ina", PASSWORD)
        with pytest.raises(Refused) as refused:
            load(data_folder)
        assert refused.value.message == "demo.not_empty"
        assert not demo_mark(data_folder).exists()

    def test_nothing_is_kept_of_a_loading_that_fails(
        self, db: None, data_folder: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def fail(*_: object) -> None:
            raise RuntimeError("the disk is full")

        monkeypatch.setattr(services, "mark_as_demo", fail)
        with pytest.raises(RuntimeError):
            load(data_folder, FEW[:1])
        assert loading.standing() == "empty"
        assert not Fact.objects.exists()
        assert not demo_mark(data_folder).exists()


KILLED = """
import os, signal, sys
from datetime import date
from pathlib import Path
from coldmark.cli import boot
boot.start()
boot.migrate()
from coldmark.demo import load as loading
from coldmark.records import services
from tests.demo.valley import TODAY, ZONE, some_of
if sys.argv[2] == "killed":
    services.mark_as_demo = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
elif sys.argv[2] == "killed late":
    write = loading._write_mark
    def write_and_die(*told):
        write(*told)
        os.kill(os.getpid(), signal.SIGKILL)
    loading._write_mark = write_and_die
print(loading.standing())
loading.load(Path(sys.argv[1]), today=TODAY, seed=1, zone=ZONE, valley=some_of(("Garden digger",)))
print(loading.standing())
"""


@pytest.mark.parametrize("moment", ["killed", "killed late"])
def test_a_loader_that_is_killed_leaves_an_empty_house(tmp_path: Path, moment: str) -> None:
    folder = tmp_path / "house"
    run = [sys.executable, "-W", "error", "-c", KILLED, str(folder)]
    environment = {**os.environ, "COLDMARK_DATA": str(folder), "PYTHONPATH": os.pathsep.join(sys.path)}
    environment.pop("COLDMARK_DATABASE", None)
    died = subprocess.run([*run, moment], env=environment, capture_output=True, text=True)
    assert died.returncode == -signal.SIGKILL, died.stderr
    again = subprocess.run([*run, "whole"], env=environment, capture_output=True, text=True)
    assert again.returncode == 0, again.stderr
    assert again.stdout.split() == ["empty", "demo"]
    assert demo_mark(folder).exists()


class TestCommand:
    @pytest.fixture
    def folder(self, db: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
        """A data folder that the command works in; its database is the tests' own."""
        monkeypatch.setenv("COLDMARK_DATA", str(tmp_path))
        monkeypatch.setattr("coldmark.cli.boot.migrate", lambda: None)
        monkeypatch.setattr(loading, "the_valley", lambda: some_of(("Garden digger",)))
        prepare(tmp_path)
        return tmp_path

    def test_it_loads_and_says_how_to_sign_in(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["demo", "--today", "2026-03-04"]) == 0
        said = capsys.readouterr().out
        password = json.loads(demo_mark(folder).read_text())["password"]
        assert "1 machines" in said
        assert f"as mara, jonas or edda, with {password}" in said
        assert Fact.objects.order_by("-at")[0].at < datetime(2026, 3, 4, tzinfo=UTC)

    def test_a_second_time_is_refused_or_nothing(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["demo"]) == 0
        mark = demo_mark(folder).read_text()
        capsys.readouterr()
        assert cli.run(["demo"]) == 1
        assert "loaded here already" in capsys.readouterr().err
        assert cli.run(["demo", "--if-empty"]) == 0
        assert capsys.readouterr() == ("", "")
        assert demo_mark(folder).read_text() == mark

    def test_a_used_house_stays_as_it_is(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        services.first_person("Ina Orr", "ina", PASSWORD)
        assert cli.run(["demo", "--if-empty"]) == 0
        assert cli.run(["demo"]) == 1
        assert "a house of its own" in capsys.readouterr().err
        assert Person.objects.count() == 1

    def test_a_mark_without_its_demo_is_cleared_away(self, folder: Path) -> None:
        services.first_person("Ina Orr", "ina", PASSWORD)
        demo_mark(folder).write_text("{}")
        assert cli.run(["demo", "--if-empty"]) == 0
        assert not demo_mark(folder).exists()

    def test_a_lost_mark_is_made_again(self, folder: Path) -> None:
        assert cli.run(["demo"]) == 0
        demo_mark(folder).unlink()
        assert cli.run(["demo", "--if-empty"]) == 0
        password = json.loads(demo_mark(folder).read_text())["password"]
        assert person("mara").check_password(password)

    def test_a_day_that_is_none_is_refused(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["demo", "--today", "2026-02-30"]) == 1
        assert capsys.readouterr().err == "today = 2026-02-30 is not a day; write it like 2026-03-02.\n"
        assert not Person.objects.exists()
