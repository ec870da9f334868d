"""``coldmark restore FILE``: a backup back in its place."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from coldmark.cli import Json, boot, print_json
from coldmark.records.folder import data_folder
from coldmark.records.turns import alone_in


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("restore")(restore)


def restore(
    file: Annotated[Path, typer.Argument(help="The backup.")],
    over: Annotated[bool, typer.Option("--over", help="Put it in the place of records that are there.")] = False,
    as_json: Json = False,
) -> None:
    """Check a backup and put it in the place of what the data folder holds. The server must be stopped."""
    with alone_in(data_folder()):
        boot.start()
        boot.migrate()
        from coldmark.records.services.restoring import restore as put_back  # Django must be ready first

        done = put_back(file, over=over)
    if as_json:
        print_json(
            {
                "facts": done.facts,
                "files": done.files,
                "epoch": done.epoch,
                "erasures": done.erasures,
                "machines": done.folded.machines,
                "failed": list(done.folded.failed),
                "lacking": done.lacking,
                "given_up": done.given_up,
            }
        )
        return
    typer.echo(f"{done.facts} facts and {done.files} files are back; {done.folded.machines} machines worked out anew.")
    if done.erasures:
        typer.echo(f"{done.erasures} erasures were done again.")
    if done.lacking:
        typer.echo(
            f"Files that the backup lacked already: {done.lacking}. Phones that still have them send them again.",
            err=True,
        )
    for machine in done.folded.failed:
        typer.echo(f"Machine {machine} could not be worked out; its facts are kept.", err=True)
