"""``coldmark sheet``: check a machine's data sheet, begin a new one, or print the schema for an editor."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from coldmark.bench import words
from coldmark.bench.errors import Refused
from coldmark.bench.sheet import SheetFaults, json_schema, read, remarks, template
from coldmark.cli import Json, print_json

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command with its own three."""
    own = typer.Typer(help="Machines' data sheets.", no_args_is_help=True, rich_markup_mode=None)
    own.command("check")(check)
    own.command("new")(new)
    own.command("schema")(schema)
    app.add_typer(own, name="sheet")


def _text(file: Path) -> str:
    try:
        return file.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        raise Refused("sheet.not_utf8", name="file", value=str(file)) from None
    except OSError:
        raise Refused("sheet.no_file", name="file", value=str(file)) from None


def check(
    file: Annotated[Path, typer.Argument(help="The data sheet, a TOML file.")],
    as_json: Json = False,
) -> None:
    """Say all that is wrong with a data sheet, line by line, and what a sound one had better have."""
    text = _text(file)
    try:
        sheet = read(text)
    except SheetFaults as found:
        if as_json:
            print_json({"sound": False, "faults": [fault.to_plain() for fault in found.faults], "remarks": []})
        else:
            typer.echo("\n".join(fault.say() for fault in found.faults), err=True)
        raise typer.Exit(1) from None
    seen = remarks(text)
    if as_json:
        told = [one.to_plain() for one in seen]
        print_json({"sound": True, "faults": [], "remarks": told, "sha256": sheet.sha256})
        return
    typer.echo(
        words.sentence(
            "sheet.sound",
            title=f"{sheet.maker} {sheet.model}",
            housings=len(sheet.housings),
            tasks=len(sheet.tasks),
            steps=sum(len(steps) for steps in sheet.steps.values()),
        )
    )
    if seen:
        typer.echo("\n".join([words.sentence("sheet.remarks"), *(one.say() for one in seen)]))


def new(
    kind: Annotated[
        str, typer.Option(help="excavator, track_loader, telehandler, wheel_loader or dumper.")
    ] = "excavator",
) -> None:
    """Print a commented sheet to start from; what is made up in it says FILL IN."""
    typer.echo(template(kind), nl=False)


def schema() -> None:
    """Print the JSON Schema of a data sheet, for an editor."""
    print_json(json_schema())
