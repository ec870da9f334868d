"""What every view shares: who may open a page, what becomes of a refusal, and how a form is worked through."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import wraps
from typing import Any, TypeVar
from urllib.parse import urlencode

from django import forms
from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.errors import ColdmarkError, Refused
from coldmark.bench.units import stem
from coldmark.records.errors import NotAllowed, NotFound, refused
from coldmark.records.models import Person
from coldmark.web.form_words import say_in_full

__all__ = ["asked_day", "asked_page", "is_part", "page", "put", "units_of", "worked"]

View = Callable[..., HttpResponseBase]
Result = TypeVar("Result")


def page(*, staff: bool = True) -> Callable[[View], View]:
    """Make a page for people who are signed in; for the firm's own unless ``staff`` is false.

    What a person may not know of is not found. A mechanic at an office page is told so. A value in the address that
    cannot be read is named.
    """

    def made(view: View) -> View:
        @wraps(view)
        def wrapped(request: HttpRequest, **told: Any) -> HttpResponseBase:
            person = request.user
            if not isinstance(person, Person):
                return _to_sign_in(request)
            if staff and not person.is_staff:
                raise Http404
            try:
                return view(request, person, **told)
            except NotFound as error:
                raise Http404 from error
            except NotAllowed as error:
                return _told(request, 403, "web.error.403", error.say(units_of(person)))
            except Refused as error:
                return _told(request, 400, "web.error.400", error.say(units_of(person)))

        return wrapped

    return made


def _to_sign_in(request: HttpRequest) -> HttpResponse:
    address = f"{settings.LOGIN_URL}?{urlencode({'next': request.get_full_path()})}"
    if not is_part(request):
        return HttpResponseRedirect(address)
    # A part of a page cannot show the sign-in; the whole page goes there instead.
    return HttpResponse(status=401, headers={"HX-Redirect": address})


def _told(request: HttpRequest, status: int, title: str, says: str) -> HttpResponse:
    content = {"title": words.sentence(title), "says": says}
    return render(request, "web/told.html", content, status=status)


def is_part(request: HttpRequest) -> bool:
    """Whether htmx asks for a part of the page, and not for the page as it was before."""
    return request.headers.get("HX-Request") == "true" and "HX-History-Restore-Request" not in request.headers


def units_of(person: Person) -> words.UnitSystem:
    """The reader's units."""
    return "us" if person.units == "us" else "metric"


def asked_day(request: HttpRequest) -> date:
    """The day of the address, else this one.

    Raises
    ------
    Refused
        When it is no day.
    """
    told = request.GET.get("day", "")
    if not told:
        return timezone.localdate()
    try:
        day = date.fromisoformat(told)
    except ValueError:
        raise refused("day", told, "a day like 2026-03-02") from None
    if not 2000 <= day.year <= 2199:
        raise refused("day", told, "a day from 2000 to 2199")
    return day


def asked_page(request: HttpRequest) -> int:
    """The page of a list that the address asks for."""
    told = request.GET.get("page", "") or "1"
    if not told.isascii() or not told.isdecimal() or len(told) > 6:
        raise refused("page", told, "a number like 2")
    return int(told)


def worked(form: forms.Form, person: Person | None, act: Callable[[], Result]) -> tuple[bool, Result | None]:
    """Work a form through: whether it went, and what came of it. A refusal is put beside the field that it names."""
    if not form.is_valid():
        say_in_full(form)
        return False, None
    try:
        return True, act()
    except NotAllowed:
        raise
    except ColdmarkError as error:
        put(form, error, "metric" if person is None else units_of(person))
        return False, None


def put(form: forms.Form, error: ColdmarkError, units: words.UnitSystem = "metric") -> None:
    """Put what a service refused beside the field that it names, else above the form."""
    named = error.name if isinstance(error, Refused) else str(error.values.get("what", ""))
    parts = {named, stem(named)} | {part for whole in named.split(".") for part in (whole, stem(whole))}
    seen = [field.name for field in form.visible_fields()]  # beside a hidden one nobody would read it
    field = next((field for field in seen if {field, stem(field), field.removeprefix("new_")} & parts), None)
    form.add_error(field, error.say(units))
