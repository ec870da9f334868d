"""What pages, the API and papers cost on a house of 2,000 machines and 200,000 facts, on SQLite, in this process.

Each page is asked of the whole application (middleware, sign-in, templates); the network alone is left out. The number
of queries is measured beside the time: it must not grow with the house, which the tests hold on small ones.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from benchmarks import Measure, least_s
from benchmarks.big_house import BigHouse, big_house

if TYPE_CHECKING:
    from coldmark.records.models import Person

PAGES = {
    "Today": "/?day=2026-06-15",
    "a machine's page": "/machines/{machine}/",
    "the page of a machine with 5,000 facts": "/machines/{busy_machine}/",
    "the story of a machine with 5,000 facts": "/machines/{busy_machine}/story/",
    "Machines, searched": "/machines/?q=machine+99",
}
SLOWER = {
    "Due": "/due/",
    "Open findings": "/machines/findings/",
    "the page of a job with 400 facts": "/jobs/{busy_job}/",
    "the card of a job with 400 facts, as JSON": "/api/jobs/{busy_job}/card",
    "facts pulled, 500 of them": "/api/facts?after=1000",
}
MOST_QUERIES = 30


@cache
def _house() -> BigHouse:
    return big_house()


@cache
def _office() -> Person:
    from coldmark.records.models import Person  # Django must be ready first

    return Person.objects.get(id=_house().office)


def _ask(path: str) -> Callable[[], object]:
    """What asks for a page, signed in, on the day for which the house was made."""
    house, office = _house(), _office()
    from django.test import Client  # Django must be ready first

    client = Client(SERVER_NAME="localhost")
    client.force_login(office)
    told = path.format(machine=house.machine, busy_machine=house.busy_machine, busy_job=house.busy_job)

    def ask() -> None:
        answer = client.get(told)
        if answer.status_code != 200:
            raise RuntimeError(f"{told} answered {answer.status_code}")

    return ask


def _page_ms(path: str) -> Callable[[], float]:
    return lambda: 1000 * least_s(_ask(path))


def _queries(path: str) -> Callable[[], float]:
    def count() -> float:
        ask = _ask(path)
        ask()
        from django.db import connection  # Django must be ready first
        from django.test.utils import CaptureQueriesContext

        with CaptureQueriesContext(connection) as captured:
            ask()
        return len(captured)

    return count


def report_s() -> float:
    """A service report, put together from its job's facts and set as PDF."""
    house, office = _house(), _office()
    from django.utils import timezone  # Django must be ready first

    from coldmark.bench import words
    from coldmark.papers.render import pdf
    from coldmark.records.paperwork.report import report_of

    def once() -> bytes:
        made = report_of(office, house.job, number="2026-00001")
        labels = words.labels("paper.report.")
        return pdf("report", made.paper, labels=labels, pictures=made.pictures, issued=timezone.now())

    return least_s(once, times=7)


MEASURES = (
    *(Measure(f"{name}", 100, "ms", _page_ms(path)) for name, path in PAGES.items()),
    *(Measure(f"{name}", 300, "ms", _page_ms(path)) for name, path in SLOWER.items()),
    *(
        Measure(f"queries of {name}", MOST_QUERIES + 1, "", _queries(path))
        for name, path in (PAGES | SLOWER).items()
        if not path.startswith("/api/")
    ),
    Measure("a service report as PDF", 0.5, "s", report_s),
)
