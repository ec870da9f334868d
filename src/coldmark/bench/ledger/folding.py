"""What the handlers of the fold share: the state that grows, the sheet in force, and the hours at a fact."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench.clocks import Start, hours_at_ms, trusted
from coldmark.bench.errors import CannotTell
from coldmark.bench.facts import Fact
from coldmark.bench.ledger.state import Flag, JobState, MeterPoint, State
from coldmark.bench.oil import Oil
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet.model import Sheet

__all__ = ["MOST_FLAGS", "Folding", "Then"]

MOST_FLAGS = 200


@dataclass(frozen=True, slots=True)
class Then:
    """The machine's hours at a fact, how far they may be off, and whether they are an estimate."""

    hours: float | None
    spread_h: float
    estimated: bool


@dataclass(slots=True)
class Folding:
    """One fold under way."""

    state: State
    sheets: Mapping[str, Sheet]
    oils: Mapping[str, Oil]

    @property
    def sheet(self) -> Sheet | None:
        """The sheet in force, if it is among those given."""
        return None if self.state.sheet is None else self.sheets.get(self.state.sheet)

    def job(self, job: str) -> JobState:
        """Return the state of a job, begun here if this is its first fact."""
        return self.state.jobs.setdefault(job, JobState(job))

    def is_open(self, job: str | None) -> bool:
        """Say whether facts of this job still belong to work under way."""
        known = None if job is None else self.state.jobs.get(job)
        return known is not None and known.closed_at is None

    def flag(self, fact: Fact, says: str, **values: str) -> None:
        """Note that a fact does not fit."""
        self.state.flags.append(Flag(fact.id, fact.at, says, values))
        del self.state.flags[:-MOST_FLAGS]

    def last_point(self) -> MeterPoint | None:
        """Return the latest point that is not doubted."""
        return next((point for point in reversed(self.state.meter.points) if point.doubt is None), None)

    def start(self) -> Start:
        """Return where the machine's records begin."""
        first = next((point for point in self.state.meter.points if point.doubt is None), None)
        return Start(self.state.handed_over is not None, first.hours if first else None)

    def then(self, fact: Fact) -> Then:
        """Return the machine's hours at a fact: read in its job or on its day, else carried on from the last read."""
        point = self.last_point()
        job = None if fact.job is None else self.state.jobs.get(fact.job)
        if job is not None and job.hours is not None:
            return Then(job.hours, 0.0 if point is None else point.spread_h, False)
        if point is not None and point.at[:10] == fact.at[:10]:
            return Then(point.hours, point.spread_h, False)
        try:
            found = hours_at_ms(self.state.meter, fact.at_ms, self.state.handed_over).hours
        except CannotTell:
            if not trusted(self.state.meter):
                return Then(None, 0.0, True)
            # One read and nothing to tell the usage by: those hours at least.
            return Then(trusted(self.state.meter)[-1].hours, 0.0, True)
        return Then(found.value, max(found.high - found.value, found.value - found.low), True)
