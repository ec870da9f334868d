"""Hoses: which end it is, what size, and how old.

::

    identify(thread_mm, sex, …) -> Ends      ends that fit, what is alike, what tells them apart
    size_of(bore_mm)            -> HoseSize  the dash size
    made(stamp, today)          -> Made      the date of manufacture
    age(stamp, today, kept)     -> Age       in months, against the guidance
    says(found, units)          -> list      any of them in plain sentences
"""

from coldmark.bench.hose.bore import BORES, HoseSize, size_of
from coldmark.bench.hose.ends import FAMILIES, SEATS, SEXES, End, EndCandidate, Ends, all_ends, identify
from coldmark.bench.hose.saying import cautions, says, says_alike
from coldmark.bench.hose.stamp import KEPT, LIMITS_MONTHS, Age, Made, age, made

__all__ = [
    "BORES",
    "FAMILIES",
    "KEPT",
    "LIMITS_MONTHS",
    "SEATS",
    "SEXES",
    "Age",
    "End",
    "EndCandidate",
    "Ends",
    "HoseSize",
    "Made",
    "age",
    "all_ends",
    "cautions",
    "identify",
    "made",
    "says",
    "says_alike",
    "size_of",
]
