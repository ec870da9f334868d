"""The ``coldmark`` command.

A command is one module of this package with a function ``add_to(app)`` that registers it; the modules are found by
looking, so that a new command is a new file and nothing else::

    def add_to(app: typer.Typer) -> None:
        app.command("due")(due)

    def due(days: int = 30, as_json: Json = False) -> None:
        \"\"\"What is due, and where.\"\"\"
        boot.start()                      # only a command that needs the records starts Django
        from coldmark.records import ...  # heavy, hence here

Each invocation imports every command's module, so these modules import nothing heavy at their top: no Django, no
Typst. A refusal (``ColdmarkError``) is left to fly: :func:`main` says it in one sentence, or as JSON where the
command was given ``--json``. Exit codes: 0 fine, 1 refused, 2 misuse of the command line.
"""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import sys
from itertools import pairwise
from typing import Annotated, Any, Literal

import typer

from coldmark import __version__
from coldmark.bench.errors import ColdmarkError, Refused

__all__ = ["Json", "build_app", "main", "print_json", "run"]

Json = Annotated[bool, typer.Option("--json", help="Print JSON for another program instead of sentences.")]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"coldmark {__version__}")
        raise typer.Exit


def _everywhere(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Options that stand before any command."""


def build_app() -> typer.Typer:
    """Return the command with every module of this package that has an ``add_to`` registered."""
    app = typer.Typer(
        name="coldmark",
        help="What is due, what to bring, the job card, and the oil level that is right when hot.",
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,
    )
    app.callback()(_everywhere)
    for found in sorted(pkgutil.iter_modules(__path__), key=lambda module: module.name):
        module = importlib.import_module(f"{__name__}.{found.name}")
        add_to = getattr(module, "add_to", None)
        if add_to is not None:
            add_to(app)
    return app


def print_json(value: Any) -> None:
    """Print a value as JSON on standard output."""
    typer.echo(json.dumps(value, ensure_ascii=False, indent=2))


def _units_asked(arguments: list[str]) -> Literal["metric", "us"]:
    """The units of a command line that was refused, wherever in it they stand."""
    return "us" if "--units=us" in arguments or ("--units", "us") in pairwise(arguments) else "metric"


def _refuse(error: ColdmarkError, units: Literal["metric", "us"], *, as_json: bool) -> None:
    if as_json:
        name = error.name if isinstance(error, Refused) else None
        print_json({"refused": error.say(units), "message": error.message, "name": name})
    else:
        typer.echo(error.say(units), err=True)


def run(arguments: list[str]) -> int:
    """Run one command line and return its exit code."""
    app = build_app()
    try:
        app(arguments, prog_name="coldmark")
    except ColdmarkError as error:
        _refuse(error, _units_asked(arguments), as_json="--json" in arguments)
        return 1
    except BrokenPipeError:
        # The reader (head, less) has seen enough. Python would complain once more when it closes standard output.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 1
    return 0


def main() -> None:
    """Run the command line this process was started with."""
    sys.exit(run(sys.argv[1:]))
