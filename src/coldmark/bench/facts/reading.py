"""Reading and writing facts: strict, and every refusal names the field, its value and what would be right."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import lru_cache, partial
from typing import Any

from coldmark.bench.errors import Refused
from coldmark.bench.facts.checks import SAFE_WHOLE, UUID, Check, check_field, moment_ms, refuse
from coldmark.bench.facts.kinds import KINDS, Kind
from coldmark.bench.facts.model import Body, Fact, SubjectType
from coldmark.bench.facts.rules import check_together
from coldmark.bench.facts.upgrades import OLDER, UPGRADES

__all__ = ["APP", "ENVELOPE", "ID7", "LONGEST_TEXT", "canonical", "check_body", "make", "parse"]

ENVELOPE = ("id", "kind", "version", "subject", "job", "at", "recorded", "device", "number", "person", "app", "body")
LONGEST_TEXT = 1_000_000

_ENVELOPE_KEYS = frozenset(ENVELOPE)
_SUBJECT_KEYS = frozenset(("type", "id"))
_SUBJECTS = ("machine", "visit", "van", "device")
APP = r"[0-9A-Za-z.+-]{1,40}"
ID7 = r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"
_IS_UUID = partial(re.fullmatch, UUID)
_IS_ID7 = partial(re.fullmatch, ID7)
_IS_KIND = partial(re.fullmatch, r"[a-z][a-z0-9_]{0,59}")
_IS_APP = partial(re.fullmatch, APP)
_UUID_RIGHT = "a UUID in lower case"


def parse(text: str, *, stored: bool = False) -> Fact:
    """Read a fact from its canonical text.

    Parameters
    ----------
    text
        Compact JSON as its recorder wrote it.
    stored
        The text went through here when it was accepted: whether it is compact JSON is not looked at again, and a
        body that no longer reads gives a fact with ``known`` false instead of a refusal, so that nothing is lost.

    Returns
    -------
    Fact
        With the body brought to the present version of its kind. A kind or version that is not known here gives a
        fact with ``known`` false whose envelope was checked and whose body was not.

    Valid for
        Texts of up to a million characters.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.

    Source
        RFC 8259 for JSON; decisions 1, 3 and 5 of the house.

    Examples
    --------
    >>> fact = parse(
    ...     '{"id":"019ccf2c-4a20-7000-8000-000000000001","kind":"meter_stopped","version":1,'
    ...     '"subject":{"type":"machine","id":"019ccf2c-4a20-7000-8000-0000000000aa"},"job":null,'
    ...     '"at":"2026-03-02T08:15:00+01:00","recorded":"2026-03-02T08:15:00+01:00",'
    ...     '"device":"019ccf2c-4a20-7000-8000-0000000000bb","number":1,'
    ...     '"person":"019ccf2c-4a20-7000-8000-0000000000cc","app":"0.1.0","body":{"since":"2026-02-27"}}'
    ... )
    >>> fact.kind, fact.body["since"], fact.known
    ('meter_stopped', '2026-02-27', True)
    """
    if not isinstance(text, str) or len(text) > LONGEST_TEXT:
        raise refuse("text", f"{len(text)} characters", f"at most {LONGEST_TEXT}")
    try:
        message = _DECODER.decode(text)
    except Refused:
        raise
    except (ValueError, RecursionError) as error:
        raise refuse("text", text, f"compact JSON ({error})") from None
    if not isinstance(message, dict):
        raise refuse("text", text, "a JSON object")
    # Writing it again must give the very same text: that catches blanks, doubled keys and odd escapes at once.
    if not stored and _compact(message) != text:
        raise refuse("text", text, "compact JSON: no blanks, no key twice, characters unescaped where JSON allows it")
    return _fact(message, text, stored)


def make(
    *,
    id: str,
    kind: str,
    subject: str,
    at: str,
    recorded: str,
    device: str,
    number: int,
    person: str,
    app: str,
    body: Mapping[str, Any],
    job: str | None = None,
    subject_type: SubjectType = "machine",
) -> Fact:
    """Make a fact of a known kind in its present version; it passes every check that :func:`parse` makes.

    Parameters
    ----------
    id, subject, device, person, job
        UUIDs in lower case; the fact's own is of version 7 (:func:`new_id`).
    kind
        One of :data:`~coldmark.bench.facts.KINDS`.
    at, recorded
        When it happened and when it was written down, with UTC offset.
    number
        The device's running number.
    app
        The version of the program that records it.
    body
        The kind's fields; decimals as text.
    subject_type
        What it is about.

    Returns
    -------
    Fact
        With its canonical text.

    Valid for
        Kinds that are known here.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.

    Source
        Decisions 1 and 3 of the house.

    Examples
    --------
    >>> u = "019ccf2c-4a20-7000-8000-0000000000{}".format
    >>> fact = make(id=u("01"), kind="task_done", subject=u("aa"), at="2026-03-02T08:15:00+01:00",
    ...             recorded="2026-03-02T08:15:00+01:00", device=u("bb"), number=7, person=u("cc"), app="0.1.0",
    ...             body={"task": "hyd_500"})
    >>> parse(fact.text) == fact
    True
    """
    known = KINDS.get(kind)
    if known is None:
        raise refuse("kind", kind, "one of " + ", ".join(KINDS))
    message = {
        "id": id,
        "kind": kind,
        "version": known.version,
        "subject": {"type": subject_type, "id": subject},
        "job": job,
        "at": at,
        "recorded": recorded,
        "device": device,
        "number": number,
        "person": person,
        "app": app,
        "body": dict(body),
    }
    return parse(_compact(message))


def canonical(fact: Fact) -> str:
    """Return the fact's text exactly as it was recorded: what is stored, sent and hashed.

    Parameters
    ----------
    fact
        A fact.

    Returns
    -------
    str
        Its compact JSON.

    Valid for
        Every fact.

    Raises
    ------
    Nothing.

    Source
        Decision 3 of the house.

    Examples
    --------
    >>> u = "019ccf2c-4a20-7000-8000-0000000000{}".format
    >>> canonical(make(id=u("01"), kind="task_done", subject=u("aa"), at="2026-03-02T08:15:00+01:00",
    ...                recorded="2026-03-02T08:15:00+01:00", device=u("bb"), number=7, person=u("cc"), app="0.1.0",
    ...                body={"task": "hyd_500"}))[-26:]
    '"body":{"task":"hyd_500"}}'
    """
    return fact.text


def check_body(kind: str, version: int, body: Mapping[str, Any]) -> Body:
    """Check a body against its kind and bring it to the present version.

    Parameters
    ----------
    kind, version
        A kind and a version of it that are known here.
    body
        The fields.

    Returns
    -------
    Body
        The body in the present version; the same object when nothing had to change.

    Valid for
        Kinds and versions that are known here.

    Raises
    ------
    Refused
        Naming the field, its value and what would be right.

    Source
        The table of kinds.

    Examples
    --------
    >>> check_body("meter_stopped", 1, {"since": "2026-02-30"})
    Traceback (most recent call last):
    ...
    coldmark.bench.errors.Refused: body.since = 2026-02-30 is not right: it must be a day, like "2026-03-02".
    """
    present = KINDS[kind]
    result: Body = body
    while version < present.version:
        _check_fields(OLDER[kind, version], result)
        result = UPGRADES[kind, version](result)
        version += 1
    _check_fields(present, result)
    return result


def _check_fields(kind: Kind, body: Body) -> None:
    checks = _checks(kind.name, kind.version)
    seen = 0
    for name, (check, optional) in checks.items():
        value = body.get(name)
        if value is None:
            if not optional:
                raise Refused("fact.missing", name=f"body.{name}", field=f"body.{name}", right=kind.fields[name].says)
            seen += name in body
            continue
        seen += 1
        check(f"body.{name}", value)
    if seen != len(body):
        extra = next(name for name in body if name not in checks)
        raise Refused(
            "fact.unknown_field",
            name=f"body.{extra}",
            field=f"body.{extra}"[:80],
            kind=kind.name,
            fields=", ".join(checks),
        )
    check_together(kind.name, body)


@lru_cache(maxsize=256)
def _checks(name: str, version: int) -> dict[str, tuple[Check, bool]]:
    kind = KINDS[name] if KINDS[name].version == version else OLDER[name, version]
    return {field: (check_field(told), told.optional) for field, told in kind.fields.items()}


def _fact(message: dict[str, Any], text: str, stored: bool) -> Fact:
    if message.keys() != _ENVELOPE_KEYS:
        _refuse_envelope(message)
    kind, version, subject, job, body = (message[name] for name in ("kind", "version", "subject", "job", "body"))
    _check_envelope(message)
    known = KINDS.get(kind)
    if known is not None:
        if version > known.version:
            known = None
        else:
            try:
                _check_subject(known, subject["type"], job)
                body = check_body(kind, version, body)
            except Refused:
                if not stored:
                    raise
                known = None
    at, recorded = message["at"], message["recorded"]
    at_ms = moment_ms("at", at)
    return Fact(
        message["id"],
        kind,
        version,
        subject["type"],
        subject["id"],
        job,
        at,
        recorded,
        message["device"],
        message["number"],
        message["person"],
        message["app"],
        body,
        text,
        known is not None,
        at_ms,
        at_ms if recorded == at else moment_ms("recorded", recorded),
    )


def _refuse_envelope(message: dict[str, Any]) -> None:
    for name in ENVELOPE:
        if name not in message:
            raise Refused("fact.missing", name=name, field=name, right="part of every fact")
    extra = next(name for name in message if name not in ENVELOPE)
    raise Refused("fact.unknown_field", name=extra, field=extra[:80], kind="fact", fields=", ".join(ENVELOPE))


def _check_envelope(message: dict[str, Any]) -> None:
    if not isinstance(message["id"], str) or not _IS_ID7(message["id"]):
        raise refuse("id", message["id"], "a UUID of version 7 in lower case")
    if not isinstance(message["kind"], str) or not _IS_KIND(message["kind"]):
        raise refuse("kind", message["kind"], "one of " + ", ".join(KINDS))
    for name in ("version", "number"):
        if type(message[name]) is not int or not 1 <= message[name] <= SAFE_WHOLE:
            raise refuse(name, message[name], "a whole number, at least 1")
    subject = message["subject"]
    if not isinstance(subject, dict) or subject.keys() != _SUBJECT_KEYS:
        raise refuse("subject", subject, '{"type": what it is about, "id": its UUID}')
    if subject["type"] not in _SUBJECTS:
        raise refuse("subject.type", subject["type"], "one of " + ", ".join(_SUBJECTS))
    if not isinstance(subject["id"], str) or not _IS_UUID(subject["id"]):
        raise refuse("subject.id", subject["id"], _UUID_RIGHT)
    for name in ("device", "person"):
        if not isinstance(message[name], str) or not _IS_UUID(message[name]):
            raise refuse(name, message[name], _UUID_RIGHT)
    job = message["job"]
    if job is not None and (not isinstance(job, str) or not _IS_UUID(job)):
        raise refuse("job", job, _UUID_RIGHT + " or null")
    if not isinstance(message["app"], str) or not _IS_APP(message["app"]):
        raise refuse("app", message["app"], 'the version of the program, like "0.1.0"')
    if not isinstance(message["body"], dict):
        raise refuse("body", message["body"], "an object with the kind's fields")


def _check_subject(kind: Kind, subject_type: str, job: str | None) -> None:
    if subject_type not in kind.subjects:
        raise refuse("subject.type", subject_type, f"{' or '.join(kind.subjects)} for {kind.name}")
    if kind.needs_job and job is None:
        raise refuse("job", "null", f"the job's UUID for {kind.name}")


def _no_float(text: str) -> Any:
    raise refuse("text", text, 'a whole number, or a decimal as text like "12.5"; a fact holds no floats')


def _compact(message: Mapping[str, Any]) -> str:
    return _ENCODER.encode(message)


_DECODER = json.JSONDecoder(parse_float=_no_float, parse_constant=_no_float)
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), check_circular=False, allow_nan=False)
