"""What is wrong with a form's fields, as whole sentences: the field, what was typed, what would be right."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from coldmark.bench import words

__all__ = ["say_in_full"]

_SHAPES: tuple[tuple[type[forms.Field], str], ...] = (
    (forms.DateField, "web.field.day"),
    (forms.DateTimeField, "web.field.moment"),
    (forms.TimeField, "web.field.time"),
)
_LONGEST_SHOWN = 60


def say_in_full(form: forms.Form) -> None:
    """Put a sentence of our own in place of what Django says of a field that was not filled in as it must be."""
    for name, errors in form.errors.items():
        if name in form.fields:
            errors.data[:] = [_said(form, name, error) for error in errors.as_data()]


def _said(form: forms.Form, name: str, error: ValidationError) -> ValidationError:
    bound = form[name]
    told: dict[str, Any] = {"field": bound.label, "value": str(bound.data)[:_LONGEST_SHOWN]}
    message = None
    if error.code in {"required", "invalid_choice"}:
        message = f"web.field.{error.code}"
    elif error.code == "invalid":
        message = next((message for kind, message in _SHAPES if isinstance(bound.field, kind)), None)
    elif error.code == "max_length" and error.params:
        message = "web.field.max_length"
        told = {"field": bound.label, "count": error.params["show_value"], "most": error.params["limit_value"]}
    return error if message is None else ValidationError(words.sentence(message, **told), code=error.code)
