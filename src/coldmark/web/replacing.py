"""The form by which an entry is put right: its fields come from the kind of fact, as it stands now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils import timezone

from coldmark.bench import words
from coldmark.bench.facts import KINDS
from coldmark.bench.facts.kinds import Field
from coldmark.bench.units import UNITS
from coldmark.records.models import Person, Role
from coldmark.records.numbers import fresh_id
from coldmark.records.queries import Entry
from coldmark.records.services.accepting import OFFICE_KINDS, SERVER_KINDS
from coldmark.web.fields import day_field

__all__ = ["CorrectForm", "correctable"]

_TYPED = frozenset({"quantity", "choice", "whole", "truth", "day", "decimal", "reading", "mark", "key"})
"""Types of which a new value can be typed; the others (photos, lists, ids) are taken over as they are."""

_WORDS = {
    "urgency": "urgency",
    "what": "finding",
    "reason": "reason",
    "state": "part_state",
    "warmth": "level.warmth",
    "why": "refused",
}


def correctable(one: Entry, person: Person) -> bool:
    """Whether somebody can put an entry right by hand: one that this version reads, and that he could have recorded."""
    if not (person.is_staff and one.known) or one.kind in SERVER_KINDS:
        return False
    return person.role == Role.OFFICE or one.kind not in OFFICE_KINDS


def _choices(name: str, field: Field) -> list[tuple[str, str]]:
    prefix = _WORDS.get(name, "")
    said = [
        (key, words.sentence(f"{prefix}.{key}") if words.has(f"{prefix}.{key}") else key.replace("_", " "))
        for key in field.choices
    ]
    return [("", "not told"), *said] if field.optional else said


def _form_field(name: str, field: Field, body: Mapping[str, Any]) -> forms.Field:
    label = field.says[:1].upper() + field.says[1:]
    required = not field.optional
    if field.type == "choice":
        return forms.ChoiceField(label=label, choices=_choices(name, field), required=required)
    if field.type == "truth":
        said = [("yes", "yes"), ("no", "no")]
        return forms.ChoiceField(
            label=label, choices=said if required else [("", "not told"), *said], required=required
        )
    if field.type == "day":
        return day_field(label, required=required)
    if field.type == "quantity":
        symbol = UNITS[_unit(field, body.get(name))].symbol
        label = f"{label}, in {symbol}"
    shown = {"inputmode": "decimal"} if field.type in {"quantity", "whole", "decimal"} else {}
    return forms.CharField(label=label, required=required, max_length=120, widget=forms.TextInput(attrs=shown))


_USUAL_UNIT = {
    "hours": "h",
    "volume": "l",
    "temperature": "c",
    "torque": "nm",
    "seconds": "s",
    "minutes": "min",
    "length": "mm",
    "mass": "kg",
    "speed": "rpm",
}


def _unit(field: Field, value: Any) -> str:
    return str(value["unit"]) if isinstance(value, Mapping) else _USUAL_UNIT[field.measures]


def _shown(field: Field, value: Any) -> object:
    if value is None:
        return ""
    if field.type == "quantity":
        return value["value"]
    if field.type == "truth":
        return "yes" if value else "no"
    return value


class CorrectForm(forms.Form):
    """What to do with an entry, why, and what it says now."""

    action = forms.ChoiceField(
        choices=[("replace", "put right"), ("withdraw", "withdraw"), ("undo", "undo")], widget=forms.HiddenInput
    )
    id = forms.CharField(widget=forms.HiddenInput)
    of = forms.CharField(required=False, widget=forms.HiddenInput)
    reason = forms.ChoiceField(
        label="Why",
        choices=[
            (key, words.sentence(f"story.why.{key}")) for key in ("mistyped", "wrong_machine", "wrong_time", "other")
        ],
        required=False,
    )
    note = forms.CharField(
        label="What was meant",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Owners do not see it.",
    )

    def __init__(self, one: Entry, data: Any = None) -> None:
        self.old: Mapping[str, Any] = one.body if one.now is None else one.now
        self.typed = {name: field for name, field in KINDS[one.kind].fields.items() if field.type in _TYPED}
        initial = {f"new_{name}": _shown(field, self.old.get(name)) for name, field in self.typed.items()}
        super().__init__(data, initial={"id": fresh_id(timezone.now()), "reason": "mistyped", **initial})
        for name, field in self.typed.items():
            self.fields[f"new_{name}"] = _form_field(name, field, self.old)
            if self.data and self.data.get("action") != "replace":
                self.fields[f"new_{name}"].required = False
        if self.data and self.data.get("action") != "undo":
            self.fields["reason"].required = True

    def new_fields(self) -> list[forms.BoundField]:
        """The fields of the body, bound."""
        return [self[f"new_{name}"] for name in self.typed]

    def body(self) -> dict[str, Any]:
        """The new body: what was typed, over what the entry held."""
        new = {name: value for name, value in self.old.items() if name not in self.typed}
        for name, field in self.typed.items():
            value = self._value(name, field)
            if value is not None:
                new[name] = value
        return new

    def _value(self, name: str, field: Field) -> Any:
        typed = self.cleaned_data[f"new_{name}"]
        if typed in (None, ""):
            return None
        if field.type == "quantity":
            return {"value": _decimal(typed), "unit": _unit(field, self.old.get(name))}
        if field.type == "truth":
            return typed == "yes"
        if field.type == "day":
            return typed.isoformat()
        if field.type == "whole":
            return int(typed) if typed.isascii() and typed.lstrip("-").isdecimal() else typed
        return _decimal(typed) if field.type in {"decimal", "reading"} else typed


def _decimal(typed: str) -> str:
    return typed.strip().replace(",", ".").replace("\N{MINUS SIGN}", "-")
