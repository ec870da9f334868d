"""The app at the machine: the files that it opens by, and the way to it from a job's page."""

from __future__ import annotations

import uuid
from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from coldmark.bench import words
from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.pages import page

__all__ = ["card", "phone", "phone_file"]

FOLDER = "phone"
# What its build makes that is not among the static files: a service worker rules only over addresses beneath its own.
KINDS = {
    "shell.html": "text/html",
    "sw.js": "text/javascript",
    "worker.js": "text/javascript",
    "app.webmanifest": "application/manifest+json",
}


def _built(name: str) -> bytes | None:
    found = finders.find(f"{FOLDER}/{name}")
    return None if found is None else Path(str(found)).read_bytes()


@require_safe
@never_cache
def phone(request: HttpRequest) -> HttpResponse:
    """The app's page: the same bytes for everybody, since a phone keeps it; who is there, the app asks for itself."""
    return phone_file(request, "shell.html")


@require_safe
@never_cache
def phone_file(request: HttpRequest, name: str) -> HttpResponse:
    """One of the files that the app opens by."""
    content = _built(name)
    if content is None:
        return _cannot(request, {}, "web.card.not_built", 503)
    return HttpResponse(content, content_type=f"{KINDS[name]}; charset=utf-8")


@require_safe
@page()
def card(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """The way to a job's card, which is in the app; a sentence where there can be none."""
    material = queries.job_material(person, str(job))
    content = {"job": material.job.job, "machine": material.machine}
    if material.sheet is None:
        return _cannot(request, content, "web.card.no_sheet", 409)
    return redirect(f"{reverse('phone')}#/job/{material.job.job}")


def _cannot(request: HttpRequest, content: dict[str, object], message: str, status: int) -> HttpResponse:
    return render(request, "web/card_not.html", content | {"says": words.sentence(message)}, status=status)
