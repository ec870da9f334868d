"""What a fact says, as one plain sentence: for a machine's story and a job's pages.

Keys of the data sheet (tasks, steps, places, postures) become their names where the sheet is known, and stand as words
where it is not, so that an old fact stays readable whatever becomes of its sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from coldmark.bench import words
from coldmark.bench.card import torque_shown
from coldmark.bench.facts import KINDS, quantity
from coldmark.bench.job import name_of
from coldmark.bench.sheet import Sheet
from coldmark.records.closings import closing_of, shows_sticker
from coldmark.records.models import Customer, SheetVersion, Site
from coldmark.records.queries.story import Entry
from coldmark.records.sheets import oils_by_key

__all__ = ["Names", "names_for", "tell", "tell_entry"]

Body = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Names:
    """The names that facts speak of by id, key or hash. What is missing is told without its name."""

    sheet: Sheet | None = None
    units: words.UnitSystem = "metric"
    oils: Mapping[str, str] = field(default_factory=dict)
    sheets: Mapping[str, str] = field(default_factory=dict)
    customers: Mapping[str, str] = field(default_factory=dict)
    sites: Mapping[str, str] = field(default_factory=dict)
    findings: Mapping[str, str] = field(default_factory=dict)
    texts: Mapping[str, str | None] = field(default_factory=dict)


def names_for(entries: Iterable[Entry], sheet: Sheet | None, units: words.UnitSystem = "metric") -> Names:
    """Look up the names that these entries need; at most one query for each sort of name that occurs."""
    bodies = [(one.kind, body) for one in entries for body in (one.body, one.now) if body is not None]
    sheets = {body["sheet"] for kind, body in bodies if kind == "sheet_assigned"}
    customers = {body["customer"] for kind, body in bodies if kind == "owner_changed"}
    sites = {body["site"] for kind, body in bodies if kind == "owner_changed" and body.get("site")}
    poured = {body["oil"] for kind, body in bodies if kind == "oil_moved" and body.get("oil")}
    return Names(
        sheet=sheet,
        units=units,
        oils={key: oil.name for key, oil in oils_by_key().items()} if poured else {},
        sheets=dict(SheetVersion.objects.filter(sha256__in=sheets).values_list("sha256", "title")) if sheets else {},
        customers=_by_id(Customer.objects.filter(id__in=customers).values_list("id", "name")) if customers else {},
        sites=_by_id(Site.objects.filter(id__in=sites).values_list("id", "name")) if sites else {},
    )


def _by_id(rows: Iterable[tuple[Any, str]]) -> dict[str, str]:
    return {str(id): name for id, name in rows}


@dataclass(frozen=True, slots=True)
class _Teller:
    """One fact being told."""

    body: Body
    names: Names

    def say(self, message: str, /, **values: words.Value) -> str:
        return words.sentence(f"story.{message}", units=self.names.units, **values)

    def amount(self, name: str, measures: str) -> float:
        return quantity(self.body[name], measures)

    def called(self, name: str) -> str:
        return name_of(self.names.sheet, self.body[name])

    def day(self, name: str) -> str:
        return words.day(date.fromisoformat(self.body[name]))

    def oil(self) -> str:
        key = self.body.get("oil")
        return "" if key is None else self.names.oils.get(key, key.replace("_", " "))

    def text(self, name: str) -> str | None:
        sha256 = self.body.get(name)
        return None if sha256 is None else self.names.texts.get(sha256)


def _sheet_assigned(it: _Teller) -> str:
    title = it.names.sheets.get(it.body["sheet"])
    return it.say("sheet_assigned", sheet=title) if title else it.say("sheet_assigned.unknown")


def _option_fitted(it: _Teller) -> str:
    return it.say("option_fitted" if it.body["fitted"] else "option_taken_off", option=it.called("option"))


def _owner_changed(it: _Teller) -> str:
    customer = it.names.customers.get(it.body["customer"])
    site = it.names.sites.get(it.body.get("site") or "")
    if customer is None:
        return it.say("owner_changed.unknown")
    return (
        it.say("owner_changed.at", customer=customer, site=site) if site else it.say("owner_changed", customer=customer)
    )


def _meter_read(it: _Teller) -> str:
    told = it.say(f"meter_read.{it.body['way']}", reading_h=it.amount("reading", "hours"))
    doubt = it.body.get("doubt")
    return told if doubt is None else _joined(told, it.say(f"doubt.{doubt}"))


def _meter_swapped(it: _Teller) -> str:
    new = it.amount("new_first", "hours")
    if it.body.get("old_last") is None:
        return it.say("meter_swapped.unread", new_h=new)
    return it.say("meter_swapped", old_h=it.amount("old_last", "hours"), new_h=new)


def _breaker_hours_told(it: _Teller) -> str:
    days = words.span(date.fromisoformat(it.body["from_day"]), date.fromisoformat(it.body["to_day"]))
    return it.say("breaker_hours_told", breaker_h=it.amount("hours", "hours"), days=days)


def _job_opened(it: _Teller) -> str:
    tasks = "; ".join(name_of(it.names.sheet, task) for task in it.body["tasks"])
    return it.say("job_opened", tasks=tasks) if tasks else it.say("job_opened.bare")


def _step_done(it: _Teller) -> str:
    if it.body.get("torque") is None:
        return it.say("step_done", step=it.called("step"))
    torque = torque_shown(it.amount("torque", "torque"), it.names.units)
    other = "step_done.other_torque" if it.body.get("torque_from") == "other" else "step_done.torque"
    return it.say(other, step=it.called("step"), torque=torque)


def _gate_opened(it: _Teller) -> str:
    key: str = it.body["gate"]
    step, _dot, gate = key.rpartition(".")
    reason = words.sentence(f"reason.{it.body['reason']}")
    if gate == "hard_stops" or not step:
        return it.say("gate_opened", gate=_gate_says(gate or key), reason=reason)
    return it.say("gate_opened.at", gate=_gate_says(gate), step=name_of(it.names.sheet, step), reason=reason)


def _gate_says(gate: str) -> str:
    message = f"story.gate.{gate}"
    return words.sentence(message) if words.has(message) else gate.replace("_", " ")


def _part_out(it: _Teller) -> str:
    state = words.sentence(f"part_state.{it.body['state']}")
    return it.say("part_out", part=it.called("place"), count=it.body["count"], state=state)


def _part_in(it: _Teller) -> str:
    which = "part_in.fresh" if it.body["fresh"] else "part_in"
    told = it.say(which, part=it.called("place"), count=it.body["count"])
    number, reason = it.body.get("number"), it.body.get("reason")
    if number is not None:
        told = _joined(told, it.say("part_in.number", number=number))
    if reason is not None:
        told = _joined(told, it.say("part_in.reason", reason=words.sentence(f"reason.{reason}")))
    return told


def _seal_looked_for(it: _Teller) -> str:
    whole = it.body["groove"] and it.body["bowl"]
    return it.say("seal_looked_for" if whole else "seal_looked_for.in_part", part=it.called("place"))


def _part_refused(it: _Teller) -> str:
    why = words.sentence(f"refused.{it.body['why']}")
    return it.say("part_refused", number=it.body["number"], part=it.called("place"), why=why)


def _level_read(it: _Teller) -> str:
    reading: str = it.body["reading"]
    where = f"level.{reading}" if reading in {"below", "above"} else "level.at"
    values: dict[str, words.Value] = {} if where != "level.at" else {"reading_share": float(reading)}
    stands = it.say(where, **values)
    told = it.say(f"level_read.{it.body['moment']}", where=it.called("compartment"), stands=stands)
    return _joined(told, *_level_more(it))


def _level_more(it: _Teller) -> Sequence[str]:
    more: list[str] = []
    if it.body.get("oil") is not None:
        more.append(it.say("level.oil", oil_c=it.amount("oil", "temperature")))
    elif it.body.get("warmth") is not None:
        more.append(it.say("level.warmth", warmth=words.sentence(f"level.warmth.{it.body['warmth']}")))
    if it.body.get("posture") is not None:
        more.append(it.say("level.posture", posture=it.called("posture")))
    elif it.body.get("rods"):
        more.append(it.say("level.rods"))
    if it.body.get("foam"):
        more.append(it.say("level.foam"))
    return more


def _oil_moved(it: _Teller) -> str:
    way: str = it.body["way"]
    values: dict[str, words.Value] = {"where": it.called("compartment"), "moved_l": it.amount("litres", "volume")}
    oil = it.oil()
    if oil and way in {"fill", "top_up"}:
        return it.say(f"oil_moved.{way}.oil", oil=oil, **values)
    return it.say(f"oil_moved.{way}", **values)


def _finding(it: _Teller) -> str:
    urgency = words.sentence(f"urgency.{it.body['urgency']}")
    what = words.sentence(f"finding.{it.body['what']}")
    return it.say("finding", about=it.called("about"), what=what, urgency=urgency)


def _finding_settled(it: _Teller) -> str:
    what = it.names.findings.get(it.body["finding"])
    return it.say("finding_settled", what=what) if what else it.say("finding_settled.bare")


def _photo(it: _Teller) -> str:
    if shows_sticker("photo", it.body):
        return it.say("photo.sticker")
    of = it.say(f"photo.{it.body['of']}")
    if it.body.get("about") is None:
        return it.say("photo", of=of)
    return it.say("photo.about", of=of, about=it.called("about"))


def _sample_taken(it: _Teller) -> str:
    return it.say("sample_taken", where=it.called("compartment"), bottle=it.body["bottle"])


def _lab_value(it: _Teller) -> str:
    measured = it.body["name"].replace("_", " ")
    if it.body.get("code") is not None:
        return it.say("lab_value.code", measured=measured, value=it.body["code"])
    return it.say("lab_value", measured=measured, value=it.body["value"], unit=it.body["unit"])


def _consent(it: _Teller) -> str:
    return it.say("consent.agreed" if it.body["agreed"] else "consent.declined", about=it.called("about"))


def _signature(it: _Teller) -> str:
    name = it.text("name")
    by = it.say(f"by.{it.body['by']}")
    return it.say("signature.name", by=by, signer=name) if name else it.say("signature", by=by)


def _clock_error(it: _Teller) -> str:
    seconds: int = it.body["seconds"]
    which = "clock_error.right" if seconds == 0 else "clock_error.ahead" if seconds > 0 else "clock_error.behind"
    return it.say(which, off=str(abs(seconds)))


def _reasoned(message: str, name: str) -> Callable[[_Teller], str]:
    def told(it: _Teller) -> str:
        reason = words.sentence(f"reason.{it.body['reason']}")
        return it.say(message, step=it.called(name), reason=reason)

    return told


def _function_timed(it: _Teller) -> str:
    told: dict[str, words.Value] = {"timing": it.called("timing")}
    if it.body["what"] == "cycle":
        told["time_s"] = it.amount("time", "seconds")
    else:
        told |= {"moved_mm": it.amount("moved", "length"), "watched_min": it.amount("watched", "minutes")}
    message = f"function_timed.{it.body['what']}"
    if it.body.get("oil") is None:
        return it.say(message, **told)
    return it.say(f"{message}.oil", oil_c=it.amount("oil", "temperature"), **told)


def _called(message: str, name: str, value: str) -> Callable[[_Teller], str]:
    return lambda it: it.say(message, **{value: it.called(name)})


def _plain(message: str) -> Callable[[_Teller], str]:
    return lambda it: it.say(message)


def _on_day(message: str, name: str) -> Callable[[_Teller], str]:
    return lambda it: it.say(message, day=it.day(name))


def _chosen(message: str, name: str) -> Callable[[_Teller], str]:
    return lambda it: it.say(f"{message}.{it.body[name]}")


def _job_closed(it: _Teller) -> str:
    made, count = closing_of(it.body), len(it.body["facts"])
    if made is None:
        return it.say("job_closed.uncoded", count=count)
    return it.say("job_closed", count=count, code=made.code)


_TELLERS: Mapping[str, Callable[[_Teller], str]] = {
    "sheet_assigned": _sheet_assigned,
    "handed_over": _on_day("handed_over", "day"),
    "option_fitted": _option_fitted,
    "owner_changed": _owner_changed,
    "machine_joined": _plain("machine_joined"),
    "meter_read": _meter_read,
    "meter_swapped": _meter_swapped,
    "meter_stopped": _on_day("meter_stopped", "since"),
    "breaker_hours_told": _breaker_hours_told,
    "job_opened": _job_opened,
    "caution_acknowledged": _called("caution_acknowledged", "caution", "caution"),
    "step_done": _step_done,
    "step_skipped": _reasoned("step_skipped", "step"),
    "gate_opened": _gate_opened,
    "part_out": _part_out,
    "part_in": _part_in,
    "part_refused": _part_refused,
    "seal_looked_for": _seal_looked_for,
    "level_read": _level_read,
    "oil_moved": _oil_moved,
    "function_timed": _function_timed,
    "task_done": _called("task_done", "task", "task"),
    "finding": _finding,
    "finding_settled": _finding_settled,
    "photo": _photo,
    "sample_taken": _sample_taken,
    "lab_value": _lab_value,
    "consent": _consent,
    "signature": _signature,
    "clock_on": _chosen("clock_on", "work"),
    "clock_off": _chosen("clock_off", "work"),
    "job_closed": _job_closed,
    "document_issued": _chosen("document_issued", "what"),
    "correction": _chosen("correction", "action"),
    "clock_error": _clock_error,
}
assert _TELLERS.keys() == KINDS.keys()  # a kind that nobody can tell would be left out of every story


def tell(kind: str, body: Body, names: Names, *, known: bool = True) -> str:
    """Tell what a fact says in a sentence, or two where there is more to it."""
    teller = _TELLERS.get(kind) if known else None
    if teller is None:
        return words.sentence("story.unknown", kind=kind.replace("_", " "))
    return teller(_Teller(body, names))


def tell_entry(entry: Entry, names: Names) -> str:
    """Tell an entry as it stands now; a withdrawn one as it was recorded."""
    return tell(entry.kind, entry.body if entry.now is None else entry.now, names, known=entry.known)


def _joined(*told: str) -> str:
    return " ".join(told)
