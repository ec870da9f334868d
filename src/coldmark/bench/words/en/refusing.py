"""Why something is refused."""

MESSAGES: dict[str, str] = {
    "refused.range": "{name} = {value|name:given} is outside {low|name:bare} to {high|name:given} ({source}).",
    "refused.least": "{name} = {value|name:given} must be at least {low|name:given} ({source}).",
    "refused.more_than": "{name} = {value|name:given} must be more than {low|name:given} ({source}).",
    "refused.choice": "{name} = {value} is not one of: {choices}.",
    "refused.number": "{name} = {value} is not a number; write it like {right}.",
    "refused.missing": "{name} is not known, and {needed_for} needs it.",
    "refused.contradiction": "{name} = {value|unit_of:given} cannot be: {why}.",
    "refused.cannot.checksum": "the table that was checked has {checksum}",
    "refused.cannot.between": "it must lie between {low:given} and {high:given}",
    "refused.text": "{name} = {value} is not text; write it in quotes.",
    "refused.row": "Row {row}: {says}",
    "refused.syntax": "{name} cannot be read: {value}.",
}
