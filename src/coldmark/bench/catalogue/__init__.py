"""Every calculation of the bench described once: for the web form, the phone, the API, the command line and the docs.

>>> from coldmark.bench import catalogue
>>> catalogue.run("oil_viscosity", {"kv40_mm2_s": "46", "kv100_mm2_s": "6.8", "t_c": "0"}).says[0]
'At 0 °C the oil has 577 mm²/s.'
"""

from coldmark.bench.catalogue.entries import ENTRIES
from coldmark.bench.catalogue.finding import by_topic, find
from coldmark.bench.catalogue.model import MOST_ROWS, TOPICS, Answer, Entry, Input, InputKind, Outcome, Shown, Topic
from coldmark.bench.catalogue.run import describe, entry, outcome_to_plain, run
from coldmark.bench.catalogue.taking import take

__all__ = [
    "ENTRIES",
    "MOST_ROWS",
    "TOPICS",
    "Answer",
    "Entry",
    "Input",
    "InputKind",
    "Outcome",
    "Shown",
    "Topic",
    "by_topic",
    "describe",
    "entry",
    "find",
    "outcome_to_plain",
    "run",
    "take",
]
