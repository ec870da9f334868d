"""The form of a calculation, made from its description in the catalogue."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, islice, permutations, product
from typing import Any

from django import forms

from coldmark.bench import catalogue, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.unit_table import of_name, shown_unit, stem
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.fields import choices
from coldmark.web.pages import units_of
from coldmark.web.rows import Column, RowsField

__all__ = ["SumForm", "defaults_of", "example_of", "limits_of"]

Described = Mapping[str, Any]
_MOST_TRIED = 200
_MOST_AT_ONCE = 5
_NUMBERS = ("number", "whole", "reading")


class SumForm(forms.Form):
    """A calculation's inputs in the reader's units. What is right is told by the calculation itself."""

    def __init__(self, person: Person, described: Described, data: Any = None, initial: Any = None) -> None:
        super().__init__(data, initial=initial)
        aside = [one["stem"] for one in described["inputs"] if _is_aside(one, described["example"])]
        # A short form is easier read whole.
        self.aside = frozenset(aside if len(described["inputs"]) > _MOST_AT_ONCE else ())
        for one in described["inputs"]:
            self.fields[one["stem"]] = _field(person, one)

    def at_hand(self) -> list[forms.BoundField]:
        """The fields that are asked first."""
        return [field for field in self.visible_fields() if field.name not in self.aside]

    def further(self) -> list[forms.BoundField]:
        """The fields that may stay as they are, for those who know more."""
        return [field for field in self.visible_fields() if field.name in self.aside]

    def told(self) -> dict[str, object]:
        """What was put in, by the inputs' names without their unit: in the reader's."""
        return {name: value for name, value in self.cleaned_data.items() if value not in ("", None, [])}

    def put_in(self) -> list[tuple[str, str]]:
        """What stands in the form, each with its label, to be read on paper and beside an example."""
        return [(str(one.label), text) for one in self for text in _in_words(one) if text]


def _is_aside(one: Described, example: Mapping[str, object]) -> bool:
    """Whether an input may be left as it is: it has a default, or the example does without it."""
    if one["kind"] in {"sheet", "oil", "truth"}:
        return False
    return one["default"] is not None or (one["optional"] and one["name"] not in example)


def _in_words(one: forms.BoundField) -> Iterator[str]:
    value = one.value()
    if isinstance(one.field, RowsField):
        yield from (", ".join(told) for told in one.field.in_words(value or []))
    elif isinstance(one.field, forms.ChoiceField):
        yield dict(one.field.choices).get(value, "") if value else ""  # type: ignore[arg-type]
    elif isinstance(one.field, forms.BooleanField):
        yield words.sentence("web.sums.yes" if value in (True, "on", "yes") else "web.sums.no")
    else:
        yield "" if value is None else str(value)


def _field(person: Person, one: Described) -> forms.Field:
    kind, needed = one["kind"], not one["optional"]
    told: dict[str, Any] = {"label": _label(one), "required": needed, "help_text": _hint(one)}
    if kind == "truth":
        return forms.BooleanField(label=_label(one), required=False)
    if kind == "choice":
        return forms.ChoiceField(choices=_choices(one), **told)
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
        return RowsField([_column(column) for column in one["columns"]], **told)
    return forms.CharField(max_length=60, widget=forms.TextInput(attrs=_typed(one)), **told)


def _label(one: Described) -> str:
    symbol = one["unit"]["symbol"] if one["unit"] else ""
    return f"{one['label']}, {symbol}" if symbol else str(one["label"])


def _choices(one: Described) -> list[tuple[str, str]]:
    pairs = [(choice["key"], choice["says"]) for choice in one["choices"]]
    return pairs if one["default"] else choices(pairs, _empty(one))


def _typed(one: Described) -> dict[str, Any]:
    """How a value is typed: with digits where it is a number, and by − and + where it has a step."""
    if one["kind"] not in _NUMBERS:
        return {"autocomplete": "off"}
    attrs: dict[str, Any] = {"autocomplete": "off", "inputmode": "decimal"}
    if one["step"] is not None:
        attrs |= {f"data-{key}": words.figures(one[key]) for key in ("step", "low", "high") if one[key] is not None}
        if one["default"] is not None:
            attrs["data-start"] = words.figures(float(one["default"]))
    return attrs


def _column(one: Described) -> Column:
    return Column(one["stem"], _label(one), tuple(_choices(one)) if one["choices"] else (), _typed(one))


def defaults_of(described: Described) -> dict[str, object]:
    """What stands in an empty form: what would be taken for an empty field."""
    return {one["stem"]: _as_typed(one["default"]) for one in described["inputs"] if one["default"] is not None}


def _as_typed(value: object) -> object:
    return words.figures(value) if isinstance(value, float) else value


def _empty(one: Described) -> str:
    return words.sentence("web.sums.not_told" if one["optional"] else "web.sums.choose")


def _hint(one: Described) -> str:
    """Limits, and what stands for an empty field."""
    said: list[str] = []
    if one["kind"] == "reading" or any(column["kind"] == "reading" for column in one["columns"]):
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


def limits_of(described: Described) -> list[tuple[str, str]]:
    """The limits of what is put in, a table's by its columns, and where they come from."""
    inputs = [one for told in described["inputs"] for one in (told["columns"] or [told])]
    return [
        (_label(one), f"{_limits(one)} {one['limits_from']}".strip())
        for one in inputs
        if one["kind"] in _NUMBERS and one["low"] is not None
    ]


def example_of(person: Person, name: str) -> dict[str, Any]:
    """The example of a calculation as its form takes it: in the reader's units, by the names without a unit.

    A sheet, its postures and the oils are chosen from those that are kept, so that it can be worked out at once.
    """
    units = units_of(person)
    chosen = catalogue.entry(name)
    kept = {one.name for one in chosen.inputs if one.kind in {"sheet", "oil"}}
    columns = {one.name: one.columns for one in chosen.inputs}
    example = {
        (key if of_name(key) is None else stem(key)): _shown(key, value, units, columns.get(key, ()))
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
    # Hydraulic oils before those of engines and gears: most questions are about them.
    kept = sorted(queries.oils(person), key=lambda line: not line.label.startswith("VG"))
    of_oils = list(permutations([line.key for line in kept], len(oils)))
    for values in product(of_sheets, of_postures, of_oils):
        yield dict(zip((*sheets, *postures, *oils), chain(*values), strict=True))


def _is_posture(one: catalogue.Input) -> bool:
    return one.kind == "text" and one.name.endswith("posture")


def _shown(key: str, value: Any, units: words.UnitSystem, columns: Sequence[catalogue.Input] = ()) -> Any:
    unit = of_name(key)
    if isinstance(value, list | tuple):
        return [_row(row, units, columns) for row in value]
    if unit is None or isinstance(value, bool):
        return value
    try:
        number = float(value)
    except (TypeError, ValueError):
        return value
    return words.figures(shown_unit(unit.ending, units).from_bench(unit.to_bench(number)), 5)


def _row(row: Any, units: words.UnitSystem, columns: Sequence[catalogue.Input]) -> dict[str, Any]:
    """A row of an example by its columns' stems: in the reader's units."""
    cells = row if isinstance(row, Mapping) else {one.name: cell for one, cell in zip(columns, row, strict=False)}
    return {
        (name if of_name(name) is None else stem(name)): _shown(name, cell, units)
        for name, cell in cells.items()
        if cell is not None
    }
