"""What a machine's samples and findings say, for its page: values, wear on the fill that is in, and likely causes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from coldmark.bench import clocks, evidence, samples, wear, words
from coldmark.bench.errors import CannotTell, ColdmarkError
from coldmark.bench.facts import Fact as BenchFact
from coldmark.bench.ledger import Found, State
from coldmark.bench.oil import Oil
from coldmark.bench.oilhistory import system_l
from coldmark.bench.pictures import causes
from coldmark.bench.sheet import Sheet, tank_of
from coldmark.records.access import owner_facts, require_machine
from coldmark.records.corrections import standing
from coldmark.records.errors import uuid_of
from coldmark.records.models import Fact, MachineState, Person
from coldmark.records.queries.losing import falls, gearboxes

__all__ = [
    "CausesGlance",
    "MeasuredLine",
    "SamplesGlance",
    "causes_glance",
    "facts_of",
    "sample_glances",
    "samples_waiting",
]

_KINDS = ("sample_taken", "lab_value")
MOST_FACTS = 600
LEAST_SHOWN = 0.1


@dataclass(frozen=True, slots=True)
class MeasuredLine:
    """One value of the last sample, as printed, and what it tells of wear where it tells something."""

    name: str
    value: str
    wear: str


@dataclass(frozen=True, slots=True)
class SamplesGlance:
    """A compartment's last sample with values: when, from which bottle, what was measured, what is to know of it.

    ``waiting`` is when the last sample was taken that no value has come of yet.
    """

    compartment: str
    name: str
    at: datetime | None
    bottle: str
    lines: tuple[MeasuredLine, ...]
    says: tuple[str, ...]
    waiting: datetime | None


@dataclass(frozen=True, slots=True)
class CausesGlance:
    """What may be behind a hydraulic system's samples and open findings: each cause with its reasons, what is next."""

    causes: tuple[tuple[str, ...], ...]
    following: tuple[str, ...]
    picture: str


def facts_of(person: Person, machine: str, kinds: Iterable[str] = _KINDS) -> list[BenchFact]:
    """A machine's facts of some kinds that hold, as far as the person may see them, oldest first; the samples and
    their values where no kinds are named. Two queries, an owner three."""
    id = uuid_of("machine", machine)
    spans = require_machine(person, id)
    joined = MachineState.objects.filter(joined_into=id).values("machine")
    found = Fact.objects.filter(Q(subject=id) | Q(subject__in=joined), subject_type="machine", kind__in=kinds)
    found = found.filter(held_apart=False)
    if spans is not None:
        found = found.filter(owner_facts(spans))
    holds = standing(list(found.order_by("-at", "-id")[:MOST_FACTS]))
    return sorted((one for one in holds.values() if one.known), key=lambda one: (one.at_ms, one.number, one.id))


def _by_compartment(facts: Iterable[BenchFact], state: State) -> dict[str, list[tuple[BenchFact, samples.Drawn]]]:
    """Each compartment's samples, oldest first, with the values that came of them."""
    listed = list(facts)
    values: dict[str, dict[str, tuple[float, str]]] = {}
    codes: dict[str, dict[str, str]] = {}
    for one in listed:
        if one.kind != "lab_value":
            continue
        name = samples.plain_name(one.body["name"])
        if one.body.get("code") is not None:
            codes.setdefault(one.body["sample"], {})[name] = one.body["code"]
        else:
            values.setdefault(one.body["sample"], {})[name] = (float(one.body["value"]), one.body["unit"])
    found: dict[str, list[tuple[BenchFact, samples.Drawn]]] = {}
    for one in listed:
        if one.kind == "sample_taken":
            drawn = samples.Drawn(one.at_ms, _hours(state, one), one.job, values.get(one.id, {}), codes.get(one.id, {}))
            found.setdefault(one.body["compartment"], []).append((one, drawn))
    return found


def _hours(state: State, fact: BenchFact) -> float | None:
    try:
        return clocks.hours_at_ms(state.meter, fact.at_ms, state.handed_over).hours.value
    except CannotTell:
        return None


def sample_glances(
    person: Person, machine: str, state: State, sheet: Sheet | None, units: words.UnitSystem, oils: Mapping[str, Oil]
) -> tuple[tuple[SamplesGlance, ...], CausesGlance | None]:
    """What the samples say, a compartment each, and what may be behind those and the findings of the hydraulic system.

    Nothing is read where no sample was ever taken; what an owner may see of a state does not tell.
    """
    asked = bool(state.samples) or not person.is_staff
    drawn = _by_compartment(facts_of(person, machine), state) if asked else {}
    order = [*sheet.compartments, *drawn] if sheet is not None else [*drawn]
    glances = tuple(_glance(key, drawn[key], state, sheet, units) for key in dict.fromkeys(order) if key in drawn)
    return glances, causes_glance([one for _, one in drawn.get(tank_of(sheet), ())], state, sheet, oils)


def samples_waiting(person: Person, machine: str, sheet: Sheet | None) -> dict[str, str]:
    """Samples that values may be typed in for, by the fact that they were taken by; the latest first."""
    drawn = [one for one in facts_of(person, machine) if one.kind == "sample_taken"]
    return {one.id: _called(one, sheet) for one in reversed(drawn)}


def _called(taken: BenchFact, sheet: Sheet | None) -> str:
    key = taken.body["compartment"]
    name = key.replace("_", " ") if sheet is None or key not in sheet.compartments else sheet.compartments[key].name
    day = words.day(datetime.fromisoformat(taken.at).date())
    return words.sentence("samples.called", bottle=taken.body["bottle"], where=name, day=day)


def _glance(
    key: str,
    drawn: Sequence[tuple[BenchFact, samples.Drawn]],
    state: State,
    sheet: Sheet | None,
    units: words.UnitSystem,
) -> SamplesGlance:
    place = None if sheet is None else sheet.compartments.get(key)
    measured = [(fact, one) for fact, one in drawn if _has_values(one)]
    last = measured[-1] if measured else None
    waiting = drawn[-1][0] if not _has_values(drawn[-1][1]) else None
    volume_l = system_l(sheet, key, state.options)
    told = {} if last is None or volume_l is None else _worn([one for _, one in measured], key, state, volume_l)
    says = [words.sentence("samples.apparent")] if any(one.apparent for one in told.values()) else []
    if last is not None and volume_l is None:
        says = [words.sentence("samples.no_volume")]
    return SamplesGlance(
        compartment=key,
        name=key.replace("_", " ") if place is None else place.name,
        at=None if last is None else datetime.fromisoformat(last[0].at),
        bottle="" if last is None else last[0].body["bottle"],
        lines=() if last is None else (*_lines(last[1].values, told, units), *_codes(last[1])),
        says=(*says, *(() if last is None or sheet is None or key != tank_of(sheet) else _cleanliness(last[1]))),
        waiting=None if waiting is None else datetime.fromisoformat(waiting.at),
    )


def _has_values(one: samples.Drawn) -> bool:
    return bool(one.values or one.codes)


def _worn(drawn: Sequence[samples.Drawn], key: str, state: State, volume_l: float) -> dict[str, wear.Fill]:
    found = {}
    for metal in samples.METALS:
        try:
            told = samples.wear_of(metal, drawn, state.pours.get(key, ()), volume_l)
        except ColdmarkError:
            continue  # litres or hours that cannot be: the value stands by itself
        if told is not None and metal in drawn[-1].values:
            found[metal] = told
    return found


def _lines(
    values: Mapping[str, tuple[float, str]], told: Mapping[str, wear.Fill], units: words.UnitSystem
) -> Iterable[MeasuredLine]:
    for name, (value, unit) in values.items():
        fill = told.get(name)
        yield MeasuredLine(
            _label(name), f"{words.figures(value)} {unit}".strip(), "" if fill is None else _short(fill, units)
        )


def _codes(drawn: samples.Drawn) -> Iterable[MeasuredLine]:
    """What was printed in place of a number; and the code that the counts have, where none was printed."""
    for name, code in drawn.codes.items():
        yield MeasuredLine(_label(name), code, "")
    found = samples.code_of(drawn)
    if found is not None and "cleanliness" not in drawn.codes:
        yield MeasuredLine(_label("cleanliness"), str(found), words.sentence("samples.by_counts"))


def _cleanliness(drawn: samples.Drawn) -> Sequence[str]:
    """How the code of hydraulic oil stands to what others print."""
    found = samples.code_of(drawn)
    if found is None:
        return ()
    compared = samples.against_limit(found)
    return (words.sentence(f"samples.{compared.verdict}", wanted=str(compared.wanted)),)


def _label(name: str) -> str:
    return words.sentence(f"samples.{name}") if words.has(f"samples.{name}") else name.replace("_", " ")


def _short(found: wear.Fill, units: words.UnitSystem) -> str:
    """What samples tell of a metal in a few words."""
    rate = found.mg_kg_100h or (found.latest.stays_mg_kg_100h if found.verdict == "open" else None)
    verdict = f"open_{found.latest.verdict}" if found.verdict == "open" else found.verdict
    if rate is None:
        return words.sentence(f"samples.wear.{'rising' if verdict == 'quickening' else verdict}")
    return words.sentence(f"samples.wear.{verdict}", units=units, gain_mg_kg_100h=rate.value)


def causes_glance(
    drawn: Sequence[samples.Drawn], state: State, sheet: Sheet | None, oils: Mapping[str, Oil]
) -> CausesGlance | None:
    """What may be behind the samples and open findings of the hydraulic system; nothing where nothing points."""
    if sheet is None:
        return None
    tank = tank_of(sheet)
    findings = [one.what for one in state.findings.values() if one.settled_by is None and _of_hydraulic(one, sheet)]
    parts = state.oils.get(tank, ())
    oil = oils.get(parts[0].oil or "") if parts else None
    measured = [one for one in drawn if _has_values(one)]
    signs = samples.signs(
        findings,
        measured,
        kv40_mm2_s=None if oil is None else oil.kv40_mm2_s,
        improved=oil is not None and oil.thickened,
        falls=falls(state, sheet, oils),
        gearbox=gearboxes(state, sheet),
    )
    ranking = evidence.rank(signs)
    raised = ranking.raised[: evidence.MOST_CAUSES]
    if not raised:
        return None
    # A page is glanced at: what is unlikely is left to the sum that one may ask.
    raised = tuple(one for one in raised if one.chance >= LEAST_SHOWN) or raised[:1]
    return CausesGlance(
        tuple(tuple(evidence.cause_says(one)) for one in raised),
        (*evidence.next_says(ranking.checks), words.sentence("evidence.worth")),
        causes(raised),
    )


def _of_hydraulic(found: Found, sheet: Sheet) -> bool:
    """Whether a finding is about the hydraulic tank, one of its housings, or a cylinder."""
    tank, about = tank_of(sheet), found.about.split(".")[0]
    housing = sheet.housings.get(about)
    cylinders = {one.name for one in sheet.hydraulic.cylinders}
    return about == tank or about in cylinders or (housing is not None and housing.compartment == tank)
