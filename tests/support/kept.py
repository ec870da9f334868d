"""What the server has kept, read from its database beside it."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path


def on_the_server(folder: Path, job: str) -> list[tuple[str, int, dict[str, object]]]:
    """Kind, device's number and body of every fact recorded on the card of a job."""
    with closing(sqlite3.connect(f"file:{folder / 'coldmark.sqlite3'}?mode=ro", uri=True)) as database:
        rows = database.execute(
            "select kind, number, text from records_fact where job = ? and kind != 'job_opened' order by number",
            (job.replace("-", ""),),
        ).fetchall()
    return [(kind, number, json.loads(text)["body"]) for kind, number, text in rows]
