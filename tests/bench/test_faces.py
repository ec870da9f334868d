"""Each calculation has all its faces: words, formula, steps, a page of its own, and a value that somebody else printed.

Its form and its page among the office's are walked in ``tests/web/test_sums.py``, its endpoint in
``tests/api/test_catalogue.py``, its command in ``tests/cli/test_calc_command.py``.
"""

from __future__ import annotations

import re

import pytest

from coldmark.bench import catalogue, words
from coldmark.bench.catalogue import ENTRIES, TOPICS
from tests.bench import write_how
from tests.published.reading import rows, topics

MOST_BY_STEPS = 1e5
"""Over a wider span (particles in a millilitre) a value is typed as the paper has it; no step would get there."""
PARTS = ("what", "when", "assumes", "limits")
PUBLISHED = {row.asked.split(".")[0] for topic in topics() if topic.startswith("sums_") for row in rows(topic)}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("key", ENTRIES)
def test_it_says_what_it_tells_when_to_use_it_what_it_assumes_and_where_it_ends(key: str, part: str) -> None:
    told = catalogue.describe(key)[part]
    assert told.endswith(".")
    assert "{" not in told


@pytest.mark.parametrize("key", ENTRIES)
def test_it_stands_under_a_topic_and_shows_its_formula(key: str) -> None:
    entry = ENTRIES[key]
    assert entry.topic in TOPICS
    assert entry.formulas
    for tex in entry.formulas:
        assert tex.count("{") == tex.count("}")
        assert not re.search(r"[^\x20-\x7e]", tex), "a formula is written in plain letters, as TeX has them"


@pytest.mark.parametrize("key", ENTRIES)
def test_every_number_of_a_form_can_be_moved_by_a_step(key: str) -> None:
    for one in ENTRIES[key].inputs:
        if one.kind in {"number", "whole", "reading"}:
            assert one.low is not None
            assert one.high is not None
            if one.high - one.low > MOST_BY_STEPS and one.step is None:
                continue
            assert one.step is not None, one.name
            assert 0 < one.step <= (one.high - one.low) / 2, one.name


@pytest.mark.parametrize("key", ENTRIES)
def test_it_is_held_against_a_value_that_was_printed_elsewhere(key: str) -> None:
    assert key in PUBLISHED, f"no row of tests/published/sums_*.csv asks for {key}"


def test_no_two_calculations_answer_the_same_question() -> None:
    asked = [words.sentence(entry.question) for entry in ENTRIES.values()]
    assert len(asked) == len(set(asked))


def test_the_pages_that_say_how_it_is_worked_out_are_fresh() -> None:
    made = write_how.pages()
    kept = {path.name: path.read_text(encoding="utf-8") for path in write_how.FOLDER.iterdir()}
    assert set(kept) == set(made)
    stale = [name for name, text in made.items() if kept[name] != text]
    assert not stale, f"write them anew with python -m tests.bench.write_how: {stale}"
