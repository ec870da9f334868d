"""Due: all machines with what falls due in the coming weeks."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from coldmark.records import queries
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.web.drawing import falling, weeks_drawn
from coldmark.web.pages import asked_page, is_part, page

__all__ = ["due"]

WEEKS = (4, 8, 13, 26)
USUAL_WEEKS = 8


@require_safe
@page(staff=False)
def due(request: HttpRequest, person: Person) -> HttpResponse:
    """What falls due, filtered; as one filters, the list alone."""
    day = timezone.localdate()
    weeks = _weeks(request)
    asked = {name: request.GET.get(name, "") for name in ("customer", "site", "task")}
    found = queries.due_rows(
        person,
        day=day,
        weeks=weeks,
        customer=asked["customer"] or None,
        site=asked["site"] or None,
        task=asked["task"] or None,
        page=asked_page(request),
    )
    content = {
        "day": day,
        "found": found,
        "rows": [{"it": one, "falling": falling(one.due, day, weeks)} for one in found.machines],
        "weeks_drawn": weeks_drawn(day, weeks),
        "asked": asked,
        "is_filtered": weeks != USUAL_WEEKS or any(asked.values()),
        "weeks": weeks,
        "all_weeks": WEEKS,
        "filter": urlencode({"weeks": weeks, **{name: value for name, value in asked.items() if value}}),
    }
    return render(request, "web/_due.html" if is_part(request) else "web/due.html", content)


def _weeks(request: HttpRequest) -> int:
    told = request.GET.get("weeks", "") or str(USUAL_WEEKS)
    if told not in {str(weeks) for weeks in WEEKS}:
        raise refused("weeks", told[:20], "one of " + ", ".join(map(str, WEEKS)))
    return int(told)
