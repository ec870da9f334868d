"""Which of a sheet's compartments the hydraulic tank is."""

from __future__ import annotations

from collections.abc import Iterable

from coldmark.bench.sheet.model import Sheet

__all__ = ["hydraulic_key", "sole_hydraulic", "tank_of"]


def sole_hydraulic(fluids: Iterable[tuple[str, str]]) -> str | None:
    """Return the one compartment, of pairs of name and fluid, that holds hydraulic oil; ``None`` but for just one."""
    found = [key for key, fluid in fluids if fluid == "hydraulic oil"]
    return found[0] if len(found) == 1 else None


def hydraulic_key(sheet: Sheet) -> str | None:
    """Return the name of the compartment that the sheet's hydraulic tank is.

    Parameters
    ----------
    sheet
        The sheet.

    Returns
    -------
    str or None
        The one that the sheet says under ``hydraulic.compartment``; else the only one that holds hydraulic oil. With
        none or several of those it is not known which, and none is taken for it.

    Valid for
        Every sheet; one that was read from its text always has it.

    Raises
    ------
    Nothing.

    Source
        The data sheet.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> text = template("dumper")
    >>> hydraulic_key(read(text))
    'hydraulic'
    >>> hydraulic_key(read(text.replace("[compartments.hydraulic]", "[compartments.main_tank]").replace(
    ...     'compartment = "hydraulic"', 'compartment = "main_tank"')))
    'main_tank'
    """
    if sheet.hydraulic_compartment is not None:
        return sheet.hydraulic_compartment
    return sole_hydraulic((key, place.fluid) for key, place in sheet.compartments.items())


def tank_of(sheet: Sheet | None) -> str:
    """Return the compartment that a machine's hydraulic tank is, as a key to look up what is known of it.

    Parameters
    ----------
    sheet
        The sheet, or ``None`` where the machine has none.

    Returns
    -------
    str
        As :func:`hydraulic_key`; empty, which is no compartment's name, where nobody says.

    Valid for
        Every machine.

    Raises
    ------
    Nothing.

    Source
        The data sheet.

    Examples
    --------
    >>> tank_of(None)
    ''
    """
    return "" if sheet is None else hydraulic_key(sheet) or ""
