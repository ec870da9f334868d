"""The closing code of a job."""

MESSAGES: dict[str, str] = {
    "closing.cannot.pair": "each is an id and the SHA-256 of a text",
    "closing.cannot.twice": "each fact is named once",
    "closing.title": "Closing code",
    "closing.picture": "The whole hash as a square code",
    "closing.picture.says": "A square code that holds {sha256}.",
    "closing.unknown": "No job was closed here with this code: {value}.",
    "closing.over.none": "The job was closed on {day} at {time}, over no entry.",
    "closing.over.one": "The job was closed on {day} at {time}, over one entry.",
    "closing.over.many": "The job was closed on {day} at {time}, over {count} entries.",
    "closing.kept": "All of it is kept here word for word as it was then.",
    "closing.missing.one": "One entry is not here any more as it was then.",
    "closing.missing.many": "{count} entries are not here any more as they were then.",
    "closing.late.none": "Nothing was recorded for this job afterwards.",
    "closing.late.one": "One entry was recorded for this job afterwards.",
    "closing.late.many": "{count} entries were recorded for this job afterwards.",
    "closing.changed.none": "Nothing was corrected since.",
    "closing.changed.one": "One entry was corrected since.",
    "closing.changed.many": "{count} entries were corrected since.",
    "closing.withdrawn": "The closing itself was taken back since: the job went on.",
    "closing.held": (
        "It was closed on a device that is trusted no more, and the office has not let in yet what was recorded there."
    ),
    "closing.where": "Anybody can check it at {address}, without an account.",
    "closing.where.unknown": "Anybody can check it on our server's page /check/, without an account.",
    "closing.no_code": "{name} = {value} is not a closing code; it has 17 letters and digits, like 0VJH-8CXV-W39R-F0ERZ.",
    "closing.mistyped": "{name} = {value} has a wrong sign or two that are swapped; read it off the sticker once more.",
}
