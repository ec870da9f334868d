"""Data sheets and oils on pages."""

from __future__ import annotations

from typing import get_args

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from coldmark.bench import oil, sheet
from coldmark.bench.sheet import MachineKind
from coldmark.records import queries, services
from coldmark.records.models import OilVersion, SheetVersion
from tests.records.house import House, sheet_text
from tests.web.conftest import signed_in

KINDS: tuple[str, ...] = get_args(MachineKind)
# Three faults: an interval that is no number, a key that nobody knows, a torque below nothing.
WRONG = (
    sheet_text()
    .replace("interval_h = 500", 'interval_h = "often"', 1)
    .replace("[hydraulic]", "[hydraulic]\ncolour = 3", 1)
)


@pytest.fixture
def client(house: House) -> Client:
    return signed_in(house.mechanic)


def test_a_pasted_sheet_is_kept_unchanged_and_shown(client: Client) -> None:
    text = sheet_text("telehandler")
    answer = client.post("/sheets/new/", {"text": text.replace("\n", "\r\n")}, follow=True)
    assert "The data sheet is kept." in answer.text
    kept = SheetVersion.objects.get(kind="telehandler")
    assert kept.text == text
    assert client.get(f"/sheets/{kept.sha256}.toml").content.decode() == text


def test_a_sheet_comes_as_a_file_too(client: Client) -> None:
    text = sheet_text("track_loader")
    file = SimpleUploadedFile("loader.toml", b"\xef\xbb\xbf" + text.encode())
    client.post("/sheets/new/", {"file": file, "text": ""})
    assert SheetVersion.objects.filter(text=text).exists()


def test_all_faults_of_a_sheet_are_told_at_once_and_the_text_is_kept_to_be_mended(client: Client) -> None:
    faults = sheet.check(WRONG)
    assert len(faults) >= 2
    before = SheetVersion.objects.count()
    answer = client.post("/sheets/new/", {"text": WRONG})
    for fault in faults:
        assert f"Line {fault.line}" in answer.text
    assert "colour = 3" in answer.text
    assert f"{len(faults)} things are not right" in answer.text
    assert SheetVersion.objects.count() == before


@pytest.mark.parametrize(
    ("file", "says"),
    [
        (b"\xff\xfe\x00", "not text in UTF-8"),
        (b"x" * 400_001, "at most 400000 are read"),
        (b"", "Choose a file, or paste the text."),
    ],
)
def test_a_file_that_is_no_sheet_is_told(client: Client, file: bytes, says: str) -> None:
    answer = client.post("/sheets/new/", {"file": SimpleUploadedFile("x.toml", file), "text": ""})
    assert says in answer.text


def test_the_same_sheet_twice_is_one(client: Client) -> None:
    answer = client.post("/sheets/new/", {"text": sheet_text()}, follow=True)
    assert "was kept already" in answer.text
    assert SheetVersion.objects.count() == 1


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_machine_has_a_sheet_to_start_from(client: Client, kind: str) -> None:
    answer = client.get(f"/sheets/template/{kind}.toml")
    assert answer["Content-Disposition"] == f'attachment; filename="{kind}.toml"'
    assert not sheet.check(answer.content.decode())


@pytest.mark.parametrize("address", ["/sheets/template/ship.toml", f"/sheets/{'0' * 64}/", f"/oils/{'0' * 64}.toml"])
def test_what_is_not_kept_is_not_found(client: Client, address: str) -> None:
    assert client.get(address).status_code == 404


def test_a_sheet_says_what_it_had_better_have(client: Client) -> None:
    risky = sheet.template().replace("holds_pressure = false", "holds_pressure = true")
    page = client.post("/sheets/new/", {"text": risky}, follow=True).text
    assert "Worth a look:" in page
    assert "it holds pressure after stopping, and no step let_off comes before this one" in page
    sound = client.post("/sheets/new/", {"text": sheet.template()}, follow=True).text
    assert "Worth a look:" not in sound


def test_a_sheet_says_how_many_machines_have_it(house: House, client: Client) -> None:
    assert "2 machines" in client.get("/sheets/").text
    assert "2 machines" in client.get(f"/sheets/{house.sheet}/").text


def test_an_owner_comes_from_his_machine_to_its_sheet_and_downloads_it(house: House) -> None:
    client = signed_in(house.owner)
    assert f'href="/sheets/{house.sheet}/"' in client.get(f"/machines/{house.machine}/").text
    page = client.get(f"/sheets/{house.sheet}/").text
    assert "[hydraulic.tank]" in page
    assert "for 1 of your machines" in page
    for hidden in ('href="/sheets/"', "New machine", "/machines/new/"):
        assert hidden not in page
    assert client.get(f"/sheets/{house.sheet}.toml").content.decode() == sheet_text()


def test_another_owner_and_a_former_one_find_no_sheet(house: House) -> None:
    other = services.keep_sheet(house.office, sheet_text("telehandler")).sha256
    services.assign_sheet(house.office, house.machine, other, at=house.days(-50))
    for ending in ("/", ".toml"):
        assert signed_in(house.owner).get(f"/sheets/{other}{ending}").status_code == 200
        assert signed_in(house.stranger).get(f"/sheets/{other}{ending}").status_code == 404
    services.move_machine(house.office, house.machine, house.other_customer, at=house.days(1))
    former = signed_in(house.owner)
    for ending in ("/", ".toml"):
        assert former.get(f"/sheets/{other}{ending}").status_code == 404
    page = former.get(f"/machines/{house.machine}/")
    assert page.status_code == 200
    assert f"/sheets/{other}" not in page.text, "no way leads where nothing is found"


def test_an_oil_is_kept_and_a_better_text_takes_its_place(house: House, client: Client) -> None:
    client.post("/oils/new/", {"text": oil.template()})
    client.post("/oils/new/", {"text": oil.template().replace('"Valley 46"', '"Valley 46 new"')})
    (line,) = queries.oils(house.mechanic)
    assert line.name == "Valley 46 new"
    assert OilVersion.objects.count() == 2
    page = client.get("/oils/").text
    assert "Valley 46 new" in page
    assert client.get(f"/oils/{line.sha256}.toml").content.decode() == line.text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("name = ", "name"),
        ('key = "a b"\nname = "x"', "key"),
        ('key = "a"\nname = "x"\nkv40_mm2_s = "thick"', "kv40"),
    ],
)
def test_a_wrong_oil_is_told_and_its_text_stays(client: Client, text: str, says: str) -> None:
    answer = client.post("/oils/new/", {"text": text})
    assert "not right, so nothing was kept" in answer.text
    assert says in answer.text
    assert not OilVersion.objects.exists()


def test_the_template_of_an_oil_is_an_oil(client: Client) -> None:
    assert oil.from_text(client.get("/oils/template.toml").content.decode()).name
