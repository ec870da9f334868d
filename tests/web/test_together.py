"""Pages keep numbers with their units; what is typed or drawn stands as it is."""

from __future__ import annotations

import pytest
from django.test import Client

from coldmark.records.models import Person
from coldmark.web.together import kept_together
from tests.records.house import House, Phone, h

NO_BREAK = "\u00a0"


def plain(person: Person) -> Client:
    client = Client(headers={"host": "localhost"})
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_running_text_is_kept_and_markup_is_not_touched() -> None:
    page = '<p title="2 L">Add 2.4 L now, <b>12 mm</b>.</p><option value="5 t">5 t</option>'
    assert kept_together(page) == page.replace("2.4 L", f"2.4{NO_BREAK}L").replace("12 mm", f"12{NO_BREAK}mm").replace(
        ">5 t<", f">5{NO_BREAK}t<"
    )


@pytest.mark.parametrize(
    "page",
    [
        "<textarea name=text>bore_mm = 60 # 60 mm\n</textarea>",
        "<PRE class='code'>stroke = 5 in\n<b>5 in</b></PRE>",
        '<svg viewBox="0 0 9 9"><text>2 L</text></svg>',
        "<script>const a = 2 < 3; // 5 min</script>",
        "<!-- 3 h -->",
        '<input value="5 min">',
        "3 tins in 2 boxes",
        "",
    ],
)
def test_what_is_typed_run_or_drawn_stands_as_it_is(page: str) -> None:
    assert kept_together(page) == page


def test_a_page_is_answered_so(house: House) -> None:
    phone = Phone(house.mechanic, house.machine)
    phone.send(phone.fact("meter_read", {"reading": h("400"), "way": "seen"}, at=house.days(1)))
    page = plain(house.mechanic).get(f"/machines/{house.machine}/")
    text = page.content.decode()
    assert f"The hour meter shows 400{NO_BREAK}h." in text
    assert kept_together(text) == text
    assert page.headers["Content-Type"].startswith("text/html")


def test_a_sheets_text_and_what_other_programs_read_have_ordinary_blanks(house: House) -> None:
    client = plain(house.mechanic)
    text = client.get(f"/sheets/{house.sheet}.toml").content.decode()
    assert NO_BREAK not in text
    assert client.get(f"/sheets/{house.sheet}/").content.decode().count(NO_BREAK) == 0
    assert NO_BREAK.encode() not in client.get("/api/catalogue").content
