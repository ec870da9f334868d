"""Where each key of a TOML text stands. The standard library's parser gives no lines, so the text is walked again.

The walk is only given text that the parser has accepted, so it need not find faults itself.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_right

__all__ = ["Path", "key_lines"]

Path = tuple[str | int, ...]

_DEEPEST = 9
"""No key of a sheet lies deeper; deeper ones are not noted, so that a hostile text cannot cost much."""

_BLANK = " \t"
_SPACE = " \t\r\n"


class _Walk:
    """One walk over a text; ``lines`` gathers the first line of each path."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.starts = [0, *(index + 1 for index, letter in enumerate(text) if letter == "\n")]
        self.lines: dict[Path, int] = {}
        self.arrays: dict[Path, int] = {}

    def note(self, path: Path, at: int) -> None:
        if len(path) <= _DEEPEST:
            self.lines.setdefault(path, bisect_right(self.starts, at))

    def peek(self, word: str) -> bool:
        return self.text.startswith(word, self.at)

    def skip(self, letters: str) -> None:
        while self.at < len(self.text) and self.text[self.at] in letters:
            self.at += 1

    def skip_all(self) -> None:
        """Skip blanks, line ends and comments."""
        self.skip(_SPACE)
        while self.peek("#"):
            self.skip_line()
            self.skip(_SPACE)

    def skip_line(self) -> None:
        end = self.text.find("\n", self.at)
        self.at = len(self.text) if end < 0 else end

    def string(self) -> str:
        """Step over a string and return it as written, quotes included."""
        start, quote = self.at, self.text[self.at]
        if self.peek(quote * 3):
            self._to_end_of(quote * 3)
            while self.peek(quote) and self.text.endswith(quote * 3, 0, self.at):
                self.at += 1
        else:
            self._to_end_of(quote)
        return self.text[start : self.at]

    def _to_end_of(self, quotes: str) -> None:
        self.at += len(quotes)
        while self.at < len(self.text) and not self.peek(quotes):
            self.at += 2 if self.text[self.at] == "\\" and quotes[0] == '"' else 1
        self.at += len(quotes)

    def key(self) -> tuple[str, ...]:
        """Step over a key, dotted or quoted, and return its parts."""
        parts: list[str] = []
        while True:
            self.skip(_BLANK)
            if self.at < len(self.text) and self.text[self.at] in "\"'":
                raw = self.string()
                parts.append(str(tomllib.loads(f"k = {raw}")["k"]))
            else:
                start = self.at
                while self.at < len(self.text) and self.text[self.at] not in " \t.=]":
                    self.at += 1
                parts.append(self.text[start : self.at])
            self.skip(_BLANK)
            if not self.peek("."):
                return tuple(parts)
            self.at += 1

    def value(self, path: Path) -> None:
        self.skip(_BLANK)
        letter = self.text[self.at : self.at + 1]
        if letter in ('"', "'"):
            self.string()
        elif letter == "[":
            self._array(path)
        elif letter == "{":
            self._inline(path)
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}\n#":
                self.at += 1

    def _array(self, path: Path) -> None:
        self.at += 1
        index = 0
        self.skip_all()
        while not self.peek("]"):
            self.note((*path, index), self.at)
            self.value((*path, index))
            index += 1
            self.skip_all()
            if self.peek(","):
                self.at += 1
                self.skip_all()
        self.at += 1

    def _inline(self, path: Path) -> None:
        self.at += 1
        self.skip_all()
        while not self.peek("}"):
            self.pair(path)
            self.skip_all()
            if self.peek(","):
                self.at += 1
                self.skip_all()
        self.at += 1

    def pair(self, table: Path) -> None:
        """Step over ``key = value`` of a table."""
        start = self.at
        path = table
        for part in self.key():
            path = (*path, part) if len(path) <= _DEEPEST else path
            self.note(path, start)
        self.skip(_BLANK)
        self.at += 1
        self.value(path)

    def header(self) -> Path:
        """Step over ``[table]`` or ``[[table]]`` and return the table's path."""
        start = self.at
        of_array = self.peek("[[")
        self.at += 2 if of_array else 1
        parts = self.key()
        self.at += 2 if of_array else 1
        path: Path = ()
        for part in parts[:-1]:
            path = (*path, part) if len(path) <= _DEEPEST else path
            self.note(path, start)
            if path in self.arrays:
                path = (*path, self.arrays[path])
        path = (*path, parts[-1])
        self.note(path, start)
        if of_array:
            self.arrays[path] = self.arrays.get(path, -1) + 1
            path = (*path, self.arrays[path])
            self.note(path, start)
        return path

    def whole(self) -> dict[Path, int]:
        table: Path = ()
        self.skip_all()
        while self.at < len(self.text):
            if self.peek("["):
                table = self.header()
            else:
                self.pair(table)
            self.skip_all()
        return self.lines


def key_lines(text: str) -> dict[Path, int]:
    """Return the line on which each key, table and list entry of a valid TOML text first stands.

    Parameters
    ----------
    text
        TOML that the standard library's parser accepts.

    Returns
    -------
    dict
        From path (names, and places in lists counted from 0) to line, counted from 1.

    Examples
    --------
    >>> found = key_lines('a = 1\\n[[b.c]]\\nd.e = {f = [2,\\n3]}\\n')
    >>> found[("b", "c", 0, "d", "e", "f")], found[("b", "c", 0, "d", "e", "f", 1)]
    (3, 4)
    """
    return _Walk(text).whole()
