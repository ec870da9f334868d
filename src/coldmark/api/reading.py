"""How values are read from a request's JSON, each refusal naming its field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coldmark.bench.errors import Refused

__all__ = ["texts"]

Told = Mapping[str, Any]


def texts(told: Told, name: str) -> Sequence[str]:
    """Read a list of texts."""
    value = told.get(name)
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise Refused("api.not_texts", name=name)
    return value
