"""Elements: whether the one in hand is the right one, what stays unproven, and which way up it goes.

>>> seen = dict.fromkeys(SIGHTS, "same")
>>> compare(Element(), Element(), sight=seen, ends="differ").upside_down
'one_way'
"""

from coldmark.bench.element.compare import compare
from coldmark.bench.element.model import (
    ENDS,
    FEATURES,
    SEEN,
    SIGHTS,
    UNSEEN,
    Answer,
    Comparison,
    Element,
    Ends,
    Judged,
    Named,
    Reject,
    Seen,
)
from coldmark.bench.element.remembered import Remembered, rejects, remember
from coldmark.bench.element.saying import notes, says
from coldmark.bench.element.serials import in_range

__all__ = [
    "ENDS",
    "FEATURES",
    "SEEN",
    "SIGHTS",
    "UNSEEN",
    "Answer",
    "Comparison",
    "Element",
    "Ends",
    "Judged",
    "Named",
    "Reject",
    "Remembered",
    "Seen",
    "compare",
    "in_range",
    "notes",
    "rejects",
    "remember",
    "says",
]
