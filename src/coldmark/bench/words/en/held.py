"""A machine as a phone holds it."""

MESSAGES: dict[str, str] = {
    "held.behind": (
        "Something recorded on this phone lies before what the server knew last. What is worked out here leaves it and "
        "all that came after it out, until the phone has been in touch again."
    ),
    "held.not_a_state": "{name} is not the state of a machine as the server folds it.",
    "held.cannot.coldest": "it is a number of degrees, or null where nobody knows",
    "held.not_open": "{name} = {value} is not the machine that is open here; open it first.",
    "held.other_version": (
        "This machine was brought by another version of the server ({name} = {value}); get in touch with the server and "
        "let the app renew itself."
    ),
}
