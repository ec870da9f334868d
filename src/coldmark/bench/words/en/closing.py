"""The closing code of a job."""

MESSAGES: dict[str, str] = {
    "closing.no_code": "{name} = {value} is not a closing code; it has 17 letters and digits, like 0VJH-8CXV-W39R-F0ERZ.",
    "closing.mistyped": "{name} = {value} has a wrong sign or two that are swapped; read it off the sticker once more.",
}
