"""Vans: what they carry, and how much waste they can take."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.records import queries
from coldmark.records.errors import NotFound
from coldmark.records.models import Person
from coldmark.web.pages import page
from coldmark.web.row_forms import VanForm
from coldmark.web.views.rows import row_page

__all__ = ["van_edit", "van_new", "vans"]


@require_safe
@page()
def vans(request: HttpRequest, person: Person) -> HttpResponse:
    """The vans."""
    names = {one.key: one.name for one in queries.oils(person)}
    lines = [
        (van, [(names.get(key, key), litres) for key, litres in van.oils.items()])
        for van in queries.vans(person, retired=True)
    ]
    return render(request, "web/vans.html", {"lines": lines})


@require_http_methods(["GET", "POST"])
@page()
def van_new(request: HttpRequest, person: Person) -> HttpResponse:
    """A van entered."""
    form = VanForm(person, request.POST or None)
    back = (reverse("vans"), "Vans")
    return row_page(request, person, form, form.record, title="New van", button="Enter it", done="Entered.", back=back)


@require_http_methods(["GET", "POST"])
@page()
def van_edit(request: HttpRequest, person: Person, van: uuid.UUID) -> HttpResponse:
    """A van changed."""
    data = next((one for one in queries.vans(person, retired=True) if one.id == str(van)), None)
    if data is None:
        raise NotFound("van", van)
    initial = {
        "id": data.id,
        "name": data.name,
        "plate": data.plate,
        "waste_l": data.waste_l,
        "retired": data.retired,
        "oils": dict(data.oils),
        **{f"oil_{key}": litres for key, litres in data.oils.items()},
    }
    posted = None if request.method != "POST" else {**request.POST.dict(), "id": data.id}
    form = VanForm(person, posted, initial)
    back = (reverse("vans"), "Vans")
    return row_page(request, person, form, form.record, title="Change a van", button="Keep", back=back)
