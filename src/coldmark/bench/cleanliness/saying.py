"""What codes, targets and comparisons say in plain sentences."""

from __future__ import annotations

from coldmark.bench import words
from coldmark.bench.cleanliness.code import SIZES_UM, Code
from coldmark.bench.cleanliness.targets import Comparison, Target
from coldmark.bench.working import Range

__all__ = ["says", "sizes_said"]


def sizes_said(sizes_um: tuple[int, ...]) -> str:
    """Return sizes as a reader sees them: ``4, 6 and 14 µm``."""
    *first, last = (str(size) for size in sizes_um)
    both = words.sentence("cleanliness.and", first=", ".join(first), last=last) if first else last
    return words.sentence("cleanliness.sizes", sizes=both)


def _of_code(found: Code) -> list[str]:
    said = [words.sentence("cleanliness.code", code=str(found))]
    for mark in ("at_least", "too_many", "not_counted"):
        sizes = tuple(size for size, own in zip(SIZES_UM, found.marks, strict=True) if own == mark)
        if sizes:
            said.append(words.sentence(f"cleanliness.mark.{mark}", sizes=sizes_said(sizes)))
    return said


def _of_target(found: Target) -> list[str]:
    parts = ", ".join(words.sentence(f"cleanliness.component.{one}") for one in found.decides)
    said = [words.sentence("cleanliness.target", code=str(found.wanted), parts=parts)]
    if found.second is not None and found.differ:
        said.append(words.sentence("cleanliness.target.differ", first=str(found.first), second=str(found.second)))
    for one in found.odd:
        said.append(words.sentence("cleanliness.target.odd", component=words.sentence(f"cleanliness.component.{one}")))
    said.append(words.sentence("cleanliness.target.manual"))
    return said


def _times(times: Range) -> str:
    low, high = (words.figures(one, 2) for one in (times.low, times.high))
    message = "one" if low == high else "open" if high == "inf" else "range"
    return words.sentence(f"cleanliness.times.{message}", low=low, high=high)


def _of_comparison(found: Comparison) -> list[str]:
    message = f"cleanliness.compare.{found.verdict}"
    said = [words.sentence(message, found=str(found.found), wanted=str(found.wanted))]
    for size_um, times in zip(SIZES_UM, found.times, strict=True):
        if size_um in found.too_dirty:
            message = "too_many" if times is None else "times"
            shown = "" if times is None else _times(times)
            said.append(words.sentence(f"cleanliness.compare.{message}", sizes=sizes_said((size_um,)), times=shown))
    for group, sizes in (("not_counted", found.not_counted), ("unsure", found.unsure)):
        if sizes:
            said.append(words.sentence(f"cleanliness.compare.left_{group}", sizes=sizes_said(sizes)))
    return said


def says(found: Code | Target | Comparison) -> list[str]:
    """Return a code, a target or a comparison as plain sentences.

    Parameters
    ----------
    found
        What :func:`code`, :func:`target` or :func:`compare` gave.

    Returns
    -------
    list of str
        The answer first; then what marks mean, where the tables differ, and how far off each size is.

    Valid for
        Every result. No sentence holds a unit that differs between readers.

    Raises
    ------
    Nothing.

    Source
        The message file of the reader's language.

    Examples
    --------
    >>> from coldmark.bench.cleanliness import compare, parse
    >>> for line in says(compare(parse("20/18/13"), parse("18/16/13"))):
    ...     print(line)
    Too dirty: the oil is 20/18/13 and should be 18/16/13.
    At 4 µm it has 2 to 4 times as many particles as it may.
    At 6 µm it has 2 to 3.9 times as many particles as it may.
    """
    if isinstance(found, Code):
        return _of_code(found)
    return _of_target(found) if isinstance(found, Target) else _of_comparison(found)
