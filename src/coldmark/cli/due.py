"""``coldmark due``: what falls due in the coming weeks, machine by machine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from coldmark.bench.errors import Refused
from coldmark.cli import Json, asking, print_json

if TYPE_CHECKING:
    from datetime import date

    from coldmark.bench.words import UnitSystem
    from coldmark.records.queries import Choice, DueMachine

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("due")(due)


def due(
    weeks: Annotated[int, typer.Option(min=1, max=104, help="How many weeks ahead.")] = 8,
    customer: Annotated[str | None, typer.Option(help="Of this customer alone: id or part of the name.")] = None,
    site: Annotated[str | None, typer.Option(help="On this site alone: id or part of the name.")] = None,
    task: Annotated[str | None, typer.Option(help="This task alone, by its key on the sheet.")] = None,
    sign_in: asking.As = None,
    as_json: Json = False,
) -> None:
    """Say what falls due, the soonest first. What is over comes before all."""
    person = asking.acting(sign_in)
    from django.utils import timezone  # Django must be ready first

    from coldmark.bench import words
    from coldmark.records import queries

    day = timezone.localdate()
    first = queries.due_rows(person, day=day, weeks=weeks)
    chosen = partial(
        queries.due_rows,
        person,
        day=day,
        weeks=weeks,
        customer=_chosen("customer", customer, first.customers),
        site=_chosen("site", site, first.sites),
        task=_chosen("task", task, first.tasks),
    )
    found = chosen()
    machines = list(found.machines)
    for page in range(2, found.pages + 1):
        machines += chosen(page=page).machines
    if as_json:
        print_json({"day": day.isoformat(), "last": found.last.isoformat(), "machines": list(_plain(machines, day))})
        return
    count = words.sentence("cli.due.one" if found.total == 1 else "cli.due.more", count=found.total)
    typer.echo(words.sentence("cli.due.head", machines=count, last=words.day(found.last)))
    for line in _lines(machines, day, "us" if person.units == "us" else "metric"):
        typer.echo(line)


def _chosen(name: str, told: str | None, choices: Sequence[Choice]) -> str | None:
    """The id of what was told: by id, by its whole name, or by a part of it that no other has."""
    if told is None:
        return None
    wanted = told.strip().casefold()
    exact = [one.id for one in choices if wanted in (one.id.casefold(), one.name.casefold())]
    part = [one.id for one in choices if wanted in one.name.casefold()]
    for found in (dict.fromkeys(exact), dict.fromkeys(part)):
        if len(found) == 1:
            return next(iter(found))
    names = ", ".join(sorted({one.name for one in choices if not part or one.id in part})[:8])
    raise Refused("refused.choice", name=name, value=told, choices=names)


def _plain(machines: Iterable[DueMachine], day: date) -> Iterator[dict[str, object]]:
    for one in machines:
        rows = [{**asking.plain(line), "stands": line.stands(day)} for line in one.due]
        yield {"machine": asking.plain(one.machine), "due": rows}


def _lines(machines: Iterable[DueMachine], day: date, units: UnitSystem) -> Iterator[str]:
    from coldmark.bench import words  # Django is ready by now
    from coldmark.records import queries

    for one in machines:
        line = one.machine
        name = " ".join(filter(None, (line.name or line.serial or line.id[:8], line.number and f"({line.number})")))
        where = ", ".join(filter(None, (line.customer_name, line.site_name)))
        room = asking.WIDTH - len(name) - 2
        yield ""
        yield f"{name}  {where:>{room}}" if len(where) <= room else f"{name}\n  {where}"
        for row in one.due:
            stands = words.sentence(f"cli.due.{row.stands(day)}")
            yield asking.wrapped(queries.due_says(row, units), first=f"  {stands:<8}")
