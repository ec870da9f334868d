"""The form of a calculation, made from its description in the catalogue."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain, islice, permutations, product
from typing import Any

from django import forms

from coldmark.bench import catalogue, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.unit_table import of_name, shown_unit, stem
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.forms import choices
from coldmark.web.pages import units_of

__all__ = ["SumForm", "example_of"]

Described = Mapping[str, Any]
_MOST_TRIED = 200
_NUMBERS = ("number", "whole", "reading")


class SumForm(forms.Form):
    """A calculation's inputs in the reader's units. What is right is told by the calculation itself."""

    def __init__(self, person: Person, described: Described, data: Any = None, initial: Any = None) -> None:
        super().__init__(data, initial=initial)
        for one in described["inputs"]:
            self.fields[one["stem"]] = _field(person, one)

    def told(self) -> dict[str, object]:
        """What was put in, by the inputs' names without their unit: in the reader's."""
        return {name: value for name, value in self.cleaned_data.items() if value not in ("", None)}


def _field(person: Person, one: Described) -> forms.Field:
    kind, needed = one["kind"], not one["optional"]
    label = one["label"] if one["unit"] is None else f"{one['label']}, {one['unit']['symbol']}"
    told: dict[str, Any] = {"label": label, "required": needed, "help_text": _hint(one)}
    if kind == "truth":
        return forms.BooleanField(label=label, required=False)
    if kind == "choice":
        pairs = [(choice["key"], choice["says"]) for choice in one["choices"]]
        return forms.ChoiceField(choices=pairs if one["default"] else choices(pairs, _empty(one)), **told)
    if kind == "sheet":
        sheets = [(line.sha256, line.title) for line in queries.sheets(person)]
        return forms.ChoiceField(choices=choices(sheets, _empty(one)), **told)
    if kind == "oil":
        oils = [(line.key, line.name) for line in queries.oils(person)]
        return forms.ChoiceField(choices=choices(oils, _empty(one)), **told)
    if kind == "text" and one["name"].endswith("posture"):
        pairs = sorted(queries.postures(person).items(), key=lambda pair: pair[1])
        return forms.ChoiceField(choices=choices(pairs, _empty(one)), **told)
    if kind == "day":
        return forms.CharField(widget=forms.DateInput(attrs={"type": "date"}), **told)
    if kind == "table":
        return forms.CharField(widget=forms.Textarea(attrs={"rows": 4, "class": "code"}), max_length=5000, **told)
    mode = {"inputmode": "decimal"} if kind in _NUMBERS else {}
    return forms.CharField(max_length=60, widget=forms.TextInput(attrs={"autocomplete": "off", **mode}), **told)


def _empty(one: Described) -> str:
    return words.sentence("web.sums.not_told" if one["optional"] else "web.sums.choose")


def _hint(one: Described) -> str:
    """Limits, what stands for an empty field, and how a table is typed."""
    said: list[str] = []
    if one["kind"] == "table":
        columns = ", ".join(_column(column) for column in one["columns"])
        said.append(words.sentence("web.sums.table", columns=columns))
    if one["kind"] == "reading":
        said.append(words.sentence("web.sums.reading"))
    elif one["kind"] in _NUMBERS:
        said.append(_limits(one))
    if one["optional"] and one["default"] is not None and one["kind"] in _NUMBERS:
        said.append(words.sentence("web.sums.default", value=words.figures(float(one["default"]))))
    elif one["optional"] and one["kind"] not in {"choice", "sheet", "oil", "text"}:
        said.append(words.sentence("web.sums.optional"))
    return " ".join(part for part in said if part)


def _limits(one: Described) -> str:
    low, high = one["low"], one["high"]
    if low is None or high is None:
        return ""
    message = "web.sums.above" if one["above"] else "web.sums.between"
    return words.sentence(message, low=words.figures(low, 5), high=words.figures(high, 5))


def _column(column: Described) -> str:
    """A column by its label; its cells are typed in the unit of its own name, whoever types them."""
    unit = of_name(column["name"])
    label = str(column["label"]).lower()
    if column["choices"]:
        return f"{label} ({', '.join(choice['key'] for choice in column['choices'])})"
    return label if unit is None or not unit.symbol else f"{label} ({unit.symbol})"


def example_of(person: Person, name: str) -> dict[str, Any]:
    """The example of a calculation as its form takes it: in the reader's units, by the names without a unit.

    A sheet, its postures and the oils are chosen from those that are kept, so that it can be worked out at once.
    """
    units = units_of(person)
    chosen = catalogue.entry(name)
    kept = {one.name for one in chosen.inputs if one.kind in {"sheet", "oil"}}
    example = {
        (key if of_name(key) is None else stem(key)): _shown(key, value, units)
        for key, value in chosen.example.items()
        if key not in kept
    }
    for choice in islice(_choices_kept(person, chosen), _MOST_TRIED):
        told = {key: value for key, value in {**example, **choice}.items() if value is not None}
        try:
            queries.calculate(person, name, told, units)
        except ColdmarkError:
            continue
        return told
    return example


def _choices_kept(person: Person, chosen: catalogue.Entry) -> Iterator[dict[str, str]]:
    """What is kept, each choice with its own: a sheet with postures that may be its own, oils that differ."""
    inputs = [one for one in chosen.inputs if one.name in chosen.example or not one.optional or _is_posture(one)]
    sheets = [one.name for one in inputs if one.kind == "sheet"]
    postures = [one.name for one in inputs if _is_posture(one)]
    oils = [one.name for one in inputs if one.kind == "oil"]
    if not (sheets or postures or oils):
        return
    of_sheets = permutations([line.sha256 for line in queries.sheets(person)], len(sheets))
    of_postures = list(permutations(sorted(queries.postures(person)), len(postures)))
    of_oils = list(permutations([line.key for line in queries.oils(person)], len(oils)))
    for values in product(of_sheets, of_postures, of_oils):
        yield dict(zip((*sheets, *postures, *oils), chain(*values), strict=True))


def _is_posture(one: catalogue.Input) -> bool:
    return one.kind == "text" and one.name.endswith("posture")


def _shown(key: str, value: Any, units: words.UnitSystem) -> Any:
    unit = of_name(key)
    if isinstance(value, list | tuple):
        return "\n".join(" ".join("" if cell is None else str(cell) for cell in _cells(row)) for row in value)
    if unit is None or isinstance(value, bool):
        return value
    try:
        number = float(value)
    except (TypeError, ValueError):
        return value
    return words.figures(shown_unit(unit.ending, units).from_bench(unit.to_bench(number)), 5)


def _cells(row: Any) -> list[Any]:
    return list(row.values()) if isinstance(row, Mapping) else list(row)
