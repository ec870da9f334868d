"""Tables that a standard or the trade gives are kept as files beside the code, and are checked before they are used."""

from __future__ import annotations

from hashlib import sha256

from coldmark.bench.errors import Contradiction

__all__ = ["table"]


def table(package: str, name: str, checksum: str) -> list[dict[str, str]]:
    """Read a table that is kept beside the code: rows by their columns' names, as text.

    Parameters
    ----------
    package
        The package in whose folder it lies.
    name
        The file's name; its cells are set apart by commas, and lines that begin with ``#`` are remarks.
    checksum
        SHA-256 of the text, with a line feed at each line's end. A table that a hand slipped in is not used.

    Raises
    ------
    Contradiction
        When the text is not the one that was checked.

    Examples
    --------
    >>> from coldmark.bench.cleanliness.scale import CHECKSUM
    >>> table("coldmark.bench.cleanliness", "iso4406.csv", CHECKSUM)[18]
    {'scale': '18', 'above_per_ml': '1300', 'up_to_per_ml': '2500'}
    """
    # Both are slow to import, and most runs read no table.
    import csv
    from importlib.resources import files

    text = (files(package) / name).read_text(encoding="utf-8")
    found = sha256(text.encode()).hexdigest()
    if found != checksum:
        raise Contradiction(name=name, value=found, why="refused.cannot.checksum", checksum=checksum)
    return list(csv.DictReader((line for line in text.splitlines() if not line.startswith("#")), strict=True))
