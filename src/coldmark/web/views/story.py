"""A machine's story: what was recorded of it, latest first, with photos, and how an entry is put right."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.bench import words
from coldmark.bench.facts import KINDS
from coldmark.bench.sheet import Sheet
from coldmark.records import queries, services
from coldmark.records.models import Person
from coldmark.records.queries import Corrected, Entry, Names, Story
from coldmark.web.pages import is_part, page, units_of, worked
from coldmark.web.replacing import CorrectForm, correctable

__all__ = ["Day", "Told", "entry", "story", "told"]


@dataclass(frozen=True, slots=True)
class Told:
    """An entry as it is told: its sentence, the sentence as first recorded where that differs, what was written."""

    it: Entry
    says: str
    before: str
    texts: tuple[str, ...]
    corrections: tuple[tuple[Corrected, str], ...]


@dataclass(frozen=True, slots=True)
class Day:
    """The entries of one day; ``by`` is whose they are, where one person recorded them all."""

    day: date
    entries: tuple[Told, ...]

    @property
    def by(self) -> str:
        """The one who recorded them all, if there is one."""
        names = {told.it.person_name for told in self.entries}
        return names.pop() if len(names) == 1 else ""


def told(found: Story, sheet: Sheet | None, units: words.UnitSystem) -> list[Day]:
    """Tell a page of a story, day by day."""
    names = queries.names_for(found.entries, sheet, units)
    days: dict[date, list[Told]] = {}
    for one in found.entries:
        days.setdefault(timezone.localtime(one.at).date(), []).append(_told(one, names))
    return [Day(day, tuple(entries)) for day, entries in days.items()]


def _told(one: Entry, names: Names) -> Told:
    named = replace(names, texts=one.texts)
    says = queries.tell_entry(one, named)
    first = queries.tell(one.kind, one.body, named, known=one.known)
    return Told(
        it=one,
        says=says,
        before=first if first != says else "",
        texts=_texts(one),
        corrections=tuple((each, words.sentence(f"story.why.{each.reason}")) for each in one.corrections),
    )


def _texts(one: Entry) -> tuple[str, ...]:
    body: Mapping[str, Any] = one.body if one.now is None else one.now
    found = [one.texts.get(body[name]) for name in ("note", "advice") if body.get(name) is not None]
    return tuple(text for text in found if text)


@require_safe
@page(staff=False)
def story(request: HttpRequest, person: Person, machine: uuid.UUID) -> HttpResponse:
    """The whole story, page by page; the next page alone when it is asked for as a part."""
    before = request.GET.get("before") or None
    photos_only = request.GET.get("photos") == "1"
    found = queries.story(person, str(machine), before=before, photos_only=photos_only)
    it = queries.machine_page(person, str(machine), day=timezone.localdate())
    content = {
        "it": it,
        "story": told(found, it.sheet, units_of(person)),
        "further": found.further,
        "photos_only": photos_only,
        "paged": True,
        "before": before,
    }
    return render(request, "web/_story.html" if is_part(request) else "web/story.html", content)


@require_http_methods(["GET", "POST"])
@page(staff=False)
def entry(request: HttpRequest, person: Person, machine: uuid.UUID, fact: uuid.UUID) -> HttpResponse:
    """One entry in full; staff may put it right or withdraw it, with a reason."""
    one = queries.entry_of(person, str(machine), str(fact))
    it = queries.machine_page(person, str(machine), day=timezone.localdate())
    names = queries.names_for([one], it.sheet, units_of(person))
    may = person.is_staff and correctable(one)
    form = CorrectForm(one, request.POST or None) if may else None
    if request.method == "POST" and form is not None:
        went, _kept = worked(form, person, lambda: _correct(person, one, form))
        if went:
            messages.success(request, "Put right; the entry as first recorded stays to be seen.")
            return redirect("entry", machine, fact)
    content = {
        "it": it,
        "told": _told(one, names),
        "form": form,
        "kind": KINDS[one.kind].says if one.kind in KINDS else "",
        "undo": one.corrections[-1] if may and one.corrections else None,
    }
    return render(request, "web/entry.html", content)


def _correct(person: Person, one: Entry, form: CorrectForm) -> object:
    told = form.cleaned_data
    if told["action"] == "undo":
        return services.correct(person, told["of"], "withdraw", "undo", note=told["note"], id=told["id"])
    body = form.body() if told["action"] == "replace" else None
    return services.correct(
        person, one.fact, told["action"], told["reason"], body=body, note=told["note"], id=told["id"]
    )
