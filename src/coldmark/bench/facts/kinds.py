"""The kinds of fact, each described once: Python, JSON Schema and TypeScript are all made from this table.

A body holds no floats: whole numbers, or decimals as typed with their unit. Free text, photos, voice and
signatures are attachments, named by the SHA-256 of their content, so that they can be erased without
touching the fact.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldmark.bench.shapes import dataclass

__all__ = ["KINDS", "REASONS", "Field", "FieldType", "Kind"]

FieldType = Literal[
    "id",  # UUID as text
    "hash",  # SHA-256 of an attachment, 64 hex digits
    "key",  # a name from the data sheet: letters, digits, underscore, full stop, hyphen
    "mark",  # what is printed on a part or a bottle, in the characters that such marks have
    "choice",  # one of ``choices``
    "quantity",  # {"value": "12.5", "unit": "h"}: a decimal as typed, and a unit of the kind ``measures``
    "decimal",  # a decimal as typed
    "reading",  # a decimal as typed (0 lower mark, 1 upper), or "below" or "above"
    "whole",  # a whole number
    "truth",  # true or false
    "day",  # 2026-03-02
    "moment",  # 2026-03-02T08:15:00+01:00
    "shares",  # {key: decimal from 0 to 1}
    "body",  # another fact's body (for a correction)
    "hashes",  # list of "hash"
    "keys",  # list of "key"
    "fact_hashes",  # list of [fact id, SHA-256 of its stored text]
]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a body: its type, whether it may be null or left out, and what it may hold.

    ``least`` is the smallest whole number allowed, ``None`` for any.
    """

    type: FieldType
    says: str
    optional: bool = False
    choices: tuple[str, ...] = ()
    measures: str = ""
    least: int | None = 0


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of fact: its version, what it says, whom it is about, and the fields of its body."""

    name: str
    version: int
    says: str
    subjects: tuple[Literal["machine", "visit", "van", "device"], ...]
    fields: Mapping[str, Field]
    needs_job: bool = False


REASONS = (
    "part_not_here",
    "tool_not_here",
    "will_not_come_loose",
    "not_fitted_here",
    "owner_said_no",
    "not_safe_here",
    "no_time_today",
    "done_lately",
    "part_damaged",
    "part_was_missing",
    "other",
)

_NOTE = Field("hash", "what was said, as text kept apart", optional=True)
_VOICE = Field("hash", "what was said, spoken and kept apart; for the firm alone", optional=True)
_REASON = Field("choice", "why", choices=REASONS)
_MACHINE: tuple[Literal["machine"], ...] = ("machine",)


def _kind(
    name: str,
    says: str,
    fields: Mapping[str, Field],
    *,
    subjects: tuple[Literal["machine", "visit", "van", "device"], ...] = _MACHINE,
    needs_job: bool = False,
    version: int = 1,
) -> Kind:
    return Kind(name, version, says, subjects, fields, needs_job)


_ALL = (
    # the machine and what is known of it
    _kind("sheet_assigned", "a data sheet is given to the machine", {"sheet": Field("hash", "the sheet's text")}),
    _kind("handed_over", "the machine was handed over new; months run from here", {"day": Field("day", "the day")}),
    _kind(
        "option_fitted",
        "an option was fitted or taken off",
        {"option": Field("key", "the option"), "fitted": Field("truth", "fitted, or taken off")},
    ),
    _kind(
        "owner_changed",
        "the machine has another owner or site from here on",
        {
            "customer": Field("id", "the owner"),
            "site": Field("id", "where it stands", optional=True),
        },
    ),
    _kind(
        "machine_joined",
        "two records are one machine; this one goes on",
        {"other": Field("id", "the record that is the same machine")},
    ),
    # hours
    _kind(
        "meter_read",
        "the hour meter was read",
        {
            "reading": Field("quantity", "what it shows", measures="hours"),
            "way": Field("choice", "how it is known", choices=("seen", "told", "photo", "telematics")),
            "photo": Field("hash", "the meter's photo", optional=True),
            "doubt": Field(
                "choice", "what was doubted, and kept", optional=True, choices=("back", "too_fast", "standing")
            ),
        },
    ),
    _kind(
        "meter_swapped",
        "the hour meter was replaced",
        {
            "old_last": Field("quantity", "what the old one showed last", measures="hours", optional=True),
            "new_first": Field("quantity", "what the new one started from", measures="hours"),
        },
    ),
    _kind("meter_stopped", "the hour meter is dead since about then", {"since": Field("day", "the day")}),
    _kind(
        "breaker_hours_told",
        "how many hours the breaker worked in a time",
        {
            "hours": Field("quantity", "breaker hours", measures="hours"),
            "from_day": Field("day", "from"),
            "to_day": Field("day", "to"),
        },
    ),
    # the job
    _kind(
        "job_opened",
        "a job was opened on the machine, with these tasks",
        {
            "tasks": Field("keys", "the tasks"),
            "visit": Field("id", "the visit it belongs to", optional=True),
        },
        needs_job=True,
    ),
    _kind(
        "caution_acknowledged",
        "a caution was read and done",
        {"caution": Field("key", "which"), "step": Field("key", "at which step", optional=True)},
        needs_job=True,
    ),
    _kind(
        "step_done",
        "a step was done",
        {
            "step": Field("key", "which"),
            "torque": Field("quantity", "the torque it was tightened to, as told", optional=True, measures="torque"),
            "photos": Field("hashes", "photos", optional=True),
            "torque_from": Field(
                "choice", "the data sheet's figure, or another", optional=True, choices=("sheet", "other")
            ),
            "torque_doubt": Field(
                "choice",
                "what was doubted of another figure, and kept",
                optional=True,
                choices=("too_low", "too_high", "not_the_sheets"),
            ),
        },
        needs_job=True,
        version=2,
    ),
    _kind(
        "step_skipped",
        "a step was left out",
        {"step": Field("key", "which"), "reason": _REASON, "note": _NOTE, "voice": _VOICE},
        needs_job=True,
        version=2,
    ),
    _kind(
        "gate_opened",
        "a gate was passed although its condition was not met",
        {"gate": Field("key", "which"), "reason": _REASON, "note": _NOTE, "voice": _VOICE},
        needs_job=True,
        version=2,
    ),
    _kind(
        "part_out",
        "a part came out of its place",
        {
            "place": Field("key", "housing.item"),
            "count": Field("whole", "how many"),
            "state": Field(
                "choice",
                "how it looked",
                choices=("as_expected", "damaged", "deformed", "missing", "stuck_and_left", "fewer", "more"),
            ),
            "note": _NOTE,
            "photo": Field("hash", "its photo", optional=True),
            "voice": _VOICE,
        },
        needs_job=True,
        version=2,
    ),
    _kind(
        "part_in",
        "a part went back into its place",
        {
            "place": Field("key", "housing.item"),
            "count": Field("whole", "how many"),
            "fresh": Field("truth", "a new one"),
            "part": Field("key", "which part of the sheet", optional=True),
            "number": Field("mark", "the number on it, where it differs", optional=True),
            "reason": Field("choice", "why an old one, where a new one is due", optional=True, choices=REASONS),
            "note": _NOTE,
        },
        needs_job=True,
        version=2,
    ),
    _kind(
        "part_refused",
        "a part that was at hand for a place was refused: it is not the right one",
        {
            "place": Field("key", "housing.item, or the part's key"),
            "part": Field("key", "which part of the sheet it should have been", optional=True),
            "number": Field("mark", "the number on it"),
            "why": Field(
                "choice",
                "what is wrong with it",
                choices=(
                    "too_long",
                    "too_short",
                    "too_wide",
                    "too_narrow",
                    "other_ends",
                    "other_opening",
                    "other_seal",
                    "other_thread",
                    "other_machines",
                    "damaged",
                    "other",
                ),
            ),
            "photo": Field("hash", "its photo", optional=True),
            "note": _NOTE,
        },
    ),
    _kind(
        "seal_looked_for",
        "an old seal that did not come out was looked for, and is not there",
        {
            "place": Field("key", "housing.item"),
            "groove": Field("truth", "its groove was looked into"),
            "bowl": Field("truth", "the bowl or housing and the cover were looked at"),
            "photo": Field("hash", "a photo of the empty groove", optional=True),
            "note": Field("hash", "where it may have gone, as text kept apart", optional=True),
        },
        needs_job=True,
    ),
    _kind(
        "level_read",
        "an oil level was read",
        {
            "compartment": Field("key", "where"),
            "moment": Field("choice", "when in the job", choices=("found", "left", "between")),
            "reading": Field("reading", "0 lower mark, 1 upper mark"),
            "oil": Field("quantity", "the oil's temperature", optional=True, measures="temperature"),
            "warmth": Field(
                "choice", "how warm it felt", optional=True, choices=("as_the_air", "hand_warm", "too_hot_to_hold")
            ),
            "air": Field("quantity", "the air's temperature", optional=True, measures="temperature"),
            "posture": Field("key", "a posture of the sheet", optional=True),
            "rods": Field("shares", "how far each rod is out, where it is no posture of the sheet", optional=True),
            "engine": Field("choice", "the engine", choices=("stopped", "idling")),
            "settled_min": Field("whole", "minutes since it stopped", optional=True),
            "foam": Field("truth", "foam on the oil", optional=True),
            "photo": Field("hash", "the glass's photo", optional=True),
        },
    ),
    _kind(
        "oil_moved",
        "oil went in or out",
        {
            "compartment": Field("key", "where"),
            "way": Field(
                "choice",
                "how",
                choices=(
                    "fill",
                    "top_up",
                    "drained",
                    "held_by_element",
                    "spilt",
                    "sampled",
                    "water_drained",
                    "attachment_off",
                    "attachment_on",
                ),
            ),
            "litres": Field("quantity", "how much", measures="volume"),
            "oil": Field("key", "which oil", optional=True),
            "temperature": Field("quantity", "how warm it was", optional=True, measures="temperature"),
            "circulated": Field("truth", "every function was moved afterwards", optional=True),
        },
    ),
    _kind(
        "function_timed",
        "a function was timed, or how far a cylinder drifts was measured",
        {
            "timing": Field("key", "which, as on the data sheet or under a name of its own"),
            "what": Field("choice", "a time from end to end, or a drift under a load", choices=("cycle", "drift")),
            "time": Field("quantity", "how long a cycle took", optional=True, measures="seconds"),
            "moved": Field("quantity", "how far it drifted", optional=True, measures="length"),
            "watched": Field("quantity", "within which time it drifted", optional=True, measures="minutes"),
            "oil": Field("quantity", "the oil's temperature", optional=True, measures="temperature"),
            "load": Field("quantity", "what hung on it", optional=True, measures="mass"),
            "speed": Field("quantity", "the engine's speed", optional=True, measures="speed"),
            "runs": Field("whole", "of how many runs it is the mean", optional=True, least=1),
            "note": _NOTE,
        },
    ),
    _kind(
        "task_done",
        "a task was done, all its own steps",
        {"task": Field("key", "which")},
    ),
    _kind(
        "finding",
        "something was found that the owner should know",
        {
            "about": Field("key", "compartment, housing or part"),
            "what": Field(
                "choice",
                "what it is",
                choices=(
                    "leak",
                    "chafed_hose",
                    "cracked_hose",
                    "bright_metal",
                    "bronze_flakes",
                    "swarf",
                    "grit",
                    "rubber_bits",
                    "dark_residue",
                    "almost_no_debris",
                    "water",
                    "rust",
                    "foam",
                    "torn_element",
                    "stuck_valve",
                    "scored_rod",
                    "bad_breather",
                    "wrong_part",
                    "missing_part",
                    "worn_part",
                    "loose_part",
                    "damage",
                    "other",
                ),
            ),
            "urgency": Field(
                "choice", "when it wants doing", choices=("keep_watching", "plan_for_it", "before_next_work")
            ),
            "advice": Field("hash", "what is advised, as text kept apart", optional=True),
            "note": _NOTE,
            "photos": Field("hashes", "photos", optional=True),
            "cost_low": Field("whole", "cost now at least, in whole money", optional=True),
            "cost_high": Field("whole", "cost now at most", optional=True),
            "waiting_low": Field("whole", "cost of waiting at least", optional=True),
            "waiting_high": Field("whole", "cost of waiting at most", optional=True),
            "voice": _VOICE,
        },
        version=2,
    ),
    _kind(
        "finding_settled",
        "a finding was put right, or is no more",
        {"finding": Field("id", "which"), "note": _NOTE},
    ),
    _kind(
        "photo",
        "a photo was taken",
        {
            "photo": Field("hash", "the photo"),
            "of": Field("choice", "of what", choices=("plate", "meter", "tray", "part", "glass", "machine", "other")),
            "about": Field("key", "step, place or compartment", optional=True),
        },
    ),
    _kind(
        "sample_taken",
        "an oil sample was taken",
        {
            "compartment": Field("key", "where"),
            "bottle": Field("mark", "the bottle's mark"),
            "litres": Field("quantity", "how much was taken", optional=True, measures="volume"),
        },
    ),
    _kind(
        "lab_value",
        "the laboratory found a value",
        {
            "sample": Field("id", "the sample's fact"),
            "name": Field("key", "what was measured"),
            "value": Field("decimal", "the value as printed", optional=True),
            "unit": Field("mark", "its unit as printed", optional=True),
            "code": Field("mark", "what is printed in place of a number: a cleanliness code, a rating", optional=True),
        },
        version=2,
    ),
    _kind(
        "consent",
        "the owner agreed to something",
        {
            "about": Field("key", "task, finding or job"),
            "agreed": Field("truth", "agreed, or declined"),
            "note": _NOTE,
        },
    ),
    _kind(
        "signature",
        "somebody signed",
        {
            "by": Field("choice", "who", choices=("owner", "mechanic", "driver")),
            "strokes": Field("hash", "the strokes, kept apart"),
            "name": Field("hash", "the name as given, kept apart", optional=True),
        },
        needs_job=True,
    ),
    _kind(
        "clock_on",
        "work or travel began",
        {"work": Field("choice", "what", choices=("work", "travel", "waiting"))},
        subjects=("machine", "visit", "van"),
    ),
    _kind(
        "clock_off",
        "work or travel ended",
        {"work": Field("choice", "what", choices=("work", "travel", "waiting"))},
        subjects=("machine", "visit", "van"),
    ),
    _kind(
        "job_closed",
        "the job was closed; these facts belong to it",
        {"facts": Field("fact_hashes", "id and SHA-256 of each fact's text, sorted by id")},
        needs_job=True,
    ),
    _kind(
        "document_issued",
        "a document was issued from these facts",
        {
            "document": Field("id", "its number"),
            "what": Field("choice", "what it is", choices=("report", "card", "quote", "invoice")),
            "content": Field("hash", "its bytes"),
        },
    ),
    # about other facts
    _kind(
        "correction",
        "a fact was replaced or withdrawn",
        {
            "of": Field("id", "which fact"),
            "action": Field("choice", "what", choices=("replace", "withdraw")),
            "body": Field("body", "the new body, when replaced", optional=True),
            "version": Field("whole", "its version, where it is not that of the fact", optional=True, least=1),
            "reason": Field("choice", "why", choices=("undo", "mistyped", "wrong_machine", "wrong_time", "other")),
            "note": _NOTE,
        },
        subjects=("machine", "visit", "van"),
    ),
    _kind(
        "clock_error",
        "how far a device's clock was off, measured by the server",
        {"device": Field("id", "which device"), "seconds": Field("whole", "device minus server", least=None)},
        subjects=("device",),
    ),
)

KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}
