"""Bolted joints."""

MESSAGES: dict[str, str] = {
    "working.joint.sequence": "Order of the bolts",
}
