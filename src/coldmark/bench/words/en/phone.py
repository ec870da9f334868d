"""The app at the machine around the card: its frame, and what it has taken along."""

MESSAGES: dict[str, str] = {
    "app.app_name": "Coldmark",
    "app.needs_scripts": (
        "The app at the machine needs scripts, which this browser does not run. Every card can be printed from its "
        "job's page in the office."
    ),
    "app.today": "Today",
    "app.sums": "Sums",
    "app.urgent": "Emergency",
    "app.card_opening": "Opening the card",
    "app.card_none": "The card is not on this phone yet",
}
