"""Fields that many forms have, each said and typed in one way."""

from __future__ import annotations

from typing import Any

from django import forms

__all__ = ["choice_of", "choices", "day_field", "hours_field", "moment_field"]


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


def choice_of(form: forms.Form, name: str) -> forms.ChoiceField:
    """A form's field of this name, which is one of choices."""
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    return field
