"""``coldmark backup FILE``: everything the house keeps in one file, while it serves."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from coldmark.cli import Json, boot, print_json


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("backup")(backup)


def backup(
    file: Annotated[Path, typer.Argument(help="Where to write it; must not be there yet.")], as_json: Json = False
) -> None:
    """Write facts, photos and documents into one file. The server may go on serving."""
    boot.start()
    from coldmark.records.services.backing_up import backup as make  # Django must be ready first

    made = make(file)
    if as_json:
        print_json(
            {"file": made.path, "facts": made.facts, "files": made.files, "arrival": made.arrival, "bytes": made.size}
        )
        return
    typer.echo(f"{made.path}: {made.facts} facts, {made.files} files, {made.size / 1e6:.1f} MB.")
    typer.echo("It holds names and passwords' hashes: keep it where only you can read it, and away from this machine.")
