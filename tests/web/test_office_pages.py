"""The office's pages: customers, sites, vans, people, devices, settings."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from coldmark.records import files, queries, services
from coldmark.records.models import Customer, Device, Erasure, Fact, Person, Site, Van
from coldmark.records.paperwork import issue_report
from tests.records.house import PASSWORD, House
from tests.records.jobs import do_all, keep_oils, open_work
from tests.records.pictures import keep_photo
from tests.web.conftest import signed_in

ANOTHER = "lantern under the bridge"
STAFF_PAGES = (
    "/more/",
    "/customers/",
    "/customers/new/",
    "/sites/new/",
    "/vans/",
    "/vans/new/",
    "/sheets/",
    "/sheets/new/",
    "/oils/",
    "/oils/new/",
    "/sums/",
)
OFFICE_PAGES = ("/people/", "/people/new/")


@pytest.fixture
def office(house: House) -> Client:
    return signed_in(house.office)


@pytest.fixture
def mechanic(house: House) -> Client:
    return signed_in(house.mechanic)


@pytest.mark.parametrize("address", STAFF_PAGES)
def test_both_roles_of_the_firm_reach_the_pages_and_owners_find_nothing_there(house: House, address: str) -> None:
    assert signed_in(house.office).get(address).status_code == 200
    assert signed_in(house.mechanic).get(address).status_code == 200
    assert signed_in(house.owner).get(address).status_code == 404


@pytest.mark.parametrize("address", OFFICE_PAGES)
def test_people_are_the_offices_alone(house: House, address: str) -> None:
    assert signed_in(house.office).get(address).status_code == 200
    told = signed_in(house.mechanic).get(address)
    assert told.status_code == 403
    assert "ask the office" in told.text
    assert signed_in(house.owner).get(address).status_code == 404


def test_more_names_the_ways_and_people_to_the_office_alone(office: Client, mechanic: Client) -> None:
    assert 'href="/people/"' in office.get("/more/").text
    assert 'href="/people/"' not in mechanic.get("/more/").text


def test_a_customer_is_entered_once_however_often_it_is_sent(mechanic: Client) -> None:
    form = {"id": str(uuid4()), "name": "Kelder Farm", "contact": "Ott", "phone": "0100 555"}
    for _press in range(2):
        assert mechanic.post("/customers/new/", form)["Location"] == f"/customers/{form['id']}/"
    assert Customer.objects.filter(name="Kelder Farm").count() == 1
    assert "Ott" in mechanic.get(f"/customers/{form['id']}/").text


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"name": ""}, "Name is empty; it is needed."),
        ({"name": "x" * 201}, "Name has 201 characters; at most 200 are kept."),
        ({"id": "x"}, "id = x is not right"),
    ],
)
def test_a_wrong_customer_is_told_and_what_was_typed_is_kept(
    mechanic: Client, changes: dict[str, str], says: str
) -> None:
    before = Customer.objects.count()
    answer = mechanic.post("/customers/new/", {"id": str(uuid4()), "name": "K", "contact": "Ott Kelder"} | changes)
    assert says in answer.text
    assert "Ott Kelder" in answer.text
    assert Customer.objects.count() == before


def test_a_change_is_of_the_customer_in_the_address_whatever_id_is_sent(house: House, mechanic: Client) -> None:
    other = house.other_customer
    mechanic.post(f"/customers/{house.customer}/edit/", {"id": other, "name": "Stennet and Sons"})
    assert Customer.objects.get(id=house.customer).name == "Stennet and Sons"
    assert Customer.objects.get(id=other).name == "Hallbeck Farm"


def test_customers_are_found_by_their_words(mechanic: Client) -> None:
    page = mechanic.get("/customers/?q=quarry").text
    assert "Stennet Quarry" in page
    assert "Hallbeck Farm" not in page


def test_erasing_a_customer_wants_the_office_and_a_reason(house: House, office: Client, mechanic: Client) -> None:
    address = f"/customers/{house.customer}/erase/"
    assert mechanic.post(address, {"reason": "asked for"}).status_code == 403
    assert "Why is empty; it is needed." in office.post(address, {"reason": ""}).text
    assert Customer.objects.get(id=house.customer).erased_at is None
    assert office.post(address, {"reason": "asked for"})["Location"] == "/customers/"
    assert Customer.objects.get(id=house.customer).erased_at is not None
    assert "Stennet" not in office.get("/customers/").text


@pytest.mark.parametrize(("papers", "kept"), [("keep", True), ("erase", False)])
@pytest.mark.parametrize("who", ["customers", "people"])
def test_erasing_asks_what_becomes_of_issued_papers(
    house: House, office: Client, who: str, papers: str, kept: bool
) -> None:
    keep_oils(house)
    work = open_work(house)
    do_all(work)
    issued = issue_report(house.office, work.job)
    id = house.customer if who == "customers" else str(house.mechanic.id)
    address = f"/{who}/{id}/erase/"
    page = office.get(address).text
    assert "One issued paper bears the name" in page
    assert "checked" not in page, "neither is taken for granted"
    unsaid = office.post(address, {"reason": "asked for"})
    assert "papers" in unsaid.context["form"].errors
    assert not Erasure.objects.exists()
    assert office.post(address, {"reason": "asked for", "papers": papers}).status_code == 302
    content = services.read_document(house.office, issued.id).content
    assert (content is not None) is kept


def test_erasing_asks_nothing_of_papers_where_none_bears_the_name(house: House, office: Client) -> None:
    assert "issued paper" not in office.get(f"/customers/{house.customer}/erase/").text


def test_a_site_is_entered_for_its_customer_with_its_place(house: House, mechanic: Client) -> None:
    assert f'value="{house.customer}" selected' in mechanic.get(f"/sites/new/?customer={house.customer}").text
    form = {"id": str(uuid4()), "name": "Lower bench", "customer": house.customer, "lat": "47,5", "lon": "10.25"}
    mechanic.post("/sites/new/", form)
    site = Site.objects.get(id=form["id"])
    assert (site.lat, site.lon, str(site.customer_id)) == (47.5, 10.25, house.customer)
    assert 'value="47.5"' in mechanic.get(f"/sites/{site.id}/").text


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"lat": "47.5"}, "given together with lon"),
        ({"lat": "north", "lon": "10"}, "lat = north is not a number"),
        ({"lat": "91", "lon": "10"}, "91"),
        ({"customer": str(uuid4())}, "is none of the choices"),
    ],
)
def test_a_wrong_place_is_told_beside_its_field(mechanic: Client, changes: dict[str, str], says: str) -> None:
    answer = mechanic.post("/sites/new/", {"id": str(uuid4()), "name": "Lower bench"} | changes)
    assert says in answer.text
    assert not Site.objects.filter(name="Lower bench").exists()


def test_a_van_carries_oils_in_the_readers_units_and_keeps_what_was_not_touched(house: House) -> None:
    keep_oils(house)
    services.set_look(house.mechanic, units="us")
    mechanic = signed_in(house.mechanic)
    page = mechanic.get(f"/vans/{house.van}/")
    # 60 L / 3.785411784 L per US gallon = 15.85 gal (NIST SP 811).
    assert 'name="waste_l" value="15.85"' in page.text
    form = {"name": "Blue van", "waste_l": "15.85", "oil_varnol_hm46": "5.28", "oil_varnol_hv46": "2"}
    mechanic.post(f"/vans/{house.van}/", form)
    van = Van.objects.get(id=house.van)
    assert van.waste_l == 60.0
    assert van.oils["varnol_hm46"] == 20.0
    assert van.oils["varnol_hv46"] == pytest.approx(7.570823568)


def test_an_oil_that_is_offered_no_more_stays_in_the_van(house: House, mechanic: Client) -> None:
    mechanic.post(f"/vans/{house.van}/", {"name": "Blue van", "waste_l": "60"})
    assert Van.objects.get(id=house.van).oils == {"varnol_hm46": 20.0}


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"waste_l": "a lot"}, "a lot is not a number"),
        ({"waste_l": "-1"}, "outside 0 to 10000"),
        ({"waste_l": "1,250"}, "1,250"),
        ({"name": " "}, "Name is empty; it is needed."),
    ],
)
def test_a_wrong_van_is_told_and_nothing_is_kept(
    house: House, mechanic: Client, changes: dict[str, str], says: str
) -> None:
    answer = mechanic.post("/vans/new/", {"id": str(uuid4()), "name": "Red van", "plate": "VV 7"} | changes)
    assert says in answer.text
    assert "VV 7" in answer.text
    assert Van.objects.count() == 1


def somebody(**more: str) -> dict[str, str]:
    return {
        "id": str(uuid4()),
        "name": "Nel Orr",
        "sign_in": "nel",
        "role": "mechanic",
        "customer": "",
        "password": PASSWORD,
    } | more


def test_somebody_is_let_in_once_and_can_sign_in(office: Client) -> None:
    form = somebody()
    for _press in range(2):
        office.post("/people/new/", form)
    assert Person.objects.filter(sign_in="nel").count() == 1
    assert services.sign_in("nel", PASSWORD, address="here").name == "Nel Orr"


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"sign_in": "tom"}, "another person"),
        ({"sign_in": "two words"}, "without blanks"),
        ({"password": "short"}, "not good enough"),
        ({"role": "owner"}, "the customer whose machines this owner sees"),
        ({"role": "king"}, "is none of the choices"),
    ],
)
def test_a_wrong_person_is_told_beside_the_field(office: Client, changes: dict[str, str], says: str) -> None:
    before = Person.objects.count()
    answer = office.post("/people/new/", somebody(**changes))
    assert says in answer.text
    assert "Nel Orr" in answer.text
    assert PASSWORD not in answer.text
    assert Person.objects.count() == before


def test_a_role_is_changed_and_the_last_of_the_office_keeps_hers(house: House, office: Client) -> None:
    office.post(f"/people/{house.mechanic.id}/", {"name": "Tom Weir", "sign_in": "tom", "role": "office"})
    assert Person.objects.get(id=house.mechanic.id).role == "office"
    office.post(f"/people/{house.mechanic.id}/", {"name": "Tom Weir", "sign_in": "tom", "role": "mechanic"})
    answer = office.post(f"/people/{house.office.id}/", {"name": "Ina Orr", "sign_in": "ina", "role": "mechanic"})
    assert "somebody has to keep the keys" in answer.text
    assert Person.objects.get(id=house.office.id).role == "office"


def test_who_is_shut_out_is_out_at_once_and_comes_in_again(house: House, office: Client, mechanic: Client) -> None:
    office.post(f"/people/{house.mechanic.id}/active/", {"active": "no"})
    assert mechanic.get("/visits/")["Location"].startswith("/sign-in/")
    assert "shut out" in office.get("/people/").text
    office.post(f"/people/{house.mechanic.id}/active/", {"active": "yes"})
    assert services.sign_in("tom", PASSWORD, address="here").is_active


def test_the_last_of_the_office_cannot_be_shut_out_and_is_told_so(house: House, office: Client) -> None:
    answer = office.post(f"/people/{house.office.id}/active/", {"active": "no"}, follow=True)
    assert "somebody has to keep the keys" in answer.text
    assert Person.objects.get(id=house.office.id).is_active


def test_the_office_sets_a_forgotten_password(house: House, office: Client, mechanic: Client) -> None:
    address = f"/people/{house.mechanic.id}/password/"
    assert "not the same" in office.post(address, {"password": ANOTHER, "again": "x"}).text
    office.post(address, {"password": ANOTHER, "again": ANOTHER})
    assert services.sign_in("tom", ANOTHER, address="here").name == "Tom Weir"
    assert mechanic.get("/visits/")["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("what", ["", "password/", "erase/", "active/"])
def test_a_mechanic_changes_nobody(house: House, mechanic: Client, what: str) -> None:
    told = {"active": "no", "reason": "x", "password": ANOTHER, "again": ANOTHER, "name": "x", "sign_in": "x"}
    answer = mechanic.post(f"/people/{house.office.id}/{what}", told)
    assert answer.status_code == 403
    office = Person.objects.get(id=house.office.id)
    assert (office.name, office.is_active) == ("Ina Orr", True)


def test_somebody_is_erased_with_a_reason_but_nobody_herself(house: House, office: Client) -> None:
    office.post(f"/people/{house.mechanic.id}/erase/", {"reason": "left the firm"})
    assert "Tom Weir" not in office.get("/people/").text
    answer = office.post(f"/people/{house.office.id}/erase/", {"reason": "tired"})
    assert "cannot erase yourself" in answer.text
    assert Person.objects.get(id=house.office.id).erased_at is None


@pytest.mark.parametrize("what", ["", "password/", "erase/"])
def test_a_person_who_is_not_there_is_not_found(office: Client, what: str) -> None:
    assert office.get(f"/people/{uuid4()}/{what}").status_code == 404


def test_a_lost_phone_is_trusted_no_more_and_what_it_sent_is_let_in_by_the_office(
    house: House, office: Client, mechanic: Client
) -> None:
    phone = house.phone
    phone.send(phone.meter("100"))
    assert "Trust it no more" in mechanic.get("/settings/").text
    assert mechanic.post(f"/devices/{phone.device}/revoke/")["Location"] == "/settings/"
    phone.send(phone.meter("120", at=house.days(3)))
    assert Fact.objects.filter(held_apart=True).count() == 1
    assert "1 entry is kept apart" in office.get("/people/").text
    assert mechanic.post(f"/devices/{phone.device}/admit/").status_code == 403
    told = office.post(f"/devices/{phone.device}/admit/", follow=True)
    assert "1 entry was let in." in told.text
    assert not Fact.objects.filter(held_apart=True).exists()


def test_a_mechanic_revokes_his_own_device_alone(house: House, mechanic: Client) -> None:
    theirs = services.device_of(house.office, None, label="the office's").id
    assert mechanic.post(f"/devices/{theirs}/revoke/").status_code == 403
    assert Device.objects.get(id=theirs).revoked_at is None


def test_nothing_is_changed_by_a_mere_look(house: House, office: Client) -> None:
    device = services.device_of(house.mechanic, None).id
    for address in (
        f"/devices/{device}/revoke/",
        f"/devices/{device}/admit/",
        f"/people/{house.mechanic.id}/active/",
    ):
        assert office.get(address).status_code == 405


def test_everybody_chooses_units_and_look(house: House) -> None:
    for person in (house.office, house.mechanic, house.owner):
        client = signed_in(person)
        client.post("/settings/", {"act": "look", "units": "us", "look": "dark"})
        person.refresh_from_db()
        assert (person.units, person.look) == ("us", "dark")
        assert 'data-look="dark"' in client.get("/settings/").text


def test_a_look_that_there_is_not_is_told(house: House, mechanic: Client) -> None:
    assert (
        "is none of the choices"
        in mechanic.post("/settings/", {"act": "look", "units": "metric"} | {"look": "pink"}).text
    )
    house.mechanic.refresh_from_db()
    assert house.mechanic.look == "day"


def passwords(**more: str) -> dict[str, str]:
    return {"act": "password", "present": PASSWORD, "password": ANOTHER, "again": ANOTHER} | more


def test_ones_own_password_is_changed_and_one_stays_signed_in(house: House, mechanic: Client) -> None:
    assert "Your new password is set." in mechanic.post("/settings/", passwords(), follow=True).text
    assert mechanic.get("/visits/").status_code == 200
    assert services.sign_in("tom", ANOTHER, address="here").name == "Tom Weir"


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"present": "guessed"}, "not your present password"),
        ({"again": "another"}, "not the same"),
        ({"password": "12345678901", "again": "12345678901"}, "not good enough"),
    ],
)
def test_a_password_is_not_changed_when_something_is_wrong(
    house: House, mechanic: Client, changes: dict[str, str], says: str
) -> None:
    assert says in mechanic.post("/settings/", passwords(**changes)).text
    assert services.sign_in("tom", PASSWORD, address="here").name == "Tom Weir"


def business(**more: str) -> dict[str, str]:
    return {"act": "business", "name": "Varne Valley Service", "money": "EUR", "coldest_c": "-15"} | more


def test_the_office_says_who_issues_the_papers_and_how_cold_it_gets(office: Client) -> None:
    office.post("/settings/", business(address="Mill lane 2\nVarne", phone="555 01"))
    kept = queries.business()
    assert kept.address.splitlines() == ["Mill lane 2", "Varne"]
    assert (kept.name, kept.phone, kept.money, kept.coldest_c) == ("Varne Valley Service", "555 01", "EUR", -15.0)


def test_the_coldest_start_is_told_in_the_readers_units(house: House) -> None:
    services.set_look(house.office, units="us")
    office = signed_in(house.office)
    office.post("/settings/", business(coldest_c="5"))
    assert queries.business().coldest_c == pytest.approx(-15.0)
    assert 'name="coldest_c" value="5"' in office.get("/settings/").text


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"coldest_c": "-60"}, "-60"),
        ({"coldest_c": "brr"}, "brr is not a number"),
        ({"name": ""}, "Name is empty; it is needed."),
        ({"money": "far too long a name"}, "Money has 19 characters; at most 10 are kept."),
    ],
)
def test_a_wrong_business_is_told_and_changes_nothing(office: Client, changes: dict[str, str], says: str) -> None:
    before = queries.business()
    answer = office.post("/settings/", business(**changes))
    assert says in answer.text
    assert queries.business() == before


def test_the_business_is_the_offices_alone(house: House) -> None:
    before = queries.business()
    for person in (house.mechanic, house.owner):
        assert signed_in(person).post("/settings/", business(name="Mine")).status_code == 403
        assert "The business" not in signed_in(person).get("/settings/").text
    assert queries.business() == before


def test_the_office_sees_whether_a_backup_was_made(house: House, office: Client, tmp_path: Any) -> None:
    assert "No backup was ever made." in office.get("/settings/").text
    services.backup(tmp_path / "one.coldmark")
    assert "It covers everything." in office.get("/settings/").text
    house.phone.send(house.phone.meter("100"))
    assert "1 entry has come since." in office.get("/settings/").text


def test_today_tells_the_office_when_entries_wait_too_long_for_a_backup(
    house: House, office: Client, tmp_path: Any
) -> None:
    told = "is in no backup"
    house.phone.send(house.phone.meter("100"))
    assert told not in office.get("/").text
    Fact.objects.update(arrived=timezone.now() - timedelta(days=8))
    assert told in office.get("/").text
    assert told not in signed_in(house.mechanic).get("/").text
    services.backup(tmp_path / "one.coldmark")
    assert told not in office.get("/").text


def test_the_office_is_told_at_once_that_a_backup_lacks_files(house: House, office: Client, tmp_path: Any) -> None:
    for shade in (1, 2):
        files.path_of(files.ATTACHMENTS, keep_photo(house.mechanic, shade)).unlink()
    services.backup(tmp_path / "one.coldmark")
    assert "The last backup lacks 2 files that are gone from this disk or damaged." in office.get("/").text
    assert "lacks 2 files" not in signed_in(house.mechanic).get("/").text
    settings = office.get("/settings/").text
    assert "It lacks 2 files that are gone from this disk or damaged:" in settings
    assert "--give-up" in settings
    assert "It covers everything." not in settings
    keep_photo(house.mechanic, 2)
    services.backup(tmp_path / "two.coldmark")
    assert "The last backup lacks 1 file that is gone from this disk or damaged." in office.get("/").text
    services.backup(tmp_path / "three.coldmark", give_up=True)
    assert "The last backup lacks" not in office.get("/").text
    assert "It covers everything." in office.get("/settings/").text


def test_what_somebody_typed_is_text_on_every_page(office: Client) -> None:
    form = {"id": str(uuid4()), "name": "<b>Bold</b>", "note": "<script>1</script>"}
    office.post("/customers/new/", form)
    for address in ("/customers/", f"/customers/{form['id']}/", f"/customers/{form['id']}/edit/"):
        page = office.get(address).text
        assert "<b>Bold" not in page
        assert "<script>1" not in page
