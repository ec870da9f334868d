"""The page that the card's app runs on."""

from __future__ import annotations

import uuid

from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from coldmark.bench import words
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.pages import page

__all__ = ["card"]

APP = "card/card.js"


@require_safe
@never_cache
@ensure_csrf_cookie
@page()
def card(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """The card: a place for the app, which fetches everything else; a sentence where it cannot run."""
    material = queries.job_material(person, str(job))
    content = {"job": material.job.job, "machine": material.machine}
    if finders.find(APP) is None:
        return _cannot(request, content, "web.card.not_built", 503)
    if material.sheet is None:
        return _cannot(request, content, "web.card.no_sheet", 409)
    return render(request, "web/card.html", content)


def _cannot(request: HttpRequest, content: dict[str, object], message: str, status: int) -> HttpResponse:
    return render(request, "web/card_not.html", content | {"says": words.sentence(message)}, status=status)
