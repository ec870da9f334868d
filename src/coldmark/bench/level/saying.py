"""Which two sentences a reading is told in: message ids and values, no prose."""

from __future__ import annotations

from coldmark.bench.level.cold import ColdMark
from coldmark.bench.level.model import System
from coldmark.bench.level.setting import Setting
from coldmark.bench.level.verdict import Said, State
from coldmark.bench.working import Range

__all__ = ["blocked_said", "elsewhere_said", "hidden_said", "plain_said"]


def _is_hot(setting: Setting) -> bool:
    """Say whether the level is judged at the working temperature itself, so that *hot* is the right word."""
    marks, hot = setting.marks_c, setting.hot_c
    return marks is not None and hot is not None and abs(marks - hot) < 0.5


def _stands(setting: Setting, share: float, start: str) -> Said:
    """Say where the oil will stand; ``start`` tells whether as it is, after pouring, or after pouring if one likes."""
    place = "just_under" if share >= 1.0 - 2.5 * setting.resolution else "at"
    if start == "as_is" and share > 1.0:
        place = "over"
    if _is_hot(setting):
        return Said(f"level.{start}.hot_{place}", {"stands_share": share})
    return Said(f"level.{start}.marks_{place}", {"stands_share": share, "marks_c": setting.marks_c or 0.0})


def _after(setting: Setting, mark: ColdMark, after: float, start: str = "after") -> Said:
    """Say how it will stand once at the cold mark."""
    if mark.crosses and setting.coldest_c is not None:
        return Said("level.after.crosses", {"coldest_c": setting.coldest_c})
    if mark.highest_by == "breather" and mark.mark.value >= mark.highest.value:
        return Said("level.after.breather")
    return _stands(setting, after, start)


def _why_low(setting: Setting, mark: ColdMark, after: float) -> Said:
    if mark.lowest_by == "suction" and not mark.crosses:
        return Said("level.why.suction", {"coldest_c": setting.coldest_c or 0.0})
    return _after(setting, mark, after)


def _why_high(setting: Setting, mark: ColdMark) -> Said:
    if mark.highest_by == "breather":
        return Said("level.why.breather")
    if _is_hot(setting):
        return Said("level.why.upper")
    return Said("level.why.upper_marks", {"marks_c": setting.marks_c or 0.0})


def plain_said(
    setting: Setting,
    state: State,
    mark: ColdMark | None,
    add_l: Range | None,
    room_l: Range | None,
    at_marks: float | None,
    after: float | None,
    check: float,
) -> tuple[Said, Said]:
    """Return the two sentences of a reading in the check posture."""
    if mark is None:
        return _by_marks_alone(setting, state, add_l, check)
    litres = 0.0 if add_l is None else add_l.value
    stands_then = 0.0 if after is None else after
    stands = 0.0 if at_marks is None else at_marks
    if state == "low":
        return Said("level.add", {"add_l": litres}), _why_low(setting, mark, stands_then)
    if state == "may_add":
        return Said("level.may_add", {"add_l": litres}), _after(setting, mark, stands_then, "then")
    if state == "high":
        return Said("level.drain", {"drain_l": -litres}), _why_high(setting, mark)
    right = Said("level.right") if room_l is None else Said("level.right_room", {"room_l": room_l.value})
    return right, _stands(setting, stands, "as_is")


def _by_marks_alone(setting: Setting, state: State, add_l: Range | None, check: float) -> tuple[Said, Said]:
    """Return the sentences where no cold mark can be given: the marks as they are, with what is missing."""
    missing = [one for one in setting.off if one.switches_off in {"litres", "growth", "cold_mark"}]
    why = Said(f"level.off.{missing[0].switches_off}" if missing else "level.as_is.now", {"stands_share": check})
    if state == "low":
        return (Said("level.add_some") if add_l is None else Said("level.add_middle", {"add_l": add_l.value})), why
    if state == "high":
        return (Said("level.drain_some") if add_l is None else Said("level.drain", {"drain_l": -add_l.value})), why
    return Said("level.between_marks"), why


def elsewhere_said(state: State, add_l: Range | None, glass_off_l: Range | None) -> tuple[Said, Said]:
    """Return the sentences of a reading in another posture, where the machine cannot be moved."""
    if glass_off_l is None:
        second = Said("level.elsewhere.unknown")
    elif glass_off_l.value < 0:
        second = Said("level.elsewhere.less", {"off_l": -glass_off_l.value})
    else:
        second = Said("level.elsewhere.more", {"off_l": glass_off_l.value})
    if state == "right":
        return Said("level.elsewhere.right"), second
    if add_l is None:
        return Said("level.elsewhere.direction"), second
    if add_l.low > 0:
        return Said("level.elsewhere.add", {"low_l": add_l.low, "high_l": add_l.high}), second
    if add_l.high < 0:
        return Said("level.elsewhere.drain", {"low_l": -add_l.high, "high_l": -add_l.low}), second
    # The range holds *nothing to add* as well; what the other end would be is said all the same.
    if add_l.value > 0:
        return Said("level.elsewhere.at_most", {"high_l": add_l.high}), second
    return Said("level.elsewhere.drain_at_most", {"high_l": -add_l.low}), second


def hidden_said(
    setting: Setting, state: State, at_least_l: float | None, glass_off_l: float | None, in_check: bool
) -> tuple[Said, Said]:
    """Return the sentences where the oil is not to be seen, or stands above what the gauge can show."""
    if state == "none_seen":
        if in_check:
            least = {} if at_least_l is None else {"least_l": at_least_l}
            return Said("level.none_seen"), Said("level.none_seen_least" if least else "level.none_seen_why", least)
        if glass_off_l is not None and glass_off_l < 0:
            return Said("level.none_seen_here"), Said("level.none_seen_posture", {"off_l": -glass_off_l})
        return Said("level.none_seen_here"), Said("level.none_seen_why")
    posture = setting.system.postures[setting.system.check_posture].says
    if not in_check:
        return Said("level.over_glass"), Said("level.move_first", {"posture": posture})
    if state == "let_cool":
        return Said("level.over_glass"), Said("level.let_cool", {"marks_c": setting.marks_c or 0.0})
    if at_least_l is None:
        return Said("level.over_glass"), Said("level.drain_some_again")
    return Said("level.over_glass"), Said("level.drain_least", {"least_l": -at_least_l})


def blocked_said(
    state: State, system: System, settled_min: float | None, glass_off_l: Range | None = None
) -> tuple[Said, Said]:
    """Return the sentences that ask to wait, to set the engine right, or to move to the check posture."""
    if state == "foam":
        return Said("level.foam"), Said("level.foam_why")
    if state == "engine":
        return Said(f"level.engine.{system.engine}"), Said(f"level.engine_why.{system.engine}")
    if state == "settle":
        settle = system.settle_min or 0.0
        return Said("level.settle", {"wait_min": settle - (settled_min or 0.0)}), Said(
            "level.settle_why", {"settle_min": settle}
        )
    first = Said("level.move_first", {"posture": system.postures[system.check_posture].says})
    if glass_off_l is None or abs(glass_off_l.value) < 0.05:
        return first, Said("level.move_first_why")
    way = "less" if glass_off_l.value < 0 else "more"
    return first, Said(f"level.elsewhere.{way}", {"off_l": abs(glass_off_l.value)})
