"""More, and the settings: one's own look and password, and for the office the business and its backup."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.bench import words
from coldmark.records import queries, services
from coldmark.records.access import require_office
from coldmark.records.models import Person, Role
from coldmark.web.pages import page, worked
from coldmark.web.row_forms import BusinessForm, LookForm, OwnPasswordForm

__all__ = ["more", "settings"]


@require_safe
@page()
def more(request: HttpRequest, person: Person) -> HttpResponse:
    """The ways that are not at the top of every page."""
    content = {"is_office": person.role == Role.OFFICE, "oils": len(queries.oils(person))}
    return render(request, "web/more.html", content)


@sensitive_post_parameters("present", "password", "again")
@require_http_methods(["GET", "POST"])
@page(staff=False)
def settings(request: HttpRequest, person: Person) -> HttpResponse:
    """One's own settings, and the office's."""
    act = request.POST.get("act") if request.method == "POST" else None
    look = LookForm(request.POST if act == "look" else None, initial={"units": person.units, "look": person.look})
    password = OwnPasswordForm(person, request.POST if act == "password" else None)
    if act == "look":
        went, _done = worked(look, person, lambda: services.set_look(person, **look.cleaned_data))
        if went:
            return _done_with(request, "web.settings.kept")
    if act == "password":
        mine = str(person.id)
        went, _done = worked(
            password, person, lambda: services.set_password(person, mine, password.cleaned_data["password"])
        )
        if went:
            update_session_auth_hash(request, Person.objects.get(id=mine))
            return _done_with(request, "web.settings.password")
    content = {"look_form": look, "password_form": password, "devices": _devices(person)}
    if person.role == Role.OFFICE or act == "business":
        require_office(person, "changing the business")
        business = BusinessForm(person, request.POST if act == "business" else None)
        if act == "business":
            went, _done = worked(business, person, business.record)
            if went:
                return _done_with(request, "web.settings.kept")
        content |= {"business_form": business, "store": queries.store(person), "today": timezone.localdate()}
    return render(request, "web/settings.html", content)


def _devices(person: Person) -> list[queries.DeviceLine]:
    return [one for one in queries.devices(person) if one.person_id == str(person.id)] if person.is_staff else []


def _done_with(request: HttpRequest, message: str) -> HttpResponse:
    messages.success(request, words.sentence(message))
    return redirect("settings")
