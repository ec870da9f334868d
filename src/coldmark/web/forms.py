"""Small forms of a machine's page, and all of them by name: each hands what was typed to one service."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils import timezone

from coldmark.bench.errors import Refused
from coldmark.records import queries, services
from coldmark.records.access import require_office
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.web.fields import choice_of, choices, day_field, hours_field, moment_field
from coldmark.web.readings import (
    ActForm,
    BreakerForm,
    DeadForm,
    LaboratoryForm,
    MeterForm,
    RefusedForm,
    SwapForm,
    TimingForm,
)

__all__ = ["ACTS", "MachineForm", "SettleForm"]


class DoneBeforeForm(ActForm):
    """A task that was done before the machine came here."""

    title = "Done before"
    says = "From the service book: when a task was last done. What is due follows from it."
    task = forms.ChoiceField(label="Task")
    day = day_field("Done on")
    hours = hours_field("Hour meter then", required=False, help_text="May be left empty where the book tells none.")

    def prepare(self) -> None:
        _state, sheet = queries.machine_state(self.person, self.machine)
        pairs = [] if sheet is None else [(key, task.name) for key, task in sheet.tasks.items()]
        choice_of(self, "task").choices = choices(pairs, "Choose one" if pairs else "Give it a data sheet first")

    def record(self) -> object:
        told = self.cleaned_data
        return services.tell_done_before(
            self.person, self.machine, told["task"], told["day"], told["hours"], id=told["id"]
        )


class SheetForm(ActForm):
    """Which data sheet the machine has."""

    title = "Give it a data sheet"
    says = "What is due, the card and the kit follow from the data sheet."
    sheet = forms.ChoiceField(label="Data sheet")

    def prepare(self) -> None:
        pairs = [(one.sha256, f"{one.title}, kept {one.kept_at:%Y-%m-%d}") for one in queries.sheets(self.person)]
        choice_of(self, "sheet").choices = choices(pairs, "Choose one")

    def record(self) -> object:
        told = self.cleaned_data
        return services.assign_sheet(self.person, self.machine, told["sheet"], id=told["id"])


class OptionForm(ActForm):
    """An option fitted or taken off."""

    title = "Fit an option, or take it off"
    option = forms.ChoiceField(label="Option")
    fitted = forms.ChoiceField(
        label="What was done", choices=[("yes", "it was fitted"), ("no", "it was taken off")], widget=forms.RadioSelect
    )
    at = moment_field("When")

    def prepare(self) -> None:
        _state, sheet = queries.machine_state(self.person, self.machine)
        pairs = [] if sheet is None else [(key, option.name) for key, option in sheet.options.items()]
        choice_of(self, "option").choices = choices(pairs, "Choose one" if pairs else "The data sheet names none")

    def record(self) -> object:
        told = self.cleaned_data
        return services.fit_option(
            self.person, self.machine, told["option"], told["fitted"] == "yes", at=told["at"], id=told["id"]
        )


class OwnerForm(ActForm):
    """Whose it is, and where it stands."""

    title = "Another owner or site"
    says = "An owner sees what was recorded in his own time."
    customer = forms.ChoiceField(label="Owner from here on")
    site = forms.ChoiceField(label="Site", required=False)
    at = moment_field("Since when")

    def prepare(self) -> None:
        _owners(self)

    def record(self) -> object:
        told = self.cleaned_data
        return services.move_machine(
            self.person, self.machine, told["customer"], told["site"] or None, at=told["at"], id=told["id"]
        )


class SameForm(ActForm):
    """Another record of the same machine, joined into this one; which it is, is asked once more."""

    title = "The same machine as another record"
    says = (
        "For a machine that was entered twice. This record goes on, and all that was recorded of the other is told "
        "here. Its story has the joining, which can be withdrawn there."
    )
    button = "Join them"
    done = "The two are one machine now."
    new_machine = forms.CharField(
        label="The other record", max_length=120, help_text="Its name, number or serial number, enough to tell it."
    )
    sure = forms.CharField(required=False, widget=forms.HiddenInput)

    def prepare(self) -> None:
        require_office(self.person, "joining machines")

    def record(self) -> object:
        told = self.cleaned_data
        other = queries.find_machine(self.person, told["new_machine"])
        if other == self.machine:
            raise refused("machine", told["new_machine"], "another record than this one")
        if told["sure"] != other:
            self.data = {**dict(self.data.items()), "sure": other}
            line = queries.machine_page(self.person, other, day=timezone.localdate()).machine
            raise Refused(
                "web.same.sure",
                name="machine",
                machine=line.name or line.number or line.id[:8],
                sheet=line.sheet_title or "no data sheet",
                serial=line.serial or "none",
                owner=line.customer_name or "nobody",
            )
        return services.join_machines(self.person, self.machine, other, id=told["id"])


class HandedOverForm(ActForm):
    """When it was new."""

    title = "Handed over new"
    says = "The months of its first services run from this day."
    day = day_field("On")

    def record(self) -> object:
        told = self.cleaned_data
        return services.hand_over(self.person, self.machine, told["day"], id=told["id"])


class NamesForm(ActForm):
    """What a machine is called."""

    title = "Its names"
    button = "Keep"
    done = "Kept."
    name = forms.CharField(label="Name", max_length=120)
    number = forms.CharField(label="Number", max_length=40, required=False, help_text="Yours, or the owner's.")
    serial = forms.CharField(label="Serial number", max_length=60, required=False)
    plate = forms.CharField(label="Licence plate", max_length=40, required=False)
    note = forms.CharField(
        label="Note", required=False, help_text="Owners never see it.", widget=forms.Textarea(attrs={"rows": 3})
    )

    def prepare(self) -> None:
        it = queries.machine_page(self.person, self.machine, day=timezone.localdate())
        line = it.machine
        self.initial.update(name=line.name, number=line.number, serial=line.serial, plate=line.plate, note=it.note)

    def record(self) -> object:
        return services.keep_machine(self.person, _names(self.machine, self.cleaned_data))


class SettleForm(ActForm):
    """A finding put right."""

    title = "Settle a finding"
    button = "It is settled"
    done = "Settled."
    note = forms.CharField(
        label="What was done",
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Owners do not see it.",
    )
    finding: str = ""

    def record(self) -> object:
        told = self.cleaned_data
        return services.settle_finding(self.person, self.machine, self.finding, told["note"], id=told["id"])


class MachineForm(forms.Form):
    """A new machine, with what is known of it."""

    id = forms.CharField(widget=forms.HiddenInput)
    name = forms.CharField(label="Name", max_length=120, help_text="What you and the owner call it.")
    number = forms.CharField(label="Number", max_length=40, required=False, help_text="Yours, or the owner's.")
    serial = forms.CharField(label="Serial number", max_length=60, required=False)
    plate = forms.CharField(label="Licence plate", max_length=40, required=False)
    customer = forms.ChoiceField(label="Owner", required=False)
    site = forms.ChoiceField(label="Site", required=False)
    sheet = forms.ChoiceField(
        label="Data sheet", required=False, help_text="What is due, the card and the kit follow from it."
    )
    handed_over = day_field("Handed over new on", required=False, help_text="Where it is known.")
    reading = hours_field("What the hour meter shows now, in hours", required=False)

    def __init__(self, person: Person, data: Any = None, initial: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, initial={"id": str(uuid.uuid4()), **(initial or {})})
        self.person = person
        _owners(self)
        pairs = [(one.sha256, one.title) for one in queries.sheets(person)]
        choice_of(self, "sheet").choices = choices(pairs, "Not yet")

    def record(self) -> str:
        """Hand it to its service, and return the machine's id."""
        told = self.cleaned_data
        entered = services.MachineEntered(
            customer=told["customer"] or None,
            site=told["site"] or None,
            sheet=told["sheet"] or None,
            handed_over=told["handed_over"],
            reading=told["reading"],
        )
        return services.enter_machine(self.person, _names(told["id"], told), entered)


def _names(id: str, told: dict[str, Any]) -> services.MachineData:
    return services.MachineData(id, told["name"], told["number"], told["serial"], told["plate"], told.get("note", ""))


def _owners(form: ActForm | MachineForm) -> None:
    owners = [(one.data.id, one.data.name) for one in queries.customers(form.person)]
    sites = [(one.id, one.name) for one in queries.sites(form.person)]
    choice_of(form, "customer").choices = choices(owners, "Choose one" if isinstance(form, ActForm) else "Not yet")
    choice_of(form, "site").choices = choices(sites, "None named")


ACTS: dict[str, type[ActForm]] = {
    "meter": MeterForm,
    "meter-replaced": SwapForm,
    "meter-dead": DeadForm,
    "breaker-hours": BreakerForm,
    "timing": TimingForm,
    "laboratory": LaboratoryForm,
    "part-refused": RefusedForm,
    "done-before": DoneBeforeForm,
    "sheet": SheetForm,
    "option": OptionForm,
    "owner": OwnerForm,
    "handed-over": HandedOverForm,
    "names": NamesForm,
    "same": SameForm,
}
"""What can be recorded of a machine, by the last part of its address."""
