"""A whole job recorded the way the card records it, for tests of what is made from one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from importlib.resources import files
from typing import Any
from uuid import uuid4

from coldmark.bench.facts import Fact
from coldmark.records import queries, services
from coldmark.records.files import JPEG, STROKES, TEXT
from tests.records.house import House, Phone, h, litres
from tests.records.pictures import a_photo

OILS = ("varnol_hm46", "varnol_hv46", "ardent_15w40")


def keep_oils(house: House) -> None:
    """Keep some of the invented oils."""
    for name in OILS:
        text = (files("coldmark") / "demo" / "oils" / f"{name}.toml").read_text(encoding="utf-8")
        services.keep_oil(house.office, text)


def _kept(house: House, media_type: str, content: bytes) -> str:
    sha256 = hashlib.sha256(content).hexdigest()
    return services.keep_attachment(house.mechanic, sha256, media_type, content).sha256


def said(house: House, text: str) -> str:
    """Keep a text and return its hash."""
    return _kept(house, TEXT, text.encode())


def photographed(house: House, shade: int = 1) -> str:
    """Keep a photo and return its hash."""
    return _kept(house, JPEG, a_photo(shade)[1])


def signed(house: House) -> str:
    """Keep a signature and return its hash."""
    strokes = [[[10, 60], [40, 20], [70, 60], [100, 30]], [[120, 50]]]
    return _kept(house, STROKES, json.dumps({"width": 300, "height": 100, "strokes": strokes}).encode())


@dataclass
class Work:
    """One job, recorded step by step; each fact a minute after the one before."""

    house: House
    phone: Phone
    at: datetime
    job: str
    number: int = 0
    facts: list[Fact] = field(default_factory=list)

    def say(self, kind: str, body: Mapping[str, Any]) -> Fact:
        """Record one fact of the job."""
        self.number += 1
        fact = self.phone.fact(kind, body, at=self.at + timedelta(minutes=self.number), job=self.job)
        self.facts.append(fact)
        return fact

    def send(self) -> None:
        """Send what was recorded since."""
        sent = self.phone.send(*self.facts)
        assert {one.answer for one in sent.answers} <= {"kept"}, sent
        self.facts.clear()


def open_work(house: House, *tasks: str, at: datetime | None = None, machine: str | None = None) -> Work:
    """Open a job, by default the 500-hour hydraulic service on the house's machine."""
    opened = at or house.days(30)
    phone = Phone(house.mechanic, machine or house.machine)
    job = str(uuid4())
    services.open_job(house.mechanic, phone.machine, tasks or ("hyd_500",), job=job, at=opened, now=opened)
    return Work(house, phone, opened, job)


def do_all(work: Work, *, but: Collection[str] = (), shown_h: str = "512.4", reading: str = "0.62") -> None:
    """Do every screen of the card but those named, and send it."""
    built = queries.job_card(work.house.mechanic, work.job)["card"]
    for screen in built["screens"]:
        if screen["key"] not in but and screen["kind"] != "finish":
            for kind, body in _facts(screen, built["hydraulic"], shown_h, reading):
                work.say(kind, body)
    work.send()


def close(work: Work, *, tasks: Collection[str] = ("hyd_500",), name: str = "Edda Stennet") -> None:
    """Say which tasks are done, sign and close."""
    for task in tasks:
        work.say("task_done", {"task": task})
    if name:
        work.say("signature", {"by": "owner", "strokes": signed(work.house), "name": said(work.house, name)})
    work.send()
    closed = work.at + timedelta(minutes=work.number + 1)
    services.close_job(work.house.mechanic, work.job, at=closed, now=closed)


def of_the_sheet(torque_nm: float) -> dict[str, Any]:
    """Return what a step says that was tightened to the sheet's torque."""
    return {"torque": {"value": f"{torque_nm:g}", "unit": "nm"}, "torque_from": "sheet"}


def _facts(screen: Mapping[str, Any], tank: str, shown_h: str, reading: str) -> Iterator[tuple[str, dict[str, Any]]]:
    kind = screen["kind"]
    if kind == "caution":
        for caution in screen["cautions"]:
            yield "caution_acknowledged", {"caution": caution["key"], "step": screen["step"]}
        return
    if kind == "meter":
        yield "meter_read", {"reading": h(shown_h), "way": "seen"}
    elif kind in {"level_found", "level_left"}:
        found = kind == "level_found"
        yield (
            "level_read",
            {
                "compartment": screen["compartment"],
                "moment": "found" if found else "left",
                "reading": "0.35" if found else reading,
                "oil": {"value": "12" if found else "24", "unit": "c"},
                "air": {"value": "5", "unit": "c"},
                "posture": "arm_out",
                "engine": "stopped",
                "settled_min": 10,
            },
        )
    elif kind == "tray_out":
        for item in screen["tray"]["items"]:
            yield "part_out", {"place": item["place"], "count": item["count"], "state": "as_expected"}
        body = {"compartment": tank, "way": "held_by_element", "litres": litres("0.15")}
        yield "oil_moved", body
    elif kind == "tray_in":
        for item in reversed(screen["tray"]["items"]):
            yield "part_in", {"place": item["place"], "count": item["count"], "fresh": item["renew"]}
    elif kind == "add":
        body = {"compartment": tank, "way": "top_up", "litres": litres("2.4"), "oil": "varnol_hm46"}
        yield "oil_moved", {**body, "circulated": True}
    elif kind == "sample":
        yield "sample_taken", {"compartment": tank, "bottle": "B-17", "litres": litres("0.1")}
    torque = (screen["torque"] or {}).get("value_nm")
    done = {"step": screen["step"]}
    yield "step_done", done if torque is None else {**done, **of_the_sheet(torque)}
