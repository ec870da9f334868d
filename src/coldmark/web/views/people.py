"""People and the devices they record on: for the office alone."""

from __future__ import annotations

import uuid
from dataclasses import asdict

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coldmark.bench import words
from coldmark.bench.errors import Refused
from coldmark.records import queries, services
from coldmark.records.access import require_office
from coldmark.records.errors import NotFound
from coldmark.records.models import Person
from coldmark.records.queries import PersonLine
from coldmark.web.pages import page, units_of
from coldmark.web.row_forms import EraseForm, PasswordForm, PersonForm
from coldmark.web.views.rows import row_page

__all__ = [
    "device_admit",
    "device_revoke",
    "people",
    "person_active",
    "person_edit",
    "person_erase",
    "person_new",
    "person_password",
]

PEOPLE = "people"


@require_safe
@page()
def people(request: HttpRequest, person: Person) -> HttpResponse:
    """Who signs in, and on what they record."""
    require_office(person, "people")
    content = {"lines": queries.people(person), "devices": queries.devices(person)}
    return render(request, "web/people.html", content)


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
@page()
def person_new(request: HttpRequest, person: Person) -> HttpResponse:
    """Somebody let in."""
    require_office(person, "changing people")
    form = PersonForm(person, request.POST or None)
    return row_page(
        request,
        person,
        form,
        form.record,
        title="Let somebody in",
        button="Let them in",
        done="They can sign in now.",
        back=(reverse("people"), "People"),
    )


@require_http_methods(["GET", "POST"])
@page()
def person_edit(request: HttpRequest, person: Person, other: uuid.UUID) -> HttpResponse:
    """Somebody's name and role."""
    line = _line(person, other)
    posted = None if request.method != "POST" else {**request.POST.dict(), "id": line.data.id}
    form = PersonForm(person, posted, asdict(line.data))
    back = (reverse("people"), "People")
    return row_page(request, person, form, form.record, title=f"Change {line.data.name}", button="Keep", back=back)


@sensitive_post_parameters("password", "again")
@require_http_methods(["GET", "POST"])
@page()
def person_password(request: HttpRequest, person: Person, other: uuid.UUID) -> HttpResponse:
    """Somebody's forgotten password replaced; wherever they are signed in, they have to sign in anew."""
    line = _line(person, other)
    form = PasswordForm(request.POST or None)
    return row_page(
        request,
        person,
        form,
        lambda: services.set_password(person, line.data.id, form.cleaned_data["password"]),
        title=f"New password for {line.data.name}",
        says="Wherever they are signed in, they have to sign in anew.",
        button="Set it",
        done="The new password is set.",
        back=(reverse("people"), "People"),
    )


@require_POST
@page()
def person_active(request: HttpRequest, person: Person, other: uuid.UUID) -> HttpResponse:
    """Let somebody sign in, or no more."""
    line = _line(person, other)
    try:
        services.set_active(person, line.data.id, request.POST.get("active") == "yes")
    except Refused as error:
        messages.error(request, error.say(units_of(person)))
    return redirect("people")


@require_http_methods(["GET", "POST"])
@page()
def person_erase(request: HttpRequest, person: Person, other: uuid.UUID) -> HttpResponse:
    """Somebody's name erased, with a reason."""
    line = _line(person, other)
    form = EraseForm(queries.documents_showing(person, "person", line.data.id), request.POST or None)
    return row_page(
        request,
        person,
        form,
        lambda: _erase(person, line, form),
        title=f"Erase {line.data.name}?",
        says="The name goes for good, here and in every restored backup, and they cannot sign in. Their work stays.",
        button="Erase for good",
        done="Erased.",
        back=(reverse("people"), "People"),
    )


def _erase(person: Person, line: PersonLine, form: EraseForm) -> services.Erased:
    if line.data.id == str(person.id):
        raise Refused("web.people.not_yourself", name="reason")
    return services.erase(person, "person", line.data.id, form.cleaned_data["reason"], documents=form.papers_too)


@require_POST
@page()
def device_revoke(request: HttpRequest, person: Person, device: uuid.UUID) -> HttpResponse:
    """Trust a device no more: one's own from the settings, any from the people."""
    services.revoke_device(person, str(device))
    messages.success(request, words.sentence("web.people.revoked"))
    return redirect("people" if request.POST.get("back") == PEOPLE else "settings")


@require_POST
@page()
def device_admit(request: HttpRequest, person: Person, device: uuid.UUID) -> HttpResponse:
    """Let in what a revoked device had recorded."""
    count = services.admit_held(person, str(device))
    messages.success(request, words.sentence(f"web.people.admitted.{'one' if count == 1 else 'many'}", count=count))
    return redirect("people")


def _line(person: Person, other: uuid.UUID) -> PersonLine:
    require_office(person, "changing people")
    found = next((one for one in queries.people(person) if one.data.id == str(other)), None)
    if found is None:
        raise NotFound("person", other)
    return found
