"""Several record, one backs up, all at once: no arrival is given twice or skipped, and nothing is half there."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import uuid
import zipfile
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from django.db import connection

from coldmark.records import services
from coldmark.records.models import Fact, Machine, MachineState, Person
from coldmark.records.services import folding, projecting
from tests.records.house import START, Phone, build_house

BATCHES = 12
BUILD = """
from coldmark.cli import boot
boot.start()
boot.migrate()
from tests.records.house import build_house
build_house()
"""
ROOT = Path(__file__).parents[2]


def environment(folder: Path) -> dict[str, str]:
    told = {name: value for name, value in os.environ.items() if not name.startswith(("COLDMARK_", "DJANGO_"))}
    return {**told, "COLDMARK_DATA": str(folder), "PYTHONPATH": f"{ROOT / 'src'}:{ROOT}"}


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], env=environment(folder), cwd=ROOT, capture_output=True, text=True, check=False
    )


def coldmark(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return run(folder, "-m", "coldmark.cli", *arguments)


def facts_in(file: Path) -> list[int]:
    with zipfile.ZipFile(file) as archive:
        return sorted(json.loads(line)["arrival"] for line in archive.read("tables/fact.jsonl").splitlines())


@pytest.mark.skipif(connection.vendor != "sqlite", reason="processes of their own share a database file")
def test_processes_on_one_sqlite_file_and_a_backup_meanwhile(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    assert run(folder, "-c", BUILD).stderr == ""
    writers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.records.at_once", str(BATCHES)],
            env=environment(folder),
            cwd=ROOT,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _writer in range(2)
    ]
    backups = [tmp_path / f"backup{number}.zip" for number in range(2)]
    for file in backups:
        done = coldmark(folder, "backup", str(file), "--json")
        assert (done.returncode, done.stderr) == (0, "")
        arrivals = facts_in(file)
        # One moment of the database: all that had arrived by then, and nothing of what came later.
        assert arrivals == list(range(1, len(arrivals) + 1))
        assert json.loads(done.stdout)["arrival"] == len(arrivals)
    for writer in writers:
        assert writer.communicate()[1] == ""
        assert writer.returncode == 0
    last = tmp_path / "last.zip"
    made = json.loads(coldmark(folder, "backup", str(last), "--json").stdout)
    arrivals = facts_in(last)
    assert arrivals == list(range(1, made["facts"] + 1))
    assert sum(1 for _ in arrivals) >= 2 * BATCHES * 3
    with zipfile.ZipFile(last) as archive:
        kinds = [json.loads(line)["kind"] for line in archive.read("tables/fact.jsonl").splitlines()]
    assert kinds.count("job_opened") == BATCHES
    other = tmp_path / "other"
    restored = coldmark(other, "restore", str(last), "--json")
    assert restored.returncode == 0, restored.stderr
    assert json.loads(restored.stdout)["failed"] == []
    again = coldmark(other, "restore", str(last))
    assert again.returncode == 1
    assert "--over" in again.stderr
    rebuilt = coldmark(other, "rebuild", "--json")
    assert json.loads(rebuilt.stdout) == {"machines": 2, "failed": []}


A_JOB = """
from coldmark.cli import boot
boot.start()
boot.migrate()
from tests.records.house import build_house
from tests.records.jobs import close, do_all, open_work
work = open_work(build_house())
do_all(work)
close(work)
print(work.job)
"""


@pytest.mark.skipif(connection.vendor != "sqlite", reason="processes of their own share a database file")
def test_who_issue_a_jobs_report_at_the_same_moment_all_get_the_same_one(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    built = run(folder, "-c", A_JOB)
    assert built.stderr == ""
    issuers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.records.issue_at_once", built.stdout.strip()],
            env=environment(folder),
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _issuer in range(3)
    ]
    for issuer in issuers:
        assert issuer.stdout is not None
        assert issuer.stdout.readline() == "made\n"  # all have made it, with the same number on it
    told = [issuer.communicate("go\n") for issuer in issuers]
    assert [error for _number, error in told] == [""] * 3
    assert len({number for number, _error in told}) == 1
    report = coldmark(folder, "report", built.stdout.strip(), "--last", "--out", str(tmp_path / "last.pdf"))
    assert report.returncode == 0, report.stderr
    assert len([path for path in (folder / "documents").rglob("*") if path.is_file()]) == 1


STOP_BEFORE_FOLDING = """
from coldmark.cli import boot
boot.start()
from coldmark.records.models import Machine, MachineState, Person
from tests.records.house import Phone
phone = Phone(Person.objects.get(sign_in="tom"), str(Machine.objects.order_by("name").first().id))
phone.send(phone.meter(412), fold=False)
print(MachineState.objects.filter(stale=True).count())
"""
START_AGAIN = """
import threading
import coldmark.project.serving
for thread in threading.enumerate():
    if thread.name == "coldmark-catch-up":
        thread.join()
from coldmark.records.models import MachineState
print(MachineState.objects.filter(stale=True).count(), MachineState.objects.filter(hours=412).count())
"""


@pytest.mark.skipif(connection.vendor != "sqlite", reason="processes of their own share a database file")
def test_what_a_stopped_server_left_stale_is_folded_at_the_next_start(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    assert run(folder, "-c", BUILD).stderr == ""
    assert run(folder, "-c", STOP_BEFORE_FOLDING).stdout == "1\n"
    assert run(folder, "-c", START_AGAIN).stdout == "0 1\n"


@pytest.mark.skipif(connection.vendor == "sqlite", reason="SQLite lets nobody write while another folds")
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("joined_before", [True, False])
def test_a_fact_of_a_joined_record_that_comes_while_the_two_are_folded_is_folded_too(
    data_folder: Path, monkeypatch: pytest.MonkeyPatch, joined_before: bool
) -> None:
    house = build_house()
    other = str(uuid.uuid4())
    house.phone.send(house.phone.meter(100, machine=other))
    if joined_before:
        services.join_machines(house.office, house.machine, other)
    late = Phone(house.mechanic, other)
    sender: list[Thread] = []

    def send() -> None:
        try:
            late.send(late.meter(110, at=house.days(1)))
        finally:
            connection.close()

    def slow(*told: Any) -> Any:
        """All facts have been read: what is sent now is not among them."""
        if not sender and str(told[0].machine_id) == house.machine:
            sender.append(Thread(target=send))
            sender[0].start()
            sender[0].join(timeout=1)
        return projecting.project(*told)

    monkeypatch.setattr(folding, "project", slow)
    if joined_before:
        house.phone.send(house.phone.meter(101, at=house.days(0.5)))
    else:
        services.join_machines(house.office, house.machine, other)
    sender[0].join(timeout=30)
    assert not sender[0].is_alive()
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(110)
    assert not MachineState.objects.filter(stale=True).exists()


@pytest.mark.skipif(connection.vendor == "sqlite", reason="SQLite's tests run in memory, where threads share one lock")
@pytest.mark.django_db(transaction=True)
def test_threads_on_postgresql_are_numbered_in_the_order_in_which_they_become_visible(data_folder: Path) -> None:
    house = build_house()
    seen: list[list[int]] = []
    done: list[bool] = []

    def write() -> None:
        try:
            phone = Phone(Person.objects.get(id=house.mechanic.id), house.machine)
            for batch in range(BATCHES):
                phone.send(*(phone.meter(10 * batch + n, at=START) for n in range(3)))
            done.append(True)
        finally:
            connection.close()

    def watch() -> None:
        try:
            while len(done) < 3 and len(seen) < 2000:
                seen.append(sorted(Fact.objects.values_list("arrival", flat=True)))
        finally:
            connection.close()

    threads = [Thread(target=write) for _ in range(3)] + [Thread(target=watch)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert len(done) == 3
    for arrivals in seen:
        # A gap would be a fact that an incremental pull skips.
        assert arrivals == list(range(1, len(arrivals) + 1))
    assert not MachineState.objects.filter(stale=True).exists()
    assert Machine.objects.count() == 2
    before = MachineState.objects.get(machine_id=house.machine).snapshot
    services.rebuild()
    assert MachineState.objects.get(machine_id=house.machine).snapshot == before
