"""Facts: what is recorded. Appended, never edited or deleted; corrected only by another fact.

:func:`parse` reads one from its canonical text, :func:`make` makes one, :data:`KINDS` describes every kind once;
JSON Schema and TypeScript types are made from that table (:func:`json_schema`, :func:`typescript`).
"""

from coldmark.bench.facts.checks import moment_ms, quantity
from coldmark.bench.facts.contract import json_schema, typescript
from coldmark.bench.facts.ids import ID_RANDOM_BITS, id_time_ms, new_id, text_hash
from coldmark.bench.facts.kinds import KINDS, REASONS, Field, FieldType, Kind
from coldmark.bench.facts.model import Body, Fact, SubjectType
from coldmark.bench.facts.reading import ENVELOPE, canonical, check_body, make, parse
from coldmark.bench.facts.upgrades import OLDER, UPGRADES

__all__ = [
    "ENVELOPE",
    "ID_RANDOM_BITS",
    "KINDS",
    "OLDER",
    "REASONS",
    "UPGRADES",
    "Body",
    "Fact",
    "Field",
    "FieldType",
    "Kind",
    "SubjectType",
    "canonical",
    "check_body",
    "id_time_ms",
    "json_schema",
    "make",
    "moment_ms",
    "new_id",
    "parse",
    "quantity",
    "text_hash",
    "typescript",
]
