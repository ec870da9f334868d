"""What the fold costs: 2,000 facts of one machine into its state, and reading them from their texts."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from benchmarks import Measure, least_s
from benchmarks.big_house import machine_of_facts
from coldmark.bench.facts import Fact, parse
from coldmark.bench.ledger import State, fold, state_from_json, state_to_json
from coldmark.bench.oil import Oil, from_text
from coldmark.bench.sheet import Sheet, read

FACTS = 2_000


@cache
def _sheet() -> Sheet:
    return read((files("coldmark") / "demo" / "sheets" / "excavator_5t.toml").read_text(encoding="utf-8"))


@cache
def _facts() -> tuple[Fact, ...]:
    return machine_of_facts(FACTS, _sheet().sha256)


@cache
def _oils() -> dict[str, Oil]:
    text = (files("coldmark") / "demo" / "oils" / "varnol_hm46.toml").read_text(encoding="utf-8")
    return {"varnol_hm46": from_text(text)}


def _folded(facts: tuple[Fact, ...]) -> State:
    return fold(facts, machine=facts[0].subject, sheets={_sheet().sha256: _sheet()}, oils=_oils())


def _state() -> State:
    return _folded(_facts())


def fold_ms() -> float:
    """From facts to a state."""
    return 1000 * least_s(_state)


def parse_ms() -> float:
    """From kept texts to facts."""
    texts = [fact.text for fact in _facts()]
    return 1000 * least_s(lambda: [parse(text, stored=True) for text in texts])


def snapshot_ms() -> float:
    """A state written down and read again."""
    state = _state()
    return 1000 * least_s(lambda: state_from_json(state_to_json(state)))


def per_fact_ratio() -> float:
    """How much more a fact costs among 2,000 than among 500: near one when the fold grows as the facts do."""
    few = _facts()[: FACTS // 4]
    return least_s(_state) / least_s(lambda: _folded(few)) / 4


MEASURES = (
    Measure("fold of 2,000 facts", 50, "ms", fold_ms),
    Measure("fold of 2,000 facts to four times that of 500", 2, "", per_fact_ratio),
    Measure("reading 2,000 facts from their texts", 100, "ms", parse_ms),
    Measure("a state of 2,000 facts written and read", 100, "ms", snapshot_ms),
)
