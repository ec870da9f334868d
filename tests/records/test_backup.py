"""A backup taken while serving restores to the same content, with a new epoch and the erasures done again."""

from __future__ import annotations

import json
import shutil
import uuid
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection

from coldmark.bench.errors import Refused
from coldmark.records import files, queries, services
from coldmark.records.models import KEPT, PROJECTIONS, Attachment, Document, Fact, MachineState, Person, Store
from coldmark.records.services import backing_up
from coldmark.records.showing import Shows
from tests.records.house import House, build_house, sha
from tests.records.pictures import a_photo, keep_photo

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def house(transactional_db: None, data_folder: Path) -> House:
    """A house whose writes are really committed, with a job, photos, a document and a visit."""
    made = build_house()
    job, at = str(uuid.uuid4()), made.days(9)
    photo, doomed = keep_photo(made.mechanic, 1), keep_photo(made.mechanic, 2)
    facts = [
        made.phone.fact("job_opened", {"tasks": ["hyd_500"]}, at=at, job=job),
        made.phone.meter(120, at=at, job=job),
        *(made.phone.fact("photo", {"photo": one, "of": "glass"}, at=at, job=job) for one in (photo, doomed)),
    ]
    made.phone.send(*facts)
    services.issue_document(
        made.mechanic, what="report", machine=made.machine, job=job, content=b"%PDF-1.7 body", facts=[facts[1].id]
    )
    part = services.VisitPart(made.machine, ("hyd_500",))
    services.plan_visit(
        made.office, services.VisitData(str(uuid.uuid4()), made.days(20).date(), (part,), str(made.mechanic.id))
    )
    return made


def content(*, store: bool = True) -> dict[str, list[dict[str, Any]]]:
    """All tables' rows, without the numbers that the database gives to projections."""
    found: dict[str, list[dict[str, Any]]] = {}
    for table in (*KEPT, *PROJECTIONS):
        if table is Store and not store:
            continue
        names = [
            field.attname
            for field in table._meta.concrete_fields
            if not (table in PROJECTIONS and field.attname == "id")
        ]
        rows = [dict(zip(names, values, strict=True)) for values in table._default_manager.values_list(*names)]
        found[table.__name__] = sorted(rows, key=repr)
    return found


def lose_everything(folder: Path) -> None:
    """Another house: an empty database and an empty folder."""
    call_command("flush", interactive=False, verbosity=0)
    for name in ("attachments", "documents"):
        shutil.rmtree(folder / name, ignore_errors=True)
    (folder / "erasures.jsonl").unlink(missing_ok=True)


def test_it_restores_to_the_same_content(house: House, data_folder: Path, tmp_path: Path) -> None:
    before = content(store=False)
    epoch = services.epoch()
    file = tmp_path / "backup.zip"
    made = services.backup(file)
    assert made.facts == Fact.objects.count()
    lose_everything(data_folder)
    assert not Person.objects.exists()
    done = services.restore(file)
    assert content(store=False) == before
    assert done.folded.failed == ()
    assert (done.facts, done.files) == (made.facts, 3)
    assert done.epoch == services.epoch() != epoch
    assert services.read_attachment(house.mechanic, a_photo(1)[0]).content == a_photo(1)[1]
    person = services.sign_in("tom", "glass between marks", address="::1")
    assert person.id == house.mechanic.id


def test_work_goes_on_after_a_restore(house: House, data_folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    late = house.phone.meter(150, at=house.days(11))
    house.phone.send(late)
    office = Store.objects.get().office_device
    lose_everything(data_folder)
    services.restore(file)
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(120)
    house.phone.send(late)
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(150)
    services.hand_over(house.office, house.machine, house.days(-60).date())
    assert Store.objects.get().office_device != office


def test_it_covers_what_had_arrived_and_says_so_only_when_the_file_is_there(house: House, tmp_path: Path) -> None:
    assert Store.objects.get().backed_up_to == 0
    made = services.backup(tmp_path / "backup.zip")
    assert made.arrival == Store.objects.get().backed_up_to == Store.objects.get().next_arrival - 1
    answer = house.phone.send(house.phone.meter(130, at=house.days(10)))
    assert answer.backed_up_to == made.arrival
    assert answer.answers[0].arrival == made.arrival + 1


def test_an_erasure_since_the_backup_is_done_again(house: House, data_folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    doomed = a_photo(2)[0]
    services.erase(house.office, "attachment", doomed, "a face on it")
    services.erase(house.office, "person", str(house.stranger.id), "asked to")
    kept = (data_folder / "erasures.jsonl").read_text()
    lose_everything(data_folder)
    (data_folder / "erasures.jsonl").write_text(kept)
    done = services.restore(file)
    assert done.erasures == 2
    assert files.read("attachments", doomed) is None
    assert Attachment.objects.get(sha256=doomed).erased_at is not None
    assert Person.objects.get(id=house.stranger.id).name == "—"
    assert (data_folder / "erasures.jsonl").read_text() == kept


def test_an_erasure_before_the_backup_stays_done_in_an_empty_folder(
    house: House, data_folder: Path, tmp_path: Path
) -> None:
    services.erase(house.office, "attachment", a_photo(2)[0], "a face on it")
    file = tmp_path / "backup.zip"
    services.backup(file)
    assert f"attachments/{a_photo(2)[0]}" not in zipfile.ZipFile(file).namelist()
    lose_everything(data_folder)
    services.restore(file)
    assert Attachment.objects.get(sha256=a_photo(2)[0]).erased_at is not None
    assert a_photo(2)[0] in (data_folder / "erasures.jsonl").read_text()


def test_papers_erased_with_a_name_are_erased_again_by_every_restore(
    house: House, data_folder: Path, tmp_path: Path
) -> None:
    issued = services.issue_document(
        house.mechanic,
        what="report",
        machine=house.machine,
        content=b"%PDF-1.7 for Stennet Quarry",
        facts=[],
        shows=Shows(customers=(house.customer,)),
    )
    before, after = tmp_path / "before.zip", tmp_path / "after.zip"
    services.backup(before)
    services.erase(house.office, "customer", house.customer, "asked to", documents=True)
    services.backup(after)
    assert f"documents/{issued.sha256}" not in zipfile.ZipFile(after).namelist()
    for file in (before, after):
        services.restore(file, over=True)
        assert files.read(files.DOCUMENTS, issued.sha256) is None
        row = Document.objects.get(id=issued.id)
        assert (row.number, row.size) == (issued.number, 0)
        assert services.read_document(house.office, issued.id).content is None
    assert issued.sha256 in (data_folder / "erasures.jsonl").read_text()


def test_records_that_are_there_are_replaced_only_when_told(house: House, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    house.phone.send(house.phone.meter(150, at=house.days(11)))
    with pytest.raises(Refused, match="--over"):
        services.restore(file)
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(150)
    services.restore(file, over=True)
    assert MachineState.objects.get(machine_id=house.machine).hours == pytest.approx(120)


def _cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-200])


def _changed(name: str, change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    def apply(file: Path) -> None:
        with zipfile.ZipFile(file) as archive:
            held = {entry: archive.read(entry) for entry in archive.namelist()}
        found = next(entry for entry in held if entry.startswith(name))
        held[found] = change(held[found])
        with zipfile.ZipFile(file, "w") as archive:
            for entry, told in held.items():
                archive.writestr(entry, told)

    return apply


def _newer(told: bytes) -> bytes:
    return json.dumps({**json.loads(told), "migration": "9999_later"}).encode()


def _of_nothing(told: bytes) -> bytes:
    rows = [json.loads(line) for line in told.splitlines()]
    return b"".join(json.dumps({**row, "machine_id": str(uuid.uuid4())}).encode() + b"\n" for row in rows)


@pytest.mark.parametrize(
    ("damage", "says"),
    [
        (_cut_short, "not a whole backup"),
        (lambda file: file.write_text("hello"), "not a whole backup"),
        (_changed("attachments/", lambda told: told + b"x"), "does not have the content"),
        (_changed("tables/fact", lambda told: told.replace(b"meter_read", b"meter_reed", 2)), "its hash says"),
        (_changed("tables/fact", lambda told: told.split(b"\n", 1)[1]), "rows of"),
        (_changed("coldmark.json", _newer), "newer version"),
        (_changed("tables/person", lambda told: told.replace(b'"id":"', b'"id":"x')), "not a whole backup"),
        (_changed("tables/machine", lambda told: told.splitlines()[0] + b"\n[]\n"), "not a whole backup"),
        (_changed("tables/visitmachine", _of_nothing), "not a whole backup"),
    ],
    ids=[
        *("cut short", "no backup", "a changed photo", "a changed fact", "a fact missing", "from a newer version"),
        *("an id that is none", "a row that is none", "a row of nothing"),
    ],
)
def test_a_damaged_backup_is_refused_and_nothing_changes(
    house: House, tmp_path: Path, damage: Callable[[Path], None], says: str
) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    damage(file)
    before = content()
    with pytest.raises(Refused, match=says):
        services.restore(file, over=True)
    assert content() == before


def test_a_file_that_is_there_is_not_written_over(house: House, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    file.write_text("the only copy")
    with pytest.raises(Refused, match="another name"):
        services.backup(file)
    assert file.read_text() == "the only copy"
    assert [entry.name for entry in tmp_path.iterdir() if entry.name.startswith(".")] == []


def test_the_file_is_for_its_owner_alone(house: House, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    assert file.stat().st_mode & 0o077 == 0


def test_it_is_one_moment_of_the_database_although_writing_goes_on(
    house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each table is read in the same transaction; what is stored while a table is written must not be half in it."""
    isolations: list[str] = []
    write = backing_up._write_table

    def watched(archive: zipfile.ZipFile, table: Any) -> int:
        assert connection.in_atomic_block
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SHOW transaction_isolation")
                isolations.append(cursor.fetchone()[0])
        else:
            isolations.append(connection.transaction_mode)  # type: ignore[attr-defined]
        return write(archive, table)

    monkeypatch.setattr(backing_up, "_write_table", watched)
    services.backup(tmp_path / "backup.zip")
    assert set(isolations) == {"repeatable read" if connection.vendor == "postgresql" else "DEFERRED"}
    if connection.vendor == "sqlite":
        assert connection.transaction_mode == "IMMEDIATE"  # type: ignore[attr-defined]


def test_every_kept_table_is_in_it_and_every_model_is_kept_or_worked_out_or_passing() -> None:
    from django.apps import apps

    passing = {"SignInTry"}
    names = {model.__name__ for model in apps.get_app_config("records").get_models()}
    assert {table.__name__ for table in (*KEPT, *PROJECTIONS)} | passing == names


def test_a_text_said_about_a_fact_comes_back(house: House, data_folder: Path, tmp_path: Path) -> None:
    services.keep_attachment(house.mechanic, sha("a rattle"), "text/plain", b"a rattle")
    body = {"about": "boom", "what": "other", "urgency": "keep_watching", "note": sha("a rattle")}
    house.phone.send(house.phone.fact("finding", body, at=house.days(11)))
    file = tmp_path / "backup.zip"
    services.backup(file)
    lose_everything(data_folder)
    services.restore(file)
    entry = next(entry for entry in queries.story(house.mechanic, house.machine).entries if entry.kind == "finding")
    assert list(entry.texts.values()) == ["a rattle"]


def test_numbers_of_documents_issued_since_the_backup_are_not_given_again(house: House, tmp_path: Path) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    late = services.issue_document(
        house.mechanic, what="report", machine=house.machine, content=b"%PDF-1.7 late", facts=[]
    )
    services.restore(file, over=True)
    again = services.issue_document(
        house.mechanic, what="report", machine=house.machine, content=b"%PDF-1.7 next", facts=[]
    )
    assert again.number > late.number


@pytest.mark.parametrize("reason", ["asked to\u2028by letter", "a\x85b", "one\ntwo", "\x1c"])
def test_an_erasure_is_done_again_whatever_letters_its_reason_has(
    house: House, data_folder: Path, tmp_path: Path, reason: str
) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    doomed = a_photo(2)[0]
    services.erase(house.office, "attachment", doomed, f"asked {reason} to")
    kept = (data_folder / "erasures.jsonl").read_bytes()
    lose_everything(data_folder)
    (data_folder / "erasures.jsonl").write_bytes(kept)
    assert services.restore(file).erasures == 1
    assert files.read("attachments", doomed) is None


def test_an_erasure_after_one_that_a_power_cut_left_half_written_is_done_again(
    house: House, data_folder: Path, tmp_path: Path
) -> None:
    file = tmp_path / "backup.zip"
    services.backup(file)
    (data_folder / "erasures.jsonl").write_text('{"id":"half')
    services.erase(house.office, "attachment", a_photo(2)[0], "a face on it")
    assert services.restore(file, over=True).erasures == 1
    assert files.read("attachments", a_photo(2)[0]) is None
