"""The API described for other programs (OpenAPI 3.1), put together from what the program works by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from coldmark import __version__
from coldmark.api import shapes
from coldmark.api.answers import KEY_COOKIE
from coldmark.api.schemas import ask_schema, calculation_schema, fact_schemas, ref, shape_schemas
from coldmark.bench import words
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.facts.checks import HASH
from coldmark.bench.job import LEVEL, METER
from coldmark.records.queries import MeterAnswer, Pulled
from coldmark.records.services import Accepted, AttachmentBegun, AttachmentKept, AttachmentsHeld
from coldmark.records.services.attachments import JPEG, LIMITS, MOST_ASKED

__all__ = ["ROUTES", "Route", "openapi"]

Plain = dict[str, Any]

_REFUSED: Mapping[str, str] = {
    "401": "Nobody is signed in.",
    "403": "This is not open to the role of who asks, or the request lacks its X-CSRFToken.",
    "404": "There is no such thing, or none that this person may know of.",
    "422": "A field is not right; the sentence says what would be.",
}


@dataclass(frozen=True, slots=True)
class Route:
    """One method of one address: what is asked and what answers."""

    path: str
    method: str
    name: str
    says: str
    answer: Plain
    body: Plain | None = None
    parameters: tuple[Plain, ...] = ()
    statuses: tuple[str, ...] = ("200",)
    refusals: tuple[str, ...] = ("401", "422")
    more: Mapping[str, Plain] = field(default_factory=dict)


def _json(schema: Plain) -> Plain:
    return {"application/json": {"schema": schema}}


def _in_path(name: str, says: str, schema: Plain) -> Plain:
    return {"name": name, "in": "path", "required": True, "description": says, "schema": schema}


_JOB = _in_path("job", "the job's id", {"type": "string", "format": "uuid"})
_SHA256 = _in_path("sha256", "SHA-256 of the content", {"type": "string", "pattern": f"^{HASH}$"})
_PIECE: Plain = {
    "name": "Content-Range",
    "in": "header",
    "description": "which bytes of the whole are sent, where it is not all of them: bytes FIRST-LAST/TOTAL",
    "schema": {"type": "string", "pattern": "^bytes [0-9]+-[0-9]+/[0-9]+$"},
}
_BYTES: Plain = {kind: {"schema": {"type": "string", "maxLength": most}} for kind, most in LIMITS.items()}
_FACT_TEXT: Plain = {
    "type": "string",
    "description": "a fact as compact JSON, its keys in the order of the schema; this very text is kept and hashed",
    "contentMediaType": "application/json",
    "contentSchema": ref("fact"),
}
_FACTS: Plain = {
    "type": "object",
    "properties": {"facts": {"type": "array", "items": _FACT_TEXT, "maxItems": 500}},
    "required": ["facts"],
}
_HASHES: Plain = {
    "type": "object",
    "properties": {
        "sha256": {"type": "array", "items": {"type": "string", "pattern": f"^{HASH}$"}, "maxItems": MOST_ASKED}
    },
    "required": ["sha256"],
}
_JOB_REFUSALS = ("401", "403", "404", "422")

ROUTES: tuple[Route, ...] = (
    Route(
        "/api/me",
        "get",
        "me",
        "Who is signed in, and the running number of the device's next fact; the device gets its key.",
        ref("Me"),
    ),
    Route(
        "/api/facts",
        "get",
        "pull",
        "Facts that arrived after a number, in the order of arrival.",
        ref("Pulled"),
        parameters=(
            {
                "name": "after",
                "in": "query",
                "description": "the last arrival already here",
                "schema": {"type": "integer", "minimum": 0, "default": 0},
            },
        ),
        refusals=("401", "403", "422"),
    ),
    Route(
        "/api/facts",
        "post",
        "record",
        "Take facts; each is on disk when its answer says kept or known.",
        ref("Accepted"),
        body=_json(_FACTS),
        parameters=(
            {
                "name": "X-Device-Now",
                "in": "header",
                "description": "what the device's clock shows, so that its error is known",
                "schema": {"type": "string", "format": "date-time"},
            },
        ),
        refusals=("401", "403", "413", "422"),
    ),
    Route(
        "/api/bundle",
        "get",
        "bundle",
        "What a phone takes along: visits, machines with their states, sheets, oils.",
        ref("Bundle"),
        parameters=(
            {
                "name": "If-None-Match",
                "in": "header",
                "description": "the ETag of the bundle that is already here",
                "schema": {"type": "string"},
            },
        ),
        refusals=("401", "403"),
        more={"304": {"description": "It is the one that is already here."}},
    ),
    Route(
        "/api/attachments/{sha256}",
        "put",
        "attach",
        "Keep a photo, a voice, a text or strokes under the hash of their bytes, sent whole or piece after piece.",
        ref("AttachmentKept"),
        body=_BYTES,
        parameters=(_SHA256, _PIECE),
        statuses=("200", "201"),
        refusals=("401", "403", "413", "422"),
        more={
            "202": {
                "description": "The piece is on disk; the next begins where it ends.",
                "content": _json(ref("AttachmentBegun")),
            },
            "409": {
                "description": "The piece does not begin where the last one ended, and was not taken.",
                "content": _json(ref("AttachmentBegun")),
            },
        },
    ),
    Route(
        "/api/attachments/lacking",
        "post",
        "lacking",
        "Which of these attachments are not here, and how much there is of them, so that nothing is sent twice.",
        ref("AttachmentsHeld"),
        body=_json(_HASHES),
        refusals=("401", "403", "413", "422"),
    ),
    Route(
        "/api/attachments/{sha256}",
        "get",
        "attachment",
        "Hand out an attachment to who may see what it belongs to.",
        {"type": "string"},
        parameters=(_SHA256,),
        refusals=("401", "404"),
        more={"410": {"description": "It was erased.", "content": _json(ref("Said"))}},
    ),
    Route(
        "/api/photos/{sha256}/small",
        "get",
        "small_photo",
        "Hand out a photo at small size to who may see what it belongs to.",
        {"type": "string"},
        parameters=(_SHA256,),
        refusals=("401", "404", "422"),
        more={"410": {"description": "It was erased.", "content": _json(ref("Said"))}},
    ),
    Route(
        "/api/jobs/{job}/card",
        "get",
        "card",
        "A job's card with its facts so far.",
        ref("Card"),
        parameters=(_JOB,),
        refusals=_JOB_REFUSALS,
    ),
    Route(
        "/api/jobs/{job}/level",
        "post",
        "level",
        "What a level that was read on a job means.",
        ref("Level"),
        body=_json(ref("level_read")),
        parameters=(_JOB,),
        refusals=(*_JOB_REFUSALS, "413"),
    ),
    Route(
        "/api/jobs/{job}/meter",
        "post",
        "meter",
        "Whether a meter's reading asks for a second look.",
        ref("MeterAnswer"),
        body=_json(ref("meter_read")),
        parameters=(_JOB,),
        refusals=(*_JOB_REFUSALS, "413"),
    ),
    Route(
        "/api/jobs/{job}/finish",
        "get",
        "finish",
        "What finishing a job shows.",
        ref("Finish"),
        parameters=(_JOB,),
        refusals=_JOB_REFUSALS,
    ),
    Route(
        "/api/catalogue",
        "get",
        "catalogue",
        "Calculations, described for a form: all, or those for what is asked, the likeliest first.",
        ref("Calculations"),
        parameters=(
            {
                "name": "asked",
                "in": "query",
                "required": False,
                "description": "Words of what is looked for, as somebody types them.",
                "schema": {"type": "string"},
            },
        ),
    ),
    *(
        Route(
            f"/api/calc/{key}",
            "post",
            f"calc_{key}",
            words.sentence(entry.question),
            ref("Calculated"),
            body=_json(ref(f"calc.{key}")),
            refusals=("401", "404", "413", "422"),
        )
        for key, entry in ENTRIES.items()
    ),
    Route("/api/openapi.json", "get", "openapi", "This description.", {"type": "object"}),
)


@lru_cache(maxsize=1)
def openapi() -> Plain:
    """The whole description; made once, as nothing in it changes while the program runs."""
    paths: dict[str, Plain] = {}
    for route in ROUTES:
        paths.setdefault(route.path, {})[route.method] = _operation(route)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Coldmark",
            "version": __version__,
            "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
        },
        "security": [{"session": []}, {"key": []}],
        "paths": paths,
        "components": {
            "schemas": _schemas(),
            "securitySchemes": {
                "session": {"type": "apiKey", "in": "cookie", "name": "coldmark_session"},
                "key": {"type": "apiKey", "in": "cookie", "name": KEY_COOKIE},
            },
        },
    }


def _schemas() -> dict[str, Plain]:
    answers = (
        shapes.Said,
        shapes.Me,
        shapes.Bundle,
        shapes.Card,
        shapes.Level,
        shapes.Finish,
        shapes.Calculations,
        shapes.Calculated,
        MeterAnswer,
        Pulled,
        Accepted,
        AttachmentBegun,
        AttachmentKept,
        AttachmentsHeld,
    )
    calculations = {
        f"calc.{key}": calculation_schema(entry, words.sentence(entry.question)) for key, entry in ENTRIES.items()
    }
    return {
        **fact_schemas(),
        **shape_schemas(answers),
        "level_read": ask_schema(LEVEL, "A level as read: with posture or rods, and the oil's warmth or degrees."),
        "meter_read": ask_schema(METER, "What an hour meter shows."),
        **calculations,
    }


def _operation(route: Route) -> Plain:
    kinds = {"attachment": tuple(LIMITS), "small_photo": (JPEG,)}.get(route.name, ())
    content: Plain = {kind: {"schema": route.answer} for kind in kinds} if kinds else _json(route.answer)
    responses = {status: {"description": route.says, "content": content} for status in route.statuses}
    for status in route.refusals:
        says = _REFUSED.get(status, words.sentence("api.too_long"))
        responses[status] = {"description": says, "content": _json(ref("Said"))}
    told: Plain = {"operationId": route.name, "summary": route.says, "responses": responses | dict(route.more)}
    if route.parameters:
        told["parameters"] = list(route.parameters)
    if route.body is not None:
        told["requestBody"] = {"required": True, "content": route.body}
    return told
