"""Numbers kept together with their units where lines break: on pages, on the card and on paper.

Sentences themselves have an ordinary blank there, so that a terminal, a table or another program gets what a keyboard
types. Whoever sets lines (a page, the card, a paper) asks for this last.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

from coldmark.bench.unit_table import UNITS

__all__ = ["NO_BREAK", "together", "unit_words"]

NO_BREAK = "\u00a0"
# A unit that one of these follows is the beginning of another word. The card has the same pattern.
_BEHIND = "[A-Za-z0-9_/·²³°]"


@cache
def unit_words() -> tuple[str, ...]:
    """Return what stands behind a number with a blank between, the longest first.

    >>> "L" in unit_words(), "%" in unit_words(), unit_words().index("mm²/s") < unit_words().index("mm")
    (True, False, True)
    """
    symbols = {unit.symbol for unit in UNITS.values()} - {"", "°", "%"}
    # A line may end before the word "per" of a long one, which would fit no narrow column.
    kept = {symbol.split(" per ")[0] for symbol in symbols}
    return tuple(sorted(kept, key=lambda symbol: (-len(symbol), symbol)))


@cache
def _pattern() -> re.Pattern[str]:
    return re.compile(f"[0-9] ({'|'.join(map(re.escape, unit_words()))})(?!{_BEHIND})")


def together(text: str, *, may: Callable[[int], bool] | None = None) -> str:
    """Return the text with no-break spaces between numbers and their units; nothing else is changed.

    ``may`` says of a place in the text whether it may be changed; without it each may.

    >>> together("Add 2.4 L now; 5 t, 3 tins.").replace(NO_BREAK, "~")
    'Add 2.4~L now; 5~t, 3 tins.'
    """

    def kept(found: re.Match[str]) -> str:
        return found[0].replace(" ", NO_BREAK) if may is None or may(found.start()) else found[0]

    return _pattern().sub(kept, text)
