"""A table that is typed row by row: each row a few labelled cells, with room for more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django import forms

from coldmark.bench.catalogue import MOST_ROWS

__all__ = ["Column", "RowsField"]

_ROOM, _FEWEST = 1, 2
"""How many empty rows follow those that are filled, and how many rows are shown at least."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in the form, what a reader calls it, and how its cells are typed or chosen."""

    name: str
    label: str
    choices: tuple[tuple[str, str], ...] = ()
    attrs: Mapping[str, Any] = field(default_factory=dict)

    def cell(self, name: str, value: object, *, labelled: str) -> str:
        """Return one cell as it stands in the form."""
        attrs = {**self.attrs, "id": f"id_{name}", "aria-label": labelled}
        widget = forms.Select(choices=self.choices) if self.choices else forms.TextInput()
        return widget.render(name, value, attrs)

    def says(self, value: object) -> str:
        """Return what a cell holds, as it is read."""
        return dict(self.choices).get(str(value), str(value))


class _Rows(forms.Widget):
    template_name = "web/_rows.html"

    def __init__(self, columns: Sequence[Column]) -> None:
        super().__init__()
        self.columns = columns

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        rows = list(value or [])
        room = max(_FEWEST, len(rows) + _ROOM)
        shown = [rows[place] if place < len(rows) else {} for place in range(min(room, MOST_ROWS))]
        return super().get_context(name, value, attrs) | {
            "rows": [list(self._cells(name, place, row)) for place, row in enumerate(shown)],
            "most": MOST_ROWS,
            "name": name,
        }

    def _cells(self, name: str, place: int, row: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        for column in self.columns:
            labelled = f"{column.label}, {place + 1}"
            yield column.label, column.cell(f"{name}-{place}-{column.name}", row.get(column.name), labelled=labelled)

    def value_from_datadict(self, data: Mapping[str, Any], files: Any, name: str) -> list[dict[str, str]]:  # noqa: ARG002
        """Return the rows that hold something; an empty one between them is passed over."""
        rows = []
        for place in range(MOST_ROWS):
            cells = {one.name: str(data.get(f"{name}-{place}-{one.name}", "")).strip() for one in self.columns}
            # A choice that stands at its default is nothing that somebody put in.
            typed = [cells[one.name] for one in self.columns if not _has_default(one)]
            if any(typed):
                rows.append({key: cell for key, cell in cells.items() if cell})
        return rows

    def value_omitted_from_data(self, data: Mapping[str, Any], files: Any, name: str) -> bool:  # noqa: ARG002
        return not any(key.startswith(f"{name}-") for key in data)

    def id_for_label(self, id_: str) -> str:  # noqa: ARG002
        """The whole is a group of fields, so its label is a legend."""
        return ""


def _has_default(one: Column) -> bool:
    return bool(one.choices) and one.choices[0][0] != ""


class RowsField(forms.Field):
    """The rows of a table, each a mapping of the columns' names to what was typed."""

    def __init__(self, columns: Sequence[Column], **told: Any) -> None:
        self.columns = columns
        super().__init__(widget=_Rows(columns), **told)
        self.widget.use_fieldset = True

    def in_words(self, rows: Sequence[Mapping[str, Any]]) -> Iterator[list[str]]:
        """Each row as it is read."""
        for row in rows:
            yield [f"{one.label}: {one.says(row[one.name])}" for one in self.columns if row.get(one.name)]
