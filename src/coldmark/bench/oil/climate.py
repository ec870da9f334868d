"""What the coldest start and the hottest work say of an oil that is to be added."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from coldmark.bench.errors import OutOfRange
from coldmark.bench.oil.cold import viscosity_in_the_cold
from coldmark.bench.oil.explain import explain_viscosity
from coldmark.bench.oil.model import Oil
from coldmark.bench.oil.reason import Reason
from coldmark.bench.oil.window import AsksViscosity, Edge, window
from coldmark.bench.shapes import dataclass
from coldmark.bench.words import Value
from coldmark.bench.working import Working

__all__ = ["POUR_MARGIN_K", "Climate"]

POUR_MARGIN_K = 10.0
"""How much warmer than the pour point the coldest start should be: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Climate:
    """The coldest start and the hottest work [°C] that oil must do for; the viscosities that the system asks for.

    ``mixed`` is what the jug and the oil inside make together, where the litres of both are known.
    """

    coldest_c: float | None
    hottest_c: float | None
    limits: AsksViscosity | None
    inside: Oil | None
    jug: Oil
    mixed: Oil | None

    @property
    def judged(self) -> Oil:
        """The oil whose viscosity is looked at: the mixture where it is known, else the jug by itself."""
        return self.jug if self.mixed is None else self.mixed

    @property
    def filled(self) -> bool:
        """Whether the jug is all that counts: nobody knows what is inside, or it is the same."""
        return self.inside is None or self.inside == self.jug

    def reasons(self) -> Iterator[Reason]:
        """Yield what cold and heat say, and what cannot be said because it was not told."""
        if self.coldest_c is not None:
            yield from self._in_the_cold(self.coldest_c)
        elif not self.filled:
            yield Reason("top_up.cold.untold", "yes_with_notes")
        if self.hottest_c is not None:
            yield from self._in_the_heat(self.hottest_c)
        elif not self.filled:
            yield Reason("top_up.hot.untold", "yes_with_notes")

    def working(self) -> Working:
        """Return the viscosities at both ends, as far as the oil has one there."""
        judged, found = self.judged, Working(())
        for t_c in (self.coldest_c, self.hottest_c):
            if t_c is not None and judged.fluid == "hydraulic oil":
                # Below its pour point, or thicker than the method goes, it has none.
                with suppress(OutOfRange):
                    found += explain_viscosity(judged, t_c)
        return found

    def _in_the_cold(self, coldest_c: float) -> Iterator[Reason]:
        yield self._pour(coldest_c)
        if self.jug.fluid != "hydraulic oil":
            return  # the W in an engine or gear oil's grade says what it does in the cold
        found = window(self.judged, self.limits)
        if coldest_c < found.start.t_c:
            yield self._beyond("cold", found.start, coldest_c)
            return
        doubted = self.judged.doubt(coldest_c) is not None
        thickest = viscosity_in_the_cold(self.judged, coldest_c).high if doubted else 0.0
        values: dict[str, Value] = {"jug": self.jug.name, "coldest_c": coldest_c, "start_c": found.start.t_c}
        if thickest > found.start.kv_mm2_s:
            yield Reason("top_up.cold.doubted", "yes_with_notes", values)
        else:
            yield Reason("top_up.cold.right", "yes", values)

    def _in_the_heat(self, hottest_c: float) -> Iterator[Reason]:
        if self.jug.fluid != "hydraulic oil":
            return
        found = window(self.judged, self.limits)
        if hottest_c > found.work_to.t_c:
            yield self._beyond("hot", found.work_to, hottest_c)
            return
        yield Reason("top_up.hot.right", "yes", {"hottest_c": hottest_c, "work_to_c": found.work_to.t_c})

    def _pour(self, coldest_c: float) -> Reason:
        pour = self.jug.pour_c
        if pour is None:
            return Reason("top_up.pour.unknown", "yes_with_notes", {"jug": self.jug.name})
        values: dict[str, Value] = {"jug": self.jug.name, "pour_c": pour, "coldest_c": coldest_c}
        if coldest_c < pour:
            inside = None if self.inside is None else self.inside.pour_c
            alike = inside is not None and coldest_c < inside
            return (
                Reason("top_up.pour.both", "yes_with_notes", values)
                if alike
                else Reason("top_up.pour.stiff", "no", values)
            )
        if coldest_c < pour + POUR_MARGIN_K:
            return Reason("top_up.pour.near", "yes_with_notes", values)
        return Reason("top_up.pour.right", "yes", values)

    def _beyond(self, end: str, edge: Edge, t_c: float) -> Reason:
        """Say what it means that an end of the climate lies outside of what the oil can do."""
        values: dict[str, Value] = {
            "jug": self.jug.name,
            "told_c": t_c,
            "edge_c": edge.t_c,
            "limit_mm2_s": edge.kv_mm2_s,
        }
        if self.filled or self.inside is None:
            return Reason(f"top_up.{end}.filled", "yes_with_notes", values)
        before = window(self.inside, self.limits)
        already = t_c < before.start.t_c if end == "cold" else t_c > before.work_to.t_c
        if already:
            return Reason(f"top_up.{end}.both", "yes_with_notes", values)
        if self.mixed is None:
            return Reason(f"top_up.{end}.alone", "yes_with_notes", values)
        # Practice is a habit; what the machine's own sheet asks for is not.
        return Reason(f"top_up.{end}.mixed", "no" if edge.origin == "sheet" else "yes_with_notes", values)
