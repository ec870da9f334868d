"""What fields of one body must hold together."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coldmark.bench.facts.checks import refuse
from coldmark.bench.facts.model import Body

__all__ = ["check_together"]


def check_together(kind: str, body: Body) -> None:
    """Refuse a body whose fields contradict each other, naming the field to change."""
    rule = _RULES.get(kind)
    if rule is not None:
        rule(body)


def _breaker(body: Body) -> None:
    if body["to_day"] < body["from_day"]:
        raise refuse("body.to_day", body["to_day"], f"{body['from_day']} or later, as it is the end of the time")


def _correction(body: Body) -> None:
    replaces = body["action"] == "replace"
    if replaces and body.get("body") is None:
        raise refuse("body.body", "null", "the new body, as the fact is replaced")
    if not replaces and body.get("body") is not None:
        raise refuse("body.body", body["body"], "null, as the fact is withdrawn")


def _level(body: Body) -> None:
    for one, other in (("oil", "warmth"), ("posture", "rods")):
        if body.get(one) is not None and body.get(other) is not None:
            raise refuse(f"body.{other}", body[other], f"null, as {one} is given")


def _step_done(body: Body) -> None:
    if body.get("torque_from") is not None and body.get("torque") is None:
        raise refuse("body.torque_from", body["torque_from"], "null, as no torque is given")
    if body.get("torque_doubt") is not None and body.get("torque_from") != "other":
        raise refuse(
            "body.torque_doubt", body["torque_doubt"], "null, as no other figure than the data sheet's is given"
        )


def _part_in(body: Body) -> None:
    if body["fresh"] and body.get("reason") is not None:
        raise refuse("body.reason", body["reason"], "null, as a new one went in")


def _looked_for(body: Body) -> None:
    if body.get("photo") is None and body.get("note") is None:
        raise refuse("body.photo", "null", "a photo, or a note in its place")


def _timed(body: Body) -> None:
    drift = body["what"] == "drift"
    needed, barred = (("moved", "watched"), ("time", "runs")) if drift else (("time",), ("moved", "watched"))
    for name in needed:
        if body.get(name) is None:
            raise refuse(f"body.{name}", "null", f"what was measured, as it is a {body['what']}")
        value = body[name]["value"]
        if name != "moved" and float(value) <= 0:
            raise refuse(f"body.{name}.value", value, "more than 0")
    for name in barred:
        if body.get(name) is not None:
            raise refuse(f"body.{name}", body[name], f"null, as it is a {body['what']}")


def _lab_value(body: Body) -> None:
    if body.get("code") is not None:
        for name in ("value", "unit"):
            if body.get(name) is not None:
                raise refuse(f"body.{name}", body[name], "null, as a code is given")
        return
    for name, right in (("value", "the value as printed, or a code in its place"), ("unit", "its unit as printed")):
        if body.get(name) is None:
            raise refuse(f"body.{name}", "null", right)


def _costs(body: Body) -> None:
    for stem in ("cost", "waiting"):
        low: Any = body.get(f"{stem}_low")
        high: Any = body.get(f"{stem}_high")
        if low is not None and high is not None and high < low:
            raise refuse(f"body.{stem}_high", high, f"at least {stem}_low, which is {low}")


_RULES: dict[str, Callable[[Body], None]] = {
    "breaker_hours_told": _breaker,
    "correction": _correction,
    "level_read": _level,
    "step_done": _step_done,
    "part_in": _part_in,
    "seal_looked_for": _looked_for,
    "finding": _costs,
    "lab_value": _lab_value,
    "function_timed": _timed,
}
