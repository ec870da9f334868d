"""What is inside a machine, through every fill, drain, top-up and partial change.

>>> from coldmark.bench import oilhistory
>>> oilhistory.changes_until(1.0, 0.02, 48, 78).count.value
5
"""

from __future__ import annotations

from coldmark.bench.oilhistory.changes import MOST_CHANGES, Changes, changes_until
from coldmark.bench.oilhistory.folding import fold
from coldmark.bench.oilhistory.inside import Inside, inside
from coldmark.bench.oilhistory.mixing import IN_WAYS, OUT_WAYS, WORKED_H, moved
from coldmark.bench.oilhistory.model import NOBODY_KNOWS, Contents, Movement, OilPart
from coldmark.bench.oilhistory.saying import says
from coldmark.bench.oilhistory.system import system_l, tank_l, unknown_between

__all__ = [
    "IN_WAYS",
    "MOST_CHANGES",
    "NOBODY_KNOWS",
    "OUT_WAYS",
    "WORKED_H",
    "Changes",
    "Contents",
    "Inside",
    "Movement",
    "OilPart",
    "changes_until",
    "fold",
    "inside",
    "moved",
    "says",
    "system_l",
    "tank_l",
    "unknown_between",
]
