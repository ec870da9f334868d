"""Questions to the bench as text."""

MESSAGES: dict[str, str] = {
    "app.bench_starting": "The sums are starting on this phone.",
    "app.bench_ready": "Sums are worked out on this phone. They started in {seconds} s.",
    "app.bench_silent": "The sums do not start on this phone. Recording goes on; sums wait for the server.",
    "app.bench_breaks": "The sums broke off on this phone again and again. Recording goes on; sums wait for the server.",
    "app.bench_error": "The sums cannot start on this phone ({error}). Recording goes on; sums wait for the server.",
    "desk.cannot.pairs": "it is a list of pairs: the id and the SHA-256 of each fact",
    "desk.cannot.two_units": "it is given twice, in two units",
    "desk.not_json": "{name} is not JSON.",
    "desk.not_object": "{name} must be a JSON object.",
}
