"""Small forms of what was read, measured or found out about a machine: each hands what was typed to one service."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils import timezone

from coldmark.bench import samples, words
from coldmark.bench.errors import Refused
from coldmark.bench.facts import KINDS
from coldmark.bench.units import UNITS
from coldmark.records import queries, services
from coldmark.records.models import Person
from coldmark.records.numbers import fresh_id
from coldmark.web.fields import choice_of, choices, day_field, hours_field, moment_field

__all__ = [
    "LABORATORY",
    "ActForm",
    "BreakerForm",
    "DeadForm",
    "LaboratoryForm",
    "MeterForm",
    "RefusedForm",
    "SwapForm",
    "TimingForm",
]


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
        pairs = list(queries.timings_offered(state.timings, sheet).items())
        choice_of(self, "timing").choices = choices(pairs, "Something else, named below")
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
        choice_of(self, "sample").choices = choices(pairs, "Choose one" if pairs else "No sample was taken")
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
        choice_of(self, "place").choices = choices(pairs, "Choose one" if pairs else "Give it a data sheet first")

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
