"""Gates: conditions over a job's facts, the same in Python and on the phone.

A condition is plain data, one key deep::

    {"all": [C, …]}   {"any": [C, …]}   {"not": C}
    {"has": {"kind": kind, "where": {field: value or [values]}}}
    {"refitted": {"place": place, "count": n}}
    {"renewed": {"place": place}}
    {"accounted": {"place": place, "count": n}}
    {"after": {"first": {"has": …}, "then": {"has": …}}}

It is evaluated over the job's effective facts (withdrawn ones are gone) in the order of the fold. The cases in
``contract/golden/gates`` hold for this evaluator and for the one on the phone.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Protocol, overload, runtime_checkable

from coldmark.bench.errors import NotAChoice
from coldmark.bench.shapes import dataclass

__all__ = [
    "Condition",
    "Facts",
    "Indexed",
    "Recorded",
    "Verdict",
    "accounted",
    "all_of",
    "any_of",
    "body_of",
    "evaluate",
    "gate_reason",
    "has",
    "indexed",
    "kind_of",
    "latest",
    "refitted",
    "renewed",
]

Condition = Mapping[str, Any]
"""A condition as it stands in a card: one of the forms in this module's heading."""

_FORMS = ("all", "any", "not", "has", "refitted", "renewed", "accounted", "after")

# How an old seal is accounted for by itself: in the hand, in whatever shape.
_IN_HAND = ("as_expected", "damaged", "deformed", "more")


@runtime_checkable
class Recorded(Protocol):
    """A fact as far as a gate looks at it: its kind and its body."""

    @property
    def kind(self) -> str: ...

    @property
    def body(self) -> Mapping[str, Any]: ...


Facts = Sequence[Recorded | Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a condition is met, and what it lacks: names of its unmet parts, each once, in the condition's order."""

    met: bool
    lacking: tuple[str, ...] = ()


def all_of(*conditions: Condition) -> dict[str, Any]:
    """Return the condition that is met when each of ``conditions`` is; met when there is none."""
    return {"all": list(conditions)}


def any_of(*conditions: Condition) -> dict[str, Any]:
    """Return the condition that is met when one of ``conditions`` is."""
    return {"any": list(conditions)}


def has(kind: str, **where: Any) -> dict[str, Any]:
    """Return the condition that a fact of ``kind`` exists with these body fields; a list offers several values.

    >>> has("part_out", place="return.spring")
    {'has': {'kind': 'part_out', 'where': {'place': 'return.spring'}}}
    """
    return {"has": {"kind": kind, "where": where}}


def refitted(place: str, count: int) -> dict[str, Any]:
    """Return the condition that ``place`` was emptied and has its ``count`` again, as many as the sheet has there."""
    return {"refitted": {"place": place, "count": count}}


def renewed(place: str) -> dict[str, Any]:
    """Return the condition that no old part is in ``place`` without a reason told for it."""
    return {"renewed": {"place": place}}


def accounted(place: str, count: int) -> dict[str, Any]:
    """Return the condition that the ``count`` old seals of ``place`` are out, or were looked for and are not there."""
    return {"accounted": {"place": place, "count": count}}


def kind_of(fact: Recorded | Mapping[str, Any]) -> str:
    """Return a fact's kind, from a fact or the JSON object of one."""
    return str(fact["kind"]) if isinstance(fact, Mapping) else fact.kind


def body_of(fact: Recorded | Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a fact's body, from a fact or the JSON object of one."""
    body: Mapping[str, Any] = fact["body"] if isinstance(fact, Mapping) else fact.body
    return body


def _same(found: Any, wanted: Any) -> bool:
    # 1 and true are different values on the phone, so they are here.
    return type(found) is type(wanted) and bool(found == wanted)


def _matches(fact: Recorded | Mapping[str, Any], looked_for: Mapping[str, Any]) -> bool:
    if kind_of(fact) != looked_for["kind"]:
        return False
    body = body_of(fact)
    for field, wanted in looked_for.get("where", {}).items():
        values = wanted if isinstance(wanted, list) else [wanted]
        if not any(_same(body.get(field), value) for value in values):
            return False
    return True


class Indexed(Sequence[Recorded | Mapping[str, Any]]):
    """Facts with the places of each kind and of each value in it.

    A card asks hundreds of conditions of hundreds of facts: it must not walk through all of them for each.
    """

    def __init__(self, facts: Facts) -> None:
        self._facts = tuple(facts)
        self._kinds: dict[str, list[int]] = {}
        self._values: dict[tuple[str, str, str | int], list[int]] = {}
        for at, fact in enumerate(self._facts):
            kind = kind_of(fact)
            self._kinds.setdefault(kind, []).append(at)
            for field, value in body_of(fact).items():
                if isinstance(value, (str, int)):
                    self._values.setdefault((kind, field, value), []).append(at)

    def candidates(self, looked_for: Mapping[str, Any]) -> Sequence[int]:
        """Return the places of the facts that may match, in order: all others certainly do not."""
        kind = looked_for["kind"]
        for field, wanted in looked_for.get("where", {}).items():
            if isinstance(wanted, (str, int)):
                return self._values.get((kind, field, wanted), ())
        return self._kinds.get(kind, ())

    @overload
    def __getitem__(self, at: int) -> Recorded | Mapping[str, Any]: ...

    @overload
    def __getitem__(self, at: slice) -> Sequence[Recorded | Mapping[str, Any]]: ...

    def __getitem__(self, at: int | slice) -> Any:
        return self._facts[at]

    def __len__(self) -> int:
        return len(self._facts)


def indexed(facts: Facts) -> Indexed:
    """Return the facts with the places of each kind and value; those that have them already as they are."""
    return facts if isinstance(facts, Indexed) else Indexed(facts)


def _latest(facts: Indexed, looked_for: Mapping[str, Any]) -> int:
    """Return the place in the fold of the latest fact that matches, or -1."""
    return next((at for at in reversed(facts.candidates(looked_for)) if _matches(facts[at], looked_for)), -1)


def latest(facts: Indexed, kind: str, **where: Any) -> Recorded | Mapping[str, Any] | None:
    """Return the latest fact of a kind with these body fields.

    >>> latest(indexed([{"kind": "photo", "body": {"of": "glass"}}]), "photo", of="meter") is None
    True
    """
    at = _latest(facts, {"kind": kind, "where": where})
    return None if at < 0 else facts[at]


def _is_refitted(facts: Indexed, place: str, count: int) -> bool:
    taken = _latest(facts, {"kind": "part_out", "where": {"place": place}})
    if taken < 0:
        return False
    if body_of(facts[taken])["state"] == "stuck_and_left":
        return True
    # What came out may have been short or doubled, whatever it was called: only the sheet's count is right.
    put = _latest(facts, {"kind": "part_in", "where": {"place": place}})
    return put > taken and bool(body_of(facts[put])["count"] == count)


def _taken(facts: Indexed, place: str) -> int:
    return _latest(facts, {"kind": "part_out", "where": {"place": place}})


def _is_renewed(facts: Indexed, place: str) -> bool:
    taken = _taken(facts, place)
    if taken >= 0 and body_of(facts[taken])["state"] == "stuck_and_left":
        return False
    put = _latest(facts, {"kind": "part_in", "where": {"place": place}})
    if put < 0 or put < taken:
        return True  # it is out: whether it is back is not asked here
    body = body_of(facts[put])
    return body["fresh"] is True or body.get("reason") is not None


def _is_accounted(facts: Indexed, place: str, count: int) -> bool:
    taken = _taken(facts, place)
    if taken < 0:
        return False
    out = body_of(facts[taken])
    # As many as the sheet has, or more: of two rings one may still lie in its groove.
    if out["state"] in _IN_HAND and out["count"] >= count:
        return True
    sought = {"kind": "seal_looked_for", "where": {"place": place, "groove": True, "bowl": True}}
    return out["state"] != "stuck_and_left" and _latest(facts, sought) > taken


def _written(value: Any) -> str:
    if isinstance(value, list):
        return "|".join(_written(one) for one in value)
    return value if isinstance(value, str) else json.dumps(value)


def _name(looked_for: Mapping[str, Any]) -> str:
    return ":".join([looked_for["kind"], *map(_written, looked_for.get("where", {}).values())])


def _names(condition: Condition) -> list[str]:
    """Return the names of all parts of a condition, in order."""
    form, inner = _form(condition)
    if form in {"all", "any"}:
        return [name for part in inner for name in _names(part)]
    if form == "not":
        return [f"not:{name}" for name in _names(inner)]
    if form == "has":
        return [_name(inner)]
    if form == "refitted":
        return [inner["place"]]
    if form in _OLD_AND_NEW:
        return [f"{_OLD_AND_NEW[form]}:{inner['place']}"]
    return [_name(inner["then"]["has"])]


_OLD_AND_NEW = {"renewed": "new", "accounted": "old"}


def _form(condition: Condition) -> tuple[str, Any]:
    form = next(iter(condition), "")
    if form not in _FORMS or len(condition) != 1:
        raise NotAChoice(name="condition", value=", ".join(condition) or "nothing", choices=_FORMS)
    return form, condition[form]


def _met(condition: Condition, facts: Indexed) -> tuple[bool, list[str]]:
    form, inner = _form(condition)
    if form in {"all", "any"}:
        parts = [_met(part, facts) for part in inner]
        met = all(part[0] for part in parts) if form == "all" else any(part[0] for part in parts)
        return met, [] if met else [name for part in parts for name in part[1]]
    if form == "not":
        met = not _met(inner, facts)[0]
    elif form == "has":
        met = _latest(facts, inner) >= 0
    elif form == "refitted":
        met = _is_refitted(facts, inner["place"], inner["count"])
    elif form == "renewed":
        met = _is_renewed(facts, inner["place"])
    elif form == "accounted":
        met = _is_accounted(facts, inner["place"], inner["count"])
    else:
        first = _latest(facts, inner["first"]["has"])
        met = first < 0 or _latest(facts, inner["then"]["has"]) >= first
    return met, [] if met else _names(condition)


def evaluate(condition: Condition, facts: Facts) -> Verdict:
    """Say whether ``condition`` is met by a job's facts, and what it lacks.

    Parameters
    ----------
    condition : one of the forms in this module's heading.
    facts : the job's effective facts in the order of the fold, as facts or as the JSON objects of facts.

    Returns
    -------
    Verdict
        ``lacking`` names a missing fact by its kind and the looked-for values (``step_done:hyd_500.vent``), a part that
        is not back by its place (``return.spring``), an old part where a new one is due by ``new:`` before its place,
        an old seal that nobody has seen by ``old:`` before it, and what should not be by ``not:`` before the name.

    Valid for
    ---------
    *has*: any fact of the kind whose body has the values; a field that is left out equals null.
    *refitted*: the latest part out of the place was followed by a part in with as many as the sheet has there, however
    many came out; a part that was stuck and left needs nothing.
    *renewed*: unless the latest part out of the place was stuck and left, or was followed by a part in that is not new
    and tells no reason. A part that is not back yet is the business of *refitted*.
    *accounted*: the latest part out of the place was in the hand, as many as the sheet has there or more; or it was not
    stuck and left, and was followed by a search in the groove and in the bowl that found nothing.
    *after*: met while *first* has not happened; then the latest *then* must not come before the latest *first*.

    Raises
    ------
    NotAChoice
        When the condition has none of the forms.

    Source
    ------
    Coldmark's own rules, ``docs/decisions``.

    Examples
    --------
    >>> out = {"kind": "part_out", "body": {"place": "return.spring", "count": 1, "state": "as_expected"}}
    >>> evaluate(refitted("return.spring", 1), [out])
    Verdict(met=False, lacking=('return.spring',))
    >>> back = {"kind": "part_in", "body": {"place": "return.spring", "count": 1}}
    >>> evaluate(refitted("return.spring", 1), [out, back])
    Verdict(met=True, lacking=())
    """
    met, lacking = _met(condition, indexed(facts))
    return Verdict(met, tuple(dict.fromkeys(lacking)))


def gate_reason(gate: Mapping[str, Any], facts: Facts) -> str | None:
    """Return the reason with which a gate was opened, or ``None`` when nobody opened it.

    >>> gate_reason({"key": "g"}, [{"kind": "gate_opened", "body": {"gate": "g", "reason": "part_damaged"}}])
    'part_damaged'
    """
    opened = latest(indexed(facts), "gate_opened", gate=gate["key"])
    return None if opened is None else str(body_of(opened)["reason"])
