"""Phones, a network and a house through rounds of misfortune, all by one seed; and what must be true afterwards."""

from __future__ import annotations

import base64
import uuid
from dataclasses import dataclass, field
from io import BytesIO
from random import Random
from threading import Event
from typing import Any

from PIL import Image

from tests.fault.house import House
from tests.fault.phones import Phones
from tests.fault.proxy import FAULTS, KILLING, Fault, FaultyNetwork

__all__ = ["World", "a_large_photo", "a_photo", "a_text"]

Told = dict[str, Any]
JPEG, TEXT = "image/jpeg", "text/plain; charset=utf-8"
SURE = {2: "kill", 3: "backup", 5: "restore", 60: "kill", 80: "restore", 120: "kill", 140: "backup", 155: "restore"}
STEPS = ("hyd_500.cover_off", "hyd_500.clean", "hyd_500.park", "eng_250.drain")


def a_photo(rng: Random, side: int = 32) -> Told:
    """A JPEG like no other, the larger the longer its side."""
    file = BytesIO()
    Image.frombytes("RGB", (side, side), rng.randbytes(side * side * 3)).save(file, "JPEG", quality=82)
    return {"type": JPEG, "base64": base64.b64encode(file.getvalue()).decode()}


def a_large_photo(rng: Random) -> Told:
    """One that comes in four pieces."""
    return a_photo(rng, side=560)


def a_text(rng: Random) -> Told:
    """A few words like no others."""
    return {"type": TEXT, "base64": base64.b64encode(f"A rattle, {rng.randbytes(8).hex()}".encode()).decode()}


@dataclass
class World:
    """What there is, and what was recorded on which phone."""

    phones: Phones
    house: House
    network: FaultyNetwork
    rng: Random
    stores: dict[str, str]
    """Where each phone keeps things: ``browser`` or ``memory``."""
    recorded: dict[str, str] = field(default_factory=dict)
    taken: set[str] = field(default_factory=set)
    refused: set[str] = field(default_factory=set)
    devices: set[str] = field(default_factory=set)
    counts: dict[str, int] = field(default_factory=dict)
    sure: dict[int, str] = field(default_factory=lambda: dict(SURE))
    """What happens in a round in any case; all else is as the seed will have it."""

    def open(self) -> None:
        """Switch the phones on, each signed in."""
        self.machines = [str(uuid.UUID(int=self.rng.getrandbits(128), version=4)) for _ in range(4)]
        self.jobs = [str(uuid.UUID(int=self.rng.getrandbits(128), version=4)) for _ in range(4)]
        for phone, store in self.stores.items():
            self.phones.do("open", phone=phone, store=store, root=f"{self.network.url}/api")
            self.sign_in(phone)

    def sign_in(self, phone: str) -> None:
        """Open the phone's page anew, past all faults; where the server does not know it any more, sign in."""
        me = self.phones.do("who", phone=phone, root=f"{self.network.url}/api")
        if me is None:
            self.phones.sign_in(phone, self.house.sign_in())
            me = self.phones.do("who", phone=phone, root=f"{self.network.url}/api")
            assert me, f"{phone} is not signed in"
            self._count("sign-ins")
        self.devices.add(me["device"])

    def _count(self, what: str, by: int = 1) -> None:
        self.counts[what] = self.counts.get(what, 0) + by

    # what people do

    def facts(self, how_many: int, attached: list[str]) -> list[Told]:
        """Facts to be recorded, some of which speak of what was attached."""
        machine = self.rng.choice(self.machines)
        job = self.rng.choice([None, *self.jobs])
        made = [self._fact(machine, job or self.jobs[0], after) for after in range(how_many)]
        if attached:
            body = {"about": "hydraulic", "what": "leak", "urgency": "plan_for_it", "photos": attached}
            made.append({"kind": "finding", "subject": machine, "job": job, "body": body, "after": how_many})
        return made

    def _fact(self, machine: str, job: str, after: int) -> Told:
        kind, body = self.rng.choice(
            [
                ("step_done", {"step": self.rng.choice(STEPS)}),
                ("step_skipped", {"step": self.rng.choice(STEPS), "reason": "other"}),
                ("meter_read", {"reading": {"value": f"{self.rng.randrange(9000)}.5", "unit": "h"}, "way": "seen"}),
            ]
        )
        if self.recorded and self.rng.random() < 0.1:
            of = self.rng.choice(sorted(self.recorded))
            kind, body = "correction", {"of": of, "action": "withdraw", "reason": "undo"}
        return {"kind": kind, "subject": machine, "job": job, "body": body, "after": after}

    def record(self, phone: str, how_many: int, attachments: list[Told]) -> None:
        """Record on a phone; what its answer names is on its disk."""
        attached = self.phones.do("record", phone=phone, facts=[], attachments=attachments)["attachments"]
        self.taken.update(attached)
        kept = self.phones.do("record", phone=phone, facts=self.facts(how_many, attached), attachments=[])["facts"]
        self.recorded |= {one["id"]: one["sha256"] for one in kept}
        self._count("facts", len(kept))
        self._count("attachments", len(attached))

    def record_what_is_refused(self, phone: str) -> None:
        """Record a fact that the server will not have."""
        body = {"reading": {"value": "12", "unit": "h"}, "way": "guessed"}
        fact = {"kind": "meter_read", "subject": self.machines[0], "job": None, "body": body, "after": 0}
        kept = self.phones.do("record", phone=phone, facts=[fact], attachments=[])["facts"]
        self.refused.update(one["id"] for one in kept)

    def kill(self) -> None:
        """Take the server's power away: asked for from the network's threads as well."""
        self._count("kills")
        self.house.kill()

    # rounds

    def round(self, number: int) -> None:
        """One round: people record, the network fails, phones and server die, and it is sent now and then."""
        rng = self.rng
        sure = self.sure.get(number)
        self._people()
        self.network.order([rng.choice(KILLING)] if sure == "kill" else self._faults())
        begun = []
        for phone in rng.sample(sorted(self.stores), rng.choice([1, 1, 2])):
            told = {"phone": phone, "force": rng.random() < 0.3, "times": rng.randint(1, 4)}
            if rng.random() < 0.1:
                self._killed_while_it_sends(told)
            else:
                begun.append((phone, self.phones.begin("send", **told)))
        if rng.random() < 0.02 or sure == "backup":
            self._backup()
        stays = [(phone, self.phones.end(one)["stays"]) for phone, one in begun]
        self.network.order([])
        self._look_after_the_house(restore=sure == "restore")
        for phone, why in stays:
            if why == "sign_in":
                self.sign_in(phone)
        if number % 25 == 0:
            # Each also asks how the server is: it may have been restored at the end of this very round.
            self.rest(knock=True)
            self.check()

    def _people(self) -> None:
        rng = self.rng
        for phone in rng.sample(sorted(self.stores), rng.choice([1, 1, 1, 2])):
            attachments = [rng.choice([a_photo, a_large_photo, a_text])(rng) for _ in range(rng.choice([0, 0, 1, 2]))]
            self.record(phone, rng.randint(1, 8), attachments)
        if rng.random() < 0.05:
            self.record_what_is_refused(rng.choice(sorted(self.stores)))
        if rng.random() < 0.05 and len(self.stores) > 1:
            one, other = rng.sample(sorted(self.stores), 2)
            text = self.phones.do("written", phone=one)
            told = self.phones.do("read back", phone=other, text=text)
            assert told["second"] == {"facts": 0, "attachments": 0}
            self._count("files read back")

    def _faults(self) -> list[Fault]:
        rng = self.rng
        faults: list[Fault] = [
            rng.choice(FAULTS) if rng.random() < 0.6 else "pass" for _ in range(rng.choice([0, 1, 2, 3, 5, 8]))
        ]
        if faults and rng.random() < 0.03:
            faults[rng.randrange(len(faults))] = rng.choice(KILLING)
        return faults

    def _killed_while_it_sends(self, told: Told) -> None:
        self.phones.begin("send", **told)
        Event().wait(self.rng.random() * 0.03)  # it gets as far as it gets, another time further
        self.phones.do("killed", phone=told["phone"])
        self._count("phones killed")

    def _look_after_the_house(self, *, restore: bool) -> None:
        rng = self.rng
        self.network.settle()
        if not self.house.running:
            self.house.start()
        if rng.random() < 0.01 or restore:
            self._restore(burnt=rng.random() < 0.5)
        self.network.settle()

    def _backup(self) -> None:
        self._count("backups")
        self.house.backup()

    def _restore(self, *, burnt: bool) -> None:
        self._count("restores")
        self.house.restore(burnt=burnt)

    # what must be true

    def rest(self, *, knock: bool = False) -> None:
        """Let the network be well, and each phone send until nothing waits on it."""
        for phone in sorted(self.stores):
            for _ in range(3):
                told = self.phones.do("rest", phone=phone, most=60, knock=knock)
                if told["stays"] != "sign_in":
                    break
                self.sign_in(phone)
            assert told["rested"], (phone, told)

    def end(self) -> None:
        """What must be true when all is over: it is all there, and once a backup has it no phone keeps it any more."""
        self.rest(knock=True)
        self.check()
        assert self.house.stale() == 0
        first, *_ = sorted(self.stores)
        self.record(first, 1, [])
        self.rest()
        self.house.backup()
        self.rest(knock=True)
        self.check()
        for phone in self.stores:
            told = self.phones.do("summary", phone=phone)
            left = (told["facts"], told["attachments"], told["delivered"])
            assert left == (0, 0, {"facts": 0, "attachments": 0}), (phone, left)

    def check(self) -> None:
        """The server holds every fact exactly once with the text that was recorded, and every attachment."""
        kept = self.house.facts(self.devices)
        lost = {id for id, sha256 in self.recorded.items() if kept.get(id) != sha256}
        assert not lost, f"lost or changed: {sorted(lost)}"
        more = set(kept) - set(self.recorded)
        assert not more, f"nobody recorded: {sorted(more)}"
        gone = self.taken - self.house.attachments()
        assert not gone, f"attachments lost: {sorted(gone)}"
        refused = {one["id"] for phone in self.stores for one in self.phones.do("summary", phone=phone)["refused"]}
        assert self.refused <= refused, "a refused fact has left its phone"
