"""The first steps of a new house: what a first machine wants, one step after another."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from coldmark.records import queries
from coldmark.records.models import Person

__all__ = ["FirstStep", "first_steps"]


@dataclass(frozen=True, slots=True)
class FirstStep:
    """One step: what it is called and good for, where it is taken, whether it is done, and whether it is the next."""

    name: str
    says: str
    act: str
    href: str
    done: bool = False
    first: bool = False


def first_steps(person: Person) -> tuple[FirstStep, ...]:
    """The steps to the first machine, the next one marked; none once there is a machine."""
    found = queries.beginning(person)
    if found is None:
        return ()
    customer, sheet, oil = found.customer, found.sheet, found.oil
    every_done = customer and sheet and oil
    return (
        FirstStep(
            "A customer",
            "whose machine it is, and the site where it stands",
            "New customer",
            reverse("customer_new"),
            customer,
            not customer,
        ),
        FirstStep(
            "The machine's data sheet",
            "tank, filters, tasks and steps, written from its manual; there are sheets to start from",
            "Keep a sheet",
            reverse("sheet_new"),
            sheet,
            customer and not sheet,
        ),
        FirstStep(
            "The oils that you pour",
            "so that the card can offer them and the machine remembers them",
            "Keep an oil",
            reverse("oil_new"),
            oil,
            customer and sheet and not oil,
        ),
        FirstStep(
            "The machine",
            "with its owner, its sheet and what the hour meter shows; then make a job of it",
            "New machine",
            reverse("machine_new"),
            first=every_done,
        ),
    )
