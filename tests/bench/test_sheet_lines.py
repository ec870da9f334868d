"""The lines of a TOML text's keys, against the standard library's parser."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark import demo
from coldmark.bench.sheet.lines import Path as KeyPath
from coldmark.bench.sheet.lines import key_lines

SHEETS = sorted((Path(demo.__file__).parent / "sheets").glob("*.toml"))


def paths(value: object, at: KeyPath = ()) -> Iterator[KeyPath]:
    """Return every path of a parsed text."""
    if at:
        yield at
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*at, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from paths(inner, (*at, index))


AWKWARD = '''# a = 1
plain = 1
"quoted.key" = "a # b"   # [not.a.table]
'single' = 'it\\'
"\\u00e9" = 2
dotted.inner . deep = """
key = 3
\\""" still in it"""
literal = \'\'\'
[[no]]
\'\'\'\'
list = [ 1, # one
  "]", { x = [2,
  3], y.z = "}" },
]

[table.sub]  # after
date = 1979-05-27 07:32:00
[[array]]
name = "first"
  [[array.inner]]
  k = 1
  [[array.inner]]
  k = 2
[[array]]
name = "second"
[[array.inner]]
k = 3
[array.one]
v = {}
empty = []
'''


def test_awkward_texts_have_the_parsers_paths_and_true_lines() -> None:
    found = key_lines(AWKWARD)
    assert set(found) == set(paths(tomllib.loads(AWKWARD)))
    lines = AWKWARD.splitlines()
    for path, word in {
        ("quoted.key",): '"quoted.key"',
        ("é",): '"\\u00e9"',
        ("dotted", "inner", "deep"): "dotted.inner",
        ("literal",): "literal",
        ("list", 2, "y", "z"): "3], y.z",
        ("table", "sub", "date"): "date",
        ("array", 0, "inner", 1, "k"): "  k = 2",
        ("array", 1, "inner", 0, "k"): "k = 3",
        ("array", 1, "one", "empty"): "empty",
    }.items():
        assert lines[found[path] - 1].startswith((word, "  " + word)), path


@pytest.mark.parametrize("file", SHEETS, ids=lambda file: file.stem)
def test_every_path_of_a_real_sheet_has_the_line_where_its_key_is_written(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    lines = text.splitlines()
    found = key_lines(text)
    assert set(found) == set(paths(tomllib.loads(text)))
    for path, line in found.items():
        if isinstance(path[-1], str):
            assert path[-1] in lines[line - 1], path


BARE = st.text("abcxyz_-019", min_size=1, max_size=4)
QUOTED = st.text("ab.#[]{}=\"'\\ é", max_size=4).map(
    lambda text: '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
)
KEY = st.one_of(BARE, QUOTED)
SCALAR = st.one_of(
    st.integers(-99, 99).map(str),
    st.booleans().map(lambda value: "true" if value else "false"),
    st.text("ab#=[]{},.\"'\\ \n", max_size=8).map(
        lambda text: '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    ),
    st.text('ab#=[]{},."\\ \n', max_size=8).map(lambda text: "'''" + text + "'''"),
    st.text("ab#=[]{},.' \n", max_size=8).map(lambda text: '"""' + text + '"""'),
)
SPACE = st.sampled_from(["", " ", "\n", " # ]}\n"])


@st.composite
def _array(draw: st.DrawFn, inner: st.SearchStrategy[str]) -> str:
    items = draw(st.lists(inner, max_size=3))
    return "[" + "".join(draw(SPACE) + item + draw(SPACE) + "," for item in items) + draw(SPACE) + "]"


@st.composite
def _inline(draw: st.DrawFn, inner: st.SearchStrategy[str]) -> str:
    pairs = draw(st.dictionaries(KEY, inner, max_size=3))
    return "{" + ", ".join(f"{key} = {value}" for key, value in pairs.items()) + "}"


VALUE = st.recursive(SCALAR, lambda inner: st.one_of(_array(inner), _inline(inner)), max_leaves=6)


@st.composite
def _document(draw: st.DrawFn) -> str:
    text = ""
    for _ in range(draw(st.integers(0, 6))):
        key = ".".join(draw(st.lists(KEY, min_size=1, max_size=3)))
        match draw(st.integers(0, 2)):
            case 0:
                text += f"[{key}]\n"
            case 1:
                text += f"[[ {key} ]] # x\n"
            case _:
                text += f"{key} = {draw(VALUE)}{draw(st.sampled_from(['', ' # a = 1']))}\n"
    return text


@given(_document())
def test_any_text_that_parses_has_exactly_the_parsers_paths(text: str) -> None:
    try:
        parsed = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    found = key_lines(text)
    assert set(found) == {path for path in paths(parsed) if len(path) <= 9}
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())
