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
    file: Annotated[Path, typer.Argument(help="Where to write it; must not be there yet.")],
    give_up: Annotated[
        bool, typer.Option("--give-up", help="Wait for no phone that may still have a file that this disk lacks.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Write facts, photos and documents into one file. The server may go on serving."""
    boot.start()
    from coldmark.records.services.backing_up import backup as make  # Django must be ready first

    made = make(file, give_up=give_up)
    if as_json:
        print_json(
            {
                "file": made.path,
                "facts": made.facts,
                "files": made.files,
                "arrival": made.arrival,
                "bytes": made.size,
                "lacking": list(made.lacking),
                "given_up": list(made.given_up),
            }
        )
        return
    typer.echo(f"{made.path}: {made.facts} facts, {made.files} files, {made.size / 1e6:.1f} MB.")
    if made.given_up:
        typer.echo(f"Without {_counted(len(made.given_up))} that nobody has any more.")
    if made.lacking:
        # On the other stream, and yet no failure: the file is worth carrying away.
        typer.echo(_lacks(len(made.lacking)), err=True)
    typer.echo("It holds names and passwords' hashes: keep it where only you can read it, and away from this machine.")


def _counted(files: int) -> str:
    return "1 file" if files == 1 else f"{files} files"


def _lacks(files: int) -> str:
    return (
        f"It lacks {_counted(files)} that {'is' if files == 1 else 'are'} gone from this disk or damaged. Phones keep "
        "what they hold until a backup lacks nothing, and send again what they still have of it: make another once all "
        "have been in reach of this server. What that one lacks nobody has any more; with --give-up it is waited "
        "for no longer."
    )
