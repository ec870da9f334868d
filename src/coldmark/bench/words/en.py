"""The English sentences, by message id. Grouped by the module that says them; British spelling."""

MESSAGES: dict[str, str] = {
    # refusals
    "refused.range": "{name} = {value|name} is outside {low|name} to {high|name} ({source}).",
    "refused.choice": "{name} = {value} is not one of: {choices}.",
    "refused.number": "{name} = {value} is not a number; write it like {right}.",
    "refused.missing": "{name} is not known, and {needed_for} needs it.",
    "refused.contradiction": "{name} = {value} cannot be: {why}.",
}
