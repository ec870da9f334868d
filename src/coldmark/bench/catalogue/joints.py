"""Calculations on bolted joints: which bolt it is, how tight it goes, and in which order."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from coldmark.bench import joint, pictures, words
from coldmark.bench.catalogue.model import Answer, Entry, Input, Values
from coldmark.bench.errors import Contradiction, NotAChoice
from coldmark.bench.sheet import Housing
from coldmark.bench.working import Range

__all__ = ["ENTRIES"]

_METRIC = "M4 to M39, 1/4 to 1 in"
_TORQUES = "bolts of compact machines"
_MM_AN_INCH = 25.4


# Which bolt is this?


def _which(values: Values) -> Mapping[str, Any]:
    return {
        "hex_mm": values["hex_mm"],
        "diameter_mm": values["thread_diameter_mm"],
        "pitch_mm": values["thread_pitch_mm"],
        "tpi": values["tpi"],
    }


def _tell_which(found: joint.BoltCandidates, values: Values, units: words.UnitSystem) -> Answer:
    names = found.names
    pitch_mm = values["thread_pitch_mm"]
    if pitch_mm is None and values["tpi"] is not None:
        pitch_mm = _MM_AN_INCH / values["tpi"]
    nearest = found.fitting[0] if found.fitting else None
    return Answer(
        says=tuple(_which_says(found, values)),
        fields={
            "bolts": ", ".join(names) or None,
            "nearest": None if nearest is None else nearest.name,
            "nearest_mm": None if nearest is None else nearest.hex_mm,
        },
        working=found.working,
        picture=pictures.bolt_measures(
            found.hex_mm,
            diameter_mm=values["thread_diameter_mm"],
            pitch_mm=pitch_mm,
            names=names[:4],
            units=units,
        ),
        notes=tuple(_which_notes(found, units)),
    )


def _which_says(found: joint.BoltCandidates, values: Values) -> list[str]:
    names = found.names
    measured = values["thread_diameter_mm"] is not None
    pitched = values["thread_pitch_mm"] is not None or values["tpi"] is not None
    if not names:
        bare = joint.candidates(found.hex_mm) if measured or pitched else found
        message = "measured_none" if bare.fitting else "none"
        return [words.sentence(f"catalogue.which_bolt.{message}")]
    if len(names) == 1:
        standards = ", ".join(found.standards_of(names[0]))
        lines = [words.sentence("catalogue.which_bolt.one", name=names[0], standards=standards)]
    else:
        last = f" {words.sentence('catalogue.which_bolt.or')} ".join(names[-2:])
        lines = [words.sentence("catalogue.which_bolt.several", names=", ".join([*names[:-2], last]))]
        lines += [
            words.sentence("catalogue.which_bolt.each", name=one, standards=", ".join(found.standards_of(one)))
            for one in names
        ]
        if not measured and len({one.thread for one in found.fitting}) > 1:
            lines.append(words.sentence("catalogue.which_bolt.measure_diameter"))
    if not pitched and any(len(one.pitches_mm) > 1 for one in found.fitting):
        lines.append(words.sentence("catalogue.which_bolt.measure_pitch"))
    return lines


def _which_notes(found: joint.BoltCandidates, units: words.UnitSystem) -> list[str]:
    names = found.names
    notes = [
        words.sentence("catalogue.which_bolt.near", units=units, name=one.name, hex_mm=one.hex_mm)
        for one in found.near
        if one.name not in names
    ]
    kinds = {one.standard == "inch" for one in (*found.fitting, *found.near)}
    if len(kinds) > 1:
        notes.append(words.sentence("catalogue.which_bolt.inch"))
    remembered = dict.fromkeys(one.name for one in found.fitting if one.standing == "from memory")
    if remembered:
        notes.append(words.sentence("catalogue.which_bolt.from_memory", names=", ".join(remembered)))
    return list(dict.fromkeys(notes))


# How tight?


def _housing(values: Values) -> Housing | None:
    if values["sheet"] is None:
        return None
    housings: Mapping[str, Housing] = values["sheet"].housings
    if values["housing"] not in housings:
        raise NotAChoice(name="housing", value=values["housing"] or "", choices=housings)
    return housings[values["housing"]]


def _sheet_nm(values: Values, housing: Housing | None) -> Range | None:
    names = ("sheet_low_nm", "sheet_torque_nm", "sheet_high_nm")
    known = [(name, values[name]) for name in names if values[name] is not None]
    if not known:
        return None if housing is None else joint.sheet_torque(housing.fasteners)
    for (_, lower), (name, upper) in pairwise(known):
        if upper < lower:
            raise Contradiction(name=name, value=upper, why="joint.cannot.torques_rise", lower_nm=lower)
    least, most, told = known[0][1], known[-1][1], values["sheet_torque_nm"]
    return Range((least + most) / 2 if told is None else told, least, most)


def _how_tight(values: Values) -> Mapping[str, Any]:
    return {"values": values, "housing": _housing(values)}


def _found_tight(values: Values, housing: Housing | None) -> joint.HowTight | joint.SpinOn:
    if values["into"] == "spin_on" or (housing is not None and housing.spin_on):
        return joint.spin_on(housing, turn=values["turn"] or "")
    fasteners = None if housing is None else housing.fasteners
    thread = values["thread"] or (None if fasteners is None else joint.known_thread(fasteners.thread))
    mark = values["property_class"]
    # What is not told is taken as what gives the least torque, or none.
    friction = values["friction"] or "oiled"
    return joint.how_tight(
        thread=thread,
        property_class=None if mark == "no_mark" else mark,
        friction=friction if values["mu"] is None else values["mu"],
        into=(values["into"] or "in_unknown").removeprefix("in_"),
        sprung=values["sprung"] or (housing is not None and housing.sprung),
        sheet_nm=_sheet_nm(values, housing),
    )


def _tell_tight(found: joint.HowTight | joint.SpinOn, _values: Values, units: words.UnitSystem) -> Answer:
    none = dict.fromkeys(("set_nm", "torque_nm", "pull_kn", "turn"))
    if isinstance(found, joint.SpinOn):
        says = (joint.says_spin_on(found),)
        return Answer(says=says, fields=none | {"turn": found.turn}, working=found.working)
    computed = found.computed
    fields: dict[str, Any] = none | {"set_nm": found.set_nm}
    if computed is not None:
        span = computed.mu.width > 0
        fields["torque_nm"] = computed.torque_nm if span else computed.set_nm
        fields["pull_kn"] = computed.pull_kn if span else computed.pull_kn.value
    picture = None
    if found.set_nm is not None:
        worked_out = None if computed is None else computed.torque_nm
        picture = pictures.torque_range(found.set_nm, worked_out=worked_out, sheet=found.sheet_nm, units=units)
    return Answer(
        says=tuple(joint.says_how_tight(found, units)),
        fields=fields,
        working=found.working,
        picture=picture,
        notes=() if computed is None else (_oil_says(computed, units),),
    )


def _oil_says(one: joint.Tightening, units: words.UnitSystem) -> str:
    """What a dry thread's torque does once there is oil on the thread."""
    name, grade = one.thread.name, one.property_class
    dry = joint.torque(name, grade, "dry")
    slippery = joint.pull(name, grade, dry.set_nm, joint.FRICTION["oiled"][0])
    return words.sentence(
        "joint.says.oil",
        units=units,
        dry_nm=dry.set_nm,
        oiled_kn=slippery.kn,
        dry_kn=dry.pull_kn.high,
        yield_share=slippery.yield_share,
    )


# In which order?


def _bolts(values: Values) -> Mapping[str, Any]:
    return {"count": values["count"], "sprung": values["sprung"]}


def _tell_bolts(found: joint.BoltSequence, _values: Values, _units: words.UnitSystem) -> Answer:
    tighten, loosen = (" ".join(map(str, order)) for order in (found.tighten, found.loosen))
    says = [
        words.sentence("catalogue.bolt_order.tighten", order=tighten),
        words.sentence("catalogue.bolt_order.loosen", order=loosen),
    ]
    if found.sprung:
        says.append(words.sentence("catalogue.bolt_order.sprung"))
    return Answer(
        says=tuple(says),
        fields={"tighten": tighten, "loosen": loosen},
        working=found.working,
        picture=pictures.bolt_order(found.tighten, sprung=found.sprung),
    )


_INTO = tuple(f"in_{one}" for one in joint.INTO)

ENTRIES = (
    Entry(
        "which_bolt",
        (
            Input("hex_mm", low=5, high=70, source=_METRIC, example="17", step=1),
            Input("thread_diameter_mm", low=2, high=50, source=_METRIC, optional=True, example="9.9", step=0.1),
            Input("thread_pitch_mm", low=0.3, high=6, source=_METRIC, optional=True, step=0.25),
            Input("tpi", low=4, high=80, source=_METRIC, optional=True, step=1),
        ),
        _which,
        joint.candidates,
        _tell_which,
        ("bolts", "nearest", "nearest_mm"),
        (
            "ISO 4014, ISO 4017, DIN 931, EN 1661, EN 1662, EN 1665: library bd-warehouse 0.4.0",
            "JIS B 1180 and BS 1768, as printed in stored excerpts; 1 in from memory",
            "ISO 261, as printed in a stored excerpt",
        ),
        "joint",
        (r"0.972\,s_\mathrm{nominal} \le s \le s_\mathrm{nominal} + 0.1\,\mathrm{mm}",),
    ),
    Entry(
        "how_tight",
        (
            Input("thread", "text", optional=True, example="M10"),
            Input(
                "property_class",
                "choice",
                choices=(*joint.CLASSES, "other_class", "no_mark"),
                optional=True,
                example="8.8",
            ),
            Input("friction", "choice", choices=tuple(joint.FRICTION), optional=True, example="oiled"),
            Input("mu", low=0.02, high=0.6, source="friction of steel", optional=True, step=0.01),
            Input("into", "choice", choices=(*_INTO, "spin_on"), optional=True, example="in_steel"),
            Input("sprung", "truth"),
            Input("sheet_torque_nm", low=0, high=5000, above=True, source=_TORQUES, optional=True, step=1),
            Input("sheet_low_nm", low=0, high=5000, above=True, source=_TORQUES, optional=True, step=1),
            Input("sheet_high_nm", low=0, high=5000, above=True, source=_TORQUES, optional=True, step=1),
            Input("turn", "text", optional=True),
            Input("sheet", "sheet", optional=True),
            Input("housing", "text", optional=True),
        ),
        _how_tight,
        _found_tight,
        _tell_tight,
        ("set_nm", "torque_nm", "pull_kn", "turn"),
        (
            "VDI 2230: relation from memory, held against its tables as printed in a stored excerpt",
            "friction classes of VDI 2230, as printed in a stored excerpt",
            "the data sheet, where it says so",
        ),
        "joint",
        (
            r"F = A_s \cdot \frac{0.9\,R_p}{\sqrt{1 + 3\left[\frac{3\,d_2}{2\,d_0}"
            r"\left(\frac{P}{\pi d_2} + 1.155\,\mu\right)\right]^2}}",
            r"M = F\left(0.159\,P + 0.577\,d_2\,\mu + \frac{D_K}{2}\,\mu\right)",
        ),
    ),
    Entry(
        "bolt_order",
        (
            Input("count", "whole", low=1, high=joint.MOST, source="fasteners on one ring", example="6", step=1),
            Input("sprung", "truth", example="yes"),
        ),
        _bolts,
        joint.sequence,
        _tell_bolts,
        ("tighten", "loosen"),
        ("legacy pattern of ASME PCC-1, from memory", "common practice, no source"),
        "joint",
        (r"1,\; 1 + \tfrac{n}{2},\; 1 + \tfrac{n}{4},\; 1 + \tfrac{3n}{4},\; \dots",),
    ),
)
