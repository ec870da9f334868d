"""The service report of a job: what the owner asks first, then the record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from coldmark.bench import card, level, words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import Fact
from coldmark.bench.facts import quantity as quantity_of
from coldmark.bench.job import (
    DueLine,
    ask_of,
    balance_of_job,
    build_card,
    due_days,
    due_hours,
    level_of,
    levels_of_job,
    pours_of_job,
)
from coldmark.bench.ledger import Found, LevelSeen
from coldmark.papers import data as paper
from coldmark.records.access import OWNER_KINDS, hidden_fields
from coldmark.records.models import Person
from coldmark.records.paperwork.closing import closed_job, closing_paper
from coldmark.records.paperwork.common import Kept, business, counted, day_of, machine_name, sheet_size, units_of
from coldmark.records.queries.card import material_of
from coldmark.records.queries.jobs import JobMaterial, job_page, job_told
from coldmark.records.queries.lists import business as business_data
from coldmark.records.queries.telling import names_for, tell_entry
from coldmark.records.showing import Shows, erased_so_far, shows_of

__all__ = ["JobRecord", "ReportMade", "paper_of", "report_of"]

_HASHED = ("note", "advice", "strokes", "name", "photo")


@dataclass(frozen=True, slots=True)
class ReportMade:
    """A report's data, the pictures that it speaks of, the facts that it was made from, and whom and what it shows."""

    paper: paper.ReportPaper
    pictures: Mapping[str, bytes]
    facts: tuple[str, ...]
    machine: str
    shows: Shows


class JobRecord:
    """One job with all that its report draws on."""

    def __init__(self, person: Person, job: str) -> None:
        self.material: JobMaterial = job_told(person, job)
        self.page = job_page(person, job)
        self.units = units_of(person)
        self.size = sheet_size(person)
        self.taken = material_of(self.material, self.units)
        self.card = build_card(self.taken)
        self.finish = card.finish(self.card, self.material.facts)
        self.kept = Kept(_hashes(self.material.facts))
        self.money = business_data().money
        self.closed = closed_job(self.material.machine.id, job)
        self.oils = self.taken.oils
        self.findings: list[Found] = [one for one in self.material.state.findings.values() if one.job == job]

    @property
    def id(self) -> str:
        return self.material.job.job

    def of_kind(self, *kinds: str) -> Iterator[Fact]:
        """The job's effective facts of some kinds, in order; what a newer version recorded cannot be read here."""
        return (fact for fact in self.material.facts if fact.known and fact.kind in kinds)

    def title(self, step: str) -> str:
        """What a step is called on the card."""
        return next((str(one["title"]) for one in self.card["screens"] if one["step"] == step), step)

    def about(self, key: str) -> str:
        """What a compartment, housing or part is called."""
        return next((str(one["says"]) for one in self.card["abouts"] if one["key"] == key), key)


def _hashes(facts: Sequence[Fact]) -> Iterator[str]:
    """The attachments that a report speaks of: an internal note is in none, whoever issues it."""
    for fact in (one for one in facts if one.known):
        hidden = hidden_fields(fact.kind)
        for name in _HASHED:
            value = fact.body.get(name)
            if isinstance(value, str) and name not in hidden:
                yield value
        yield from fact.body.get("photos") or ()


def report_of(person: Person, job: str, *, number: str) -> ReportMade:
    """Put together the report of a job under a number.

    Raises
    ------
    NotFound
        When there is no such job for this person.
    Missing
        When the machine has no data sheet.
    """
    erased = erased_so_far()
    it = JobRecord(person, job)
    line = it.material.machine
    facts = tuple(fact.id for fact in it.material.facts)
    people = {one.person for one in it.page.entries}
    shows = shows_of(people, line.customer, line.site, it.kept.hashes, erased=erased)
    return ReportMade(paper_of(it, number), it.kept.pictures(), facts, line.id, shows)


def paper_of(it: JobRecord, number: str) -> paper.ReportPaper:
    line = it.material.machine
    return paper.ReportPaper(
        business=business(),
        number=number,
        day=day_of(it.material.job.closed_at or it.material.job.opened_at),
        machine=machine_name(line),
        owner=line.customer_name,
        site=line.site_name,
        mechanic=", ".join(it.page.mechanics),
        meter=_meter(it),
        verdict=_verdict(it),
        findings=tuple(_finding(it, one) for one in it.findings),
        plan=tuple(_plan(it)),
        next=tuple(_next(it, one) for one in it.page.due if not one.rides_with),
        glasses=tuple(_glasses(it)),
        parts=tuple(_parts(it)),
        litres=tuple(_litres(it)),
        balance=tuple(_balance(it)),
        readings=tuple(_readings(it)),
        steps=tuple(_steps(it)),
        reasons=tuple(_reasons(it)),
        signature=_signature(it),
        closing=paper.ClosingCode() if it.closed is None else closing_paper(it.closed),
        late=tuple(_late(it)),
        awaited=counted("paper.awaited", it.kept.awaited),
        sheet=line.sheet_title or words.sentence("paper.no_sheet"),
        sheet_size=it.size,
    )


def _meter(it: JobRecord) -> str:
    reads = list(it.of_kind("meter_read"))
    if not reads:
        return ""
    return words.quantity(quantity_of(reads[-1].body["reading"], "hours"), "h", units=it.units)


def _verdict(it: JobRecord) -> tuple[str, ...]:
    """Is it all right? By the gravest open finding; never that a machine is safe."""
    open_ones = [one for one in it.findings if one.settled_at is None]
    for urgency, message in (("before_next_work", "first"), ("plan_for_it", "plan"), ("keep_watching", "watch")):
        count = sum(one.urgency == urgency for one in open_ones)
        if count:
            said = [
                words.sentence(f"paper.verdict.{message}", count=_capital_if(message, counted("paper.things", count)))
            ]
            break
    else:
        said = [words.sentence("paper.verdict.fine")]
    closed = it.material.job.closed_at is not None
    undone = closed and any(not task["done"] for task in it.finish["tasks"])
    old = any(told["what"] == "old_back" for told in it.finish["parts"])
    if it.finish["left_out"] or it.finish["gates"] or old or undone:
        said.append(words.sentence("paper.verdict.undone"))
    if not closed:
        said.append(words.sentence("paper.verdict.open"))
    return tuple(said)


def _capital_if(message: str, things: str) -> str:
    return things if message == "first" else things[:1].upper() + things[1:]


def _finding(it: JobRecord, one: Found) -> paper.FindingLine:
    names = [name for name in (it.kept.photo(photo) for photo in one.photos) if name is not None]
    what = words.sentence(f"finding.{one.what}")
    return paper.FindingLine(
        what=what[:1].upper() + what[1:],
        about=it.about(one.about),
        urgency=words.sentence("paper.settled" if one.settled_at else f"urgency.{one.urgency}"),
        advice=it.kept.text(one.advice),
        photos=tuple(names),
    )


def _money(it: JobRecord, low: int | None, high: int | None) -> str:
    known = [value for value in (low, high) if value is not None]
    if not known:
        return words.sentence("paper.dash")
    span = str(known[0]) if len(set(known)) == 1 else words.sentence("paper.money_span", low=known[0], high=known[-1])
    return f"{span} {it.money}".strip()


def _plan(it: JobRecord) -> Iterator[paper.PlanLine]:
    for one in it.findings:
        costs = (one.cost_low, one.cost_high, one.waiting_low, one.waiting_high)
        if one.settled_at is None and (one.urgency != "keep_watching" or any(cost is not None for cost in costs)):
            what = f"{_finding(it, one).what}, {it.about(one.about)}"
            now, waiting = _money(it, one.cost_low, one.cost_high), _money(it, one.waiting_low, one.waiting_high)
            yield paper.PlanLine(what, now, waiting)


def _next(it: JobRecord, line: DueLine) -> paper.NextLine:
    dash = words.sentence("paper.dash")
    days = due_days(line) or dash
    job = it.material.job
    at = job.closed_at or job.opened_at
    if at is not None and line.stands(timezone.localtime(at).date()) == "over":
        days = words.sentence("paper.overdue", day=words.day(line.late or line.likely or at.date()))
    return paper.NextLine(line.name, due_hours(line, it.units) or dash, days)


def _where(it: JobRecord, seen: LevelSeen) -> str:
    sheet = it.material.sheet
    known = sheet.hydraulic.postures.get(seen.posture or "") if sheet is not None else None
    posture = known.says if known is not None else words.sentence("paper.glass.posture_told")
    if seen.oil_c is None:
        return words.sentence("paper.glass.at_unknown", posture=posture)
    return words.sentence("paper.glass.at", units=it.units, posture=posture, oil_c=seen.oil_c)


def _glasses(it: JobRecord) -> Iterator[paper.GlassPicture]:
    sheet = it.material.sheet
    for moment, seen in zip(("found", "left"), levels_of_job(it.material.state, it.id, it.material.sheet), strict=True):
        if seen is None or sheet is None:
            continue
        title = words.sentence(f"paper.glass.{moment}")
        try:
            answer = level_of(sheet, it.material.state, ask_of(seen), it.oils, coldest_c=it.taken.coldest_c)
        except ColdmarkError as refused:
            yield paper.GlassPicture(title, "", "", (_where(it, seen), refused.say(it.units)))
            continue
        says = level.says(answer.verdict, it.units)
        # What was to be done at the first reading has been done since; only what the level was is told.
        told = (_where(it, seen), *says) if moment == "left" else (_where(it, seen),)
        yield paper.GlassPicture(title, answer.glass, f"{title}: {' '.join(told)}", told)


def _parts(it: JobRecord) -> Iterator[paper.PartLine]:
    names: dict[str, tuple[str, str, int]] = {}
    items = {
        item["place"]: item
        for screen in it.card["screens"]
        if screen["tray"] is not None
        for item in screen["tray"]["items"]
    }
    latest: dict[str, Fact] = {fact.body["place"]: fact for fact in it.of_kind("part_in")}
    for place, fact in latest.items():
        if not fact.body["fresh"]:
            continue
        item = items.get(place, {})
        known = item.get("part") or {}
        number = fact.body.get("number") or known.get("number") or ""
        name = known.get("name") or item.get("name") or place
        before = names.get(f"{name} {number}", (name, number, 0))
        names[f"{name} {number}"] = (name, number, before[2] + int(fact.body["count"]))
    for name, number, count in names.values():
        yield paper.PartLine(name[:1].upper() + name[1:], number, str(count))


def _litres(it: JobRecord) -> Iterator[paper.LitreLine]:
    """Oil by what became of it; what went the same way in the same place is one line."""
    places = it.card["compartments"]
    summed: dict[str, float] = {}
    for compartment, pours in it.material.state.pours.items():
        for pour in pours:
            if pour.job != it.id:
                continue
            place = places.get(compartment, {}).get("name", compartment)
            what = words.sentence("paper.way_of", way=words.sentence(f"paper.way.{pour.way}"), place=place)
            oil = it.oils.get(pour.oil or "")
            named = f"{what}, {oil.name}" if oil is not None and pour.litres > 0 else what
            summed[named] = summed.get(named, 0.0) + abs(pour.litres)
    for named, litres in summed.items():
        yield paper.LitreLine(named, words.quantity(litres, "l", units=it.units))


def _balance(it: JobRecord) -> list[str]:
    if not pours_of_job(it.material.state, it.id, it.material.sheet):
        return []
    return balance_of_job(it.material.state, it.id, it.material.sheet, it.taken.inside, it.oils).says(it.units)


def _readings(it: JobRecord) -> Iterator[paper.ValueLine]:
    for fact in it.of_kind("meter_read"):
        what = words.sentence("paper.meter_doubted" if fact.body.get("doubt") else "paper.meter", time=fact.at[11:16])
        yield paper.ValueLine(what, words.quantity(quantity_of(fact.body["reading"], "hours"), "h", units=it.units))
    for moment, seen in zip(("found", "left"), levels_of_job(it.material.state, it.id, it.material.sheet), strict=True):
        if seen is not None and seen.oil_c is not None:
            shown = words.quantity(seen.oil_c, "c", units=it.units)
            yield paper.ValueLine(words.sentence(f"paper.oil_{moment}"), shown)
        if seen is not None and seen.air_c is not None and moment == "found":
            yield paper.ValueLine(words.sentence("paper.air"), words.quantity(seen.air_c, "c", units=it.units))
    for fact in it.of_kind("step_done"):
        torque = fact.body.get("torque")
        if torque is not None:
            what = words.sentence("paper.torque", step=it.title(fact.body["step"]))
            yield paper.ValueLine(what, _torque(it, fact))


def _torque(it: JobRecord, fact: Fact) -> str:
    """The torque that was told, and whether it is the data sheet's figure or another."""
    told = card.torque_shown(quantity_of(fact.body["torque"], "torque"), it.units)
    whose = fact.body.get("torque_from")
    if whose == "sheet":
        return words.sentence("paper.torque.sheet", torque=told)
    known = next((one["torque"] for one in it.card["screens"] if one["step"] == fact.body["step"]), None)
    if whose is None or known is None:
        return told
    between = f" ({known['range']})" if known["range"] else ""
    message = "paper.torque.other" if fact.body.get("torque_doubt") is None else "paper.torque.doubted"
    return words.sentence(message, torque=told, sheet=f"{known['shown']}{between}")


def _times(it: JobRecord) -> dict[str, str]:
    """At what time of the day each screen was done, by the recorder's clock; a caution when it was acknowledged."""
    done = {fact.body["step"]: fact.at[11:16] for fact in it.of_kind("step_done")}
    stops = {fact.body["caution"]: fact.at[11:16] for fact in it.of_kind("caution_acknowledged")}
    levels = {(fact.body["compartment"], fact.body["moment"]): fact.at[11:16] for fact in it.of_kind("level_read")}
    meters = [fact.at[11:16] for fact in it.of_kind("meter_read")]
    found: dict[str, str] = {}
    for screen in it.card["screens"]:
        kind, key = screen["kind"], screen["key"]
        time = done.get(screen["step"])
        if kind == "caution":
            time = stops.get(key.removeprefix("stop."))
        elif kind in {"level_found", "level_left"}:
            time = levels.get((screen["compartment"], kind.removeprefix("level_")), time)
        elif kind == "meter" and time is None and meters:
            time = meters.pop(0)
        if time is not None:
            found[key] = time
    return found


def _steps(it: JobRecord) -> Iterator[paper.StepLine]:
    times = _times(it)
    standings = {one.key: one for one in card.progress(it.card, it.material.facts).screens}
    for screen in it.card["screens"]:
        if screen["kind"] == "finish":
            continue
        standing = standings[screen["key"]].standing
        time = times.get(screen["key"])
        if standing == "done" and time is not None:
            how = "stop" if screen["kind"] == "caution" else "done"
            state = words.sentence(f"paper.step.{how}", time=time)
        else:
            state = words.sentence(f"paper.step.{'done_plain' if standing == 'done' else standing}")
        yield paper.StepLine(screen["title"], state)


def _why(it: JobRecord, told: Mapping[str, Any]) -> str:
    note = it.kept.text(told.get("note"))
    return (
        words.sentence("paper.with_note", reason=told["reason_says"], note=note) if note else str(told["reason_says"])
    )


def _photos(it: JobRecord, told: Mapping[str, Any]) -> tuple[str, ...]:
    name = it.kept.photo(told["photo"]) if told.get("photo") else None
    return () if name is None else (name,)


def _reasons(it: JobRecord) -> Iterator[paper.ReasonLine]:
    for told in it.finish["left_out"]:
        yield paper.ReasonLine(told["title"], words.sentence("paper.left_out", reason=_why(it, told)))
    for told in it.finish["gates"]:
        passed = words.sentence("paper.gate_passed", says=told["says"], reason=_why(it, told))
        yield paper.ReasonLine(told["title"], passed)
    for fact in it.of_kind("part_out"):
        state = fact.body["state"]
        if state == "as_expected":
            continue
        part = next(
            (
                item["name"]
                for screen in it.card["screens"]
                if screen["tray"] is not None
                for item in screen["tray"]["items"]
                if item["place"] == fact.body["place"]
            ),
            fact.body["place"],
        )
        why = {"reason_says": words.sentence(f"part_state.{state}"), **fact.body}
        came_out = words.sentence("paper.part_state", part=part[:1].upper() + part[1:])
        yield paper.ReasonLine(came_out, _why(it, why), _photos(it, why))
    for told in it.finish["parts"]:
        yield paper.ReasonLine(told["title"], _why(it, told), _photos(it, told))
    # While the job is open, what is not done yet is nothing to give a reason for.
    for task in it.finish["tasks"] if it.material.job.closed_at is not None else ():
        if not task["done"]:
            steps = ", ".join(one["title"] for one in task["lacking"])
            why_not = words.sentence("paper.lacking", steps=steps) if steps else words.sentence("paper.step.open")
            yield paper.ReasonLine(words.sentence("paper.task_not_done", task=task["name"]), why_not)


def _late(it: JobRecord) -> Iterator[paper.ValueLine]:
    """What came to the job after it was closed, or was corrected of it since, in the words of its story."""
    if it.closed is None:
        return
    told = [
        one
        for one in it.page.entries
        if one.fact in it.closed.late | it.closed.changed and one.kind in OWNER_KINDS and not one.held
    ]
    names = names_for(told, it.material.sheet, it.units)
    for one in told:
        late = one.fact in it.closed.late
        message = "paper.late" if late else "paper.late.withdrawn" if one.now is None else "paper.late.corrected"
        yield paper.ValueLine(day_of(one.at), words.sentence(message, says=tell_entry(one, names)))


def _signature(it: JobRecord) -> paper.Signed:
    signed = list(it.of_kind("signature"))
    if not signed:
        return paper.Signed()
    last = next((fact for fact in reversed(signed) if fact.body["by"] == "owner"), signed[-1])
    return paper.Signed(it.kept.signature(last.body["strokes"]), it.kept.text(last.body.get("name")))
