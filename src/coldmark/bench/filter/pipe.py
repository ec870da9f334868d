"""What holds oil back in a round line, and what the air presses with."""

from __future__ import annotations

import math

from coldmark.bench.errors import require_above, require_between

__all__ = ["air_bar", "friction", "reynolds_number"]

LAMINAR, TURBULENT = 2300.0, 4000.0
PIPE = "Darcy-Weisbach; 64/Re up to 2300, Colebrook from 4000, a straight line between"
EARTH_M = 6_356_766.0
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


def reynolds_number(flow_l_min: float, inner_mm: float, kv_mm2_s: float) -> float:
    """Return the Reynolds number of a flow through a round line.

    Parameters
    ----------
    flow_l_min
        The flow [L/min].
    inner_mm
        Inner diameter [mm].
    kv_mm2_s
        Kinematic viscosity [mm²/s].

    Returns
    -------
    float
        Re = 4 · Q / (π · d · ν).

    Valid for
        Values above 0.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        Definition.

    Examples
    --------
    >>> round(reynolds_number(60, 10, 45))
    2829
    """
    for name, value in (("flow_l_min", flow_l_min), ("inner_mm", inner_mm), ("kv_mm2_s", kv_mm2_s)):
        require_above(name, value, 0, PIPE)
    # A litre a minute through a millimetre of one mm²/s: 1e6 mm³ in 60 s.
    return 4 * flow_l_min * 1e6 / 60 / (math.pi * inner_mm * kv_mm2_s)


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
    # Gravity weakens with height: what counts is the height of even gravity that takes the same work.
    even = EARTH_M * height / (EARTH_M + height)
    return float(1.01325 * (1 - 0.0065 * even / 288.15) ** 5.25588)
