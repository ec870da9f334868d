"""The API's views: parse, call one service or query, tell. :mod:`coldmark.api.describing` describes them to others."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.middleware.csrf import get_token
from django.utils import timezone
from django.views.decorators.gzip import gzip_page

from coldmark import __version__
from coldmark.api import shapes
from coldmark.api.answers import KEY_COOKIE, body_of, endpoint, key_of, said, tell, trusted, units_of
from coldmark.api.describing import openapi as description
from coldmark.api.reading import texts
from coldmark.bench import catalogue as calculations
from coldmark.bench import words
from coldmark.bench.errors import Refused
from coldmark.bench.facts.checks import HASH, UUID
from coldmark.records import queries, services
from coldmark.records.errors import NotFound, refused
from coldmark.records.models import Person
from coldmark.records.paperwork import kit_along

__all__ = [
    "attachment",
    "bundle",
    "calculate",
    "card",
    "catalogue",
    "facts",
    "finish",
    "lacking",
    "level_read",
    "me",
    "meter",
    "nowhere",
    "openapi",
    "small_photo",
]

# Compressed are only answers that hold no secret (a token that could be guessed from their length).

DEVICE_COOKIE = "coldmark_device"
KEY_PATH = "/api/"
MOST_FACTS = 500
_YEARS = 60 * 60 * 24 * 365 * 2
_CLOCK_OFF_AT_MOST = timedelta(days=60 * 365)
_is_hash = re.compile(HASH).fullmatch
_is_uuid = re.compile(UUID).fullmatch
_is_range = re.compile(r"bytes=(?=[-0-9]*[0-9])([0-9]{0,15})-([0-9]{0,15})").fullmatch
_is_piece = re.compile(r"bytes ([0-9]{1,15})-([0-9]{1,15})/([0-9]{1,15})").fullmatch


@endpoint("GET")
def me(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Who is signed in, on which device, and the running number of its next fact; with it the device's key."""
    key = key_of(request)
    told = _device(request) if key is None else key.device
    device = services.device_of(person, told, label=request.headers.get("User-Agent", "")[:400])
    response = tell(
        shapes.Me(
            person=shapes.Person(str(person.id), person.name, person.role),
            device=shapes.Device(device.id, device.next_number),
            units=person.units,
            look=person.look,
            csrf=get_token(request),
            app=__version__,
            epoch=services.epoch(),
        )
    )
    response.set_cookie(
        DEVICE_COOKIE, device.id, max_age=_YEARS, httponly=True, samesite="Lax", secure=request.is_secure()
    )
    if person.is_staff:
        _give_key(request, response, person, device.id)
    if key is None and request.session.get("device") != device.id:
        request.session["device"] = device.id  # so that the session ends when the device is trusted no more
    return response


def _give_key(request: HttpRequest, response: HttpResponse, person: Person, device: str) -> None:
    held = services.give_key(person, device, request.COOKIES.get(KEY_COOKIE, ""))
    response.set_cookie(
        KEY_COOKIE,
        held,
        max_age=services.LASTS,
        path=KEY_PATH,
        httponly=True,
        samesite="Lax",
        secure=request.is_secure(),
    )


@gzip_page
@endpoint("GET")
def card(_request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """A job's card with its facts so far."""
    return tell(queries.job_card(person, job))


@gzip_page
@endpoint("GET", "POST", delivering=("POST",))
def facts(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Take facts, answered id by id once they are on disk; or hand out those that arrived after a number."""
    if request.method == "GET":
        told = request.GET.get("after", "0")
        if not told.isdecimal() or len(told) > 18:
            raise Refused("refused.number", name="after", value=told[:40], right="1200")
        return tell(queries.pull(person, int(told)))
    given = texts(body_of(request), "facts")
    if len(given) > MOST_FACTS:
        raise Refused("api.too_many", name="facts", value=str(len(given)), most=str(MOST_FACTS))
    sent = request.headers.get("X-Device-Now")
    accepted = services.accept_facts(
        person,
        given,
        device=_device(request),
        device_now=_moment(sent) if sent else None,
        trusted=trusted(request),
    )
    return tell(accepted)


@gzip_page
@endpoint("GET")
def bundle(request: HttpRequest, person: Person) -> HttpResponseBase:
    """What a phone takes along; nothing where it has this already, as its tag says."""
    now = timezone.now()
    told = queries.bundle(person, now=now, packed=kit_along)
    tag = _tag(told)
    if tag in request.headers.get("If-None-Match", ""):
        response: HttpResponse = HttpResponse(status=304)
    else:
        made_at = timezone.localtime(now).isoformat(timespec="seconds")
        response = tell(shapes.Bundle(made_at=made_at, app=__version__, **told))
    response["ETag"] = f'W/"{tag}"'
    return response


def _tag(told: Mapping[str, object]) -> str:
    """The hash of what is in a bundle. That something else has arrived since makes no other of it."""
    content = {name: value for name, value in told.items() if name != "arrival"} | {"app": __version__}
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:32]


def _device(request: HttpRequest) -> str | None:
    """The device that a browser says it is; one that says nonsense is a new one, and is not kept from delivering."""
    told = request.COOKIES.get(DEVICE_COOKIE, "")
    return told if _is_uuid(told) else None


def _moment(text: str) -> datetime:
    """What a device's clock shows; one that lost its battery stands at 1970, and no clock is off by more."""
    try:
        read = datetime.fromisoformat(text)
        at = read if read.tzinfo else read.replace(tzinfo=UTC)
        sound = abs(at - timezone.now()) < _CLOCK_OFF_AT_MOST
    except (ValueError, OverflowError):
        sound = False
    if not sound:
        raise Refused("refused.moment", name="X-Device-Now", value=text[:60])
    return at


@endpoint("POST", delivering=("POST",))
def lacking(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Which of the attachments that a phone has are not here."""
    asked = texts(body_of(request), "sha256")
    device = _device(request) or ""
    return tell(services.lacking_attachments(person, asked, device=device, trusted=trusted(request)))


@endpoint("GET", "PUT", delivering=("PUT",))
def attachment(request: HttpRequest, person: Person, sha256: str) -> HttpResponseBase:
    """Keep an attachment under its hash, at once or in pieces, or hand it out to who may see it."""
    if request.method == "PUT":
        kept = _kept(request, person, sha256)
        return tell(kept, status=_PUT[kept.answer])
    if not _is_hash(sha256):
        raise NotFound("attachment", sha256)
    return _handed_out(request, services.read_attachment(person, sha256))


def _kept(request: HttpRequest, person: Person, sha256: str) -> services.AttachmentKept | services.AttachmentBegun:
    """The whole, or the one piece of it that its range tells (RFC 9110, 14.5)."""
    kind, content = request.headers.get("Content-Type", ""), request.body
    told = request.headers.get("Content-Range")
    if told is None:
        return services.keep_attachment(person, sha256, kind, content, trusted=trusted(request))
    piece = _is_piece(told)
    first, last, total = (int(one) for one in piece.groups()) if piece else (0, -1, 0)
    if piece is None or last - first + 1 != len(content):
        raise refused("Content-Range", told, f"bytes FIRST-LAST/TOTAL of the {len(content)} bytes that were sent")
    return services.keep_piece(
        person,
        sha256,
        kind,
        content,
        first=first,
        total=total,
        device=_device(request) or "",
        trusted=trusted(request),
    )


_PUT = {"kept": 201, "known": 200, "erased": 200, "goes_on": 202, "does_not_fit": 409}


@endpoint("GET")
def small_photo(request: HttpRequest, person: Person, sha256: str) -> HttpResponseBase:
    """A photo at small size."""
    if not _is_hash(sha256):
        raise NotFound("photo", sha256)
    return _handed_out(request, services.small_photo(person, sha256))


def _handed_out(request: HttpRequest, found: services.AttachmentContent) -> HttpResponseBase:
    if found.content is None:
        return said(410, "api.erased")
    response = _part(request, found.content)
    response["Content-Type"] = found.media_type
    response["Cache-Control"] = "private, max-age=86400, immutable"
    response["Accept-Ranges"] = "bytes"
    return response


def _part(request: HttpRequest, content: bytes) -> HttpResponse:
    """The whole, or the one part that is asked for (RFC 9110): some browsers play nothing that comes only whole."""
    asked = _is_range(request.headers.get("Range", ""))
    if asked is None:
        return HttpResponse(content)
    first, last = (int(told) if told else None for told in asked.groups())
    if first is None:
        first, last = max(0, len(content) - (last or 0)), None
    end = len(content) if last is None else min(last + 1, len(content))
    if first >= end:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{len(content)}"})
    headers = {"Content-Range": f"bytes {first}-{end - 1}/{len(content)}"}
    return HttpResponse(content[first:end], status=206, headers=headers)


@endpoint("POST")
def level_read(request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """What a level that was read on a job means."""
    return tell(queries.job_level(person, job, body_of(request)))


@endpoint("POST")
def meter(request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """Whether a meter's reading asks for a second look."""
    at = timezone.localtime().isoformat(timespec="seconds")
    return tell(queries.job_meter(person, job, body_of(request), at))


@endpoint("GET")
def finish(_request: HttpRequest, person: Person, job: str) -> HttpResponseBase:
    """What finishing a job shows."""
    return tell(queries.job_finish(person, job))


@gzip_page
@endpoint("GET")
def catalogue(request: HttpRequest, person: Person) -> HttpResponseBase:
    """Calculations, all or those for what is asked, each described for a form in the reader's units."""
    units = units_of(person)
    topics = tuple({"key": key, "says": words.sentence(f"catalogue.topic.{key}")} for key in calculations.TOPICS)
    found = calculations.find(request.GET.get("asked", "")[:200])
    described = tuple(calculations.describe(key, units) for key in found)
    return tell(shapes.Calculations(topics, described))


@endpoint("POST")
def calculate(request: HttpRequest, person: Person, name: str) -> HttpResponseBase:
    """Run a calculation; a sheet may be told by its hash, an oil by its key."""
    if name not in calculations.ENTRIES:
        raise NotFound("calculation", name)
    units = units_of(person)
    outcome = queries.calculate(person, name, body_of(request), units)
    told = calculations.outcome_to_plain(outcome, units)
    return tell(
        shapes.Calculated(
            calculation=told["calculation"],
            says=tuple(told["says"]),
            fields=told["fields"],
            notes=tuple(told["notes"]),
            working=tuple(told["working"]),
            picture=told["picture"],
        )
    )


@gzip_page
@endpoint("GET")
def openapi(_request: HttpRequest, _person: Person) -> HttpResponseBase:
    """The API described for other programs."""
    return tell(description())


def nowhere(_request: HttpRequest, **_address: str) -> JsonResponse:
    """No such address: said as JSON too, since a program asks."""
    return said(404, "api.nowhere")
