"""``coldmark calc NAME key=value …``: any calculation of the catalogue."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from coldmark.cli import Json, print_json
from coldmark.cli.telling import Units, UnitsOption, tell, text_of

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["add_to"]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command("calc")(calc)


def _values(told: Iterable[str]) -> dict[str, object]:
    values: dict[str, object] = {}
    for pair in told:
        key, equals, value = pair.partition("=")
        if not equals or not key:
            raise typer.BadParameter(f"{pair} is not key=value")
        if key in values:
            raise typer.BadParameter(f"{key} is given twice")
        values[key] = text_of(Path(value[1:]), key) if value.startswith("@") else value
    return values


def _limits(one: dict[str, Any]) -> str:
    symbol = f" {one['unit']['symbol']}".rstrip() if one["unit"] else ""
    if one["choices"]:
        return ", ".join(choice["key"] for choice in one["choices"])
    if one["columns"]:
        return "rows of " + ", ".join(column["name"] for column in one["columns"])
    if one["low"] is not None:
        return f"{one['low']:g} to {one['high']:g}{symbol}"
    return ""


def _describe(described: dict[str, Any]) -> None:
    typer.echo(described["question"])
    typer.echo(described["what"])
    typer.echo("")
    for one in described["inputs"]:
        default = "" if one["default"] is None else f" (else {one['default']})"
        needed = "" if one["optional"] else " *"
        limits = f"  {_limits(one)}" if _limits(one) else ""
        typer.echo(f"{one['stem']:<20} {one['label']}{needed}{limits}{default}")
        for column in one["columns"]:
            limits = f"  {_limits(column)}" if _limits(column) else ""
            typer.echo(f"  {column['name']:<18} {column['label']}{'' if column['optional'] else ' *'}{limits}")
    typer.echo("")
    typer.echo("* is needed. A file is given as key=@FILE.")


def _explain(described: dict[str, Any]) -> None:
    told = [described[part] for part in ("what", "when", "assumes", "limits")]
    sources = [f"Source: {source}" for source in described["sources"]]
    typer.echo("\n\n".join([described["question"], *told, "\n".join(described["formulas"]), "\n".join(sources)]))


def _list(text: str, *, as_json: bool) -> None:
    from coldmark.bench import catalogue, words  # pulls in the whole bench, so only when it is run

    found = catalogue.find(text)
    if as_json:
        print_json({key: words.sentence(catalogue.entry(key).question) for key in found})
        return
    if not found:
        typer.echo(f"No question has these words: {text}")
        return
    for topic, keys in catalogue.by_topic(found, best_first=bool(text.strip())).items():
        typer.echo(words.sentence(f"catalogue.topic.{topic}"))
        typer.echo("\n".join(f"  {key:<20} {words.sentence(catalogue.entry(key).question)}" for key in keys))


def calc(
    name: Annotated[str | None, typer.Argument(help="The calculation; none lists them all.")] = None,
    told: Annotated[
        list[str] | None, typer.Argument(metavar="[KEY=VALUE]...", help="Its inputs; none describes them.")
    ] = None,
    units: UnitsOption = Units.METRIC,
    find: Annotated[str, typer.Option(help="List only those that are about this: words of what is in your hand.")] = "",
    how: Annotated[
        bool, typer.Option("--how", help="Say how it is worked out, what it assumes and its limits.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Work something out: KEY=VALUE with a unit in the key (oil_f=41) or without for your own; KEY=@FILE for a file."""
    from coldmark.bench import catalogue  # pulls in the whole bench, so only when it is run

    if name is None:
        _list(find, as_json=as_json)
        return
    if told and not how:
        tell(catalogue.run(name, _values(told), units.value), units, as_json=as_json)
        return
    described = catalogue.describe(name, units.value)
    if as_json:
        print_json(described)
    elif how:
        _explain(described)
    else:
        _describe(described)
