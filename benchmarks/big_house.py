"""A house of 2,000 machines and 200,000 facts, made once by the services' own means and kept in a temporary folder.

One machine has 5,000 facts, one job of it 400. Machines, customers and visits are rows that are written at once;
facts go in as a phone's do and are folded in batches, so that every row that a page reads is a real one.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import sys
import tempfile
import time
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coldmark.bench.facts import Fact, make, new_id, text_hash

if TYPE_CHECKING:
    pass

__all__ = ["BigHouse", "big_house", "machine_of_facts"]

MACHINES = 2_000
CUSTOMERS = 250
MECHANICS = 12
FACTS = 200_000
BUSY_FACTS = 5_000
BUSY_JOB_FACTS = 400
VISITS_A_DAY = 8
STOPS = 3
AHEAD = 90
BATCH = 20_000

NOW = datetime(2026, 6, 15, 6, 0, tzinfo=UTC)
SHEETS = ("excavator_1t8", "excavator_5t", "track_loader", "telehandler")
OILS = ("varnol_hm46", "varnol_hv46")
TASKS = {"excavator_1t8": "engine_250", "excavator_5t": "engine_250", "track_loader": "engine_250"}
PLACES = ("cover", "spring", "bypass", "element")


@dataclass(frozen=True)
class BigHouse:
    """The ids that the measures ask for."""

    folder: Path
    machines: int
    facts: int
    office: str
    busy_machine: str
    busy_job: str
    machine: str
    job: str


@dataclass
class _Phone:
    """A device that counts, with a clock of its own."""

    person: str
    chance: random.Random
    device: str = field(default_factory=lambda: str(uuid.uuid4()))
    number: int = 0

    def fact(self, machine: str, kind: str, body: Mapping[str, Any], at: datetime, job: str | None = None) -> Fact:
        self.number += 1
        return make(
            id=new_id(int(at.timestamp() * 1000), self.chance.getrandbits(74)),
            kind=kind,
            subject=machine,
            at=at.isoformat(timespec="seconds"),
            recorded=at.isoformat(timespec="seconds"),
            device=self.device,
            number=self.number,
            person=self.person,
            app="0.1.0",
            body=body,
            job=job,
        )


def big_house() -> BigHouse:
    """The house, with Django ready on it; made at the first call on this machine, which takes some minutes."""
    folder = Path(tempfile.gettempdir()) / f"coldmark-big-house-{os.getuid()}-{_stamp()}"
    ready = folder / "ready"
    if not ready.exists():
        shutil.rmtree(folder, ignore_errors=True)
    _start_django(folder)
    if not ready.exists():
        start = time.perf_counter()
        print("making a house of 2,000 machines and 200,000 facts ...", file=sys.stderr, flush=True)
        _make()
        ready.touch()
        print(f"... made in {time.perf_counter() - start:.0f} s", file=sys.stderr, flush=True)
    from coldmark.records import services  # Django must be ready first

    services.refresh_stale()  # folds anew what other code has folded
    return _found(folder)


def _stamp() -> str:
    """Another one whenever the house would be made otherwise: by this file, the sheets, or the tables."""
    package = files("coldmark")
    parts = [Path(__file__).read_bytes()]
    for place in ("demo/sheets", "demo/oils", "records/migrations"):
        folder = Path(str(package / place))
        parts += [path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()]
    return hashlib.sha256(b"".join(parts)).hexdigest()[:12]


def _start_django(folder: Path) -> None:
    os.environ["COLDMARK_DATA"] = str(folder)
    from coldmark.cli import boot  # Django reads the folder from the environment, once

    boot.start()
    boot.migrate()


def _found(folder: Path) -> BigHouse:
    from coldmark.records.models import Fact as Row  # Django must be ready first
    from coldmark.records.models import JobRow, Machine, Person

    busy = Machine.objects.get(number="1")
    other = Machine.objects.get(number="2")
    job = JobRow.objects.filter(machine=other).order_by("opened_at").first()
    assert job is not None
    return BigHouse(
        folder=folder,
        machines=Machine.objects.count(),
        facts=Row.objects.count(),
        office=str(Person.objects.get(sign_in="office").id),
        busy_machine=str(busy.id),
        busy_job=str(JobRow.objects.filter(machine=busy).latest("opened_at").job),
        machine=str(other.id),
        job=str(job.job),
    )


def _make() -> None:
    from coldmark.records import services  # Django must be ready first
    from coldmark.records.models import Customer, Device, Machine, MachineState, Person, Site

    chance = random.Random(46)
    office = Person.objects.get(id=services.first_person("Office", "office", secret(chance), business="Many Machines"))
    sheets = {name: services.keep_sheet(office, _text("sheets", name)).sha256 for name in SHEETS}
    for oil in OILS:
        services.keep_oil(office, _text("oils", oil))
    mechanics = [
        Person(id=uuid.uuid4(), sign_in=f"mechanic{n}", name=f"Mechanic {n}", role="mechanic") for n in range(MECHANICS)
    ]
    customers = [Customer(id=uuid.uuid4(), name=f"Customer {n:03}") for n in range(CUSTOMERS)]
    sites = [Site(id=uuid.uuid4(), name=f"Yard of {one.name}", customer=one) for one in customers]
    machines = [
        Machine(id=uuid.uuid4(), name=f"Machine {n}", number=str(n), serial=f"S{n:06}") for n in range(1, MACHINES + 1)
    ]
    Person.objects.bulk_create(mechanics)
    Customer.objects.bulk_create(customers)
    Site.objects.bulk_create(sites)
    Machine.objects.bulk_create(machines, batch_size=500)
    MachineState.objects.bulk_create([MachineState(machine=one) for one in machines], batch_size=500)
    _plan()
    phones = [_Phone(str(one.id), chance) for one in mechanics]
    # The office brings what they recorded, each on a device that he has signed in on.
    Device.objects.bulk_create([Device(id=uuid.UUID(one.device), person_id=uuid.UUID(one.person)) for one in phones])
    batch: list[str] = []
    for place, machine in enumerate(machines):
        name = SHEETS[place % len(SHEETS)]
        owner = place % CUSTOMERS
        told = [
            ("sheet_assigned", {"sheet": sheets[name]}),
            ("owner_changed", {"customer": str(customers[owner].id), "site": str(sites[owner].id)}),
        ]
        wanted = -(-(FACTS - BUSY_FACTS) // (MACHINES - 1)) if place else BUSY_FACTS
        history = _history(phones[place % MECHANICS], str(machine.id), told, name, wanted=wanted, busy=not place)
        batch += [fact.text for fact in history]
        if len(batch) >= BATCH:
            services.accept_facts(office, batch, fold=False)
            batch = []
    services.accept_facts(office, batch, fold=False)
    failed = services.refresh_stale().failed
    assert not failed, failed


def secret(chance: random.Random) -> str:
    """A password that nobody needs to know."""
    return f"{chance.getrandbits(128):032x}"


def _text(folder: str, name: str) -> str:
    return (files("coldmark") / "demo" / folder / f"{name}.toml").read_text(encoding="utf-8")


def _plan() -> None:
    """Eight visits of three machines a day, for a year back and a quarter ahead."""
    from coldmark.records.models import Machine, Person, Site, Van, Visit, VisitMachine  # Django must be ready first

    chance = random.Random(46)
    machines, sites = list(Machine.objects.order_by("number")), list(Site.objects.order_by("name"))
    mechanics = list(Person.objects.filter(role="mechanic").order_by("sign_in"))
    van = Van.objects.create(name="A van", waste_l=80.0, oils={"varnol_hm46": 60.0})
    visits, stops = [], []
    for day in range(-365, AHEAD):
        for place in range(VISITS_A_DAY):
            visit = Visit(
                day=(NOW + timedelta(days=day)).date(),
                mechanic=mechanics[place % MECHANICS],
                van=van,
                site=chance.choice(sites),
            )
            visits.append(visit)
            for order, machine in enumerate(chance.sample(machines, STOPS)):
                stops.append(VisitMachine(visit=visit, machine=machine, tasks=["hyd_500"], place=order))
    Visit.objects.bulk_create(visits, batch_size=500)
    VisitMachine.objects.bulk_create(stops, batch_size=500)


def machine_of_facts(count: int, sheet: str) -> tuple[Fact, ...]:
    """The facts of one busy machine, in the order of time: ``count`` of them, an open job of 400 among them."""
    phone = _Phone(str(uuid.UUID(int=1)), random.Random(7))
    told = [("sheet_assigned", {"sheet": sheet})]
    made = _history(phone, str(uuid.UUID(int=2)), told, "excavator_5t", wanted=count, busy=True)
    return tuple(sorted(made, key=lambda fact: fact.at))


def _history(
    phone: _Phone, machine: str, told: list[tuple[str, dict[str, str]]], sheet: str, *, wanted: int, busy: bool
) -> Iterator[Fact]:
    """Years of a machine: reads, and services with what a card records; a busy one has a long open job besides."""
    years = 12 if busy else 2
    begin = NOW - timedelta(days=365 * years)
    for kind, known in told:
        yield phone.fact(machine, kind, known, begin)
    yield phone.fact(machine, "handed_over", {"day": begin.date().isoformat()}, begin)
    days = range(150, 365 * years - 60, 250)
    jobs = [_service(phone, machine, sheet, begin, begin + timedelta(days=day)) for day in days]
    if busy:
        jobs.append(_long_job(phone, machine, NOW - timedelta(days=3)))
    reads = wanted - len(told) - 1 - sum(map(len, jobs))
    for number in range(reads):
        at = begin + (NOW - begin) * (number + 1) / (reads + 1)
        body: dict[str, Any] = {"reading": _h(_hours(begin, at)), "way": "telematics" if busy else "seen"}
        yield phone.fact(machine, "meter_read", body, at)
    for job in jobs:
        yield from job


def _hours(begin: datetime, at: datetime) -> float:
    """What the meter shows: not quite two hours a day."""
    return round((at - begin).total_seconds() / 86_400 * 1.9, 1)


def _h(value: float) -> dict[str, str]:
    return {"value": f"{value}", "unit": "h"}


def _litres(value: float) -> dict[str, str]:
    return {"value": f"{value}", "unit": "l"}


def _service(phone: _Phone, machine: str, sheet: str, begin: datetime, at: datetime) -> list[Fact]:
    """A 500-hour service, as far as a list or a page asks about it."""
    job, chance = str(uuid.uuid4()), phone.chance
    tasks = ["hyd_500", *([TASKS[sheet]] if sheet in TASKS else [])]
    bodies: list[tuple[str, dict[str, Any]]] = [("job_opened", {"tasks": tasks})]
    bodies.append(("meter_read", {"reading": _h(_hours(begin, at)), "way": "seen"}))
    for moment in ("found", "left"):
        reading = {"reading": f"0.{chance.randint(3, 8)}", "oil": {"value": "18", "unit": "c"}}
        bodies.append(
            ("level_read", {"compartment": "hydraulic", "moment": moment, **reading, "engine": "stopped"}),
        )
    bodies.append(("part_out", {"place": "return.element", "count": 1, "state": "as_expected"}))
    bodies.append(("part_in", {"place": "return.element", "count": 1, "fresh": True}))
    top_up = {"compartment": "hydraulic", "way": "top_up", "litres": _litres(2.5), "oil": OILS[0]}
    bodies.append(("oil_moved", top_up))
    bodies.append(("photo", {"photo": hashlib.sha256(job.encode()).hexdigest(), "of": "glass"}))
    if chance.random() < 0.6:
        what = chance.choice(("leak", "chafed_hose", "worn_part"))
        bodies.append(("finding", {"about": "hydraulic", "what": what, "urgency": "plan_for_it"}))
    bodies += [("task_done", {"task": task}) for task in tasks]
    made = [
        phone.fact(machine, kind, body, at + timedelta(minutes=3 * place), job)
        for place, (kind, body) in enumerate(bodies)
    ]
    return [*made, _closing(phone, machine, made, at + timedelta(hours=2), job)]


def _long_job(phone: _Phone, machine: str, at: datetime) -> list[Fact]:
    """A job of 400 facts that is still open."""
    job = str(uuid.uuid4())
    made = [phone.fact(machine, "job_opened", {"tasks": ["hyd_500", "hyd_2000"]}, at, job)]
    while len(made) < BUSY_JOB_FACTS:
        number = len(made)
        place = f"return.{PLACES[number % len(PLACES)]}"
        kind, body = (
            ("part_out", {"place": place, "count": 1, "state": "as_expected"}),
            ("part_in", {"place": place, "count": 1, "fresh": False}),
            ("step_done", {"step": f"hyd_500.step_{number}"}),
            ("oil_moved", {"compartment": "hydraulic", "way": "top_up", "litres": _litres(0.5), "oil": OILS[0]}),
        )[number % 4]
        made.append(phone.fact(machine, kind, body, at + timedelta(minutes=number), job))
    return made


def _closing(phone: _Phone, machine: str, made: list[Fact], at: datetime, job: str) -> Fact:
    sealed = sorted([fact.id, text_hash(fact.text)] for fact in made)
    return phone.fact(machine, "job_closed", {"facts": sealed}, at, job)
