"""The API's views: parse, call one service or query, show. Fields are described in :mod:`coldmark.api.describing`."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.middleware.csrf import get_token
from django.utils import timezone

from coldmark import __version__
from coldmark.api.answers import body_of, endpoint, units_of
from coldmark.api.reading import level_ask, texts, typed
from coldmark.bench import level, words, working
from coldmark.bench.errors import Missing, Refused
from coldmark.bench.facts import Fact
from coldmark.records import queries, services
from coldmark.records.models import Person

__all__ = ["attachment", "card", "facts", "finish", "level_read", "me", "meter"]

DEVICE_COOKIE = "coldmark_device"
MOST_FACTS = 500
_YEARS = 60 * 60 * 24 * 365 * 2


@endpoint("GET")
def me(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Who is signed in, on which device, and the running number of its next fact."""
    known = request.COOKIES.get(DEVICE_COOKIE)
    device = services.device_of(person, known, label=request.headers.get("User-Agent", "")[:120])
    response = JsonResponse(
        {
            "person": {"id": str(person.id), "name": person.name, "role": person.role},
            "device": {"id": device.id, "next_number": device.next_number},
            "units": person.units,
            "csrf": get_token(request),
            "app": __version__,
            "epoch": services.epoch(),
        }
    )
    response.set_cookie(
        DEVICE_COOKIE, device.id, max_age=_YEARS, httponly=True, samesite="Lax", secure=request.is_secure()
    )
    return response


@endpoint("GET")
def card(_request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """A job's card with its facts so far."""
    page = queries.card_page(person, job)
    meter = {"shown_h": page.shown_h, "hours": page.hours, "at": page.hours_at}
    return JsonResponse(
        {
            "card": page.card,
            "facts": [_fact(one) for one in page.facts],
            "state": {"meter": meter if page.shown_h is not None else None},
        }
    )


def _fact(fact: Fact) -> dict[str, Any]:
    return {
        "id": fact.id,
        "kind": fact.kind,
        "version": fact.version,
        "subject": {"type": fact.subject_type, "id": fact.subject},
        "job": fact.job,
        "at": fact.at,
        "recorded": fact.recorded,
        "device": fact.device,
        "number": fact.number,
        "person": fact.person,
        "app": fact.app,
        "body": dict(fact.body),
    }


@endpoint("GET", "POST")
def facts(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Take facts, answered id by id once they are on disk; or hand out those that arrived after a number."""
    if request.method == "GET":
        told = request.GET.get("after", "0")
        if not told.isdecimal():
            raise Refused("refused.number", name="after", value=told[:40], right="1200")
        pulled = queries.pull(person, int(told))
        return JsonResponse(asdict(pulled))
    given = texts(body_of(request), "facts")
    if len(given) > MOST_FACTS:
        raise Refused("api.too_many", name="facts", value=str(len(given)), most=str(MOST_FACTS))
    sent = request.headers.get("X-Device-Now")
    accepted = services.accept_facts(
        person, given, device=request.COOKIES.get(DEVICE_COOKIE), device_now=_moment(sent) if sent else None
    )
    return JsonResponse(asdict(accepted))


def _moment(text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise Refused("refused.moment", name="X-Device-Now", value=text[:60]) from None
    return at if at.tzinfo else at.replace(tzinfo=UTC)


@endpoint("GET", "PUT")
def attachment(request: HttpRequest, person: Person, sha256: str) -> HttpResponseBase:
    """Keep an attachment under its hash, or hand it out to who may see it."""
    if request.method == "PUT":
        kept = services.keep_attachment(person, sha256, request.headers.get("Content-Type", ""), request.body)
        return JsonResponse(asdict(kept), status=201 if kept.answer == "kept" else 200)
    found = services.read_attachment(person, sha256)
    if found.content is None:
        return JsonResponse({"says": words.sentence("api.erased")}, status=410)
    response = HttpResponse(found.content, content_type=found.media_type)
    response["Cache-Control"] = "private, max-age=86400, immutable"
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


@endpoint("POST")
def level_read(request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """What a level that was read on a job means."""
    units = units_of(person)
    answer = queries.job_level(person, job, level_ask(body_of(request)))
    verdict = answer.verdict
    return JsonResponse(
        {
            "state": verdict.state,
            "says": level.says(verdict, units),
            "off": level.says_off(verdict, units),
            "move_first": verdict.move_first,
            "add_l": None if verdict.add_l is None else asdict(verdict.add_l),
            "shown": _shown(verdict, units),
            "cold_mark": None if verdict.cold_mark is None else verdict.cold_mark.mark.value,
            "hot": None if verdict.hot is None else verdict.hot.value,
            "glass": answer.glass,
            "working": working.lines(verdict.working, units),
        }
    )


def _shown(verdict: level.LevelVerdict, units: words.UnitSystem) -> dict[str, str]:
    if verdict.add_l is None:
        return {}
    return {
        "add": words.quantity(abs(verdict.add_l.value), "l", units=units),
        "low": words.quantity(abs(verdict.add_l.low), "l", units=units),
        "high": words.quantity(abs(verdict.add_l.high), "l", units=units),
    }


@endpoint("POST")
def meter(request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """Whether a meter's reading asks for a second look."""
    reading = typed(body_of(request), "reading", "h")
    if reading is None:
        raise Missing(name="reading_h", needed_for="meter")
    answer = queries.job_meter(person, job, reading, timezone.localtime().isoformat(timespec="seconds"))
    return JsonResponse(asdict(answer))


@endpoint("GET")
def finish(_request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """What finishing a job shows."""
    units = units_of(person)
    page = queries.job_finish(person, job)
    return JsonResponse(
        {
            **page.finish,
            "balance": {"says": page.balance.says(units)},
            "next_due": [{"task": one.task, "says": queries.due_says(one, units)} for one in page.due],
            "facts": page.facts,
        }
    )
