"""Papers made from the records: what is known of a job becomes the plain data that :mod:`coldmark.papers` sets.

They stand on the queries, and issuing one on the services too; neither of the two may import them.
"""

from coldmark.records.paperwork.after import JobAfter, job_after
from coldmark.records.paperwork.calendar import visits_ics
from coldmark.records.paperwork.card import card_paper, card_pdf
from coldmark.records.paperwork.closing import says_of
from coldmark.records.paperwork.issuing import issue_report
from coldmark.records.paperwork.kit import (
    hours_said,
    kit_along,
    kit_groups,
    kit_notes,
    kit_paper,
    kit_pdf,
    kit_short,
    kit_time,
)

__all__ = [
    "JobAfter",
    "card_paper",
    "card_pdf",
    "hours_said",
    "issue_report",
    "job_after",
    "kit_along",
    "kit_groups",
    "kit_notes",
    "kit_paper",
    "kit_pdf",
    "kit_short",
    "kit_time",
    "says_of",
    "visits_ics",
]
