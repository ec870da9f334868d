"""What filters mean, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldmark.bench import words
from coldmark.bench.filter.drop import Drop
from coldmark.bench.filter.returning import ReturnFlow
from coldmark.bench.filter.warm import Alarm, Crossing, WarmUp

if TYPE_CHECKING:
    from coldmark.bench.filter.telling import Told

__all__ = ["says"]


def _crossing(message: str, crossing: Crossing, flow_l_min: float, units: words.UnitSystem) -> str:
    if crossing.t_c is None:
        return words.sentence(f"{message}.{crossing.when}", units=units, flow_l_min=flow_l_min)
    return words.sentence(f"{message}.below", units=units, flow_l_min=flow_l_min, below_c=crossing.t_c)


def _alarm(found: Alarm, units: words.UnitSystem) -> list[str]:
    if found.message == "alarm.cold" and found.look_again.t_c is not None:
        again_c = found.look_again.t_c
        return [words.sentence("alarm.cold", units=units, oil_c=found.oil_c, again_c=again_c)]
    return [words.sentence(found.message, units=units, oil_c=found.oil_c)]


def says(found: Drop | WarmUp | Alarm | ReturnFlow | Told, units: words.UnitSystem = "metric") -> list[str]:
    """Return a result of this package as plain sentences.

    Parameters
    ----------
    found
        What a function of this package gave.
    units
        The reader's units.

    Returns
    -------
    list of str
        One or more sentences.

    Valid for
        Every result.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.filter import Crossing
    >>> from coldmark.bench.working import Working
    >>> says(Alarm("alarm.off", 20.0, Crossing("never", None), 0.4, Working(())))
    ['A lamp that is off proves nothing: the bypass may stand open, or the element may be missing.']
    """
    if isinstance(found, Alarm):
        return _alarm(found, units)
    if isinstance(found, Drop):
        said = [words.sentence("filter.drop", units=units, total_bar=found.total_bar)]
        if found.share_bypassed > 0:
            said.append(words.sentence("filter.bypassed", units=units, bypassed_share=found.share_bypassed))
        return said
    if isinstance(found, ReturnFlow):
        return [words.sentence("filter.return_flow", units=units, total_l_min=found.total_l_min)]
    if not isinstance(found, WarmUp):
        from coldmark.bench.filter.telling import tell

        return tell(found, units)
    said = []
    for line in (found.full, found.idle):
        if line is None:
            continue
        said.append(_crossing("filter.cracks", line.cracks, line.flow_l_min, units))
        said.append(_crossing("filter.half", line.half, line.flow_l_min, units))
        if line.share_now is not None:
            said.append(
                words.sentence("filter.share_now", units=units, flow_l_min=line.flow_l_min, now_share=line.share_now)
            )
    return said
