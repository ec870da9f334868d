"""Today: the day's visits, what to bring, and the jobs that are still open."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from coldmark.records import queries
from coldmark.records.models import Person, Role
from coldmark.records.paperwork import kit_notes, kit_short
from coldmark.records.queries import Load, VisitToday
from coldmark.web.beginning import first_steps
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
        return {"it": visit, "stops": stops}

    def loaded(load: Load) -> dict[str, object]:
        # Of one machine alone, what to bring stands with it.
        bring = kit_short(load.bring, units) if load.machines > 1 else ""
        return {"it": load, "bring": bring, "notes": kit_notes(load.bring, units)}

    content = {
        "day": day,
        "before": day - timedelta(days=1),
        "after": day + timedelta(days=1),
        "present": timezone.localdate(),
        "visits": [shown(visit) for visit in found.visits],
        "loads": [one for one in map(loaded, found.loads) if one["bring"] or one["notes"]],
        "open_jobs": found.open_jobs,
        "backup_overdue": queries.backup_overdue(person) if person.role == Role.OFFICE else None,
        "first_steps": () if found.visits or found.open_jobs else first_steps(person),
    }
    return render(request, "web/today.html", content)
