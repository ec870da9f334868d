"""Every public calculation tells what goes in, what comes out, within what limits, and where it is from."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from types import ModuleType

import pytest

from coldmark.bench import (
    card,
    catalogue,
    cleanliness,
    clocks,
    element,
    errors,
    evidence,
    facts,
    hose,
    joint,
    ledger,
    level,
    litres,
    oil,
    oilhistory,
    pictures,
    samples,
    seal,
    sheet,
    timings,
    units,
    wear,
    working,
)
from coldmark.bench import filter as filters

SECTIONS = ("Returns\n", "Raises\n", "Source\n", ">>> ")
CALCULATIONS = (
    card,
    catalogue,
    cleanliness,
    clocks,
    element,
    evidence,
    facts,
    filters,
    hose,
    joint,
    ledger,
    level,
    litres,
    oil,
    oilhistory,
    pictures,
    samples,
    seal,
    sheet,
    timings,
    wear,
)
TOOLS = (units, errors, working)


def _functions(*modules: ModuleType) -> list[Callable[..., object]]:
    public = (getattr(module, name) for module in modules for name in module.__all__)
    return [thing for thing in public if inspect.isfunction(thing)]


@pytest.mark.parametrize("function", _functions(*CALCULATIONS), ids=lambda function: function.__name__)
def test_a_calculation_has_all_that_a_reader_needs(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    takes = ("Parameters\n", "Valid for\n") if inspect.signature(function).parameters else ()
    wanted = (*SECTIONS, *takes) if takes else ("Returns\n", ">>> ")
    assert [section.strip() for section in wanted if section not in text] == []


@pytest.mark.parametrize("function", _functions(*CALCULATIONS), ids=lambda function: function.__name__)
def test_a_quantity_with_a_unit_is_told_with_it(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    for name in inspect.signature(function).parameters:
        unit = units.of_name(name)
        if unit is not None and unit.symbol:
            assert f"[{unit.symbol}]" in text, f"{function.__name__} does not tell [{unit.symbol}] for {name}"


@pytest.mark.parametrize("function", _functions(*TOOLS), ids=lambda function: function.__name__)
def test_a_tool_has_a_line_and_an_example(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    assert text.splitlines()[0].endswith(".")
    assert ">>> " in text
