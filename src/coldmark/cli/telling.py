"""How the commands that run a calculation read files and print what came out."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coldmark.bench.errors import Refused
from coldmark.cli import print_json

if TYPE_CHECKING:
    from coldmark.bench.catalogue import Outcome

__all__ = ["Units", "UnitsOption", "tell", "text_of"]


class Units(StrEnum):
    """In which units the reader is told."""

    METRIC = "metric"
    US = "us"


UnitsOption = Annotated[Units, typer.Option("--units", help="Units to be told in, and of values without a unit.")]


def text_of(file: Path, name: str) -> str:
    """Return a file's text; ``name`` is what it was given for."""
    try:
        return file.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        raise Refused("cli.not_utf8", name=name, value=str(file)) from None
    except OSError:
        raise Refused("cli.no_file", name=name, value=str(file)) from None


def tell(outcome: Outcome, units: Units, *, as_json: bool, working_first: bool = False) -> None:
    """Print an outcome: the sentences; then the values, what is missing, and the working, or the working before them.

    The working stands first where the sentences are the whole answer, else the values do, which are part of it.
    """
    from coldmark.bench.catalogue import outcome_to_plain  # pulls in the whole bench, so only when it is run

    if as_json:
        print_json(outcome_to_plain(outcome, units.value))
        return
    parts = [_values(outcome), outcome.notes, outcome.working_lines]
    if working_first:
        parts = [parts[-1], *parts[:-1]]
    typer.echo("\n\n".join("\n".join(part) for part in (outcome.says, *parts) if part))


def _values(outcome: Outcome) -> list[str]:
    told = [one for one in outcome.fields if one.value is not None]
    width = max((len(one.label) for one in told), default=0)
    return [f"{one.label + ':':<{width + 1}} {one.text}" for one in told]
