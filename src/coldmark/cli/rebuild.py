"""``coldmark rebuild``: everything that is worked out from facts, made anew."""

from __future__ import annotations

import typer

from coldmark.cli import Json, boot, print_json


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("rebuild")(rebuild)


def rebuild(as_json: Json = False) -> None:
    """Drop what was worked out from the facts and work it out again, to the same content."""
    boot.start()
    boot.migrate()
    from coldmark.records.services.folding import rebuild as make_anew  # Django must be ready first

    done = make_anew()
    if as_json:
        print_json({"machines": done.machines, "failed": list(done.failed)})
    else:
        typer.echo(f"{done.machines} machines worked out anew.")
        for machine in done.failed:
            typer.echo(f"Machine {machine} could not be worked out; its facts are kept.", err=True)
    if done.failed:
        raise typer.Exit(1)
