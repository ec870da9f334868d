"""Today: the day's visits, what to bring, and the jobs that are still open."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.records.paperwork import kit_notes, kit_short
from coldmark.records.queries import VisitToday
from coldmark.web.pages import asked_day, page, units_of

__all__ = ["today"]


@require_safe
@page(staff=False)
def today(request: HttpRequest, person: Person) -> HttpResponse:
    """A day; owners have no days here and are led to their machines."""
    if not person.is_staff:
        return redirect("machines")
    day = asked_day(request)
    units = units_of(person)
    found = queries.today(person, day)

    def shown(visit: VisitToday) -> dict[str, object]:
        stops = [{"it": stop, "bring": "" if stop.kit is None else kit_short(stop.kit, units)} for stop in visit.stops]
        return {
            "it": visit,
            "stops": stops,
            "bring": "" if visit.bring is None or len(stops) < 2 else kit_short(visit.bring, units),
            "notes": () if visit.bring is None else kit_notes(visit.bring, units),
        }

    content = {
        "day": day,
        "before": day - timedelta(days=1),
        "after": day + timedelta(days=1),
        "present": timezone.localdate(),
        "visits": [shown(visit) for visit in found.visits],
        "open_jobs": found.open_jobs,
    }
    return render(request, "web/today.html", content)
