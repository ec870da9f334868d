"""Dataclasses that cost little to define: those of the standard library, with methods that are not written by each.

Python 3.11 writes, compiles and runs source text for every method of every dataclass, about half a millisecond for a
frozen one on a desk's machine and three times that in a browser: most of what the bench would cost to import. Here
comparing, showing and refusing to change are functions that all classes share, and ``__init__`` alone is compiled,
when the first value is made. Everything else, :func:`dataclasses.replace` and :func:`dataclasses.fields` included, is
the standard library's own; a type checker sees nothing but :func:`dataclasses.dataclass`.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass"]


def _eq(self: Any, other: object) -> Any:
    fetch = self.__compared__
    return fetch(self) == fetch(other) if type(other) is type(self) else NotImplemented


def _hash(self: Any) -> int:
    return hash(self.__compared__(self))


def _repr(self: Any) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr)
    return f"{self.__class__.__qualname__}({shown})"


def _set(_self: Any, name: str, _value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(_self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, one.name) for one in dataclasses.fields(self)]


def _take_state(self: Any, state: list[Any]) -> None:
    for one, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, one.name, value)


def _init_of(made: type[Any]) -> Any:
    """Write and compile ``__init__`` of a class by its fields."""
    known: dict[str, Any] = {"_put": object.__setattr__, "_none": dataclasses.MISSING}
    head, body = ["self"], []
    for one in dataclasses.fields(made):
        name, taken, value = one.name, one.name, one.name
        if one.default_factory is not dataclasses.MISSING:
            known[f"_make_{name}"] = one.default_factory
            taken, value = f"{name}=_none", f"_make_{name}() if {name} is _none else {name}"
        elif one.default is not dataclasses.MISSING:
            known[f"_else_{name}"] = one.default
            taken = f"{name}=_else_{name}"
        head.append(taken)
        body.append(f" _put(self, {name!r}, {value})")
    if hasattr(made, "__post_init__"):
        body.append(" self.__post_init__()")
    exec("\n".join([f"def __init__({', '.join(head)}):", *(body or [" pass"])]), known)
    init = known["__init__"]
    init.__qualname__ = f"{made.__qualname__}.__init__"
    return init


def _init_later(made: type[Any]) -> Any:
    """Return an ``__init__`` that puts the real one in its own place at its first call."""

    def first(self: Any, *values: Any, **named: Any) -> None:
        made.__init__ = init = _init_of(made)
        init(self, *values, **named)

    return first


def _shaped(kind: type[Any], *, frozen: bool, slots: bool, init: bool) -> type[Any]:
    if kind.__doc__ is None:  # stripped, as it is on a phone: the standard library would write one from the signature
        kind.__doc__ = kind.__name__
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(kind)
    # What it is compared by: the values of these fields, fetched at once.
    made.__compared__ = attrgetter(*[one.name for one in dataclasses.fields(made) if one.compare] or ["__class__"])
    given: dict[str, Any] = {"__eq__": _eq, "__repr__": _repr, "__hash__": _hash if frozen else None}
    if frozen:
        given |= {"__setattr__": _set, "__delattr__": _delete, "__getstate__": _state, "__setstate__": _take_state}
    for name, method in given.items():
        if name not in kind.__dict__:
            setattr(made, name, method)
    if init:
        made.__init__ = _init_later(made)
    shaped: type[Any] = made
    return shaped


if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(kind=None, /, *, frozen=False, slots=False, init=True):
        """Make a dataclass of ``kind``, as :func:`dataclasses.dataclass` does.

        Parameters
        ----------
        kind
            The class; nothing where the decorator is called with options.
        frozen
            Whether its values never change, and so may be hashed.
        slots
            Whether it takes no attribute but its fields.
        init
            Whether it gets an ``__init__``; a class that writes its own says no.

        Returns
        -------
        type
            The dataclass.

        Valid for
            Classes that inherit from no other dataclass, all of whose fields are given when a value is made.

        Raises
        ------
        TypeError
            As the standard library does, when a field without a default follows one that has it.

        Source
            The standard library's module of the same name.

        Examples
        --------
        >>> @dataclass(frozen=True, slots=True)
        ... class Mark:
        ...     height_mm: float
        ...     name: str = "lower"
        >>> Mark(12.0), Mark(12.0) == Mark(12.0, "lower"), dataclasses.replace(Mark(12.0), name="upper").name
        (Mark(height_mm=12.0, name='lower'), True, 'upper')
        """
        if kind is None:
            return lambda kind: _shaped(kind, frozen=frozen, slots=slots, init=init)
        return _shaped(kind, frozen=frozen, slots=slots, init=init)
