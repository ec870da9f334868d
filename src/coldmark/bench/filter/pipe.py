"""What holds oil back in a round line, and what the air presses with."""

from __future__ import annotations

import math

from coldmark.bench.errors import require_above, require_between

__all__ = ["air_bar", "friction"]

LAMINAR, TURBULENT = 2300.0, 4000.0
PIPE = "Darcy-Weisbach; 64/Re up to 2300, Colebrook from 4000, a straight line between"
ATMOSPHERE = "standard atmosphere, ISO 2533"


def friction(reynolds: float, roughness_share: float = 0.0) -> float:
    """Return the friction factor of a round line (Darcy's, four times Fanning's).

    Parameters
    ----------
    reynolds
        Reynolds number of the flow.
    roughness_share
        Roughness of the wall over the inner diameter [0 to 0.05].

    Returns
    -------
    float
        64/Re up to 2300, Colebrook's from 4000, and a straight line between the two, where the flow may be either.

    Valid for
        Above 0 to 1e8; roughness up to a twentieth of the diameter.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        Hagen-Poiseuille as printed in a stored excerpt of a textbook; Colebrook from memory, checked against a library.

    Examples
    --------
    >>> friction(640), round(friction(100_000, 0.001), 4)
    (0.1, 0.0222)
    """
    require_above("reynolds", reynolds, 0, PIPE)
    require_between("reynolds", reynolds, 0, 1e8, PIPE)
    require_between("roughness_share", roughness_share, 0, 0.05, PIPE)
    if reynolds <= LAMINAR:
        return 64 / reynolds
    if reynolds >= TURBULENT:
        return _colebrook(reynolds, roughness_share)
    part = (reynolds - LAMINAR) / (TURBULENT - LAMINAR)
    return (1 - part) * 64 / LAMINAR + part * _colebrook(TURBULENT, roughness_share)


def _colebrook(reynolds: float, roughness_share: float) -> float:
    root = 8.0  # 1/√f, of a smooth line of usual flow; each round comes nearer by a factor of some ten
    for _ in range(40):
        closer = -2 * math.log10(roughness_share / 3.7 + 2.51 * root / reynolds)
        if abs(closer - root) < 1e-13 * closer:
            break
        root = closer
    return 1 / (root * root)


def air_bar(altitude_m_asl: float) -> float:
    """Return the air's pressure at a height above the sea.

    Parameters
    ----------
    altitude_m_asl
        Height above the sea [m].

    Returns
    -------
    float
        Absolute pressure [bar].

    Valid for
        −500 to 5000 m; weather moves it by some 0.03 bar.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        Standard atmosphere, ISO 2533, from memory, checked against a library.

    Examples
    --------
    >>> air_bar(0), round(air_bar(2000), 3)
    (1.01325, 0.795)
    """
    height = require_between("altitude_m_asl", altitude_m_asl, -500, 5000, ATMOSPHERE)
    return float(1.01325 * (1 - 0.0065 * height / 288.15) ** 5.25588)
