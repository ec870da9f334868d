"""An oil's own text: TOML or JSON in, kept unchanged and named by its hash, like a machine's data sheet."""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Mapping
from typing import Any

from coldmark.bench.errors import Missing, NotAChoice, NotANumber, Refused
from coldmark.bench.oil.model import Oil
from coldmark.bench.units import number, of_name, stem, to_bench

__all__ = ["from_text", "oil_from_plain", "oil_to_plain", "template", "text_hash"]

_WORDS = ("name", "key", "family", "additive", "fluid", "sae")
_NUMBERS = ("kv40_mm2_s", "kv100_mm2_s", "viscosity_index", "density15_kg_m3", "pour_c", "flash_c")

_TEMPLATE = """\
# An oil, from its can and its maker's data sheet. A number's key ends in its unit; any unit of the same kind will do
# (pour_f, density15_lb_gal). Leave out what you do not know.
key = "valley_46"                # how records call it: letters, digits, underscore
name = "Valley 46"               # what stands on the can
fluid = "hydraulic oil"          # or "engine oil", "gear oil"
family = "HM"                    # ISO 6743-4: HM, HV, HETG, HEES, HEPG, HEPR …; not for engine and gear oils
additive = "zinc"                # or "zinc_free", "unknown"
kv40_mm2_s = 46                  # viscosity at 40 °C
kv100_mm2_s = 6.8                # viscosity at 100 °C; or give viscosity_index instead
# viscosity_index = 100
density15_kg_m3 = 878            # density at 15 °C; without it a level assumes a usual one
pour_c = -30                     # pour point
flash_c = 220                    # flash point
# sae = "SAE 15W-40"             # for engine and gear oils
"""


def text_hash(text: str) -> str:
    """Return the SHA-256 of an oil's text, by which facts name this version of it.

    Parameters
    ----------
    text
        The text as it is kept.

    Returns
    -------
    str
        64 hexadecimal digits, of the text in UTF-8.

    Valid for
        Every text.

    Raises
    ------
    Nothing.

    Source
        FIPS 180-4.

    Examples
    --------
    >>> text_hash("name = 'x'")[:8]
    '9b8bbd3c'
    """
    return hashlib.sha256(text.encode()).hexdigest()


def template() -> str:
    """Return a commented text to start from.

    Returns
    -------
    str
        TOML with invented values.

    Examples
    --------
    >>> from_text(template()).label()
    'VG 46'
    """
    return _TEMPLATE


def oil_to_plain(oil: Oil) -> dict[str, Any]:
    """Return an oil as plain data for JSON; what is not known is left out.

    Parameters
    ----------
    oil
        The oil.

    Returns
    -------
    dict
        The keys of :func:`template`, in the bench's units.

    Valid for
        Every oil; :func:`oil_from_plain` gives it back.

    Raises
    ------
    Nothing.

    Source
        The keys are Coldmark's own.

    Examples
    --------
    >>> oil_to_plain(Oil("Valley 46", 46, 6.8, family="HM"))["family"]
    'HM'
    """
    plain: dict[str, Any] = {name: getattr(oil, name) for name in (*_WORDS, *_NUMBERS, "sha256")}
    return {name: value for name, value in plain.items() if value not in (None, "")}


def _numbers(plain: Mapping[str, Any]) -> dict[str, float]:
    """Return the numbers in the bench's units, whatever unit each key ends in."""
    by_stem = {stem(name): name for name in _NUMBERS}
    found: dict[str, float] = {}
    for key, value in plain.items():
        if key in _WORDS or key == "sha256":
            continue
        name = by_stem.get(stem(key))
        unit, wanted = of_name(key), None if name is None else of_name(name)
        if name is None or (unit is None) != (wanted is None):
            raise NotAChoice(name="key", value=key, choices=(*_WORDS, *_NUMBERS))
        if unit is not None and wanted is not None and unit.kind != wanted.kind:
            raise NotAChoice(name="key", value=key, choices=(name,))
        if name in found:
            raise NotAChoice(name="key", value=f"{key} a second time", choices=(name,))
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise NotANumber(name=key, value=str(value))
        typed = number(key, value)
        found[name] = typed if unit is None else to_bench(typed, unit.ending)
    return found


def oil_from_plain(plain: Mapping[str, Any]) -> Oil:
    """Return the oil that plain data describe.

    Parameters
    ----------
    plain
        Keys as in :func:`template`; a number's key may end in any unit of its kind, and the number may be text.

    Returns
    -------
    Oil
        Checked.

    Valid for
        What :class:`Oil` takes.

    Raises
    ------
    Refused
        Naming the key, its value and what would be right; an unknown key is refused too.

    Source
        The keys are Coldmark's own; units as in :mod:`coldmark.bench.units`.

    Examples
    --------
    >>> oil_from_plain({"name": "Valley 46", "kv40_cst": "46", "viscosity_index": 100, "pour_f": -22}).pour_c
    -30.0
    """
    given: dict[str, Any] = {}
    for name in (*_WORDS, "sha256"):
        value = plain.get(name)
        if value is None:
            continue
        if not isinstance(value, str):
            raise Refused("refused.text", name=name, value=str(value))
        given[name] = value
    given |= _numbers(plain)
    for needed in ("name", "kv40_mm2_s"):
        if needed not in given:
            raise Missing(name=needed, needed_for="an oil")
    return Oil(**given)


def from_text(text: str) -> Oil:
    """Return the oil that a text in TOML or JSON describes, with the hash of the text.

    Parameters
    ----------
    text
        JSON when it begins with a brace, else TOML; keys as in :func:`template`.

    Returns
    -------
    Oil
        Its ``sha256`` names the text.

    Valid for
        One oil a text.

    Raises
    ------
    Refused
        When the text cannot be read, with the place; or naming the key that is not right.

    Source
        TOML 1.0 and JSON (RFC 8259).

    Examples
    --------
    >>> from_text('name = "Valley 46"\\nkv40_mm2_s = 46\\nkv100_mm2_s = 6.8').grade()
    46
    """
    try:
        plain = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except ValueError as fault:
        raise Refused("refused.syntax", name="oil", value=str(fault)) from None
    oil = oil_from_plain({key: value for key, value in plain.items() if key != "sha256"})
    object.__setattr__(oil, "sha256", text_hash(text))
    return oil
