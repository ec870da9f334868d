"""What a filter keeps back: β and efficiency are two names of one thing, and an open bypass spoils both."""

from __future__ import annotations

import math

from coldmark.bench.errors import Contradiction, require_above, require_between
from coldmark.bench.working import Given, Step, Working

__all__ = ["beta_by_counts", "beta_of", "effective_beta", "efficiency", "explain_beta"]

SOURCE = "ISO 16889"
HIGHEST = 1e6
_SHARE = "a share of the flow"


def efficiency(beta: float) -> float:
    """Return the share of the particles that stays in the element, of those at least as large as β stands for.

    Parameters
    ----------
    beta
        Particles before the filter over those after it.

    Returns
    -------
    float
        e = (β − 1) / β, 0 to 1.

    Valid for
        1 to 1 000 000.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        ISO 16889, relation as printed in stored excerpts.

    Examples
    --------
    >>> efficiency(4), efficiency(200)
    (0.75, 0.995)
    """
    beta = require_between("beta", beta, 1, HIGHEST, SOURCE)
    return (beta - 1) / beta


def beta_of(efficiency_share: float) -> float:
    """Return β by the share of the particles that stays in the element.

    Parameters
    ----------
    efficiency_share
        What stays in the element over what comes [0 to 1].

    Returns
    -------
    float
        β = 1 / (1 − e).

    Valid for
        0 to 0.999999.

    Raises
    ------
    OutOfRange
        Outside of that: a filter that lets nothing through has no β.

    Source
        ISO 16889, relation as printed in stored excerpts.

    Examples
    --------
    >>> beta_of(0.75), round(beta_of(0.995), 6)
    (4.0, 200.0)
    """
    return 1 / (1 - require_between("efficiency_share", efficiency_share, 0, 1 - 1 / HIGHEST, SOURCE))


def beta_by_counts(before_per_ml: float, after_per_ml: float) -> float:
    """Return β by what was counted before and after the filter.

    Parameters
    ----------
    before_per_ml
        Particles of a size and larger before the filter [per mL].
    after_per_ml
        The same after it [per mL].

    Returns
    -------
    float
        β.

    Valid for
        Some particles after it, and no more than before it; β up to 1 000 000.

    Raises
    ------
    OutOfRange
        Outside of that.
    Contradiction
        When there are more after it than before: the bottles were swapped, or dirt got into one.

    Source
        ISO 16889, as printed in stored excerpts.

    Examples
    --------
    >>> beta_by_counts(400, 100)
    4.0
    """
    before = require_between("before_per_ml", before_per_ml, 0, 1e9, "a count of particles")
    after = require_above("after_per_ml", after_per_ml, 0, "a count of particles")
    if after > before:
        raise Contradiction(name="after_per_ml", value=after, why="filter.cannot.more_after", before_per_ml=before)
    return require_between("beta", before / after, 1, HIGHEST, SOURCE)


def effective_beta(beta: float, bypass_share: float) -> float:
    """Return the β of element and bypass together.

    Parameters
    ----------
    beta
        β of the element alone.
    bypass_share
        Share of the flow that goes past the element [0 to 1].

    Returns
    -------
    float
        From 1/β' = (1 − k)/β + k. However good the element, β' stays below 1/k.

    Valid for
        β 1 to 1 000 000; shares 0 to 1.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        Mixing of the two streams behind the filter, worked out.

    Examples
    --------
    >>> round(effective_beta(200, 0.05), 1), round(effective_beta(1000, 0.05), 1), effective_beta(200, 1)
    (18.3, 19.6, 1.0)
    """
    beta = require_between("beta", beta, 1, HIGHEST, SOURCE)
    past = require_between("bypass_share", bypass_share, 0, 1, _SHARE)
    return 1 / ((1 - past) / beta + past)


def explain_beta(beta: float, bypass_share: float) -> Working:
    """Return how efficiency and the β of element and bypass together follow.

    Parameters
    ----------
    beta
        β of the element alone.
    bypass_share
        Share of the flow that goes past the element [0 to 1].

    Returns
    -------
    Working
        Both steps.

    Valid for
        As :func:`effective_beta`.

    Raises
    ------
    OutOfRange
        Outside of that.

    Source
        As :func:`efficiency` and :func:`effective_beta`.

    Examples
    --------
    >>> [round(step.result, 3) for step in explain_beta(200, 0.05).steps]
    [0.995, 18.265]
    """
    alone = Step(
        "working.filter.efficiency", "e = (β − 1) / β", (Given("β", beta, "", "told"),), efficiency(beta), "", SOURCE
    )
    both = Step(
        "working.filter.effective_beta",
        "1 / β' = (1 − k) / β + k",
        (Given("β", beta, "", "told"), Given("k", bypass_share, "share", "told")),
        effective_beta(beta, bypass_share),
        "",
        "mixing of what passes the element with what goes past it, worked out",
    )
    return Working((alone, both))


def caught(beta: float, bypass_share: float) -> float:
    """Return what element and bypass together keep back: (1 − k) · (1 − 1/β), which is 1 − 1/β'."""
    return (1 - require_between("bypass_share", bypass_share, 0, 1, _SHARE)) * efficiency(beta)


def steps_of_code(times: float) -> float:
    """Return by how many steps of the cleanliness code a count moves when it becomes this many times as large."""
    return math.log2(times)
