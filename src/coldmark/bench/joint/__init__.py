"""Bolted joints: which bolt it is, how tight it goes, and in which order.

::

    candidates(hex_mm, …)      -> BoltCandidates  threads that wear a hexagon
    thread(name)               -> Thread          a metric thread's sizes
    torque(name, class, …)     -> Tightening      by the relation of VDI 2230
    pull(name, class, …)       -> Pull            with what it holds at a torque
    how_tight(…)               -> HowTight        the sheet's figure first
    spin_on(housing, …)        -> SpinOn           contact, then the turn of the sheet
    sequence(count, …)         -> BoltSequence    order and passes
"""

from coldmark.bench.joint.heads import STANDARDS, BoltCandidate, BoltCandidates, candidates
from coldmark.bench.joint.order import MOST, BoltSequence, sequence
from coldmark.bench.joint.threads import Thread, thread
from coldmark.bench.joint.tighten import CLASSES, FRICTION, Pull, Tightening, pull, torque
from coldmark.bench.joint.tightness import (
    INTO,
    HowTight,
    SpinOn,
    how_tight,
    known_thread,
    says_how_tight,
    says_spin_on,
    sheet_torque,
    spin_on,
)

__all__ = [
    "CLASSES",
    "FRICTION",
    "INTO",
    "MOST",
    "STANDARDS",
    "BoltCandidate",
    "BoltCandidates",
    "BoltSequence",
    "HowTight",
    "Pull",
    "SpinOn",
    "Thread",
    "Tightening",
    "candidates",
    "how_tight",
    "known_thread",
    "pull",
    "says_how_tight",
    "says_spin_on",
    "sequence",
    "sheet_torque",
    "spin_on",
    "thread",
    "torque",
]
