"""``coldmark kit``: what to bring for a job, or for tasks on a machine."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coldmark.bench.errors import Missing
from coldmark.cli import Json, asking, print_json

if TYPE_CHECKING:
    from coldmark.bench.words import UnitSystem
    from coldmark.records.models import Person
    from coldmark.records.queries import JobKit

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("kit")(kit)


def kit(
    of: Annotated[
        str,
        typer.Argument(
            metavar="JOB|MACHINE",
            help="A job's id or its beginning; or a machine by number or words: its open job, or the next one planned.",
        ),
    ],
    task: Annotated[
        list[str] | None, typer.Option(help="For this task on the machine, without a job; may repeat.")
    ] = None,
    pdf: Annotated[Path | None, typer.Option(help="Write it as PDF, too; must not be there yet.")] = None,
    sign_in: asking.As = None,
    as_json: Json = False,
) -> None:
    """Say what to bring. Elements, seals, oil with its reserve, tools by hex, what is used up, room for waste."""
    if task and pdf is not None:
        raise typer.BadParameter("a kit goes on paper for a job, not for tasks", param_hint="--pdf")
    if pdf is not None:
        asking.free_file(pdf, "pdf")
    person = asking.acting(sign_in)
    from coldmark.bench import words  # Django must be ready first
    from coldmark.records import paperwork, queries

    if task:
        found = queries.machine_kit(person, queries.find_machine(person, of), tuple(task))
    else:
        found = queries.job_kit(person, queries.find_job(person, of))
    if found.kit is None:
        raise Missing(name="sheet", needed_for=words.sentence("cli.the_kit"))
    if pdf is not None:
        asking.write(pdf, paperwork.kit_pdf(person, found.job.job), "pdf")
    if as_json:
        print_json(asking.plain(found))
        return
    _tell(person, found)
    if pdf is not None:
        typer.echo(f"\n{pdf}")


def _tell(person: Person, found: JobKit) -> None:
    from coldmark.records import paperwork  # Django is ready by now

    if found.kit is None:
        return
    units: UnitSystem = "us" if person.units == "us" else "metric"
    line = found.machine
    typer.echo(asking.wrapped(", ".join(filter(None, (line.name or line.number or line.serial, line.sheet_title)))))
    typer.echo(asking.wrapped("; ".join(found.task_names)))
    typer.echo(asking.wrapped(", ".join(filter(None, (paperwork.kit_time(found.kit), found.van)))))
    for group in paperwork.kit_groups(found.kit, units):
        typer.echo(f"\n{group.title}")
        rows = [(row.name, row.detail, row.amount) for row in group.rows]
        typer.echo("\n".join(asking.columns(rows)) if rows else "  –")
    notes = paperwork.kit_notes(found.kit, units)
    if notes:
        typer.echo("")
    for note in notes:
        typer.echo(asking.wrapped(note))
