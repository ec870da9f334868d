"""A job's closing code as its page and its report show it: the code, the whole hash as a square code, what has come."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

from django.conf import settings
from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.pictures import svg
from coldmark.papers import data as paper
from coldmark.records.closings import Closed, closing_that_holds, says_closed

__all__ = ["check_address", "closed_job", "closing_paper", "says_of", "square_code"]

_QUIET = 4
"""Modules left white around the code, as ISO/IEC 18004 asks."""


def closed_job(machine: str, job: str) -> Closed | None:
    """The closing of a job that counts now; ``None`` while it is open."""
    return closing_that_holds(uuid.UUID(machine), uuid.UUID(job))


def closing_paper(closed: Closed) -> paper.ClosingCode:
    """The closing as papers and pages show it."""
    address = check_address()
    where = words.sentence("closing.where", address=address) if address else words.sentence("closing.where.unknown")
    return paper.ClosingCode(
        code=closed.code,
        svg=square_code(closed.sha256),
        alt=words.sentence("closing.picture"),
        says=(*says_of(closed), where),
    )


def says_of(closed: Closed) -> list[str]:
    """What a closing stands for, in sentences, at the workshop's time."""
    at = timezone.localtime(closed.at)
    return says_closed(closed, day=words.day(at.date()), time=f"{at:%H:%M}")


def check_address() -> str:
    """Where anybody checks a code, when this server knows by what name others reach it; else nothing."""
    hosts = [host for host in settings.ALLOWED_HOSTS if host not in settings.LOOPBACK_HOSTS and "*" not in host]
    if not hosts:
        return ""
    return f"{'https' if settings.COLDMARK_TLS else 'http'}://{hosts[0].lstrip('.')}/check/"


def square_code(sha256: str) -> str:
    """Draw a hash as a square code (ISO/IEC 18004). In capitals it takes fewer modules, and its check takes either."""
    import segno  # slow to import, and only who shows a closed job pays it

    rows = [list(row) for row in segno.make(sha256.upper(), error="m", micro=False, boost_error=False).matrix]
    side = len(rows) + 2 * _QUIET
    dark = "".join(f"M{x + _QUIET} {y + _QUIET}h{length}v1h-{length}z" for x, y, length in _runs(rows))
    return svg.drawing(
        side,
        side,
        words.sentence("closing.picture"),
        words.sentence("closing.picture.says", sha256=sha256),
        # Black on white in every look: what reads it knows no dark mode.
        svg.rect(0, 0, side, side, fill="#FFFFFF"),
        svg.path(dark, fill="#000000", shape_rendering="crispEdges"),
        class_="square-code",
    )


def _runs(rows: list[list[int]]) -> Iterator[tuple[int, int, int]]:
    """The dark modules as runs along each row: where one begins, and how long it is."""
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            length = 0
            while x + length < len(row) and row[x + length]:
                length += 1
            if length:
                yield x, y, length
            x += length or 1
