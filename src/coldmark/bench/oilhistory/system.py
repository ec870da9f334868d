"""How much a compartment's system holds, by the data sheet and what is fitted."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.bench.oil import GRADES
from coldmark.bench.sheet.model import Sheet
from coldmark.bench.sheet.tank import hydraulic_key

__all__ = ["system_l", "tank_l", "unknown_between"]


def system_l(sheet: Sheet | None, compartment: str, fitted: Mapping[str, bool]) -> float | None:
    """Return how much oil a compartment's system holds when it is full [L]: tank, lines and cylinders.

    Parameters
    ----------
    sheet
        The machine's data sheet, or ``None``.
    compartment
        The compartment's name on the sheet.
    fitted
        Which options are fitted, by their names; those with oil of their own make the hydraulic system larger.

    Returns
    -------
    float or None
        Litres; ``None`` where the sheet does not say.

    Valid for
        Every sheet.

    Raises
    ------
    Nothing.

    Source
        The data sheet.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> sheet = read(template("dumper"))
    >>> system_l(sheet, "hydraulic", {}) == sheet.hydraulic.system_l, system_l(None, "hydraulic", {})
    (True, None)
    """
    place = None if sheet is None else sheet.compartments.get(compartment)
    if sheet is None or place is None:
        return None
    if compartment != hydraulic_key(sheet):
        return place.capacity_l
    base = sheet.hydraulic.system_l or place.capacity_l
    if base is None:
        return None
    return base + sum(option.extra_l or 0.0 for name, option in sheet.options.items() if fitted.get(name))


def tank_l(sheet: Sheet | None, compartment: str) -> float | None:
    """Return how much of a compartment's oil can be let out at its drain [L].

    Parameters
    ----------
    sheet
        The machine's data sheet, or ``None``.
    compartment
        The compartment's name on the sheet.

    Returns
    -------
    float or None
        Litres; ``None`` where the sheet does not say.

    Valid for
        Every sheet.

    Raises
    ------
    Nothing.

    Source
        The data sheet.

    Examples
    --------
    >>> tank_l(None, "hydraulic") is None
    True
    """
    place = None if sheet is None else sheet.compartments.get(compartment)
    return None if place is None else place.drain_l


def unknown_between(sheet: Sheet | None, compartment: str) -> tuple[float, float] | None:
    """Return between which viscosities at 40 °C [mm²/s] an unknown oil lies, if it is of a grade that the sheet asks.

    Parameters
    ----------
    sheet
        The machine's data sheet, or ``None``.
    compartment
        The compartment's name on the sheet.

    Returns
    -------
    tuple or None
        Least and most of all ISO grades that the sheet allows; ``None`` where it names none.

    Valid for
        Sheets that name ISO grades; SAE grades tell no viscosity at 40 °C.

    Raises
    ------
    Nothing.

    Source
        ISO 3448, and the data sheet.

    Examples
    --------
    >>> from coldmark.bench.sheet import read, template
    >>> unknown_between(read(template("dumper")), "hydraulic")
    (41.4, 50.6)
    """
    place = None if sheet is None else sheet.compartments.get(compartment)
    allowed = () if place is None else place.grades
    numbers = {text.upper().replace("ISO", "").replace(" ", "").removeprefix("VG") for text in allowed}
    named = [grade for grade in GRADES if str(grade.number) in numbers]
    if not named or len(named) < len(numbers):
        return None
    return min(grade.least_mm2_s for grade in named), max(grade.most_mm2_s for grade in named)
