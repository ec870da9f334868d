"""Evidence: what may be behind the signs in filter, oil and machine, and what to look at next.

>>> rank({"rust_seen": "seen"}).raised[0].key
'water_in'
"""

from coldmark.bench.evidence.network import Network, Sign, Way, network
from coldmark.bench.evidence.rank import STATES, Cause, Check, Ranking, Reason, State, rank
from coldmark.bench.evidence.saying import MOST_CAUSES, cause_says, next_says, says

__all__ = [
    "MOST_CAUSES",
    "STATES",
    "Cause",
    "Check",
    "Network",
    "Ranking",
    "Reason",
    "Sign",
    "State",
    "Way",
    "cause_says",
    "network",
    "next_says",
    "rank",
    "says",
]
