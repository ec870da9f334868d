"""Pages that lead on to others."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from coldmark.records.models import Person
from coldmark.web.pages import page

__all__ = ["later"]


@page(staff=False)
def later(request: HttpRequest, _person: Person, **_told: object) -> HttpResponse:
    """A page that only shows the ways on."""
    return render(request, "web/later.html")
