"""The command line and serving."""

MESSAGES: dict[str, str] = {
    # the demo
    "demo.not_empty": "This data folder holds a house of its own, so the invented business is not loaded into it; "
    "name an empty folder with COLDMARK_DATA.",
    "demo.already_loaded": "The invented business is loaded here already; for a fresh one name an empty folder with "
    "COLDMARK_DATA.",
    "demo.not_folded": "{count} machines of the invented business could not be worked out, so nothing was loaded; "
    "this is a mistake in the program.",
    "demo.day": "{name} = {value} is not a day; write it like 2026-03-02.",
    # serving
    "serve.half_certificate": "{name} is missing: https needs both, --cert with the certificate and --key with its key.",
    "serve.no_such_file": "{name} = {value} is not a file; give the path of a PEM file.",
    "serve.demo_stays_home": "{name} = {value} is open to other machines, but this data folder holds the demo, "
    "which stays on this one; leave the host out, or start with an empty data folder.",
    "serve.port_taken": "{name} = {value} is taken on {host}; stop what runs there, or give another with --port.",
    "serve.port_reserved": "{name} = {value} is reserved for the administrator; give one from 1024 up.",
    "serve.no_such_address": "{name} = {value} is not an address of this machine; 127.0.0.1 or 0.0.0.0 would be.",
    "serve.newer_database": "The {name} was used by a newer version of Coldmark ({value}); start that one again, or "
    "restore a backup that this version made.",
    "serve.being_restored": "A backup is being restored into {value}; start the server when that is done.",
    "serve.no_database": "{name} does not answer: {value}",
    # command line
    "cli.no_file": "{name} = {value} cannot be read; give the path of a file.",
    "cli.not_utf8": "{name} = {value} is not plain UTF-8 text.",
    "cli.file_exists": "{name} = {value} is there already; give another name.",
    "cli.cannot_write": "{name} = {value} cannot be written ({why}); give a file in a folder that is there.",
    "cli.the_kit": "the kit",
    "cli.due.head": "Due until {last}: {machines}.",
    "cli.due.one": "{count} machine",
    "cli.due.more": "{count} machines",
    "cli.due.over": "over",
    "cli.due.now": "now",
    "cli.due.ahead": "ahead",
    "cli.due.unknown": "?",
}
