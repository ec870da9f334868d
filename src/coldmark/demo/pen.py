"""What writes the demo's facts: one person's device, in the order of its running numbers, with chance handed in."""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from coldmark import __version__
from coldmark.bench.facts import ID_RANDOM_BITS, Fact, make, new_id

__all__ = ["Kept", "Pen"]

TEXT = "text/plain; charset=utf-8"
STROKES = "application/json"
JPEG = "image/jpeg"


@dataclass
class Kept:
    """What facts name by its hash: texts, strokes and photos, as (media type, bytes)."""

    by_hash: dict[str, tuple[str, bytes]] = field(default_factory=dict)

    def keep(self, media_type: str, content: bytes) -> str:
        """Keep content and return its hash."""
        sha256 = hashlib.sha256(content).hexdigest()
        self.by_hash[sha256] = (media_type, content)
        return sha256

    def text(self, text: str) -> str:
        """Keep a text and return its hash."""
        return self.keep(TEXT, text.encode("utf-8"))

    def photo(self, content: bytes) -> str:
        """Keep a photo and return its hash."""
        return self.keep(JPEG, content)


@dataclass
class Pen:
    """One person on one device. Facts are to be written in the order of time, as a device writes them."""

    person: str
    device: str
    rng: random.Random
    kept: Kept
    number: int = 0

    def write(
        self,
        kind: str,
        machine: str,
        at: datetime,
        body: Mapping[str, Any],
        *,
        job: str | None = None,
        recorded: datetime | None = None,
    ) -> Fact:
        """Write one fact about a machine."""
        self.number += 1
        written = max(at, recorded or at)
        return make(
            id=new_id(int(written.timestamp()) * 1000 + self.number % 1000, self.rng.getrandbits(ID_RANDOM_BITS)),
            kind=kind,
            subject=machine,
            at=at.isoformat(timespec="seconds"),
            recorded=written.isoformat(timespec="seconds"),
            device=self.device,
            number=self.number,
            person=self.person,
            app=__version__,
            body=body,
            job=job,
        )

    def signature(self) -> str:
        """Keep the strokes of a signature and return their hash."""
        x, strokes = 120, []
        for _ in range(self.rng.randint(2, 4)):
            points = []
            for _ in range(self.rng.randint(9, 16)):
                points.append([x, self.rng.randint(120, 290)])
                x = min(960, x + self.rng.randint(8, 34))
            strokes.append(points)
        told = {"width": 1000, "height": 400, "strokes": strokes}
        return self.kept.keep(STROKES, json.dumps(told, separators=(",", ":")).encode())
