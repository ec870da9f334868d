"""Facts are read strictly, kept unchanged, and every refusal names what to change."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench import facts
from coldmark.bench.errors import Refused
from coldmark.bench.facts import KINDS, Field, Kind, contract, kinds
from coldmark.bench.facts import reading as facts_reading
from tests.bench.recorder import DEVICE, MACHINE, PERSON, Recorder, hours, uuid
from tests.published.reading import rows

CONTRACT = Path(__file__).parents[2] / "contract"
GOLDEN = sorted((CONTRACT / "golden" / "facts").glob("*.json"))
REFUSED = sorted((CONTRACT / "golden" / "refused").glob("*.json"))


def load(path: Path) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_every_golden_message_is_read_and_keeps_its_text(path: Path) -> None:
    golden = load(path)
    fact = facts.parse(golden["text"])
    assert (fact.kind, fact.version, fact.known) == (golden["kind"], golden["version"], golden["known"])
    assert facts.canonical(fact) == golden["text"]
    assert facts.text_hash(fact.text) == golden["sha256"]
    assert facts.parse(fact.text, stored=True) == fact


def test_every_version_of_every_kind_has_a_golden_message() -> None:
    wanted = {f"{kind.name}.v{version}" for kind in KINDS.values() for version in range(1, kind.version + 1)}
    assert wanted <= {path.stem for path in GOLDEN}


@pytest.mark.parametrize("path", REFUSED, ids=lambda path: path.stem)
def test_every_golden_refusal_names_its_field(path: Path) -> None:
    golden = load(path)
    with pytest.raises(Refused) as caught:
        facts.parse(golden["text"])
    assert caught.value.name == golden["name"]
    assert golden["name"] in str(caught.value)


@pytest.mark.parametrize("name", list(contract.FILES))
def test_the_generated_contract_is_fresh(name: str) -> None:
    written = (CONTRACT / name).read_text(encoding="utf-8")
    assert written == contract.FILES[name](), "stale: run `python -m coldmark.bench.facts contract`"


def test_the_contract_is_written_into_a_folder(tmp_path: Path) -> None:
    contract.write(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(contract.FILES)


def test_the_schema_is_a_valid_schema_and_takes_the_golden_messages() -> None:
    schema = facts.json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for path in GOLDEN:
        golden = load(path)
        assert validator.is_valid(json.loads(golden["text"])) == golden["known"], path.stem


# What JSON Schema cannot say: how the text is written, which days there are, limits, and fields that hang together.
BEYOND_SCHEMA = {"blanks", "escaped_letter", "key_twice", "no_such_day", "negative_hours"}
BEYOND_SCHEMA |= {"ends_before_it_begins", "withdrawn_with_a_body", "reason_for_a_new_part", "search_without_proof"}
BEYOND_SCHEMA |= {"drift_without_its_time", "cycle_that_moved", "torque_of_nobody", "doubt_of_the_sheets_torque"}
BEYOND_SCHEMA |= {"code_beside_a_value", "value_without_its_unit"}


def test_the_schema_refuses_what_it_can_refuse() -> None:
    validator = jsonschema.Draft202012Validator(facts.json_schema())
    taken = {path.stem for path in REFUSED if validator.is_valid(json.loads(load(path)["text"]))}
    assert taken == BEYOND_SCHEMA


def test_the_types_name_every_field_of_every_kind() -> None:
    text = facts.typescript()
    for kind in KINDS.values():
        assert f'  {kind.name}: Envelope<"{kind.name}", {kind.version},' in text
        for name, field in kind.fields.items():
            assert f"  {name}{'?' if field.optional else ''}: " in text


def test_ids_follow_the_standards_example() -> None:
    (row,) = rows("facts", "uuid7")
    bits = int(row.given["rand_a"], 16) << 62 | int(row.given["rand_b"], 16)
    assert facts.new_id(int(row.given["time"], 16), bits) == row.printed.lower()


def test_the_hash_of_a_text_follows_the_standards_example() -> None:
    (row,) = rows("facts", "sha256")
    assert facts.text_hash(row.given["text"]) == row.printed


@given(st.integers(0, 2**48 - 1), st.integers(0, 2**74 - 1))
def test_an_id_holds_its_time_and_is_of_version_7(now_ms: int, random_bits: int) -> None:
    made = facts.new_id(now_ms, random_bits)
    assert facts.id_time_ms(made) == now_ms
    assert made[14] == "7"
    assert made[19] in "89ab"
    value = int(made.replace("-", ""), 16)
    assert (value >> 64 & 0xFFF) << 62 | value & (1 << 62) - 1 == random_bits


@given(st.integers(0, 2**48 - 2), st.integers(0, 2**74 - 1), st.integers(0, 2**74 - 1))
def test_ids_sort_by_time(now_ms: int, one: int, other: int) -> None:
    assert facts.new_id(now_ms, one) < facts.new_id(now_ms + 1, other)


@pytest.mark.parametrize(
    ("now_ms", "bits", "name"), [(-1, 0, "now_ms"), (2**48, 0, "now_ms"), (0, 2**74, "random_bits")]
)
def test_an_id_needs_numbers_that_fit(now_ms: int, bits: int, name: str) -> None:
    with pytest.raises(Refused) as caught:
        facts.new_id(now_ms, bits)
    assert caught.value.name == name


def test_a_refusal_says_what_would_be_right() -> None:
    record = Recorder()
    with pytest.raises(Refused) as caught:
        record.meter("2026-03-02", "12,5")
    assert str(caught.value) == ('body.reading.value = 12,5 is not right: it must be a decimal as text, like "12.5".')


def test_a_quantity_is_turned_into_the_benchs_unit() -> None:
    assert facts.quantity({"value": "2", "unit": "gal"}, "volume") == pytest.approx(7.570823568)
    with pytest.raises(Refused, match=r"hours\.unit = l"):
        facts.quantity({"value": "2", "unit": "l"}, "hours")


def test_made_facts_of_an_unknown_kind_are_refused() -> None:
    with pytest.raises(Refused) as caught:
        Recorder()("tyre_pressure_read", "2026-03-02", {})
    assert caught.value.name == "kind"


def test_moments_in_other_offsets_are_the_same_moment() -> None:
    east = Recorder()("task_done", "2026-03-02T09:00:00+01:00", {"task": "a"})
    here = Recorder()("task_done", "2026-03-02T08:00:00+00:00", {"task": "a"})
    assert east.at_ms == here.at_ms


@pytest.mark.parametrize(
    ("kind", "change", "name"),
    [
        ("level_read", {"reading": "2.5"}, "body.reading"),
        ("level_read", {"reading": "under"}, "body.reading"),
        ("level_read", {"settled_min": True}, "body.settled_min"),
        ("level_read", {"settled_min": -1}, "body.settled_min"),
        ("level_read", {"foam": 1}, "body.foam"),
        ("level_read", {"warmth": "hand_warm", "oil": {"value": "8", "unit": "c"}}, "body.warmth"),
        ("level_read", {"rods": {"boom": "1.2"}}, "body.rods.boom"),
        ("level_read", {"rods": {"boom arm": "1"}}, "body.rods.boom arm"),
        ("level_read", {"rods": []}, "body.rods"),
        ("level_read", {"oil": {"value": "800", "unit": "c"}}, "body.oil.value"),
        ("level_read", {"photo": "abc"}, "body.photo"),
        ("level_read", {"posture": "arm out"}, "body.posture"),
        ("job_opened", {"tasks": ["hyd 500"]}, "body.tasks.0"),
        ("job_opened", {"tasks": "hyd_500"}, "body.tasks"),
        ("job_closed", {"facts": [[uuid(2), "0" * 64], [uuid(1), "0" * 64]]}, "body.facts.1"),
        ("job_closed", {"facts": [[uuid(2)]]}, "body.facts.0"),
        ("job_closed", {"facts": [[uuid(2), "0"]]}, "body.facts.0"),
        ("job_closed", {"facts": {}}, "body.facts"),
        ("meter_stopped", {"since": "2026-02-30"}, "body.since"),
        ("meter_stopped", {"since": "yesterday"}, "body.since"),
        ("finding", {"cost_low": 300, "cost_high": 200}, "body.cost_high"),
        ("part_in", {"number": " HF"}, "body.number"),
        ("part_in", {"number": "H\u0007F"}, "body.number"),
        ("meter_read", {"reading": "12"}, "body.reading"),
        ("correction", {"action": "replace", "body": None}, "body.body"),
        ("correction", {"action": "replace", "body": "x"}, "body.body"),
    ],
)
def test_a_field_that_is_not_right_is_refused_by_name(kind: str, change: dict[str, object], name: str) -> None:
    golden = json.loads(load(CONTRACT / "golden" / "facts" / f"{kind}.v1.json")["text"])
    with pytest.raises(Refused) as caught:
        facts.check_body(kind, 1, golden["body"] | change)
    assert caught.value.name == name


@pytest.mark.parametrize("text", ["", "[]", "{", "nul", '"a"', "[" * 100_000, "1" * 5000, "NaN", "x" * 1_000_001])
def test_text_that_is_no_fact_is_refused(text: str) -> None:
    with pytest.raises(Refused) as caught:
        facts.parse(text)
    assert caught.value.name == "text"


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@given(st.sampled_from(GOLDEN), st.data())
def test_any_value_in_any_field_is_taken_or_refused_and_never_crashes(path: Path, data: st.DataObject) -> None:
    message = json.loads(load(path)["text"])
    into = message if data.draw(st.booleans()) else message["body"]
    into[data.draw(st.sampled_from(sorted(into)))] = data.draw(JSON)
    text = json.dumps(message, separators=(",", ":"), ensure_ascii=False)
    refused = None
    try:
        facts.parse(text)
    except Refused as caught:
        refused = caught
    assert refused is None or (refused.name and refused.name in str(refused))


def test_an_older_version_is_brought_up_by_pure_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    def third(body: facts.Body) -> facts.Body:
        return {"shown": body["shown"], "way": "seen"}

    def second(body: facts.Body) -> facts.Body:
        return {"shown": body["reading"]}

    subjects = kinds.KINDS["meter_read"].subjects
    quantity, way = Field("quantity", "shown", measures="hours"), Field("choice", "way", choices=("seen", "told"))
    monkeypatch.setitem(kinds.KINDS, "dial_read", Kind("dial_read", 3, "", subjects, {"shown": quantity, "way": way}))
    for version, fields in ((1, {"reading": quantity}), (2, {"shown": quantity})):
        monkeypatch.setitem(facts.OLDER, ("dial_read", version), Kind("dial_read", version, "", subjects, fields))
    monkeypatch.setitem(facts.UPGRADES, ("dial_read", 1), second)
    monkeypatch.setitem(facts.UPGRADES, ("dial_read", 2), third)
    facts_reading._checks.cache_clear()

    template = json.loads(load(CONTRACT / "golden" / "facts" / "meter_read.v1.json")["text"])
    old = template | {"kind": "dial_read", "version": 1, "body": {"reading": hours("7")}}
    text = json.dumps(old, separators=(",", ":"))
    fact = facts.parse(text)
    assert fact.version == 1
    assert fact.text == text
    assert fact.body == {"shown": hours("7"), "way": "seen"}
    with pytest.raises(Refused) as caught:
        facts.parse(json.dumps(old | {"body": {"shown": hours("7")}}, separators=(",", ":")))
    assert caught.value.name == "body.reading"
    facts_reading._checks.cache_clear()


def test_every_older_version_has_its_upgrade() -> None:
    wanted = {(kind.name, version) for kind in KINDS.values() for version in range(1, kind.version)}
    assert set(facts.OLDER) == set(facts.UPGRADES) == wanted


def test_made_facts_say_who_where_and_when() -> None:
    fact = Recorder().meter("2026-03-02T08:15:00+01:00", "12.5")
    assert (fact.subject_type, fact.subject, fact.device, fact.number, fact.person) == (
        "machine",
        MACHINE,
        DEVICE,
        1,
        PERSON,
    )
    assert fact.text.startswith('{"id":"')
    assert [*json.loads(fact.text)] == list(facts.ENVELOPE)
