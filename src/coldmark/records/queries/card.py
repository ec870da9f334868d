"""The card and what it asks while it is open, answered by the bench from what is kept here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coldmark.bench import job as jobs
from coldmark.bench import words
from coldmark.records.models import Fact, Person
from coldmark.records.numbers import read_store
from coldmark.records.queries.jobs import JobMaterial, job_material
from coldmark.records.queries.lines import MachineLine
from coldmark.records.sheets import oils_by_key

__all__ = ["card_line", "job_card", "job_finish", "job_level", "job_meter", "material_of"]

Plain = dict[str, Any]


def material_of(found: JobMaterial, units: words.UnitSystem | str) -> jobs.Material:
    """A job's material as the bench takes it, with the oils that are kept here and the place's cold."""
    line = found.machine
    return jobs.Material(
        job=found.job.job,
        machine=card_line(line),
        tasks=found.tasks,
        sheet=found.sheet,
        state=found.state,
        facts=found.facts,
        options=found.options,
        oils=oils_by_key(),
        coldest_c=read_store().coldest_c,
        units="us" if units == "us" else "metric",
    )


def card_line(line: MachineLine) -> dict[str, str]:
    """What a card's head says of a machine."""
    return {
        "id": line.id,
        "name": line.name or line.number,
        "serial": line.serial,
        "site": line.site_name,
        "customer": line.customer_name,
    }


def _material(person: Person, job: str) -> jobs.Material:
    return material_of(job_material(person, job), person.units)


def job_card(person: Person, job: str) -> Plain:
    """The card of a job, built anew from its sheet, its tasks and its facts; and the facts that hold."""
    return jobs.card_answer(_material(person, job))


def job_level(person: Person, job: str, told: Mapping[str, Any]) -> Plain:
    """Judge a level read on a job."""
    return jobs.level_answer(_material(person, job), told)


def job_meter(person: Person, job: str, told: Mapping[str, Any], at: str) -> Plain:
    """Question a meter's reading against what is known; nothing is ever blocked by it."""
    return jobs.meter_answer(_material(person, job), told, at)


def job_finish(person: Person, job: str) -> Plain:
    """What finishing shows. The facts named are all that the server holds of the job, to be sealed by closing it."""
    material = _material(person, job)
    rows = Fact.objects.filter(job=material.job, held_apart=False).order_by("id").values_list("id", "sha256")
    return jobs.finish_answer(material, [(str(id), sha256) for id, sha256 in rows])
