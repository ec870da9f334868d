"""A job afterwards, and its papers."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coldmark.bench import words
from coldmark.records import paperwork, queries, services
from coldmark.records.access import require_office
from coldmark.records.models import Person
from coldmark.records.numbers import fresh_id
from coldmark.records.worktime import WorkTime
from coldmark.web.fields import moment_field
from coldmark.web.pages import page, worked
from coldmark.web.row_forms import ReasonForm
from coldmark.web.views.rows import row_page

__all__ = ["card_paper", "document", "document_erase", "job", "job_clock", "job_close", "report_paper"]


WORKS = ("work", "travel", "waiting")


class ClockForm(forms.Form):
    """One's clock on a job put on or off; the id makes a second press change nothing."""

    id = forms.CharField(widget=forms.HiddenInput)
    act = forms.ChoiceField(choices=[(one, one) for one in (*WORKS, "stop")])
    at = moment_field("It ended earlier, at", required=False)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, initial={"id": fresh_id(timezone.now())})


@dataclass(frozen=True, slots=True)
class Shown:
    """Somebody's time on a job: what it went on, and what goes on since when."""

    name: str
    says: str
    since: str


class ReportForm(forms.Form):
    """Issue a report; the id makes a second press change nothing."""

    id = forms.UUIDField(widget=forms.HiddenInput)


@require_http_methods(["GET", "POST"])
@page(staff=False)
def job(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """A job as it went; posted to, it issues the report."""
    if request.method == "POST" and not person.is_staff:
        raise Http404
    form = ReportForm(request.POST if request.method == "POST" else {"id": uuid.uuid4()})
    if request.method == "POST":
        went, issued = worked(
            form, person, lambda: paperwork.issue_report(person, str(job), id=str(form.cleaned_data["id"]))
        )
        if went and issued is not None:
            messages.success(request, words.sentence("web.job.issued", number=issued.number))
            return redirect("job", job)
    after = paperwork.job_after(person, str(job))
    content = {
        "form": form,
        "after": after,
        "page": after.page,
        "told": after.told,
        "times": [_time(name, one) for name, one in after.times],
        "clock": ClockForm() if person.is_staff else None,
        "starts": [(work, words.sentence(f"web.time.start.{work}")) for work in WORKS],
        "stop": "" if after.own is None else words.sentence(f"web.time.stop.{after.own[0]}"),
    }
    return render(request, "web/job.html", content)


def _time(name: str, told: WorkTime) -> Shown:
    spent = [words.sentence(f"web.time.{work}", time=paperwork.hours_said(minutes)) for work, minutes in told.minutes]
    goes_on = [words.sentence(f"web.time.since.{work}", since=_said(since)) for work, since in told.running]
    return Shown(name, ", ".join(spent), ", ".join(goes_on))


def _said(at: datetime) -> str:
    """A time of today's, of another day with the day."""
    local = timezone.localtime(at)
    clock = f"{local:%H:%M}"
    return clock if local.date() == timezone.localdate() else f"{words.day(local.date())}, {clock}"


@require_POST
@page()
def job_clock(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """One's clock on a job put on or off."""
    form = ClockForm(request.POST)
    went, _kept = worked(form, person, lambda: _clock(person, str(job), form.cleaned_data))
    if went:
        stopped = form.cleaned_data["act"] == "stop"
        messages.success(request, words.sentence("web.time.stopped" if stopped else "web.time.started"))
    else:
        for errors in form.errors.values():
            messages.error(request, " ".join(map(str, errors)))
    return redirect("job", job)


def _clock(person: Person, job: str, told: Mapping[str, Any]) -> object:
    if told["act"] == "stop":
        return services.stop_clock(person, job, at=told["at"], id=told["id"])
    return services.start_clock(person, job, told["act"], id=told["id"])


@require_http_methods(["GET", "POST"])
@page()
def job_close(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """A job closed without its card, which is gone or was never finished."""
    found = queries.job_page(person, str(job)).job
    if found.opened_at is None:
        raise Http404
    if found.closed_at is not None:
        return redirect("job", job)
    return row_page(
        request,
        person,
        forms.Form(request.POST if request.method == "POST" else None),
        lambda: services.close_job(person, str(job)),
        title="Close the job without the card?",
        says=(
            "A job is finished on its card. Close it here when that cannot be any more: the phone is lost, or the work "
            "was broken off. All that was recorded stays; a task counts as done only if the card said so."
        ),
        button="Close the job",
        done="The job is closed.",
        back=(reverse("job", args=[job]), "The job"),
    )


@require_safe
@never_cache
@page(staff=False)
def report_paper(request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """The report issued last."""
    issued = queries.last_report(person, str(job))
    if issued is None:
        content = {"title": words.sentence("web.error.404"), "says": words.sentence("web.job.no_report")}
        return render(request, "web/told.html", content, status=404)
    return _paper(request, services.read_document(person, issued.id))


@require_safe
@never_cache
@page()
def card_paper(_request: HttpRequest, person: Person, job: uuid.UUID) -> HttpResponse:
    """The card on paper."""
    return _pdf(paperwork.card_pdf(person, str(job)), "card.pdf")


@require_safe
@page(staff=False)
def document(request: HttpRequest, person: Person, document: uuid.UUID) -> HttpResponse:
    """An issued document, as it was issued, or that it was erased."""
    return _paper(request, services.read_document(person, str(document)))


@require_http_methods(["GET", "POST"])
@page()
def document_erase(request: HttpRequest, person: Person, document: uuid.UUID) -> HttpResponse:
    """An issued document erased, with a reason; for the office."""
    require_office(person, "erasing")
    issued = services.read_document(person, str(document)).issued
    form = ReasonForm(request.POST or None)
    above = reverse("machine", args=[issued.machine]) if issued.job is None else reverse("job", args=[issued.job])
    return row_page(
        request,
        person,
        form,
        lambda: services.erase(person, "document", issued.sha256, form.cleaned_data["reason"]),
        title=f"Erase {issued.what} {issued.number}?",
        says=(
            "The paper goes for good, here and in every restored backup; its number stays, marked as erased. The law "
            "may have you keep what you issued: ask whoever advises you. Copies handed out stay where they are."
        ),
        button="Erase for good",
        done="Erased.",
        back=(above, "The job" if issued.job is not None else "The machine"),
    )


def _paper(request: HttpRequest, found: services.DocumentContent) -> HttpResponse:
    if found.content is None:
        return render(request, "web/told.html", {"title": words.sentence("web.paper.erased")}, status=410)
    return _pdf(found.content, f"{found.issued.what}-{found.issued.number}.pdf")


def _pdf(content: bytes, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    answer["Cache-Control"] = "private, no-cache"
    return answer
