"""Forms of ordinary rows: customers, sites, vans, people, the business. Each hands what was typed to a service."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms

from coldmark.bench import words
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.unit_table import shown_unit
from coldmark.bench.units import number
from coldmark.records import queries, services
from coldmark.records.models import Person, Role
from coldmark.records.services import BusinessData, CustomerData, PersonData, SiteData, VanData
from coldmark.web.fields import choices
from coldmark.web.pages import units_of

__all__ = [
    "BusinessForm",
    "CustomerForm",
    "EraseForm",
    "LookForm",
    "OwnPasswordForm",
    "PasswordForm",
    "PersonForm",
    "QuantityField",
    "ReasonForm",
    "SiteForm",
    "VanForm",
]

INTERNAL = "Owners never see it."


class QuantityField(forms.CharField):
    """A quantity typed in the reader's unit and handed on in the bench's; comma or point."""

    def __init__(self, ending: str, units: words.UnitSystem, label: str, right: str, **more: Any) -> None:
        self.unit, self.units, self.right = shown_unit(ending, units), units, right
        super().__init__(
            label=f"{label}, in {self.unit.symbol}",
            max_length=20,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            **more,
        )

    def prepare_value(self, value: Any) -> Any:
        """A kept quantity in the reader's unit; what was typed as it was."""
        return words.figures(round(self.unit.from_bench(value), 2)) if isinstance(value, float) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether something else was typed than was shown: a conversion there and back is no change."""
        return str("" if initial is None else self.prepare_value(initial)) != str(data or "").strip()

    def clean(self, value: Any) -> float | None:
        """The quantity in the bench's unit."""
        text = super().clean(value)
        if not text:
            return None
        try:
            return self.unit.to_bench(number(str(self.label), text, right=self.right))
        except ColdmarkError as error:
            raise forms.ValidationError(error.say(self.units)) from error


def _text(label: str, most: int, *, needed: bool = False, **more: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=most, required=needed, **more)


def _lines(label: str, rows: int = 3, **more: Any) -> forms.CharField:
    return forms.CharField(label=label, required=False, widget=forms.Textarea(attrs={"rows": rows}), **more)


class RowForm(forms.Form):
    """A row: its id comes with the form, so that sending a new one twice makes one."""

    id = forms.CharField(widget=forms.HiddenInput)

    def __init__(self, person: Person, data: Any = None, initial: dict[str, Any] | None = None) -> None:
        super().__init__(data, initial={"id": str(uuid.uuid4()), **(initial or {})})
        self.person, self.units = person, units_of(person)
        self.prepare()

    def prepare(self) -> None:
        """Fill in what depends on what is kept."""

    def quantity(self, name: str) -> float | None:
        """A quantity; one that was not touched is the kept one, not its rounded show."""
        value = self.cleaned_data[name] if name in self.changed_data else self.initial.get(name)
        return None if value is None else float(value)

    def choose(self, name: str, pairs: list[tuple[str, str]], empty: str) -> None:
        """Give a choice its list, with one for none."""
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices(pairs, empty)


class CustomerForm(RowForm):
    """A customer."""

    name = _text("Name", 200, needed=True)
    contact = _text("Whom to ask for", 200)
    phone = _text("Telephone", 60, widget=forms.TextInput(attrs={"type": "tel"}))
    email = _text("E-mail", 200, widget=forms.TextInput(attrs={"type": "email"}))
    address = _lines("Address")
    note = _lines("Note", help_text=INTERNAL)

    def record(self) -> str:
        """Keep it and return the id."""
        return services.keep_customer(self.person, CustomerData(**self.cleaned_data))


class SiteForm(RowForm):
    """A site."""

    name = _text("Name", 200, needed=True)
    customer = forms.ChoiceField(label="Customer", required=False)
    address = _lines("Address")
    access = _lines("How to get in", help_text=f"Gate, key, whom to call. {INTERNAL}")
    lat = _text("Latitude, in degrees north", 20, widget=forms.TextInput(attrs={"inputmode": "decimal"}))
    lon = _text(
        "Longitude, in degrees east",
        20,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        help_text="Both or neither; calendars show the place then.",
    )

    def prepare(self) -> None:
        self.choose("customer", [(one.data.id, one.data.name) for one in queries.customers(self.person)], "Nobody's")

    def record(self) -> str:
        """Keep it and return the id."""
        told = dict(self.cleaned_data)
        for name, right in (("lat", "47.12345"), ("lon", "10.12345")):
            told[name] = number(name, told[name], right=right) if told[name] else None
        told["customer"] = told["customer"] or None
        return services.keep_site(self.person, SiteData(**told))


class VanForm(RowForm):
    """A van, with what it carries."""

    name = _text("Name", 120, needed=True)
    plate = _text("Licence plate", 40)
    retired = forms.BooleanField(label="Not in use any more", required=False)

    def prepare(self) -> None:
        self.fields["waste_l"] = QuantityField("l", self.units, "Waste oil it can take", "60", required=False)
        self.oils: dict[str, str] = {}
        for line in queries.oils(self.person):
            name = f"oil_{line.key}"
            self.oils[name] = line.key
            self.fields[name] = QuantityField("l", self.units, f"{line.name} carried", "20", required=False)
        self.order_fields(["id", "name", "plate", "waste_l", *self.oils, "retired"])

    def record(self) -> str:
        """Keep it and return the id. What it carries of oils that are offered no more stays as it is."""
        told = self.cleaned_data
        kept: dict[str, float] = dict(self.initial.get("oils", {}))
        for name, key in self.oils.items():
            carried = self.quantity(name)
            kept.pop(key, None)
            if carried is not None:
                kept[key] = carried
        data = VanData(told["id"], told["name"], told["plate"], self.quantity("waste_l"), kept, told["retired"])
        return services.keep_van(self.person, data)


def _new_password(label: str, **more: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        **more,
    )


class PersonForm(RowForm):
    """Somebody who signs in; a new one with a password."""

    name = _text("Name", 120, needed=True)
    sign_in = _text(
        "Name to sign in with",
        80,
        needed=True,
        help_text="One word.",
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "off"}),
    )
    role = forms.ChoiceField(
        label="What they are",
        choices=[
            (Role.MECHANIC, "Mechanic: sees the firm, records work"),
            (Role.OFFICE, "Office: also people, devices and the business"),
            (Role.OWNER, "Owner: sees his own machines and changes nothing"),
        ],
    )
    customer = forms.ChoiceField(label="Whose machines an owner sees", required=False)
    password = _new_password("First password", help_text="Ten letters or more. Tell it them by word of mouth.")

    def prepare(self) -> None:
        self.choose("customer", [(one.data.id, one.data.name) for one in queries.customers(self.person)], "Nobody's")
        if self.initial.get("name"):
            del self.fields["password"]

    def record(self) -> str:
        """Keep them and return the id."""
        told = self.cleaned_data
        data = PersonData(told["id"], told["name"], told["sign_in"], told["role"], told["customer"] or None)
        return services.keep_person(self.person, data, password=told.get("password"))


class PasswordForm(forms.Form):
    """A new password, twice."""

    password = _new_password("New password", help_text="Ten letters or more; a few words that belong to nothing.")
    again = _new_password("The same again")

    def clean_again(self) -> str:
        """Refuse a password that is not the same twice."""
        again: str = self.cleaned_data["again"]
        if again != self.cleaned_data.get("password"):
            raise forms.ValidationError("The two passwords are not the same.")
        return again


class OwnPasswordForm(PasswordForm):
    """One's own new password: who finds a phone lying about must not be able to set one."""

    present = forms.CharField(
        label="Present password", strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )
    field_order = ("present", "password", "again")

    def __init__(self, person: Person, data: Any = None) -> None:
        super().__init__(data)
        self.person = person

    def clean_present(self) -> str:
        """Refuse whoever does not know the present one."""
        present: str = self.cleaned_data["present"]
        if not self.person.check_password(present):
            raise forms.ValidationError("That is not your present password.")
        return present


class LookForm(forms.Form):
    """One's own units and look."""

    units = forms.ChoiceField(
        label="Units",
        choices=[("metric", "Metric: litres, °C, N·m"), ("us", "US customary: gallons, °F, lbf·ft")],
        widget=forms.RadioSelect,
    )
    look = forms.ChoiceField(
        label="Look",
        choices=[("day", "Day"), ("sun", "Sun: black on white, for bright light"), ("dark", "Dark")],
        widget=forms.RadioSelect,
    )


class BusinessForm(forms.Form):
    """Who issues the papers, and how cold it gets."""

    name = _text("Name", 120, needed=True, help_text="As it shall stand on reports.")
    address = _lines("Address")
    phone = _text("Telephone", 60, widget=forms.TextInput(attrs={"type": "tel"}))
    money = _text("Money", 10, help_text="What sums are shown with, such as EUR.")

    def __init__(self, person: Person, data: Any = None) -> None:
        kept = queries.business()
        initial = {name: getattr(kept, name) for name in ("name", "address", "phone", "money", "coldest_c")}
        super().__init__(data, initial=initial)
        self.person = person
        self.fields["coldest_c"] = QuantityField(
            "c",
            units_of(person),
            "Coldest start to reckon with",
            "-15",
            required=False,
            help_text="Levels are left high enough for it. Left empty, nothing is said of cold starts.",
        )

    def record(self) -> None:
        """Keep it."""
        told = dict(self.cleaned_data)
        if "coldest_c" not in self.changed_data:
            told["coldest_c"] = self.initial["coldest_c"]
        services.keep_business(self.person, BusinessData(**told))


class ReasonForm(forms.Form):
    """Why somebody is erased."""

    reason = _text("Why", 200, needed=True, help_text="It is kept; name nobody in it.")


class EraseForm(ReasonForm):
    """Why somebody is erased, and what becomes of the papers that bear the name, where there are any."""

    def __init__(self, papers: int, data: Any = None) -> None:
        super().__init__(data)
        if papers:
            one = papers == 1
            self.fields["papers"] = forms.ChoiceField(
                label="One issued paper bears the name" if one else f"{papers} issued papers bear the name",
                choices=[
                    ("keep", f"keep {'it' if one else 'them'} as issued"),
                    ("erase", f"erase {'it' if one else 'them'} too; the number stays, and a report can be made anew"),
                ],
                widget=forms.RadioSelect,
                help_text=(
                    "The law may have you keep what you issued, or erase it: ask whoever advises you. "
                    "Copies that were handed out stay where they are."
                ),
            )

    @property
    def papers_too(self) -> bool:
        """Whether the papers go as well."""
        return self.cleaned_data.get("papers") == "erase"
