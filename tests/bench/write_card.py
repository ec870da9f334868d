"""Write the golden card, and what it counts as done, anew: ``python -m tests.bench.write_card``."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coldmark.bench import card
from tests.bench.card_cases import GOLDEN_CARD, ROOT, Fact, demo_card, done, said, whole_job

GOLDEN_DONE = ROOT / "contract" / "golden" / "card_done.json"


def cases() -> list[dict[str, Any]]:
    """Return jobs on the golden card, and which of its tasks each has done."""
    built = demo_card()
    debris = "hyd_500.debris"
    rest = whole_job(built, but=[debris])

    def left_out(reason: str) -> Fact:
        return said("step_skipped", step=debris, reason=reason)

    def old(reason: str, place: str = "return.element") -> Fact:
        return said("part_in", place=place, count=1, fresh=False, reason=reason)

    jobs: dict[str, list[Fact]] = {
        "nothing done": [],
        "everything done": whole_job(built),
        "one step open": rest,
        "one step left out": [*rest, left_out("no_time_today")],
        "one step left out because it is not fitted": [*rest, left_out("not_fitted_here")],
        "one step left out because it was done lately": [*rest, left_out("done_lately")],
        "left out, then done after all": [left_out("other"), *rest, done(debris)],
        "an old element back in": [*rest, done(debris), old("part_not_here")],
        "an old element back in that was new lately": [*rest, done(debris), old("done_lately")],
        "an old ring back in": [*rest, done(debris), old("part_not_here", "return.cover_ring")],
        "meter never read": [fact for fact in rest if fact["kind"] != "meter_read"] + [done(debris)],
    }
    return [
        {"name": name, "facts": facts, "done": [one.key for one in card.completion(built, facts) if one.done]}
        for name, facts in jobs.items()
    ]


def _write(path: Path, value: Any) -> None:
    path.write_text(json.dumps(value, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    _write(GOLDEN_CARD, demo_card())
    _write(GOLDEN_DONE, cases())
