"""``coldmark report``: issue a job's service report, and write it to a file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from coldmark.cli import Json, asking, print_json

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("report")(report)


def report(
    of: Annotated[
        str,
        typer.Argument(
            metavar="JOB|MACHINE",
            help="A job's id or its beginning; or a machine by number or words: its open job, else its last one.",
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(help="Where to write the PDF, else report-NUMBER.pdf here; must not be there yet.")
    ] = None,
    last: Annotated[
        bool, typer.Option("--last", help="Write the report that was issued last, and issue none.")
    ] = False,
    sign_in: asking.As = None,
    as_json: Json = False,
) -> None:
    """Issue a job's service report. As the job stands now: numbered, kept, and written to a file."""
    if out is not None:
        asking.free_file(out, "out")
    person = asking.acting(sign_in)
    from coldmark.records import paperwork, queries, services  # Django must be ready first
    from coldmark.records.errors import NotFound

    job = queries.find_job(person, of, planned=False)
    if last:
        issued = queries.last_report(person, job)
        if issued is None:
            raise NotFound("report", job)
    else:
        issued = paperwork.issue_report(person, job)
    file = out or Path(f"report-{issued.number}.pdf")
    content = services.read_document(person, issued.id).content
    if content is None:  # erased since it was looked for
        raise NotFound("report", job)
    asking.write(file, content, "out")
    if as_json:
        print_json({**asking.plain(issued), "file": str(file)})
    else:
        typer.echo(f"{file}")
