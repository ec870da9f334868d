"""What the server has kept, read from its database beside it; and what a phone has."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page


def on_the_server(folder: Path, job: str) -> list[tuple[str, int, dict[str, object]]]:
    """Kind, device's number and body of every fact recorded on the card of a job."""
    with closing(sqlite3.connect(f"file:{folder / 'coldmark.sqlite3'}?mode=ro", uri=True)) as database:
        rows = database.execute(
            "select kind, number, text from records_fact where job = ? and kind != 'job_opened' order by number",
            (job.replace("-", ""),),
        ).fetchall()
    return [(kind, number, json.loads(text)["body"]) for kind, number, text in rows]


_NOTES = """async job => {
  const asked = request => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const base = await asked(indexedDB.open("coldmark"));
  try {
    return (await asked(base.transaction("kept").objectStore("kept").get(`notes ${job}`))) ?? {};
  } finally {
    base.close();
  }
}"""


def notes_on_the_phone(page: Page, job: str) -> dict[str, Any]:
    """What the screens of a job keep for themselves while they are filled in, by its name."""
    notes: dict[str, Any] = page.evaluate(_NOTES, job)
    return notes
