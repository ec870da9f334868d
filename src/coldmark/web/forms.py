"""Small forms of a machine's page: each names its fields, and hands what was typed to one service."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms
from django.utils import timezone

from coldmark.bench import samples, words
from coldmark.bench.errors import Refused
from coldmark.bench.facts import KINDS
from coldmark.bench.units import UNITS
from coldmark.records import queries, services
from coldmark.records.access import require_office
from coldmark.records.errors import refused
from coldmark.records.models import Person
from coldmark.records.numbers import fresh_id

__all__ = ["ACTS", "ActForm", "MachineForm", "SettleForm", "choices", "day_field", "moment_field"]


def day_field(label: str, **more: Any) -> forms.DateField:
    """A day, picked or typed."""
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **more)


def moment_field(label: str, **more: Any) -> forms.DateTimeField:
    """A day and time."""
    return forms.DateTimeField(
        label=label,
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        **more,
    )


def hours_field(label: str, **more: Any) -> forms.CharField:
    """Hours as typed, comma or point; what they mean is read by the service."""
    return forms.CharField(
        label=label,
        max_length=20,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        **more,
    )


def choices(pairs: list[tuple[str, str]], empty: str) -> list[tuple[str, str]]:
    """Choices with one for none at the top."""
    return [("", empty), *pairs]


class ActForm(forms.Form):
    """One thing recorded of one machine. ``id`` is the fact's: sending the form twice records once."""

    title: ClassVar[str] = ""
    says: ClassVar[str] = ""
    button: ClassVar[str] = "Record"
    done: ClassVar[str] = "Recorded."

    id = forms.CharField(widget=forms.HiddenInput)

    def __init__(self, person: Person, machine: str, data: Any = None) -> None:
        super().__init__(data, initial={"id": fresh_id(timezone.now()), "at": timezone.localtime()})
        self.person, self.machine = person, machine
        self.prepare()

    def prepare(self) -> None:
        """Fill in what depends on the machine."""

    def record(self) -> object:
        """Hand it to its service."""
        raise NotImplementedError


class MeterForm(ActForm):
    """What the hour meter shows; a doubtful reading is asked about and may be kept."""

    title = "Read the hour meter"
    reading = hours_field("What it shows, in hours")
    way = forms.ChoiceField(
        label="How it is known",
        choices=[("seen", "read at the machine"), ("told", "told by somebody"), ("photo", "from a photo")],
        initial="seen",
    )
    at = moment_field("When")
    sure = forms.CharField(required=False, widget=forms.HiddenInput)

    def record(self) -> object:
        told = self.cleaned_data
        hours = services.hours_typed("reading", told["reading"])
        answer = queries.machine_meter(self.person, self.machine, hours, told["at"].isoformat())
        # The question was answered only for the reading that it was asked about.
        if answer.doubt is not None and told["sure"] != f"{answer.doubt} {told['reading']}":
            self.data = {**dict(self.data.items()), "sure": f"{answer.doubt} {told['reading']}"}
            raise Refused("web.meter.sure", name="reading", question=answer.says or "")
        return services.read_meter(
            self.person,
            self.machine,
            told["reading"],
            way=told["way"],
            doubt=answer.doubt,
            at=told["at"],
            id=told["id"],
        )


class SwapForm(ActForm):
    """Another hour meter."""

    title = "The hour meter was replaced"
    new_first = hours_field("What the new one started at, in hours")
    old_last = hours_field(
        "What the old one showed last, in hours", required=False, help_text="Leave it empty where nobody knows."
    )
    at = moment_field("When")

    def record(self) -> object:
        told = self.cleaned_data
        return services.swap_meter(
            self.person, self.machine, told["new_first"], told["old_last"], at=told["at"], id=told["id"]
        )


class DeadForm(ActForm):
    """A meter that does not count any more."""

    title = "The hour meter is dead"
    says = "From that day on the hours are carried on as the machine was used before."
    since = day_field("Since about")

    def record(self) -> object:
        told = self.cleaned_data
        return services.stop_meter(self.person, self.machine, told["since"], id=told["id"])


class BreakerForm(ActForm):
    """How long the breaker worked."""

    title = "Breaker hours"
    says = "Breaker work wears the oil and the elements faster. Ask whoever drives the machine."
    hours = hours_field("Hours with the breaker")
    from_day = day_field("From")
    to_day = day_field("To")

    def record(self) -> object:
        told = self.cleaned_data
        return services.tell_breaker_hours(
            self.person, self.machine, told["hours"], told["from_day"], told["to_day"], id=told["id"]
        )


class TimingForm(ActForm):
    """How long a function takes, or how far a cylinder drifts."""

    title = "Time a function, or measure a drift"
    says = (
        "The same load, posture and engine speed as before, the oil as warm as before. Fill in a time, or how far it "
        "sank and within how long."
    )
    timing = forms.ChoiceField(label="What it is", required=False)
    name = forms.CharField(label="Its name, where it is not in the list", max_length=60, required=False)
    time = hours_field("Time from end to end", required=False)
    runs = hours_field("Mean of so many runs", required=False)
    moved = hours_field("It sank by", required=False)
    watched = hours_field("Within", required=False)
    oil = hours_field("Oil temperature", required=False, help_text="Without it, it can hardly be compared.")
    load = hours_field("Load on it", required=False)
    speed = hours_field("Engine speed", required=False)
    at = moment_field("When")

    def prepare(self) -> None:
        state, sheet = queries.machine_state(self.person, self.machine)
        pairs = list(queries.timings_offered(state, sheet).items())
        _choice(self, "timing").choices = choices(pairs, "Something else, named below")
        self.endings = _TIMED_US if self.person.units == "us" else _TIMED_METRIC
        for field, ending in self.endings.items():
            self.fields[field].label = f"{self.fields[field].label}, {UNITS[ending].symbol}"

    def record(self) -> object:
        told = self.cleaned_data
        typed = {field: (told[field], ending) for field, ending in self.endings.items()}
        return services.time_function(
            self.person,
            self.machine,
            told["timing"] or told["name"],
            services.TimedAs(runs=told["runs"], **typed),
            at=told["at"],
            id=told["id"],
        )


_TIMED_METRIC = {"time": "s", "moved": "mm", "watched": "min", "oil": "c", "load": "kg", "speed": "rpm"}
_TIMED_US = _TIMED_METRIC | {"moved": "in", "oil": "f", "load": "lb"}


class LaboratoryForm(ActForm):
    """What the laboratory found in a sample."""

    title = "What the laboratory found"
    says = "Type what is printed, in the unit that stands beside each. What is not printed stays empty."
    sample = forms.ChoiceField(label="Sample")
    cleanliness = forms.CharField(
        label="Cleanliness code", max_length=20, required=False, help_text="Such as 18/16/13, or –/18/15."
    )

    def prepare(self) -> None:
        _state, sheet = queries.machine_state(self.person, self.machine)
        pairs = list(queries.samples_waiting(self.person, self.machine, sheet).items())
        _choice(self, "sample").choices = choices(pairs, "Choose one" if pairs else "No sample was taken")
        for name, unit in LABORATORY.items():
            label = words.sentence(f"samples.{samples.plain_name(name)}")
            self.fields[name] = hours_field(f"{label}, {unit}", required=False)

    def record(self) -> object:
        told = self.cleaned_data
        values = {name: services.Measured(told[name], unit) for name, unit in LABORATORY.items()}
        values["cleanliness"] = services.Measured(told["cleanliness"])
        return services.keep_laboratory(self.person, self.machine, told["sample"], values, id=told["id"])


LABORATORY = {
    "iron": "mg/kg",
    "copper": "mg/kg",
    "lead": "mg/kg",
    "chromium": "mg/kg",
    "tin": "mg/kg",
    "silicon": "mg/kg",
    "calcium": "mg/kg",
    "magnesium": "mg/kg",
    "sodium": "mg/kg",
    "potassium": "mg/kg",
    "water": "mg/kg",
    "viscosity_40": "mm²/s",
    "acid": "mgKOH/g",
}
"""What is usually printed of an oil, by name, with its unit."""


class RefusedForm(ActForm):
    """A part that was at hand and is not the right one."""

    title = "A part was refused"
    says = "It is remembered, so that nobody brings it again."
    place = forms.ChoiceField(label="What it was for")
    number = forms.CharField(label="The number on it", max_length=40)
    why = forms.ChoiceField(
        label="What is wrong with it",
        choices=[(key, words.sentence(f"refused.{key}")) for key in KINDS["part_refused"].fields["why"].choices],
    )
    note = forms.CharField(
        label="Anything else",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Owners do not see it.",
    )
    at = moment_field("When")

    def prepare(self) -> None:
        _state, sheet = queries.machine_state(self.person, self.machine)
        pairs = [] if sheet is None else list(queries.places_of(sheet).items())
        _choice(self, "place").choices = choices(pairs, "Choose one" if pairs else "Give it a data sheet first")

    def record(self) -> object:
        told = self.cleaned_data
        return services.refuse_part(
            self.person,
            self.machine,
            told["place"],
            told["number"],
            told["why"],
            told["note"],
            at=told["at"],
            id=told["id"],
        )


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
        _choice(self, "task").choices = choices(pairs, "Choose one" if pairs else "Give it a data sheet first")

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
        _choice(self, "sheet").choices = choices(pairs, "Choose one")

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
        _choice(self, "option").choices = choices(pairs, "Choose one" if pairs else "The data sheet names none")

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
        _choice(self, "sheet").choices = choices(pairs, "Not yet")

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


def _choice(form: forms.Form, name: str) -> forms.ChoiceField:
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    return field


def _owners(form: ActForm | MachineForm) -> None:
    owners = [(one.data.id, one.data.name) for one in queries.customers(form.person)]
    sites = [(one.id, one.name) for one in queries.sites(form.person)]
    _choice(form, "customer").choices = choices(owners, "Choose one" if isinstance(form, ActForm) else "Not yet")
    _choice(form, "site").choices = choices(sites, "None named")


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
