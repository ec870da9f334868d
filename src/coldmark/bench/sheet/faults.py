"""What is wrong with a data sheet: where, what stands there, and what would be right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from coldmark.bench import words
from coldmark.bench.errors import Refused
from coldmark.bench.shapes import dataclass

__all__ = ["Fault", "SheetFaults", "shown"]

_LONGEST = 60


def shown(value: object) -> str:
    """Return a value of the sheet as a fault shows it: as TOML would write it, and not too long."""
    if isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, str):
        text = f'"{value}"'
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list):
        text = "a list"
    elif isinstance(value, int) and abs(value) >= 10**15:
        text = "a very large number"
    else:
        text = str(value)
    text = " ".join(text.split())
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a sheet: its line, key and value, and the message that says what would be right.

    ``line`` is 0 where the fault is of the whole text.
    """

    line: int
    key: str
    value: str
    message: str
    values: Mapping[str, str | int | float] = field(default_factory=dict)

    @property
    def right(self) -> str:
        """What would be right, as a clause."""
        return words.sentence(self.message, units="metric", **self.values)

    def say(self) -> str:
        """Return the whole sentence: line, key, value, and what would be right."""
        form = "sheet.fault" if self.value else "sheet.fault_without_value"
        if self.message == "sheet.right.toml":
            form = "sheet.fault_of_syntax"
        if not self.line:
            form = "sheet.fault_of_text"
        return words.sentence(form, line=self.line, key=self.key, value=self.value, right=self.right)

    def to_plain(self) -> dict[str, str | int]:
        """Return it as plain data."""
        return {"line": self.line, "key": self.key, "value": self.value, "right": self.right}


class SheetFaults(Refused):
    """A sheet that cannot be used; ``faults`` has all that is wrong with it, in the order of the text."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("sheet.faults", name=faults[0].key, count=len(faults), first=faults[0].say())


def nearest(told: str, names: Iterable[str]) -> str | None:
    """Return the name that was probably meant, or ``None`` when none is near."""
    import difflib  # 5 ms, and only a sheet with a fault pays it

    return next(iter(difflib.get_close_matches(told[:60], list(names), n=1, cutoff=0.6)), None)
