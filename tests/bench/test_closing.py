"""The closing code: the same for the same facts, another for any other, and proof against slips of the pen."""

from __future__ import annotations

import base64
import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldmark.bench.closing import closing, read_code
from coldmark.bench.errors import Contradiction, Refused
from tests.bench.write_closing import GOLDEN_CLOSING, cases

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
FACTS = st.dictionaries(st.uuids().map(str), st.binary(min_size=32, max_size=32).map(bytes.hex), max_size=20)


@given(FACTS, st.randoms())
def test_the_order_in_which_facts_are_named_does_not_matter(facts: dict[str, str], chance: object) -> None:
    pairs = list(facts.items())
    expected = closing(pairs)
    chance.shuffle(pairs)  # type: ignore[attr-defined]
    assert closing(pairs) == expected


@given(FACTS)
def test_the_code_is_the_beginning_of_the_hash_in_base_32(facts: dict[str, str]) -> None:
    """Held against hashlib and base64 of the standard library, whose base 32 has other signs in the same order."""
    text = "".join(f"{id} {sha}\n" for id, sha in sorted(facts.items()))
    digest = hashlib.sha256(text.encode()).digest()
    other = base64.b32encode(digest[:10]).decode()
    same = other.translate(str.maketrans("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567", LETTERS))
    found = closing(facts.items())
    assert found.bare[:16] == same
    assert found.sha256 == digest.hex()


@given(FACTS, st.integers(0, 16), st.integers(1, 31))
def test_any_one_wrong_sign_is_found(facts: dict[str, str], place: int, by: int) -> None:
    bare = closing(facts.items()).bare
    wrong = LETTERS[(LETTERS.index(bare[place]) + by) % 32]
    with pytest.raises(Refused, match="wrong sign"):
        read_code(bare[:place] + wrong + bare[place + 1 :])


@given(FACTS, st.integers(0, 16), st.integers(0, 16))
def test_any_two_swapped_signs_are_found(facts: dict[str, str], one: int, other: int) -> None:
    signs = list(closing(facts.items()).bare)
    if signs[one] == signs[other]:
        return
    signs[one], signs[other] = signs[other], signs[one]
    with pytest.raises(Refused, match="swapped"):
        read_code("".join(signs))


@given(FACTS)
def test_it_is_read_in_small_letters_with_blanks_and_with_look_alikes(facts: dict[str, str]) -> None:
    code = closing(facts.items()).code
    assert read_code(f" {code.lower().replace('-', ' ')} ") == code
    assert read_code(code.replace("0", "O").replace("1", "l")) == code


@given(FACTS, st.binary(min_size=32, max_size=32).map(bytes.hex))
def test_another_text_of_one_fact_gives_another_code(facts: dict[str, str], other: str) -> None:
    if not facts:
        return
    id, sha = next(iter(facts.items()))
    if sha != other:
        assert closing((facts | {id: other}).items()).code != closing(facts.items()).code


@pytest.mark.parametrize("text", ["", "V5PG", "V5PG-8FDB-26H7-MZWT", "V5PG-8FDB-26H7-MZW?E", "u" * 17])
def test_what_is_no_code_is_told_so(text: str) -> None:
    with pytest.raises(Refused, match="17 letters and digits"):
        read_code(text)


def test_a_fact_named_twice_or_not_as_one_is_refused() -> None:
    fact = ("01920000-0000-7000-8000-000000000001", "a" * 64)
    with pytest.raises(Contradiction, match="once"):
        closing([fact, (fact[0], "b" * 64)])
    with pytest.raises(Contradiction, match="SHA-256"):
        closing([("one", "a" * 64)])


def test_the_golden_codes_are_those_that_the_bench_makes() -> None:
    """The phone makes them too, and draws the hashes: its tests are held to the same file."""
    golden = json.loads(GOLDEN_CLOSING.read_text(encoding="utf-8"))
    assert golden == json.loads(json.dumps(cases())), "stale: run `python -m tests.bench.write_closing`"
