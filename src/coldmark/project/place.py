"""Where the machine says it stands: its time zone."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import available_timezones


def machine_time_zone(localtime: Path = Path("/etc/localtime")) -> str:
    """The machine's time zone by name: from TZ, else from where its local time file points, else UTC."""
    known = available_timezones()
    told = os.environ.get("TZ", "").removeprefix(":")
    if told in known:
        return told
    pointed = localtime.resolve().as_posix().partition("zoneinfo/")[2]
    return pointed if pointed in known else "UTC"
