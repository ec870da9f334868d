"""Questions to the bench as text."""

MESSAGES: dict[str, str] = {
    "desk.not_json": "{name} is not JSON.",
    "desk.not_object": "{name} must be a JSON object.",
}
