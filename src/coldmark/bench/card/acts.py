"""Which steps a job has, and in what order: several tasks' steps merged, what the sheet left out put in.

An **act** is one thing to be done once in the job. Steps of several tasks that the sheet marks as the same, that open
or close the same housing, or that read the same level, are one act and count for each of the tasks.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import field, replace

from coldmark.bench.errors import NotAChoice
from coldmark.bench.shapes import dataclass
from coldmark.bench.sheet.model import Housing, Phase, Sheet, SheetStep, StepKind
from coldmark.bench.sheet.pressure import LET_OFF, holding, is_wet, lets_off
from coldmark.bench.sheet.tank import hydraulic_key
from coldmark.bench.words import sentence

__all__ = ["Act", "acts_of", "expanded", "lets_cover_off", "title_of_added"]

_PHASES: tuple[Phase, ...] = ("prepare", "work", "fill", "run", "finish")
_HOUSING_KINDS: tuple[StepKind, ...] = ("tray_out", "tray_in", "close")
_COMPARTMENT_KINDS: tuple[StepKind, ...] = ("level_found", "level_left", "sample")
# Cautions of steps that the card adds, shown where a sheet has one of this name.
_MOVING = ("clear_of_tank",)
_UNDER_PRESSURE = ("accumulator", "pressure_down")
_PLAIN = ("read_meter", "read_found", "read_left", LET_OFF, "run_start", "run_cycle", "run_settle")
_ABOUT_HOUSING = ("open", "refit", "shut")


@dataclass(slots=True)
class Act:
    """One act: its key in the facts, the sheet's step, the tasks it counts for, and the acts that come before it."""

    key: str
    step: SheetStep
    tasks: list[str]
    before: list[str] = field(default_factory=list)

    @property
    def phase(self) -> Phase:
        return self.step.phase


def expanded(sheet: Sheet, tasks: Sequence[str], options: Collection[str]) -> list[str]:
    """Return the job's tasks and those that they include, each once, in the order of work.

    Engine oil comes first, as it is drained warm; a longer task comes before those that it includes. An included task
    for an option that is not fitted is left out.
    """
    found: list[str] = []

    def take(key: str) -> None:
        if key not in sheet.tasks:
            raise NotAChoice(name="task", value=key, choices=sheet.tasks)
        if key in found:
            return
        found.append(key)
        for included in sheet.tasks[key].includes:
            needs = sheet.tasks[included].needs_option if included in sheet.tasks else None
            if needs is None or needs in options:
                take(included)

    for key in tasks:
        take(key)
    return sorted(found, key=lambda key: not _is_engine(sheet, key))


def _is_engine(sheet: Sheet, task: str) -> bool:
    place = sheet.compartments.get(sheet.tasks[task].compartment or "")
    return place is not None and place.fluid == "engine oil"


def _identity(task: str, step: SheetStep) -> tuple[str, ...]:
    if step.once:
        return ("once", step.once)
    if step.kind in _HOUSING_KINDS and step.housing:
        return (step.kind, step.housing)
    if step.kind in _COMPARTMENT_KINDS and step.compartment:
        return (step.kind, step.compartment)
    if step.kind == "meter":
        return ("meter", step.phase)
    return ("own", task, step.key)


def _collected(sheet: Sheet, tasks: Iterable[str]) -> list[Act]:
    """Merge the tasks' steps into acts, with what must come before each."""
    found: dict[tuple[str, ...], Act] = {}
    for task in tasks:
        by_step: dict[str, Act] = {}
        last: Act | None = None
        for step in sheet.steps.get(task, ()):
            identity = _identity(task, step)
            act = found.get(identity)
            if act is None:
                act = found[identity] = Act(f"{task}.{step.key}", step, [task])
            elif task not in act.tasks:
                act.tasks.append(task)
                more = tuple(key for key in step.cautions if key not in act.step.cautions)
                act.step = replace(act.step, cautions=act.step.cautions + more)
            if last is not None and last is not act and last.phase == act.phase:
                act.before.append(last.key)
            act.before += [by_step[key].key for key in step.after if key in by_step and by_step[key] is not act]
            by_step[step.key] = last = act
    return list(found.values())


def _guards(acts: Sequence[Act], sheet: Sheet) -> set[str]:
    """Return the acts of the run that see to a hard stop: the first that names it; those after it only remind."""
    first: dict[str, str] = {}
    for act in acts:
        for key in act.step.cautions:
            if act.phase == "run" and key in sheet.cautions and sheet.cautions[key].hard_stop:
                first.setdefault(key, act.key)
    return set(first.values())


def _ordered(acts: Sequence[Act], sheet: Sheet) -> list[Act]:
    """Put acts in order: by phase, then after what must come before them, then as they were given.

    Where two tasks ask for opposite orders the task that was given first has its way. Nothing is started before the
    acts that a hard stop is about: the tank's cap goes on before another task's engine oil is tried out.
    """
    guards = _guards(acts, sheet)

    def rank(act: Act) -> tuple[int, bool]:
        return _PHASES.index(act.phase), act.phase == "run" and act.key not in guards

    left = sorted(acts, key=rank)
    out: list[Act] = []
    while left:
        here = [act for act in left if act.phase == left[0].phase]
        waiting = {act.key for act in here}
        ready = next((act for act in here if not any(key in waiting and key != act.key for key in act.before)), here[0])
        left.remove(ready)
        out.append(ready)
    return out


def title_of_added(sheet: Sheet, key: str) -> str | None:
    """Return what a step is called that the card adds to a sheet that leaves it out.

    Parameters
    ----------
    sheet : the machine's data sheet.
    key : the step's key without its task, as facts have it: ``run_posture``, ``open_return``.

    Returns
    -------
    str or None
        Its title, the same as on the card; ``None`` for a key that the card never adds.

    Valid for
    ---------
    Any sheet that reads.

    Raises
    ------
    Nothing.

    Source
    ------
    The sheet's check posture and housings; the words are the card's own.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("dumper"))
    >>> title_of_added(sheet, "read_meter"), title_of_added(sheet, "polish")
    ('Read the hour meter', None)
    """
    if key in _PLAIN:
        return sentence(f"card.step.{key}")
    system = sheet.hydraulic
    if key == "run_posture":
        return sentence("card.step.run_posture", posture=system.postures[system.check_posture].says)
    if key == "run_stop":
        return sentence(f"card.step.run_{system.engine}")
    message, _line, housing = key.partition("_")
    if message in _ABOUT_HOUSING and housing in sheet.housings:
        return sentence(f"card.step.{message}", housing=sheet.housings[housing].name)
    return None


def _made(
    sheet: Sheet,
    task: str,
    message: str,
    kind: StepKind,
    phase: Phase,
    *,
    minutes: float,
    housing: Housing | None = None,
    compartment: str | None = None,
    wait_min: float | None = None,
    cautions: tuple[str, ...] = (),
) -> Act:
    """Return an act that the sheet does not have, worded by ``card.step`` and ``card.why``."""
    key = f"{message}_{housing.key}" if housing else message
    step = SheetStep(
        key=key,
        kind=kind,
        says=title_of_added(sheet, key) or key,
        why=sentence(f"card.why.{message}"),
        housing=housing.key if housing else None,
        compartment=compartment,
        cautions=cautions,
        tools=(),
        consumables=(),
        parts=(),
        minutes=minutes,
        litres_out_l=None,
        litres_in_l=None,
        wait_min=wait_min,
        torque_nm=None,
        after=(),
        phase=phase,
    )
    return Act(f"{task}.{key}", step, [task])


def _index(acts: Sequence[Act], kind: StepKind, housing: str) -> int | None:
    return next((at for at, act in enumerate(acts) if act.step.kind == kind and act.step.housing == housing), None)


def _complete_housings(acts: list[Act], sheet: Sheet) -> None:
    """Give every housing that is opened all three acts: taken apart, refitted, closed."""
    opened = dict.fromkeys(act.step.housing for act in acts if act.step.kind in _HOUSING_KINDS and act.step.housing)
    for key in opened:
        housing = sheet.housings.get(key or "")
        if housing is None:
            continue
        present = [_index(acts, kind, housing.key) for kind in _HOUSING_KINDS]
        first = next(at for at in present if at is not None)
        task = acts[first].tasks[0]
        if present[0] is None:
            acts.insert(first, _made(sheet, task, "open", "tray_out", "work", minutes=5, housing=housing))
        out = _index(acts, "tray_out", housing.key) or 0
        if present[1] is None:
            acts.insert(out + 1, _made(sheet, task, "refit", "tray_in", "work", minutes=5, housing=housing))
        back = _index(acts, "tray_in", housing.key) or 0
        if present[2] is None:
            acts.insert(back + 1, _made(sheet, task, "shut", "close", "work", minutes=3, housing=housing))


def _let_off(acts: list[Act], sheet: Sheet) -> None:
    """See that stored pressure is let off before a housing is opened that may hold it."""
    under = holding(sheet)
    held = [act for act in acts if act.step.kind == "tray_out" and act.step.housing in under]
    if not held or any(lets_off(act.step) for act in acts):
        return
    at = sum(act.phase == "prepare" for act in acts)
    made = _made(sheet, held[0].tasks[0], LET_OFF, "do", "prepare", minutes=2, cautions=_UNDER_PRESSURE)
    made.tasks = list(dict.fromkeys(task for act in held for task in act.tasks))
    acts.insert(at, made)


def _is_touched(acts: Sequence[Act], sheet: Sheet, place: str) -> bool:
    """Say whether the job opens the oil of a compartment or moves some of it."""
    for act in acts:
        step = act.step
        housing = sheet.housings.get(step.housing or "")
        if step.kind == "tray_out" and housing and housing.compartment == place:
            if is_wet(housing):
                return True
        elif step.compartment == place and (step.kind == "add" or (step.kind == "do" and step.litres_out_l)):
            return True
    return False


def _levels(acts: list[Act], sheet: Sheet) -> None:
    """See that the hydraulic level is read before and after, and after only when the oil was moved and has settled."""
    place = hydraulic_key(sheet)
    if place is None or not _is_touched(acts, sheet, place):
        return
    kinds = {act.step.kind: act for act in acts if act.step.compartment == place}
    task = next(
        act.tasks[0] for act in acts if sheet.tasks[act.tasks[0]].compartment == place or act.step.kind != "meter"
    )
    if "level_found" not in kinds:
        found = _made(sheet, task, "read_found", "level_found", "prepare", minutes=2, compartment=place)
        acts.insert(sum(act.phase == "prepare" for act in acts), found)
    left = kinds.get("level_left")
    if left is not None and left.before:
        return
    system = sheet.hydraulic
    chain = [
        _made(sheet, task, "run_start", "do", "run", minutes=5, cautions=_MOVING),
        _made(sheet, task, "run_cycle", "do", "run", minutes=5, cautions=_MOVING),
        _made(sheet, task, "run_posture", "do", "run", minutes=2),
        _made(sheet, task, "run_stop", "do", "run", minutes=1),
        _made(sheet, task, "run_settle", "do", "run", minutes=system.settle_min or 5, wait_min=system.settle_min),
    ]
    if left is None:
        left = _made(sheet, task, "read_left", "level_left", "run", minutes=2, compartment=place)
        acts.insert(sum(_PHASES.index(act.phase) <= _PHASES.index("run") for act in acts), left)
    for before, after in zip(chain, [*chain[1:], left], strict=True):
        after.before.append(before.key)
    at = acts.index(left)
    acts[at:at] = chain


def _meter(acts: list[Act], sheet: Sheet, tasks: Sequence[str]) -> None:
    if not any(act.step.kind == "meter" and act.phase == "prepare" for act in acts):
        made = _made(sheet, tasks[0], "read_meter", "meter", "prepare", minutes=1)
        made.tasks = list(tasks)
        acts.insert(0, made)


def lets_cover_off(act: Act, acts: Sequence[Act]) -> bool:
    """Say whether a cover's fasteners are let off in an act.

    That is the last step about the housing before its parts are laid out, or where the sheet has none, together with
    that.
    """
    if act.step.kind not in {"do", "tray_out"} or act.step.housing is None:
        return False
    about = [one for one in acts if one.step.housing == act.step.housing]
    opened = next((at for at, one in enumerate(about) if one.step.kind == "tray_out"), None)
    if opened is None:
        return False
    before = [one for one in about[:opened] if one.step.kind == "do"]
    return act is (before[-1] if before else about[opened])


def acts_of(sheet: Sheet, tasks: Sequence[str], options: Collection[str]) -> tuple[list[str], list[Act]]:
    """Return the job's tasks with those included, and their acts in the order of work."""
    whole = expanded(sheet, tasks, options)
    acts = _ordered(_collected(sheet, whole), sheet)
    if whole:
        _complete_housings(acts, sheet)
        _let_off(acts, sheet)
        _levels(acts, sheet)
        _meter(acts, sheet, whole)
    return whole, acts
