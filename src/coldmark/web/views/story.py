"""A machine's story: what was recorded of it, latest first, with photos, and how an entry is put right."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby
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
from coldmark.records.plain import Issued
from coldmark.records.queries import Chapter, Chapters, Corrected, Entry, JobTold, Names, Voice
from coldmark.web.pages import is_part, page, units_of, worked
from coldmark.web.replacing import CorrectForm, correctable

__all__ = ["Day", "JobShown", "Told", "Values", "entry", "shown", "story", "told"]


@dataclass(frozen=True, slots=True)
class Told:
    """An entry as it is told: its sentence, the sentence as first recorded where that differs, what was written."""

    it: Entry
    says: str
    before: str
    texts: tuple[str, ...]
    corrections: tuple[tuple[Corrected, str], ...]

    @property
    def by(self) -> tuple[str, ...]:
        """Who recorded it, as one of several."""
        return (self.it.person_name,)


@dataclass(frozen=True, slots=True)
class JobShown:
    """A job in the story: what it did in a few lines, and its papers."""

    it: Chapter
    told: JobTold
    lines: tuple[tuple[str, str, tuple[str, ...], tuple[Voice, ...]], ...]
    """Each line: what it says, the fact it tells of (empty where of several), what was written and said with it."""
    papers: tuple[Issued, ...]

    @property
    def by(self) -> tuple[str, ...]:
        """Who was at it."""
        return self.told.mechanics


@dataclass(frozen=True, slots=True)
class Values:
    """What a laboratory measured, one value after another, told on one line: each with its words."""

    values: tuple[tuple[Told, str], ...]

    @property
    def at(self) -> datetime:
        """When the first of them was recorded."""
        return min(told.it.at for told, _says in self.values)

    @property
    def by(self) -> tuple[str, ...]:
        """Who recorded them."""
        return tuple(dict.fromkeys(told.it.person_name for told, _says in self.values))


@dataclass(frozen=True, slots=True)
class Day:
    """What is told of one day; ``by`` is whose it is, where one person recorded it all."""

    day: date
    entries: tuple[Told | JobShown | Values, ...]

    @property
    def by(self) -> str:
        """The one who recorded it all, if there is one."""
        names = {name for told in self.entries for name in told.by}
        return names.pop() if len(names) == 1 else ""


def shown(found: Chapters, sheet: Sheet | None, units: words.UnitSystem, papers: Sequence[Issued]) -> list[Day]:
    """Tell a page of a story, day by day."""
    names = queries.names_for((one for chapter in found.chapters for one in chapter.entries), sheet, units)
    return _by_day(
        (one.at, _told(one.entries[0], names) if one.job is None else _job(one, names, papers))
        for one in found.chapters
    )


def told(entries: Sequence[Entry], sheet: Sheet | None, units: words.UnitSystem) -> list[Day]:
    """Tell entries singly, day by day."""
    names = queries.names_for(entries, sheet, units)
    return _by_day((one.at, _told(one, names)) for one in entries)


def _by_day(found: Iterable[tuple[datetime, Told | JobShown]]) -> list[Day]:
    days: dict[date, list[Told | JobShown]] = {}
    for at, one in found:
        days.setdefault(timezone.localtime(at).date(), []).append(one)
    return [Day(day, tuple(_together(entries))) for day, entries in days.items()]


def _together(entries: Iterable[Told | JobShown]) -> Iterator[Told | JobShown | Values]:
    """The same with a laboratory's values that follow each other as one."""
    for measured, group in groupby(entries, _is_value):
        if measured:
            yield Values(tuple((one, queries.lab_says(one.it)) for one in group if isinstance(one, Told)))
        else:
            yield from group


def _is_value(one: Told | JobShown) -> bool:
    plain = isinstance(one, Told) and not one.before and one.it.now is not None
    return plain and isinstance(one, Told) and one.it.known and one.it.kind == "lab_value"


def _job(chapter: Chapter, names: Names, papers: Sequence[Issued]) -> JobShown:
    told = queries.tell_job(chapter, names)
    own = tuple(paper for paper in papers if paper.job == chapter.job)
    issued = {paper.id for paper in own}
    lines = [
        (line.says, "", (), ())
        if line.entry is None
        else (line.says, line.entry.fact, _texts(line.entry), line.entry.voices)
        for line in told.lines
        if line.entry is None or line.entry.body.get("document") not in issued  # its paper is there to be opened
    ]
    return JobShown(chapter, told, tuple(lines), own)


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
    """The whole story, page by page; the next page alone when it is asked for as a part. A job's entries likewise."""
    job = request.GET.get("job") or None
    if job is not None:
        return _job_entries(request, person, str(machine), job)
    before = request.GET.get("before") or None
    photos_only = request.GET.get("photos") == "1"
    it = queries.machine_page(person, str(machine), day=timezone.localdate())
    units = units_of(person)
    if photos_only:
        photos = queries.story(person, str(machine), before=before, photos_only=True)
        days, further = told(photos.entries, it.sheet, units), photos.further
    else:
        found = queries.chapters(person, str(machine), before=before)
        days, further = shown(found, it.sheet, units, it.documents), found.further
    content = {
        "it": it,
        "story": days,
        "further": further,
        "photos_only": photos_only,
        "paged": True,
        "before": before,
    }
    return render(request, "web/_story.html" if is_part(request) else "web/story.html", content)


def _job_entries(request: HttpRequest, person: Person, machine: str, job: str) -> HttpResponse:
    entries = queries.job_entries(person, machine, job)
    it = queries.machine_page(person, machine, day=timezone.localdate())
    content = {"it": it, "story": told(entries, it.sheet, units_of(person)), "job": job, "paged": True}
    return render(request, "web/_story.html" if is_part(request) else "web/story.html", content)


@require_http_methods(["GET", "POST"])
@page(staff=False)
def entry(request: HttpRequest, person: Person, machine: uuid.UUID, fact: uuid.UUID) -> HttpResponse:
    """One entry in full; staff may put it right or withdraw it, with a reason."""
    one = queries.entry_of(person, str(machine), str(fact))
    it = queries.machine_page(person, str(machine), day=timezone.localdate())
    names = queries.names_for([one], it.sheet, units_of(person))
    may = correctable(one, person)
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
