"""A process that makes a job's report and issues it when told to: ``python -m tests.records.issue_at_once JOB``.

It says *made* when the report is put together, with its number on it, and waits for a line before it goes on.
"""

from __future__ import annotations

import sys
from typing import Any
from unittest.mock import patch

from coldmark.cli import boot


def main(job: str) -> None:
    """Issue the report in the mechanic's name, and say its number."""
    boot.start()
    from coldmark.records.models import Person  # Django must be ready first
    from coldmark.records.paperwork import issuing
    from coldmark.records.paperwork.report import ReportMade, report_of

    waited: list[bool] = []

    def slow(*told: Any, **more: Any) -> ReportMade:
        made = report_of(*told, **more)
        if not waited:
            waited.append(True)
            print("made", flush=True)
            sys.stdin.readline()
        return made

    with patch.object(issuing, "report_of", slow):
        print(issuing.issue_report(Person.objects.get(sign_in="tom"), job).number, flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
