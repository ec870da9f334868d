"""The mechanic's rounds: services by the book and by the card, what is found there, and what is put right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from coldmark.bench import card as cards
from coldmark.bench.facts import Fact
from coldmark.bench.ledger import State
from coldmark.demo.between import laboratory
from coldmark.demo.book import serve_by_book
from coldmark.demo.findings import BY_STORY, EVERYDAY, SETTLED_WITH
from coldmark.demo.life import Life, Look
from coldmark.demo.mechanic import Finding, Odd, work
from coldmark.demo.plans import ROWS_BACK, visit_row
from coldmark.demo.schedule import day_to_come, tasks_on
from coldmark.demo.world import CARD_DAYS, LATEST, World

__all__ = ["look_in_passing", "next_visit"]

_STORY_DAYS = 40  # a story's finding is made at a service so long ago, else at a passing look


def next_visit(world: World, life: Life, after: date) -> None:
    """Say when the mechanic comes next, by what is due; visits from today on are planned, not lived."""
    day = day_to_come(world, life, after)
    if day < world.today:
        world.later(day, lambda on: _visit(world, life, on), out=True)
    else:
        world.coming[life.machine.key] = day


def _visit(world: World, life: Life, day: date) -> None:
    interrupted = bool(life.machine.story.get("interrupted")) and day == world.working_day_before(world.today)
    begins = world.slot(day)
    if begins is None and not interrupted:
        tomorrow = world.working_day(day + timedelta(days=1))
        if tomorrow < world.today:
            world.later(tomorrow, lambda on: _visit(world, life, on), out=True)
        else:
            world.coming[life.machine.key] = tomorrow
        return
    begins = begins or world.at(day, LATEST)
    life.live_to(day)
    look = Look.at(life, day, world.air[day])
    tasks = tasks_on(world, life, day)
    if (world.today - day).days > CARD_DAYS:
        facts = serve_by_book(life, world.mechanic, look, begins, tasks, _card(world, life, tasks))
    else:
        facts = _by_card(world, life, look, begins, tasks, interrupted)
    world.keep(life, facts)
    life.visits += 1
    world.free[day] = datetime.fromisoformat(facts[-1].at).astimezone(world.zone) + timedelta(minutes=40)
    _after(world, life, facts, day)
    next_visit(world, life, day)


def _card(world: World, life: Life, tasks: tuple[str, ...]) -> dict[str, Any]:
    """The card of these tasks: it hangs on the sheet and the options, hardly on the machine."""
    key = (life.machine.sheet, tasks, life.options())
    if key not in world.built:
        world.built[key] = cards.build(
            job="", sheet=life.sheet, tasks=tasks, state=State(life.id), options=life.options()
        )
    return world.built[key] | {"machine": {"id": life.id}}


def _by_card(
    world: World, life: Life, look: Look, begins: datetime, tasks: tuple[str, ...], interrupted: bool
) -> list[Fact]:
    day, card = begins.date(), _card(world, life, tasks)
    job = world.job(life, day)
    visit = visit_row(world, life, day, begins, tasks, job) if world.today - day <= ROWS_BACK else None
    settled = _settle(world, life, begins)
    odd = _odd(world, life, look, card, day)
    if interrupted:
        keys = [screen["key"] for screen in card["screens"] if screen["kind"] == "tray_in"]
        odd = replace(odd, stop_before=keys[0] if keys else "finish", findings=())
    look.posture = _posture(life)
    facts = work(card, world.mechanic, begins=begins, eyes=look, job=job, tasks=tasks, visit=visit, odd=odd)
    return settled + facts


def _posture(life: Life) -> str:
    """Where a machine stands when it is found: nearly always as it should."""
    system = life.sheet.hydraulic
    told = life.machine.story.get("seen_folded")
    if told is not None:
        return str(told)
    others = [key for key in system.postures if key != system.check_posture]
    return life.rng.choice(others) if life.rng.random() < 0.04 else system.check_posture


def _odd(world: World, life: Life, look: Look, card: Mapping[str, Any], day: date) -> Odd:
    """What does not go by the card on this job."""
    rng, story = life.rng, life.machine.story
    keys = [screen["key"] for screen in card["screens"]]
    hydraulic = any(key.endswith(".tray_out") for key in keys)
    findings: list[Finding] = []
    told = story.get("finding")
    if told and not life.told_story and hydraulic and (world.today - day).days < _STORY_DAYS:
        findings.append(BY_STORY[told])
        life.told_story = True
    elif rng.random() < 0.2:
        findings.append(rng.choice([one for one in EVERYDAY if one.what not in life.seen]))
        life.seen.add(findings[-1].what)
    left_out: dict[str, tuple[str, str]] = {}
    if rng.random() < 0.3:
        left_out[".sample"] = ("done_lately", "The last one is at the laboratory.")
    if rng.random() < 0.12 and len(card["tasks"]) > 1:
        left_out |= dict.fromkeys(
            (".fuel", ".fuel_air"), ("part_not_here", "The fuel filter in the van was the wrong one.")
        )
    gates, states = {}, {}
    if hydraulic and rng.random() < 0.06:
        states["return.element_ring"] = "missing"
        gates[".close.old_seals"] = ("part_was_missing", "The old ring was not in the housing; looked with a torch.")
    elif hydraulic and rng.random() < 0.1:
        states["return.cover_ring"] = "deformed"
    photos = {}
    if hydraulic:
        photos[".tray_out"] = (world.photos["tray"], "tray")
        stands = life.tank.reading(look.oil_c)
        look.photo = world.photos["glass_low" if stands < 0.25 else "glass_middle"]
    findings = [replace(one, photos=tuple(world.photos[name] for name in one.photos)) for one in findings]
    signed = ("mechanic", "owner") if rng.random() < 0.5 else ("mechanic",)
    return Odd(left_out, gates, states, tuple(findings), photos, None, signed)


def _settle(world: World, life: Life, begins: datetime) -> list[Fact]:
    """Put right at a visit what was found at the last one, mostly; what a story tells of stays open."""
    facts: list[Fact] = []
    kept: list[str] = []
    for id in life.open_findings:
        found = next(fact for fact in life.facts if fact.id == id)
        note = SETTLED_WITH.get(found.body["what"])
        if note is None or life.rng.random() < 0.25:
            kept.append(id)
            continue
        body = {"finding": id, "note": world.kept.text(note)}
        at = begins - timedelta(minutes=25 - 5 * len(facts))
        facts.append(world.mechanic.write("finding_settled", life.id, at, body))
    life.open_findings = kept
    return facts


def _after(world: World, life: Life, facts: list[Fact], day: date) -> None:
    """What a job brings with it later: laboratory values, and a repair that could not wait."""
    story = {one.advice for one in BY_STORY.values()}
    for fact in facts:
        if fact.kind == "sample_taken":
            later = world.working_day(day + timedelta(days=life.rng.randint(8, 13)))
            world.later(later, lambda on, id=fact.id: laboratory(world, life, on, id))  # type: ignore[misc]
        elif fact.kind == "finding":
            advice = world.kept.by_hash[fact.body["advice"]][1].decode()
            if advice in story:
                continue
            life.open_findings.append(fact.id)
            if fact.body["urgency"] == "before_next_work":
                later = world.working_day(day + timedelta(days=life.rng.randint(2, 5)))
                world.later(later, lambda on: _repair(world, life, on), out=True)


def _repair(world: World, life: Life, day: date) -> None:
    begins = world.slot(day)
    if begins is None:
        world.later(world.working_day(day + timedelta(days=1)), lambda on: _repair(world, life, on), out=True)
        return
    facts = _settle(world, life, begins + timedelta(hours=1))
    if facts:
        world.keep(life, facts)
        world.free[day] = begins + timedelta(hours=1, minutes=30)


def look_in_passing(world: World, life: Life, day: date) -> None:
    """See what a story tells of on the way to another machine, where no service has shown it."""
    if life.told_story:
        return
    life.told_story = True
    begins = world.slot(day) or world.at(day, LATEST)
    finding = BY_STORY[life.machine.story["finding"]]
    finding = replace(finding, photos=tuple(world.photos[name] for name in finding.photos))
    world.keep(life, [world.mechanic.write("finding", life.id, begins, finding.body(world.mechanic))])
    world.free[day] = begins + timedelta(minutes=30)
