"""The ledger: which facts hold, and the state of a machine that they fold into."""

from coldmark.bench.ledger.effective import Effective, effective, key_of, resolve
from coldmark.bench.ledger.fold import CODE_VERSION, RefoldNeeded, fold
from coldmark.bench.ledger.plain import parts_from_json, state_from_json, state_from_plain, state_to_json
from coldmark.bench.ledger.state import (
    BreakerSpan,
    DoneMark,
    DoneTask,
    Fitted,
    Flag,
    Found,
    JobState,
    LevelSeen,
    MeterPoint,
    MeterState,
    OilPart,
    Pour,
    State,
)

__all__ = [
    "CODE_VERSION",
    "BreakerSpan",
    "DoneMark",
    "DoneTask",
    "Effective",
    "Fitted",
    "Flag",
    "Found",
    "JobState",
    "LevelSeen",
    "MeterPoint",
    "MeterState",
    "OilPart",
    "Pour",
    "RefoldNeeded",
    "State",
    "effective",
    "fold",
    "key_of",
    "parts_from_json",
    "resolve",
    "state_from_json",
    "state_from_plain",
    "state_to_json",
]
