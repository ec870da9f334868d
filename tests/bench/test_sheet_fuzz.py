"""Whatever text is given, a sheet comes out or its faults do, and nothing else."""

from __future__ import annotations

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from coldmark.bench.sheet import Sheet, SheetFaults, check, read, template
from coldmark.bench.sheet.fields import TableSpec
from coldmark.bench.sheet.table import KINDS, ROOT

LINES = {kind: template(kind).splitlines() for kind in KINDS}
VALUES = st.sampled_from(
    ["0", "-1", "1e308", "1e-308", "nan", "inf", "9" * 30, "0.5", "true", '""', '"x"', '"\\u0000"', '"hydraulic"', "[]"]  # noqa: RUF005
    + ["[[]]", "{}", "{ a = 1 }", "[{}]", "['check']", "1979-05-27", "07:32:00", '"""\nx\n"""', '"' + "x" * 300 + '"']
)


def outcome(text: str) -> Sheet | SheetFaults:
    """Return what reading a text gives; any other exception flies."""
    try:
        return read(text)
    except SheetFaults as refusal:
        return refusal


def holds(text: str) -> None:
    """Assert the law for one text."""
    found = outcome(text)
    if isinstance(found, Sheet):
        assert check(text) == ()
        return
    assert found.faults == check(text) != ()
    assert str(found)
    for fault in found.faults:
        assert 0 <= fault.line <= text.count("\n") + 1
        assert fault.key
        assert fault.right in fault.say()


@given(st.text(st.characters(exclude_categories=()), max_size=200))
def test_any_text(text: str) -> None:
    holds(text)


@given(st.lists(st.text("abh =.[]{}\"'\n#,_1e-", max_size=30), max_size=8).map("\n".join))
def test_text_that_looks_like_toml(text: str) -> None:
    holds(text)


@settings(max_examples=200)
@given(st.sampled_from(KINDS), st.data())
def test_a_sheet_with_lines_changed_dropped_or_doubled(kind: str, data: st.DataObject) -> None:
    lines = list(LINES[kind])
    for _ in range(data.draw(st.integers(1, 4))):
        index = data.draw(st.integers(0, len(lines) - 1))
        key, equals, _ = lines[index].removeprefix("# ").partition(" = ")
        match data.draw(st.integers(0, 4)):
            case 0:
                del lines[index]
            case 1:
                lines.insert(index, data.draw(st.sampled_from(lines)))
            case 2 if equals:
                lines[index] = f"{key} = {data.draw(VALUES)}"
            case 3:
                lines[index] = lines[index].removeprefix("# ")
            case _:
                lines[index] = data.draw(st.text('[]a.b=1"', max_size=10))
    holds("\n".join(lines))


def _value(spec: TableSpec, draw: st.DrawFn) -> str:
    """Draw an inline table with keys that are known, in any unit, and values of any kind."""
    known = spec.known()
    pairs = {}
    for key in draw(st.lists(st.sampled_from(sorted(known)), max_size=4, unique=True)):
        table = known[key][0].table
        pairs[key] = draw(VALUES) if table is None or draw(st.booleans()) else _value(table, draw)
    inside = ", ".join(f"{key} = {value}" for key, value in pairs.items() if "\n" not in value)
    shape = draw(st.sampled_from(["{%s}", "[{%s}]", "{x = {%s}}", "{%s}"]))
    return shape % inside


@st.composite
def _by_the_table(draw: st.DrawFn) -> str:
    lines = []
    for field in ROOT.fields:
        value = draw(VALUES) if field.table is None else _value(field.table, draw)
        if draw(st.booleans()):
            lines.append(f"{field.key} = {value}")
    return "\n".join(lines)


@settings(max_examples=200)
@given(_by_the_table())
def test_known_keys_with_values_of_any_kind(text: str) -> None:
    tomllib.loads(text)
    holds(text)
