"""What elements, dirt and the pump's inlet mean, in sentences."""

from __future__ import annotations

import math

from coldmark.bench import words
from coldmark.bench.cleanliness import SIZES_UM
from coldmark.bench.cleanliness.saying import sizes_said
from coldmark.bench.filter.balance import Passing, Settled
from coldmark.bench.filter.beta import steps_of_code
from coldmark.bench.filter.counts import Judged, judge
from coldmark.bench.filter.expecting import Expected
from coldmark.bench.filter.getting_in import Ingress
from coldmark.bench.filter.inlet import Inlet, Suction
from coldmark.bench.filter.lasting import Life
from coldmark.bench.filter.loading import Left
from coldmark.bench.working import Range

__all__ = ["Told", "tell"]

Told = Left | Life | Settled | Passing | Ingress | Judged | Suction | Expected

# A fifth of a step of the code: nobody's count shows it.
_FLAT_STEPS = 0.2


def _left(found: Left, units: words.UnitSystem) -> list[str]:
    if found.left_share is None:
        return [
            words.sentence("filter.left.too_little", units=units, clean_bar=found.clean_bar),
            words.sentence("filter.left.other_way", units=units),
            words.sentence("filter.look", units=units),
        ]
    left = found.left_share
    said = [
        words.sentence(
            f"filter.left.{found.state}",
            units=units,
            left_share=left.value,
            low_share=left.low,
            high_share=left.high,
        ),
        words.sentence("filter.left.between", units=units, clean_bar=found.clean_bar, full_bar=found.full_bar),
    ]
    if found.bypassed_share > 0:
        said.append(words.sentence("filter.left.bypassed", units=units, bypassed_share=found.bypassed_share))
    return said


def _two_figures(hours: float) -> float:
    """Return hours as somebody says them who knows them no better than to a tenth."""
    return round(hours, 1 - math.floor(math.log10(hours))) if hours >= 1 else round(hours)


def _hours(message: str, found: Range, units: words.UnitSystem) -> str:
    if found.value <= 0:
        return words.sentence(f"{message}.now", units=units)
    in_h, low_h, high_h = (_two_figures(one) for one in (found.value, found.low, found.high))
    return words.sentence(f"{message}.in", units=units, in_h=in_h, low_h=low_h, high_h=high_h)


def _life(found: Life, units: words.UnitSystem) -> list[str]:
    said = [_hours("filter.life.full", found.full_h, units)]
    if found.lamp_h is not None:
        said.append(_hours("filter.life.lamp", found.lamp_h, units))
    if found.opens_h is not None:
        said.append(_hours("filter.life.opens", found.opens_h, units))
    if found.full_bypassed_share > 0:
        said.append(
            words.sentence(
                "filter.life.dirtier", units=units, past_share=found.full_bypassed_share, times=found.dirtier
            )
        )
    return said


def _settled(found: Settled, units: words.UnitSystem) -> list[str]:
    tank, flat = found.tank_per_ml, found.flat_per_ml
    said = [
        words.sentence(
            "filter.settles", units=units, tank_per_ml=tank.value, low_per_ml=tank.low, high_per_ml=tank.high
        )
    ]
    if tank.value <= 0:
        return said
    even = steps_of_code(tank.value / flat) <= _FLAT_STEPS
    said.append(words.sentence(f"filter.settles.{'flat' if even else 'steep'}", units=units, flat_per_ml=flat))
    said += _judged(judge(tank, tank.value), units)[1:]
    return said


def _passing(found: Passing, units: words.UnitSystem) -> list[str]:
    minutes = found.minutes_min
    if minutes.width > 0:
        how = "takes" if minutes.high >= 20 else "takes_little"
        first = words.sentence(
            f"filter.cleaning.{how}", units=units, takes_min=minutes.value, low_min=minutes.low, high_min=minutes.high
        )
    elif minutes.value > 0:
        first = words.sentence(
            "filter.cleaning.then", units=units, after_min=minutes.value, then_per_ml=found.count_per_ml
        )
    else:
        return [words.sentence("filter.cleaning.enough", units=units)]
    goes = "settles" if found.settles_per_ml > 0 else "halves"
    settles = words.sentence(
        f"filter.cleaning.{goes}", units=units, halves_min=found.halves_min, settles_per_ml=found.settles_per_ml
    )
    return [first, settles, words.sentence("filter.cleaning.move", units=units)]


def _ingress(found: Ingress, units: words.UnitSystem) -> list[str]:
    rate = found.rate_million_min
    return [
        words.sentence(
            "filter.ingress",
            units=units,
            rate_million_min=rate.value,
            low_million_min=rate.low,
            high_million_min=rate.high,
        ),
        words.sentence("filter.ingress.either", units=units, half_million_min=found.half_bypassed_million_min),
    ]


def _judged(found: Judged, units: words.UnitSystem) -> list[str]:
    times, explains_share = found.times.value, found.explains_share.value
    said = [words.sentence(f"filter.judged.{found.verdict}", units=units, times=times)]
    if found.verdict == "dirtier":
        either = words.sentence("filter.judged.either", units=units, times=times, explains_share=explains_share)
        said += [either, words.sentence("filter.look", units=units)]
    if found.hidden_share is not None:
        said.append(words.sentence("filter.hidden", units=units, hidden_share=found.hidden_share))
    return said


def _expected(found: Expected, units: words.UnitSystem) -> list[str]:
    clean, dirty = str(found.clean), str(found.dirty)
    said = [words.sentence(f"filter.expected.{'one' if clean == dirty else 'between'}", clean=clean, dirty=dirty)]
    if found.verdict is None:
        return said
    off = tuple(size for size, one in zip(SIZES_UM, found.steps, strict=True) if one is not None and abs(one) > 1)
    sizes = sizes_said(off) if off else ""
    said.insert(0, words.sentence(f"filter.expected.{found.verdict}", units=units, found=str(found.found), sizes=sizes))
    if found.verdict == "dirtier":
        said += [words.sentence("filter.expected.either", units=units), words.sentence("filter.look", units=units)]
    elif found.verdict == "as_expected":
        said.append(words.sentence("filter.expected.no_proof", units=units))
    return said


def _starves(inlet: Inlet, speed: str, units: words.UnitSystem) -> str:
    at, speed = inlet.starves_c, words.sentence(f"filter.speed.{speed}")
    if at is None:
        message = f"filter.starves.{inlet.starves.when}"
        return words.sentence(message, units=units, speed=speed, flow_l_min=inlet.flow_l_min)
    return words.sentence(
        "filter.starves.below",
        units=units,
        speed=speed,
        flow_l_min=inlet.flow_l_min,
        below_c=at.value,
        low_c=at.low,
        high_c=at.high,
    )


def _short(inlet: Inlet, t_c: float) -> bool:
    """Say whether the pump may starve now: at the upper end of the temperature's range."""
    return inlet.starves.when == "always" or (inlet.starves_c is not None and t_c < inlet.starves_c.high)


def _suction(found: Suction, units: words.UnitSystem) -> list[str]:
    t_c, full, idle = found.t_c, found.full, found.idle
    said = [_starves(full, "full", units)]
    if idle is not None:
        said.append(_starves(idle, "idle", units))
    now = full.inlet_bar
    if now is None:
        said.append(words.sentence("filter.inlet.none", units=units, t_c=t_c))
    else:
        least_bar = found.least_bar
        said.append(words.sentence("filter.inlet.left", units=units, t_c=t_c, inlet_bar=now.value, least_bar=least_bar))
    if idle is not None and _short(idle, t_c):
        said.append(words.sentence("filter.inlet.do_not_start", units=units))
    elif _short(full, t_c):
        above = full.starves_c
        if above is not None:
            said.append(words.sentence("filter.inlet.idle_until", units=units, above_c=above.high))
    return said


def tell(found: Told, units: words.UnitSystem = "metric") -> list[str]:
    """Return what an element, a balance, a count or a pump's inlet means, in plain sentences."""
    if isinstance(found, Left):
        return _left(found, units)
    if isinstance(found, Life):
        return _life(found, units)
    if isinstance(found, Settled):
        return _settled(found, units)
    if isinstance(found, Passing):
        return _passing(found, units)
    if isinstance(found, Ingress):
        return _ingress(found, units)
    if isinstance(found, Judged):
        return _judged(found, units)
    return _expected(found, units) if isinstance(found, Expected) else _suction(found, units)
