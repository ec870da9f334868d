"""The shape of the field table: what a key of the sheet may hold, and what a table of the sheet may have in it."""

from __future__ import annotations

from typing import Literal

from coldmark.bench.shapes import dataclass
from coldmark.bench.unit_table import UNITS, Unit, of_name, stem

__all__ = ["KEY_PATTERN", "Field", "FieldType", "TableSpec"]

KEY_PATTERN = r"^[a-z][a-z0-9_]{0,39}$"
"""How a name in the sheet is made, where other keys and the recorded facts speak of it."""

FieldType = Literal[
    "text",  # words
    "number",  # a number; a key that ends in a unit is a quantity and may be written in any unit of its kind
    "whole",  # a whole number
    "truth",  # true or false
    "choice",  # one of ``choices``
    "choices",  # a list of ``choices``
    "texts",  # a list of words
    "name",  # a new name (KEY_PATTERN)
    "reference",  # the name of something in the table ``refers``
    "references",  # a list of such names
    "shares",  # {name of something in ``refers``: 0 to 1}
    "features",  # {any name that ends in a unit: number}
    "table",  # one table of the shape ``table``
    "named",  # tables of the shape ``table``, each under a name of its own
    "rows",  # a list of tables of the shape ``table``
]


@dataclass(frozen=True, slots=True)
class Field:
    """One key of the sheet.

    ``key`` is as written in the sheet, a quantity with the unit that the bench keeps it in. ``low`` and ``high`` are
    limits in that unit (for text: its length). ``default`` is what a sheet that does not give it means by that.
    ``attribute`` is the name in the model where it differs from the key.
    """

    key: str
    type: FieldType
    says: str
    required: bool = False
    choices: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    default: object = None
    attribute: str = ""
    refers: str = ""
    table: TableSpec | None = None

    @property
    def name(self) -> str:
        """The name of the value in the model."""
        return self.attribute or self.key

    @property
    def unit(self) -> Unit | None:
        """The unit that the bench keeps it in, for a quantity."""
        return of_name(self.key) if self.type == "number" else None

    def spellings(self) -> dict[str, str]:
        """Return every key under which it may be written, with that key's unit (empty for a plain value)."""
        unit = self.unit
        if unit is None:
            return {self.key: ""}
        base = stem(self.key)
        own = {self.key: unit.ending}
        return own | {f"{base}_{other.ending}": other.ending for other in UNITS.values() if other.kind == unit.kind}


@dataclass(frozen=True, slots=True)
class TableSpec:
    """One table of the sheet: what it describes, its keys, and whether it may state its own ``origin``."""

    says: str
    fields: tuple[Field, ...]
    origin: bool = True

    def known(self) -> dict[str, tuple[Field, str]]:
        """Return every key that may stand in the table, with its field and the unit that it is then written in."""
        return {key: (field, ending) for field in self.fields for key, ending in field.spellings().items()}
