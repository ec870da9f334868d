"""Days, quantities, drawings and formulas on pages. Text is taken as it stands only where it is a drawing or a formula,
which nobody but the program itself has made."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from functools import cache
from typing import Any

from django import template
from django.template import Context
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from latex2mathml.converter import convert

from coldmark.bench import words
from coldmark.bench.sheet import Sheet
from coldmark.records import queries
from coldmark.records.queries import DueLine, FindingLine

register = template.Library()


def _units(context: Mapping[str, Any] | Context) -> words.UnitSystem:
    return "us" if context.get("units") == "us" else "metric"


def _local(value: date | datetime) -> date:
    return timezone.localtime(value).date() if isinstance(value, datetime) else value


@register.filter
def day(value: date | datetime | None) -> str:
    """A day as it is said, this year's without the year; of a moment, the day it has in the workshop."""
    if value is None:
        return ""
    said = _local(value)
    return words.day(said, year=said.year != timezone.localdate().year)


@register.filter
def weekday(value: date | datetime) -> str:
    """The day's place in the week."""
    return words.weekday(_local(value))


@register.filter
def clock(value: datetime) -> str:
    """A moment's time in the workshop."""
    return f"{timezone.localtime(value):%H:%M}"


@register.filter
def plain(value: str) -> str:
    """A key of a sheet without underscores, where no name for it is known."""
    return value.replace("_", " ").replace(".", ", ")


@register.simple_tag(takes_context=True)
def quantity(context: Context, value: float | None, ending: str, digits: int | None = None) -> str:
    """A value in the bench's unit as this reader sees it."""
    return "" if value is None else words.quantity(value, ending, units=_units(context), digits=digits)


@register.simple_tag(takes_context=True)
def due_when(context: Context, line: DueLine, today: date) -> str:
    """When a task falls due, beside its name."""
    return queries.due_when(line, today, _units(context))


@register.simple_tag
def stands(line: DueLine, today: date) -> str:
    """Where a day stands to a task's window: over, now, ahead or unknown."""
    return line.stands(today)


@register.simple_tag(takes_context=True)
def says(context: Context, message: str, **values: words.Value) -> str:
    """A sentence of the program in this reader's units."""
    return words.sentence(message, units=_units(context), **values)


@register.filter
def drawing(svg: str) -> SafeString:
    """A drawing of ``coldmark.bench.pictures``, which escapes every text in it."""
    return mark_safe(svg)


@register.filter
@cache
def formula(tex: str) -> SafeString:
    """A formula of the catalogue, typeset."""
    return mark_safe(convert(tex, display="block"))


@register.simple_tag
def name_of(sheet: Sheet | None, key: str) -> str:
    """What a key of the sheet is called."""
    return queries.name_of(sheet, key)


@register.simple_tag
def finding_says(sheet: Sheet | None, line: FindingLine) -> str:
    """A finding in a few words: what, where, and when it wants doing."""
    what = words.sentence(f"finding.{line.what}")
    urgency = words.sentence(f"urgency.{line.urgency}")
    return words.sentence("web.finding", what=what, about=queries.name_of(sheet, line.about), urgency=urgency)
