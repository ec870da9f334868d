"""What filters mean, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldmark.bench import words
from coldmark.bench.filter.drop import Drop
from coldmark.bench.filter.returning import ReturnFlow
from coldmark.bench.filter.warm import Alarm, Crossing, WarmUp
from coldmark.bench.working import Range

if TYPE_CHECKING:
    from coldmark.bench.filter.telling import Told

__all__ = ["says"]

LEAST_SAID = 0.01  # a share that is shown as more than none


def _crossing(message: str, crossing: Crossing, flow_l_min: float, units: words.UnitSystem) -> str:
    if crossing.t_c is None:
        return words.sentence(f"{message}.{crossing.when}", units=units, flow_l_min=flow_l_min)
    return words.sentence(f"{message}.below", units=units, flow_l_min=flow_l_min, below_c=crossing.t_c)


def _drop(found: Drop, units: words.UnitSystem) -> list[str]:
    total, share = found.total_bar, found.share_bypassed
    told = {"total_bar": total.value, "low_bar": total.low, "high_bar": total.high}
    said = [words.sentence("filter.drop", units=units, **told)]
    if share.value > 0:
        told = {"bypassed_share": share.value, "low_share": share.low, "high_share": share.high}
        said.append(words.sentence("filter.bypassed", units=units, **told))
    elif share.high >= LEAST_SAID:
        said.append(words.sentence("filter.may_bypass", units=units, high_share=share.high))
    return said


def _share_now(flow_l_min: float, share: Range, units: words.UnitSystem) -> str:
    if share.high < LEAST_SAID:
        return words.sentence("filter.all_now", units=units, flow_l_min=flow_l_min)
    told = {"now_share": share.value, "low_share": share.low, "high_share": share.high}
    return words.sentence("filter.share_now", units=units, flow_l_min=flow_l_min, **told)


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
    >>> says(Alarm("alarm.off", 20.0, Crossing("never", None), None, 0.4, Working(())))
    ['A lamp that is off proves nothing: the bypass may stand open, or the element may be missing.']
    """
    if isinstance(found, Alarm):
        return _alarm(found, units)
    if isinstance(found, Drop):
        return _drop(found, units)
    if isinstance(found, ReturnFlow):
        return [words.sentence("filter.return_flow", units=units, total_l_min=found.total_l_min.value)]
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
            said.append(_share_now(line.flow_l_min, line.share_now, units))
    return said
