"""Write the pages that say how each calculation is worked out anew: ``python -m tests.bench.write_how``."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from coldmark.bench import catalogue, words
from coldmark.bench.catalogue import Entry, Outcome
from tests.bench.card_cases import ROOT
from tests.bench.sum_examples import example_of, example_typed

FOLDER = ROOT / "docs" / "how" / "sums"
_MADE = "<!-- Made by `python -m tests.bench.write_how` from the catalogue; change it there. -->"


def pages() -> dict[str, str]:
    """Return every page, and every picture on one, by its file's name."""
    made = {"README.md": _index()}
    for key, entry in catalogue.ENTRIES.items():
        outcome = catalogue.run(key, example_of(entry))
        made[f"{key}.md"] = "\n".join(_page(entry, outcome)) + "\n"
        if outcome.picture is not None:
            made[f"{key}.svg"] = outcome.picture + "\n"
    return made


def _index() -> str:
    lines = ["# How each question is answered", "", _MADE]
    for topic, keys in catalogue.by_topic(tuple(catalogue.ENTRIES)).items():
        lines += ["", f"## {words.sentence(f'catalogue.topic.{topic}')}", ""]
        lines += [f"- [{words.sentence(catalogue.entry(key).question)}]({key}.md)" for key in keys]
    return "\n".join(lines) + "\n"


def _page(entry: Entry, outcome: Outcome) -> Iterator[str]:
    told = catalogue.describe(entry.key)
    yield from (f"# {told['question']}", "", _MADE, "", told["what"], "")
    yield from ("## When to use it", "", told["when"], "")
    if told["formulas"]:
        yield from ("## The formula", "")
        for formula in told["formulas"]:
            yield from ("$$", formula, "$$", "")
    yield from ("## What it takes for granted", "", told["assumes"], "")
    yield from (
        "## Where it ends",
        "",
        told["limits"],
        "",
        "| put in | name | limits | from |",
        "| --- | --- | --- | --- |",
    )
    for one in told["inputs"]:
        for cell in one["columns"] or [one]:
            prefix = f"{one['name']}: " if one["columns"] else ""
            yield f"| {cell['label']} | `{prefix}{cell['name']}` | {_limits(cell)} | {cell['limits_from']} |"
    yield from ("", "## An example", "", "```console", f"$ {_command(entry)}", *_told(outcome), "```", "")
    if outcome.picture is not None:
        yield from (f"![{outcome.says[0]}]({entry.key}.svg)", "")
    yield from ("## Sources", "", *(f"- {source}" for source in entry.sources))


def _limits(one: dict[str, Any]) -> str:
    if one["choices"]:
        return ", ".join(f"`{choice['key']}`" for choice in one["choices"])
    if one["low"] is None or one["high"] is None:
        return ""
    symbol = f" {one['unit']['symbol']}".rstrip() if one["unit"] else ""
    low = f"more than {one['low']:g}, up to" if one["above"] else f"{one['low']:g} to"
    default = "" if one["default"] is None else f"; else {one['default']}"
    return f"{low} {one['high']:g}{symbol}{default}"


def _command(entry: Entry) -> str:
    pairs = []
    for name, value in example_typed(entry).items():
        text = (
            json.dumps(value, ensure_ascii=False, separators=(",", ":"))
            if isinstance(value, list | tuple)
            else str(value)
        )
        pairs.append(shlex.quote(f"{name}={text}"))
    return " ".join(("coldmark calc", entry.key, *pairs))


def _told(outcome: Outcome) -> Iterator[str]:
    yield from outcome.says
    yield ""
    told = [one for one in outcome.fields if one.value is not None]
    width = max((len(one.label) for one in told), default=0)
    yield from (f"{one.label + ':':<{width + 1}} {one.text}" for one in told)
    if outcome.notes:
        yield from ("", *outcome.notes)
    yield from ("", *outcome.working_lines)


def write(folder: Path = FOLDER) -> None:
    """Write the pages, and take away those of calculations that are no more."""
    folder.mkdir(parents=True, exist_ok=True)
    made = pages()
    for path in folder.iterdir():
        if path.name not in made:
            path.unlink()
    for name, text in made.items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write()
