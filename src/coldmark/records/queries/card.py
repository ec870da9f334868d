"""The card and what it asks while it is open: the level's verdict, the meter's plausibility, what finishing shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from coldmark.bench import card, clocks, level, words
from coldmark.bench.errors import CannotTell, Missing, Refused
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.ledger import State
from coldmark.bench.oil import Oil, Verdict, may_top_up
from coldmark.bench.oilhistory import Inside, inside
from coldmark.bench.pictures import glass
from coldmark.bench.sheet import Compartment, Sheet
from coldmark.records.errors import uuid_of
from coldmark.records.models import DueRow, Fact, Person
from coldmark.records.numbers import read_store
from coldmark.records.queries.balance import BalanceOfJob, balance_of_job
from coldmark.records.queries.jobs import JobMaterial, job_material
from coldmark.records.queries.learning import taught
from coldmark.records.queries.lines import DueLine, due_line
from coldmark.records.sheets import oils_by_key, tank_of

__all__ = [
    "CardPage",
    "FinishOfJob",
    "LevelAnswer",
    "LevelAsk",
    "MeterAnswer",
    "card_page",
    "doubted",
    "job_finish",
    "job_level",
    "job_meter",
    "level_of",
    "oil_inside",
]


@dataclass(frozen=True, slots=True)
class CardPage:
    """A job's card, the facts recorded on it so far, and what is known of the meter."""

    card: Mapping[str, Any]
    facts: tuple[BenchFact, ...]
    shown_h: float | None
    hours: float | None
    hours_at: str | None


@dataclass(frozen=True, slots=True)
class LevelAsk:
    """A level as it was read, in the bench's units; the oil's warmth stands in for its temperature.

    ``compartment`` is where it was read; ``None`` is the hydraulic tank, the only one whose level is worked out.
    """

    reading: float | str
    posture: str | None
    rods: Mapping[str, float] | None
    oil_c: float | None
    warmth: str | None
    air_c: float | None
    engine: str | None
    settled_min: float | None
    foam: bool = False
    compartment: str | None = None
    oil_spread_k: float = 2.0


@dataclass(frozen=True, slots=True)
class LevelAnswer:
    """What a level means, with the drawing that shows it."""

    verdict: level.LevelVerdict
    glass: str


@dataclass(frozen=True, slots=True)
class MeterAnswer:
    """Whether a reading is doubted, and the question to ask then."""

    doubt: str | None
    says: str | None


@dataclass(frozen=True, slots=True)
class FinishOfJob:
    """What the last screen shows: the litre balance, what is missing, what is due next, and the facts to seal."""

    finish: Mapping[str, Any]
    balance: BalanceOfJob
    due: tuple[DueLine, ...]
    facts: tuple[tuple[str, str], ...]


def card_page(person: Person, job: str) -> CardPage:
    """The card of a job, built anew from its sheet, its tasks and its facts."""
    material = job_material(person, job)
    points = material.state.meter.points
    last = points[-1] if points else None
    return CardPage(
        card=build_card(material, person.units),
        facts=material.facts,
        shown_h=None if last is None else last.shown_h,
        hours=None if last is None else last.hours,
        hours_at=None if last is None else last.at,
    )


def build_card(material: JobMaterial, units: words.UnitSystem | str) -> dict[str, Any]:
    """Build the card of a job's material; a machine without a sheet has none, and the refusal says so."""
    if material.sheet is None:
        raise Missing(name="sheet", needed_for=words.sentence("card.the_card"))
    line = material.machine
    return card.build(
        job=material.job.job,
        sheet=material.sheet,
        tasks=material.tasks,
        state=material.state,
        options=material.options,
        jobs_facts=material.facts,
        units="us" if units == "us" else "metric",
        machine={
            "id": line.id,
            "name": line.name or line.number,
            "serial": line.serial,
            "site": line.site_name,
            "customer": line.customer_name,
        },
        oils=oils_offered(material.sheet, material.state, "us" if units == "us" else "metric"),
    )


_BEST_FIRST = ("yes", "yes_with_notes", "unknown", "no")


def oils_offered(sheet: Sheet, state: State, units: words.UnitSystem = "metric") -> list[dict[str, Any]]:
    """The oils kept here, and for each compartment of their kind of fluid whether one may be topped up or filled in.

    ``goes`` holds, by compartment and way, the answer and the reason that weighs most. The coldest start is the
    business's, the hottest work the sheet's.
    """
    offered = []
    oils, coldest_c = oils_by_key(), read_store().coldest_c
    known = {key: inside(parts, oils) for key, parts in state.oils.items() if parts}
    for key, jug in sorted(oils.items()):
        goes = {}
        for place in sheet.compartments.values():
            if place.fluid != jug.fluid:
                continue
            # Filled into what was drained, an oil meets only itself and what the sheet asks.
            found = {
                "top_up": _topped_up(known.get(place.key), jug, place, sheet, coldest_c),
                "fill": may_top_up(jug, jug, place, coldest_c=coldest_c, hottest_c=sheet.hydraulic.hot_c, limits=sheet),
            }
            goes[place.key] = {
                way: {
                    "answer": verdict.answer,
                    "says": words.sentence(verdict.reasons[0].message, units=units, **verdict.reasons[0].values),
                    "rank": _BEST_FIRST.index(verdict.answer),
                }
                for way, verdict in found.items()
            }
        offered.append({"key": key, "name": jug.name, "goes": goes})
    return offered


def _topped_up(found: Inside | None, jug: Oil, place: Compartment, sheet: Sheet, coldest_c: float | None) -> Verdict:
    """Whether an oil may be topped up onto what is inside: the oil of the greatest share, if that is a known one."""
    main = None if found is None or found.parts[0].oil is None else found.main
    other = None if found is None or not found.bio or found.other_share is None else found.other_share.value
    return may_top_up(
        main,
        jug,
        place,
        coldest_c=coldest_c,
        hottest_c=sheet.hydraulic.hot_c,
        limits=sheet,
        other_share=other,
        unknown_share=0.0 if found is None else found.unknown_share,
    )


def oil_inside(state: State, compartment: str, oils: Mapping[str, Oil]) -> Oil | None:
    """The oil of the greatest share in a compartment, where it is known and among ``oils``."""
    most = max(state.oils.get(compartment, ()), key=lambda part: part.share, default=None)
    return None if most is None or most.oil is None else oils.get(most.oil)


def job_level(person: Person, job: str, ask: LevelAsk) -> LevelAnswer:
    """Judge a level read on a job.

    The card asks to move the machine before it takes a reading in another posture; one that comes all the same is
    one that could not be moved, and is judged as such.
    """
    material = job_material(person, job)
    if material.sheet is None:
        raise Missing(name="sheet", needed_for=words.sentence("card.the_level"))
    if ask.compartment is not None and ask.compartment != tank_of(material.sheet):
        raise CannotTell("card.level_elsewhere", compartment=ask.compartment)
    return level_of(material.sheet, material.state, ask, oils_by_key())


def level_of(sheet: Sheet, state: State, ask: LevelAsk, oils: Mapping[str, Oil]) -> LevelAnswer:
    """Judge a level on a machine as it is known: with its oil, what its pours have taught, and the place's cold."""
    oil_c, spread_k = _temperature(ask)
    posture: str | Mapping[str, float] | None = ask.posture if ask.rods is None else ask.rods
    if posture is None:
        raise Missing(name="posture", needed_for=words.sentence("card.the_level"))
    oil = oil_inside(state, tank_of(sheet), oils)
    verdict = level.read(
        taught(sheet, state, oil),
        ask.reading if isinstance(ask.reading, float) else _off_glass(ask.reading),
        oil_c,
        posture,
        oil=oil,
        air_c=ask.air_c,
        coldest_c=read_store().coldest_c,
        engine=ask.engine,
        settled_min=ask.settled_min,
        foam=ask.foam,
        oil_spread_k=spread_k,
        cannot_move=True,
    )
    return LevelAnswer(verdict, drawn(sheet, verdict))


def drawn(sheet: Sheet, verdict: level.LevelVerdict) -> str:
    """Draw a verdict: the oil where it stands, the cold mark, and where it will stand hot."""
    elsewhere = verdict.move_first is not None
    return glass(
        verdict.reading,
        cold_mark=None if verdict.cold_mark is None or elsewhere else verdict.cold_mark.mark.value,
        hot=None if verdict.hot is None or elsewhere else verdict.hot.value,
        kind=sheet.hydraulic.gauge.kind,
    )


def _temperature(ask: LevelAsk) -> tuple[float, float]:
    if ask.oil_c is not None:
        return ask.oil_c, ask.oil_spread_k
    if ask.warmth is None:
        raise Missing(name="oil_c", needed_for=words.sentence("card.the_level"))
    felt = level.felt(ask.warmth, ask.air_c)
    return felt.oil_c, felt.spread_k


def _off_glass(reading: str) -> level.Reading:
    if reading == "below":
        return "below"
    if reading == "above":
        return "above"
    raise Refused("refused.choice", name="reading", value=reading, choices="below, above")


def job_meter(person: Person, job: str, reading_h: float, at: str) -> MeterAnswer:
    """Question a meter's reading against what is known; nothing is ever blocked by it."""
    return doubted(job_material(person, job).state, reading_h, at)


def doubted(state: State, reading_h: float, at: str) -> MeterAnswer:
    """Whether a reading of the meter asks for a second look, and the question to ask then."""
    doubt = clocks.meter_doubt(state, reading_h, at)
    if doubt is None:
        return MeterAnswer(None, None)
    last = state.meter.points[-1]
    day = words.day(datetime.fromisoformat(last.at).date())
    return MeterAnswer(
        doubt, words.sentence(f"glance.meter.{doubt}", reading_h=reading_h, last_h=last.shown_h, day=day)
    )


def job_finish(person: Person, job: str) -> FinishOfJob:
    """What finishing shows. The facts named are all that the server holds of the job, to be sealed by closing it."""
    material = job_material(person, job)
    told = card.finish(build_card(material, person.units), material.facts)
    rows = Fact.objects.filter(job=material.job.job, held_apart=False).order_by("id").values_list("id", "sha256")
    due = DueRow.objects.filter(machine_id=uuid_of("machine", material.machine.id)).order_by("likely", "task")
    oils = oils_by_key()
    inside = oil_inside(material.state, tank_of(material.sheet), oils)
    return FinishOfJob(
        finish=told,
        balance=balance_of_job(material.state, material.job.job, material.sheet, inside, oils),
        due=tuple(due_line(row) for row in due),
        facts=tuple((str(id), sha256) for id, sha256 in rows),
    )
