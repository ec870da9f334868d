"""A state as JSON text and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from coldmark.bench.ledger.state import State

__all__ = ["parts_from_json", "state_from_json", "state_from_plain", "state_to_json"]


def state_to_json(state: State) -> str:
    """Return a state as compact JSON: the same state always gives the same text.

    Parameters
    ----------
    state
        A machine's state.

    Returns
    -------
    str
        JSON text.

    Valid for
        Any state.

    Raises
    ------
    Nothing.

    Source
        The fields of :class:`State`.

    Examples
    --------
    >>> state_from_json(state_to_json(State("m"))) == State("m")
    True
    """
    return json.dumps(_plain(state), ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def state_from_json(text: str) -> State:
    """Return the state that :func:`state_to_json` wrote, by this version of the code.

    Parameters
    ----------
    text
        JSON text.

    Returns
    -------
    State
        The state.

    Valid for
        Texts stamped with the present ``CODE_VERSION``; others are refolded.

    Raises
    ------
    KeyError, TypeError, ValueError
        When it is no such text.

    Source
        The fields of :class:`State`.

    Examples
    --------
    >>> state_from_json(state_to_json(State("m"))).machine
    'm'
    """
    return state_from_plain(json.loads(text))


def state_from_plain(plain: Mapping[str, Any]) -> State:
    """Return the state that was written down by :func:`state_to_json`, once its JSON has been read.

    Parameters
    ----------
    plain
        The JSON object.

    Returns
    -------
    State
        The state.

    Valid for
        Objects of the present ``CODE_VERSION``.

    Raises
    ------
    KeyError, TypeError, ValueError
        When it is no such object.

    Source
        The fields of :class:`State`.

    Examples
    --------
    >>> state_from_plain(json.loads(state_to_json(State("m")))) == State("m")
    True
    """
    state = _build(State, plain)
    assert isinstance(state, State)
    return state


def parts_from_json(text: str, *names: str) -> dict[str, Any]:
    """Return some fields of a state that was written down, without building all the others: lists need no more.

    Parameters
    ----------
    text
        JSON text.
    names
        Fields of :class:`State`.

    Returns
    -------
    dict
        The fields by their names.

    Valid for
        Texts stamped with the present ``CODE_VERSION``; others are refolded.

    Raises
    ------
    KeyError, TypeError, ValueError
        When it is no such text, or there is no such field.

    Source
        The fields of :class:`State`.

    Examples
    --------
    >>> parts_from_json(state_to_json(State("m")), "options")
    {'options': {}}
    """
    whole = json.loads(text)
    return {name: _build(_hints(State)[name], whole[name]) for name in names}


def _plain(value: Any) -> Any:
    if hasattr(value, "__dataclass_fields__"):
        return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value


@lru_cache(maxsize=64)
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _build(kind: Any, value: Any) -> Any:
    if value is None:
        return None
    if hasattr(kind, "__dataclass_fields__"):
        return kind(**{name: _build(hint, value[name]) for name, hint in _hints(kind).items()})
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return _build(
            next((one for one in inner if hasattr(one, "__dataclass_fields__") or get_origin(one)), object), value
        )
    if origin is list:
        return [_build(inner[0], one) for one in value]
    if origin is dict:
        return {key: _build(inner[1], one) for key, one in value.items()}
    if origin is tuple:
        return tuple(value)
    return value
