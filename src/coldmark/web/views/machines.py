"""Machines: the search, and a machine's names."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.beginning import first_steps
from coldmark.web.pages import asked_page, is_part, page

__all__ = ["machines"]


@require_safe
@page(staff=False)
def machines(request: HttpRequest, person: Person) -> HttpResponse:
    """The machines that hold all the words typed; as one types, the list alone."""
    words = request.GET.get("q", "")[:200]
    unknown = person.is_staff and request.GET.get("unknown") == "1"
    found = queries.machines(person, words, asked_page(request), unknown=unknown)
    content = {"found": found, "q": words, "unknown": unknown, "day": None}
    if person.is_staff and not found.total:
        content["first_steps"] = first_steps(person)
    return render(request, "web/_machines.html" if is_part(request) else "web/machines.html", content)
