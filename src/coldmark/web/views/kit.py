"""The kit of a job, on the page and on paper."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from coldmark.records import paperwork, queries
from coldmark.records.models import Person
from coldmark.web.pages import page, units_of

__all__ = ["kit", "kit_pdf"]


@require_safe
@page()
def kit(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """What to bring for a job."""
    found = queries.job_kit(person, str(job))
    units = units_of(person)
    content = {
        "it": found,
        "groups": () if found.kit is None else paperwork.kit_groups(found.kit, units),
        "notes": () if found.kit is None else paperwork.kit_notes(found.kit, units),
        "time": "" if found.kit is None else paperwork.kit_time(found.kit),
    }
    return render(request, "web/kit.html", content)


@require_safe
@page()
def kit_pdf(_request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """The same as a paper to tick off at the shelf."""
    found = queries.job_kit(person, str(job))
    content = paperwork.kit_pdf(person, str(job))
    name = slugify(f"kit {found.machine.name or found.machine.number}") or "kit"
    return HttpResponse(
        content, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}.pdf"'}
    )
