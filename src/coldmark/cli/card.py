"""``coldmark card``: a job's card, step by step, in the terminal or on paper."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coldmark.cli import Json, asking, print_json

if TYPE_CHECKING:
    from coldmark.papers.data import CardPaper, ScreenPaper

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("card")(card)


def card(
    of: Annotated[
        str,
        typer.Argument(
            metavar="JOB|MACHINE",
            help="A job's id or its beginning; or a machine by number or words: its open job, or the next one planned.",
        ),
    ],
    pdf: Annotated[Path | None, typer.Option(help="Write it as PDF instead; must not be there yet.")] = None,
    sign_in: asking.As = None,
    as_json: Json = False,
) -> None:
    """Show a job's card. Cautions come first, then one step after the other."""
    if pdf is not None:
        asking.free_file(pdf, "pdf")
    person = asking.acting(sign_in)
    from coldmark.records import paperwork, queries  # Django must be ready first

    job = queries.find_job(person, of)
    if pdf is not None:
        asking.write(pdf, paperwork.card_pdf(person, job), "pdf")
    if as_json:
        print_json(queries.job_card(person, job)["card"])
    elif pdf is not None:
        typer.echo(str(pdf))
    else:
        typer.echo("\n".join(_lines(paperwork.card_paper(person, job))))


def _lines(told: CardPaper) -> Iterator[str]:
    machine = told.machine
    yield asking.wrapped(", ".join(filter(None, (machine.name, machine.model, machine.serial))))
    yield asking.wrapped(", ".join(filter(None, (told.owner, told.site))))
    yield asking.wrapped("; ".join(told.tasks))
    for number, screen in enumerate(told.screens, 1):
        yield ""
        yield from _screen(number, screen)


def _screen(number: int, screen: ScreenPaper) -> Iterator[str]:
    indent = "     "
    yield asking.wrapped(screen.title, first=f"{number:>3}  ")
    for text in (screen.says, screen.why):
        if text:
            yield asking.wrapped(text, first=indent)
    for caution in screen.cautions:
        # A caution that is the step itself has said its hazard as the title.
        parts = (caution.hazard, caution.consequence, caution.avoidance)
        said = " ".join(part for part in parts if part not in (screen.title, screen.says, screen.why))
        yield asking.wrapped(f"{caution.signal.upper()}  {said}".rstrip(), first=f"{indent}! ", then=f"{indent}  ")
    if screen.tray:
        names = (f"{part.name} {part.number}".rstrip() for part in screen.tray)
        counts = (part.count for part in screen.tray)
        listed = (name if count == "1" else f"{count} × {name}" for name, count in zip(names, counts, strict=True))
        yield asking.wrapped(" – ".join(listed), first=f"{indent}[ ] ")
    for line in screen.lines:
        yield asking.wrapped(f"{line.what}: {line.value}", first=f"{indent}- ")
