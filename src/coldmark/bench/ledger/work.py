"""The fold of work: jobs, steps, parts, findings, and whose machine it is."""

from __future__ import annotations

from coldmark.bench.element.remembered import remember
from coldmark.bench.facts import Fact
from coldmark.bench.ledger.fluids import trim_pours
from coldmark.bench.ledger.folding import Folding
from coldmark.bench.ledger.state import Fitted, Found

__all__ = [
    "finding",
    "finding_settled",
    "gate_opened",
    "job_closed",
    "job_opened",
    "machine_joined",
    "option_fitted",
    "owner_changed",
    "part_in",
    "part_out",
    "part_refused",
    "sheet_assigned",
    "signature",
    "step_done",
    "step_skipped",
]

MOST_CLOSED_JOBS = 50
MOST_SETTLED = 100


def sheet_assigned(folding: Folding, fact: Fact) -> None:
    """From here on this sheet is in force."""
    folding.state.sheet = fact.body["sheet"]
    if folding.sheet is None:
        folding.flag(fact, "flag.sheet_not_here", sheet=fact.body["sheet"])


def option_fitted(folding: Folding, fact: Fact) -> None:
    """An option is on the machine, or off again."""
    folding.state.options[fact.body["option"]] = fact.body["fitted"]


def owner_changed(folding: Folding, fact: Fact) -> None:
    """Another owner from here on."""
    state = folding.state
    if state.customer != fact.body["customer"]:
        state.owners.append((fact.at, fact.body["customer"]))
    state.customer, state.site = fact.body["customer"], fact.body.get("site")


def machine_joined(folding: Folding, fact: Fact) -> None:
    """Another record was this machine."""
    if fact.body["other"] not in folding.state.joined:
        folding.state.joined.append(fact.body["other"])


def job_opened(folding: Folding, fact: Fact) -> None:
    """A job begins, or gets more tasks."""
    job = folding.job(_job(fact))
    job.opened_at = job.opened_at or fact.at
    job.tasks += [task for task in fact.body["tasks"] if task not in job.tasks]
    job.visit = fact.body.get("visit") or job.visit


def _job(fact: Fact) -> str:
    assert fact.job is not None, "the kind needs a job, and reading it made sure of one"
    return fact.job


def step_done(folding: Folding, fact: Fact) -> None:
    """A step is done; if it was skipped before, it no longer is."""
    job, step = folding.job(_job(fact)), fact.body["step"]
    job.skipped.pop(step, None)
    if step not in job.done:
        job.done.append(step)


def step_skipped(folding: Folding, fact: Fact) -> None:
    """A step was left out."""
    job, step = folding.job(_job(fact)), fact.body["step"]
    if step in job.done:
        job.done.remove(step)
    job.skipped[step] = fact.body["reason"]


def gate_opened(folding: Folding, fact: Fact) -> None:
    """A gate was passed for a reason."""
    folding.job(_job(fact)).gates[fact.body["gate"]] = fact.body["reason"]


def signature(folding: Folding, fact: Fact) -> None:
    """Somebody signed."""
    signed = folding.job(_job(fact)).signed
    if fact.body["by"] not in signed:
        signed.append(fact.body["by"])


def job_closed(folding: Folding, fact: Fact) -> None:
    """The job is over; of closed jobs the latest are kept."""
    state = folding.state
    folding.job(_job(fact)).closed_at = fact.at
    closed = sorted((job.closed_at, key) for key, job in state.jobs.items() if job.closed_at is not None)
    for _, key in closed[:-MOST_CLOSED_JOBS]:
        del state.jobs[key]
    for compartment in state.pours:
        trim_pours(folding, compartment)


def part_out(folding: Folding, fact: Fact) -> None:
    """A place that was found empty has nothing fitted."""
    if fact.body["state"] == "missing":
        folding.state.fitted.pop(fact.body["place"], None)


def part_in(folding: Folding, fact: Fact) -> None:
    """What is fitted in a place: a new part counts from now, one put back keeps its age."""
    remember(folding.state.remembered, fact)
    body, fitted = fact.body, folding.state.fitted
    place = body["place"]
    if body["count"] == 0:
        fitted.pop(place, None)
        return
    part, number = _part_of(folding, place, body.get("part"), body.get("number"))
    if not body["fresh"]:
        # Put back: its age is what it was, and unknown when it was fitted before the records began.
        fitted.setdefault(place, Fitted(part, number, fact.at, None, fact.id))
        return
    fitted[place] = Fitted(part, number, fact.at, folding.then(fact).hours, fact.id)


def part_refused(folding: Folding, fact: Fact) -> None:
    """A part that was at hand is not the right one: it is remembered."""
    remember(folding.state.remembered, fact)


def _part_of(folding: Folding, place: str, part: str | None, number: str | None) -> tuple[str | None, str | None]:
    """Fill in from the sheet's stack what was not recorded."""
    sheet = folding.sheet
    if sheet is None:
        return part, number
    housing, _, item = place.partition(".")
    if part is None and housing in sheet.housings:
        part = next((one.part for one in sheet.housings[housing].stack if one.key == item), None)
    if number is None and part is not None and part in sheet.parts:
        number = sheet.parts[part].number or None
    return part, number


def finding(folding: Folding, fact: Fact) -> None:
    """Something the owner should know; a part that is the wrong one is remembered."""
    remember(folding.state.remembered, fact)
    body = fact.body
    folding.state.findings[fact.id] = Found(
        fact=fact.id,
        at=fact.at,
        about=body["about"],
        what=body["what"],
        urgency=body["urgency"],
        job=fact.job,
        advice=body.get("advice"),
        note=body.get("note"),
        photos=list(body.get("photos") or ()),
        cost_low=body.get("cost_low"),
        cost_high=body.get("cost_high"),
        waiting_low=body.get("waiting_low"),
        waiting_high=body.get("waiting_high"),
    )


def finding_settled(folding: Folding, fact: Fact) -> None:
    """A finding is no more; of settled ones the latest are kept."""
    findings = folding.state.findings
    found = findings.get(fact.body["finding"])
    if found is None:
        folding.flag(fact, "flag.settles_nothing", finding=fact.body["finding"])
        return
    found.settled_by, found.settled_at = fact.id, fact.at
    settled = sorted((one.settled_at, key) for key, one in findings.items() if one.settled_at is not None)
    for _, key in settled[:-MOST_SETTLED]:
        del findings[key]
