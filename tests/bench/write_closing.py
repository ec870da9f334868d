"""Write the golden closing codes anew: ``python -m tests.bench.write_closing``."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import segno

from coldmark.bench.closing import closing

GOLDEN_CLOSING = Path(__file__).resolve().parents[2] / "contract" / "golden" / "closing.json"


def _facts(count: int) -> list[tuple[str, str]]:
    """Made-up facts in an order that is not that of their ids."""
    numbers = sorted(range(1, count + 1), key=lambda number: hashlib.sha256(bytes([number])).digest())
    return [
        (f"0192{number:04x}-0000-7000-8000-{number:012x}", hashlib.sha256(f"fact {number}".encode()).hexdigest())
        for number in numbers
    ]


def _square(sha256: str) -> dict[str, Any]:
    """The modules of a hash as a library of Python's draws them, a row a text, dark ones 1, and its mask."""
    drawn = segno.make(sha256.upper(), error="m", micro=False, boost_error=False)
    return {"mask": drawn.mask, "square": ["".join(str(module & 1) for module in row) for row in drawn.matrix]}


def cases() -> list[dict[str, Any]]:
    """Return lists of facts, their codes, and their hashes as square codes."""
    lists: dict[str, list[tuple[str, str]]] = {
        "nothing": [],
        "one fact": [("01920000-0000-7000-8000-000000000001", "a" * 64)],
        "three facts in disorder": _facts(3),
        "an id in capitals": [(id.upper(), sha.upper()) for id, sha in _facts(2)],
        "a whole job": _facts(90),
    }
    made = {name: (facts, closing(facts)) for name, facts in lists.items()}
    return [
        {"name": name, "facts": facts, "code": one.code, "sha256": one.sha256, **_square(one.sha256)}
        for name, (facts, one) in made.items()
    ]


if __name__ == "__main__":
    GOLDEN_CLOSING.write_text(json.dumps(cases(), indent=1) + "\n", encoding="utf-8")
