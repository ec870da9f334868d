"""What is inside a machine, and how many changes until the old oil is out."""

MESSAGES: dict[str, str] = {
    "oil_history.too_many": "With {drained_l} let out of {system_l} each time it takes more than {most} changes: let out more at a time.",
    "working.oil_history.stays": "Share that each change leaves",
    "working.oil_history.count": "Changes until the limit is met",
    "working.oil_history.after": "Share left after them",
    "working.oil_history.other": "Share of another oil",
}
