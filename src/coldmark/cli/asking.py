"""What the commands on the records share: who acts, and text that fits a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from coldmark.bench.errors import Refused
from coldmark.cli import boot

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from coldmark.records.models import Person

__all__ = ["As", "acting", "columns", "free_file", "plain", "wrapped", "write"]

WIDTH = 80

As = Annotated[
    str | None,
    typer.Option(
        "--as",
        metavar="SIGN_IN",
        help="Who asks, by sign-in name; else the office's first. Nobody is asked for a password: who may read the "
        "data folder may read all that is in it.",
    ),
]


def acting(sign_in: str | None) -> Person:
    """Start Django on the data folder and return who acts."""
    boot.start()
    boot.migrate()
    from coldmark.records import queries  # Django must be ready first

    return queries.acting(sign_in)


def plain(value: DataclassInstance) -> dict[str, Any]:
    """A dataclass as JSON has it: days and moments as text."""
    return {key: _plain(one) for key, one in asdict(value).items()}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value.isoformat() if isinstance(value, (date, datetime)) else value


def wrapped(text: str, *, first: str = "", then: str | None = None) -> str:
    """A text broken at blanks to the terminal's width; ``first`` stands before it, ``then`` before its other lines."""
    indent = " " * len(first) if then is None else then
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False)


def columns(rows: Iterable[tuple[str, str, str]], *, indent: str = "  ") -> list[str]:
    """Rows of name, detail and amount as lines: the amounts one below the other at the right, names on the left.

    A detail that does not fit between them goes on a line of its own.
    """
    lines = []
    for name, detail, amount in rows:
        left = f"{indent}{name}"
        room = WIDTH - len(left) - len(amount) - 4
        if detail and len(detail) <= room:
            left, detail = f"{left}  {detail}", ""
        lines.append(f"{left} {amount:>{max(0, WIDTH - len(left) - 1)}}".rstrip())
        if detail:
            lines.append(wrapped(detail, first=f"{indent}    "))
    return lines


def free_file(file: Path, name: str) -> Path:
    """Return the path of a file to be written, refused when there is one already."""
    if file.exists():
        raise Refused("cli.file_exists", name=name, value=str(file))
    return file


def write(file: Path, content: bytes, name: str) -> None:
    """Write a file that is not there yet."""
    try:
        with file.open("xb") as out:
            out.write(content)
    except FileExistsError:
        raise Refused("cli.file_exists", name=name, value=str(file)) from None
    except OSError as error:
        raise Refused("cli.cannot_write", name=name, value=str(file), why=error.strerror or "") from None
