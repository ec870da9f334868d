"""How a calculation is described: its question, its inputs with limits, and how its result is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Any, Literal

from coldmark.bench import words
from coldmark.bench.shapes import dataclass
from coldmark.bench.unit_table import of_name, stem
from coldmark.bench.working import Range, Working

__all__ = ["MOST_ROWS", "TOPICS", "Answer", "Entry", "Input", "InputKind", "Outcome", "Shown", "Topic", "Values"]

InputKind = Literal["number", "whole", "choice", "truth", "text", "day", "reading", "table", "sheet", "oil"]
"""A number; a whole number; one of ``choices``; yes or no; a word; a day
(2026-03-02); a level reading (a number, *below* or *above*); a
table of at most 30 rows; a machine's data sheet; an oil."""

MOST_ROWS = 30

Topic = Literal["level", "oil", "filter", "dirt", "parts", "seal", "joint", "hose", "health", "due"]
"""What somebody has in hand when the question comes up; the questions are offered under these, in this order."""

TOPICS: tuple[Topic, ...] = ("level", "oil", "filter", "dirt", "parts", "seal", "joint", "hose", "health", "due")

Values = Mapping[str, Any]
"""What was put in, by the inputs' names, in the bench's units; ``None`` where an optional one was left out."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input: its name ends in the unit it is kept in; ``low`` and ``high`` are its limits in that unit.

    ``above``: it must be more than ``low``, not ``low`` itself. ``source`` says where the limits come from. ``default``
    is what stands in the form. ``columns`` are a table's. ``example`` is what the example of the calculation puts in.
    ``step`` is by how much one press of − or + moves it, in that unit; without one it is typed.
    """

    name: str
    kind: InputKind = "number"
    low: float | None = None
    high: float | None = None
    above: bool = False
    source: str = ""
    choices: tuple[str, ...] = ()
    columns: tuple[Input, ...] = ()
    optional: bool = False
    default: str | None = None
    example: object = None
    step: float | None = None

    @property
    def stem(self) -> str:
        """The name without its unit, as a form calls it when the value is in the reader's unit."""
        return self.name if of_name(self.name) is None else stem(self.name)

    @property
    def label(self) -> str:
        """The message id of what a reader calls it."""
        return f"catalogue.input.{self.stem}"


@dataclass(frozen=True, slots=True)
class Answer:
    """What a calculation found, ready to be told: sentences, fields by name with their unit, working, picture."""

    says: tuple[str, ...]
    fields: Mapping[str, float | str | Range | None]
    working: Working = field(default_factory=lambda: Working(()))
    picture: str | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One calculation: ``prepare`` turns the inputs into the arguments of ``function``, ``tell`` its result into words.

    ``fields`` are the names of what comes out, each ending in its unit; ``sources`` where the method is from.
    ``formulas`` are written as TeX writes mathematics, one a line of the page that explains it, whose words are
    the messages ``catalogue.KEY.what``, ``.when``, ``.assumes`` and ``.limits``. ``fine``: what comes out is shown with
    the decimals that fits are judged by.
    """

    key: str
    inputs: tuple[Input, ...]
    prepare: Callable[[Values], Mapping[str, Any]]
    function: Callable[..., Any]
    tell: Callable[[Any, Values, words.UnitSystem], Answer]
    fields: tuple[str, ...]
    sources: tuple[str, ...]
    topic: Topic = "parts"
    formulas: tuple[str, ...] = ()
    fine: bool = False

    @property
    def question(self) -> str:
        """The message id of the question that it answers."""
        return f"catalogue.{self.key}.question"

    @property
    def example(self) -> dict[str, Any]:
        """Inputs with which it runs, as somebody would put them in."""
        return {one.name: one.example for one in self.inputs if one.example is not None}


@dataclass(frozen=True, slots=True)
class Shown:
    """One field of a result: value and range in the bench's unit, and the text for the reader."""

    name: str
    label: str
    value: float | str | None
    low: float | None
    high: float | None
    text: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """A calculation's result for one reader: the sentences come first, the working is one step away."""

    key: str
    says: tuple[str, ...]
    fields: tuple[Shown, ...]
    notes: tuple[str, ...]
    working: Working
    working_lines: tuple[str, ...]
    picture: str | None
