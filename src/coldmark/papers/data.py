"""What the papers are made from: plain values, already in the reader's words and units.

The one who issues a paper (a service) fills these from facts; the templates only set them.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "Blank",
    "Business",
    "CardPaper",
    "Caution",
    "ClosingCode",
    "FindingLine",
    "GlassPicture",
    "KitGroup",
    "KitPaper",
    "KitRow",
    "LitreLine",
    "MachineName",
    "NextLine",
    "PartLine",
    "PlanLine",
    "ReasonLine",
    "ReportPaper",
    "ScreenPaper",
    "Signed",
    "StepLine",
    "ValueLine",
]

Blank = str


@dataclass(frozen=True, slots=True)
class Business:
    """Who issues the paper."""

    name: str
    address: tuple[str, ...] = ()
    phone: str = ""


@dataclass(frozen=True, slots=True)
class MachineName:
    """What the machine is called on paper."""

    name: str
    model: str = ""
    serial: str = ""


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding; ``photos`` are names of pictures handed over with the paper."""

    what: str
    about: str
    urgency: str
    advice: str = ""
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanLine:
    """What a finding costs now, and what waiting may cost; a dash where nobody gave a figure."""

    what: str
    now: str
    waiting: str


@dataclass(frozen=True, slots=True)
class NextLine:
    """A task that comes next: at which hours, and about when."""

    task: str
    hours: str
    days: str


@dataclass(frozen=True, slots=True)
class GlassPicture:
    """A glass as found or as left: its drawing, the words for who cannot see it, and what it means."""

    title: str
    svg: str
    alt: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part that was fitted new."""

    name: str
    number: str
    count: str


@dataclass(frozen=True, slots=True)
class LitreLine:
    """Oil that went in or out."""

    what: str
    amount: str


@dataclass(frozen=True, slots=True)
class ValueLine:
    """A reading, or a line of a step."""

    what: str
    value: str


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step and whether it was done."""

    name: str
    state: str


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """Something left out or opened otherwise, and why; ``photos`` are names of pictures handed over with the paper."""

    what: str
    why: str
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature as a drawing, and the name beside it; either may be all there is."""

    svg: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class ClosingCode:
    """The code a job was closed with, its whole hash as a drawing, and what it stands for; nothing while it is open."""

    code: str = ""
    svg: str = ""
    alt: str = ""
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReportPaper:
    """The service report: is it all right, what was found, what to plan money for, when next; then the record.

    ``late`` is what was recorded or corrected after the job was closed: when, and what it says. ``awaited`` says what
    a phone had not sent yet.
    """

    business: Business
    number: str
    day: str
    machine: MachineName
    owner: str
    site: str
    mechanic: str
    meter: str
    verdict: tuple[str, ...]
    findings: tuple[FindingLine, ...]
    plan: tuple[PlanLine, ...]
    next: tuple[NextLine, ...]
    glasses: tuple[GlassPicture, ...]
    parts: tuple[PartLine, ...]
    litres: tuple[LitreLine, ...]
    balance: tuple[str, ...]
    readings: tuple[ValueLine, ...]
    steps: tuple[StepLine, ...]
    reasons: tuple[ReasonLine, ...]
    signature: Signed
    sheet: str
    sheet_size: str = "a4"
    closing: ClosingCode = ClosingCode()
    late: tuple[ValueLine, ...] = ()
    awaited: str = ""


@dataclass(frozen=True, slots=True)
class KitRow:
    """One thing to bring."""

    name: str
    detail: str
    amount: str


@dataclass(frozen=True, slots=True)
class KitGroup:
    """Things to bring of one sort, under their own heading and column heads."""

    title: str
    head: tuple[str, str, str]
    rows: tuple[KitRow, ...]


@dataclass(frozen=True, slots=True)
class KitPaper:
    """The kit of a job, to tick off at the shelf."""

    business: Business
    day: str
    machine: MachineName
    site: str
    tasks: tuple[str, ...]
    time: str
    groups: tuple[KitGroup, ...]
    notes: tuple[str, ...]
    sheet_size: str = "a4"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: ``word`` chooses the sign's colours, ``signal`` is the word as printed."""

    word: str
    signal: str
    hazard: str
    consequence: str
    avoidance: str


@dataclass(frozen=True, slots=True)
class ScreenPaper:
    """One step of the card on paper, with lines to fill in by hand."""

    title: str
    says: str
    why: str
    cautions: tuple[Caution, ...]
    lines: tuple[ValueLine, ...]
    tray: tuple[PartLine, ...]
    svg: str
    alt: str
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class CardPaper:
    """The job card on paper."""

    business: Business
    day: str
    machine: MachineName
    owner: str
    site: str
    tasks: tuple[str, ...]
    screens: tuple[ScreenPaper, ...]
    sheet: str
    sheet_size: str = "a4"
