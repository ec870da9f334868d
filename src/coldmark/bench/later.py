"""A package's public names, each fetched from its module when it is first asked for.

A sheet needs four shapes of :mod:`coldmark.bench.filter` and no sum of it, yet importing one of a package's modules
runs the package itself, and with it whatever that imports. A package that many import for little says therefore::

    if TYPE_CHECKING:
        from coldmark.bench.filter.drop import Drop, pressure_drop
    else:
        __getattr__ = later(__name__, drop=("Drop", "pressure_drop"))

The type checker reads the imports, Python the names; a test holds the two together. No name may be a module's too: the
module would take its place.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module

__all__ = ["later"]


def later(package: str, **modules: tuple[str, ...]) -> Callable[[str], object]:
    """Return a package's ``__getattr__``, which fetches the names of ``modules`` at their first use.

    >>> fetch = later("coldmark.bench.filter", model=("Stage",))
    >>> fetch("Stage").__name__
    'Stage'
    >>> fetch("Strainer")
    Traceback (most recent call last):
        ...
    AttributeError: module 'coldmark.bench.filter' has no attribute 'Strainer'
    """
    home = {name: module for module, names in modules.items() for name in names}

    def fetch(name: str) -> object:
        if name not in home:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value: object = getattr(import_module(f"{package}.{home[name]}"), name)
        setattr(sys.modules[package], name, value)  # the next one asks the package, not this
        return value

    return fetch
