"""The OpenAPI description: it tells of every address, and the API keeps to it whatever it is sent."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from django.core import signals
from django.db import close_old_connections
from django.urls import URLPattern
from hypothesis import HealthCheck, Phase, settings
from jsonschema import Draft202012Validator
from schemathesis.checks import not_a_server_error
from schemathesis.config import SchemathesisConfig
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from schemathesis.specs.openapi.schemas import OpenApiSchema

from coldmark.api.answers import methods_of
from coldmark.api.describing import openapi
from coldmark.api.urls import urlpatterns
from coldmark.bench.catalogue import ENTRIES
from coldmark.bench.facts import KINDS, OLDER
from coldmark.project.wsgi import application
from coldmark.records import services
from coldmark.records.models import Person
from tests.api.asking import Asking, told
from tests.records.house import PASSWORD, House, sheet_text
from tests.records.jobs import Work, do_all


def described() -> set[tuple[str, str]]:
    return {(path, method.upper()) for path, methods in openapi()["paths"].items() for method in methods}


def answered() -> Iterator[tuple[str, str]]:
    for pattern in urlpatterns:
        assert isinstance(pattern, URLPattern)
        path = "/api/" + re.sub(r"<\w+:(\w+)>", r"{\1}", str(pattern.pattern))
        names = ENTRIES if "{name}" in path else ("",)
        for name in names:
            for method in methods_of(pattern.callback):
                yield path.replace("{name}", name), method


def test_every_address_and_method_is_described_and_no_other() -> None:
    assert described() == set(answered())


def test_it_is_told_to_who_is_signed_in(mechanic: Asking) -> None:
    description = told(mechanic.get("openapi.json"))
    assert description == json.loads(json.dumps(openapi()))
    assert description["openapi"].startswith("3.1")


def test_its_schemas_are_schemas_and_its_references_lead_somewhere() -> None:
    description = openapi()
    for schema in description["components"]["schemas"].values():
        Draft202012Validator.check_schema(schema)
    for reference in re.findall(r'"\$ref": "([^"]+)"', json.dumps(description)):
        at: Any = description
        for part in reference.removeprefix("#/").split("/"):
            at = at[part]


def test_it_speaks_of_every_kind_of_fact() -> None:
    schemas = openapi()["components"]["schemas"]
    assert {f"fact.{kind}" for kind in KINDS} <= schemas.keys()
    # Phones that were last here with an older version hand in its facts.
    assert {f"fact.{kind}_v{version}" for kind, version in OLDER} <= schemas.keys()
    assert len(schemas["fact"]["oneOf"]) == len(KINDS) + len(OLDER)


def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator({"$ref": f"#/components/schemas/{name}", "components": openapi()["components"]})


def test_what_the_card_answers_is_as_described(house: House, mechanic: Asking, work: Work) -> None:
    do_all(work)
    card = told(mechanic.get(f"jobs/{work.job}/card"))
    assert validator("Card").is_valid(card)
    assert all(validator("fact").is_valid(fact) for fact in card["facts"])
    assert validator("Finish").is_valid(told(mechanic.get(f"jobs/{work.job}/finish")))
    assert validator("Me").is_valid(told(mechanic.get("me")))


@pytest.mark.parametrize("key", [key for key, entry in ENTRIES.items() if entry.example])
def test_the_example_of_a_calculation_is_as_described_and_a_wrong_name_is_not(key: str) -> None:
    entry = ENTRIES[key]
    texts = {one.name: "a text" for one in entry.inputs if one.kind in {"sheet", "oil", "text"}}
    whole = texts | json.loads(json.dumps(entry.example))
    assert validator(f"calc.{key}").is_valid(whole)
    assert not validator(f"calc.{key}").is_valid(whole | {"tea_l": 1})


def test_the_level_is_described_with_its_units_and_choices() -> None:
    level = validator("level_read")
    assert level.is_valid({"reading": "0.35", "oil_f": 46, "posture": "arm_out", "engine": "stopped"})
    assert level.is_valid({"reading": "below", "warmth": None, "rods": {"boom": 0.5}})
    for wrong in ({}, {"reading": 0.3, "oil_k": 280}, {"reading": 0.3, "engine": "roaring"}):
        assert not level.is_valid(wrong)


# From here on the API is sent what nobody would write by hand.


def api(mode: str, *, examples: int) -> OpenApiSchema:
    """The described API, to be sent what fits the description (*positive*) or what does not, too (*all*)."""
    generation = {"max-examples": examples, "deterministic": True, "with-security-parameters": False, "mode": mode}
    config = SchemathesisConfig.from_dict({"generation": generation, "phases": {"coverage": {"enabled": False}}})
    loaded = schemathesis.openapi.from_dict(json.loads(json.dumps(openapi())), config=config)
    loaded.app = application
    return loaded


# What does not fit a calculation is tried by hand in test_catalogue.py: there are many, and making it up is slow.
records = api("all", examples=12).exclude(path_regex="^/api/calc/")
calculations = api("positive", examples=8).include(path_regex="^/api/calc/")
wildly = settings(suppress_health_check=list(HealthCheck), deadline=None, phases=(Phase.generate,))

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


@contextmanager
def one_connection() -> Iterator[None]:
    """Keep the test's connection and its transaction: a request through the server's door would close it at its end."""
    ends = (signals.request_started, signals.request_finished)
    for end in ends:
        end.disconnect(close_old_connections)
    try:
        yield
    finally:
        for end in ends:
            end.connect(close_old_connections)


@dataclass(frozen=True)
class Place:
    """What makes a wild request reach further than the first refusal: a way in, a job, a sheet."""

    asking: Asking
    token: str
    job: str = ""
    sheet: str = ""

    def hears(self, case: schemathesis.Case[Any]) -> None:
        """Send a request in somebody's name, and hold the answer against the description."""
        cookies = {name: one.value for name, one in self.asking.client.cookies.items()}
        headers = {"X-CSRFToken": self.token, "Accept-Encoding": "identity"}
        with one_connection():
            answer = case.call(headers=headers, cookies=cookies)
        case.validate_response(answer, checks=CHECKS)


@pytest.fixture
def busy(house: House, mechanic: Asking, work: Work) -> Place:
    """A house with an open job, and its mechanic."""
    return Place(mechanic, told(mechanic.get("me"))["csrf"], job=work.job)


@pytest.fixture
def bare(db: None, data_folder: Path) -> Place:
    """A house with nothing but a sheet, and the one who keeps it."""
    person = Person.objects.get(id=services.first_person("Ina Orr", "ina", PASSWORD))
    sheet = services.keep_sheet(person, sheet_text()).sha256
    asking = Asking(person)
    return Place(asking, told(asking.get("me"))["csrf"], sheet=sheet)


@records.parametrize()
@wildly
def test_whatever_it_is_sent_it_answers_as_described(case: schemathesis.Case[Any], busy: Place) -> None:
    if case.method == "POST" and "job" in case.path_parameters:
        case.path_parameters["job"] = busy.job
    if isinstance(case.body, dict) and isinstance(case.body.get("posture"), str):
        case.body["posture"] = "arm_out"
    busy.hears(case)


@calculations.parametrize()
@wildly
def test_a_calculation_answers_as_described(case: schemathesis.Case[Any], bare: Place) -> None:
    if isinstance(case.body, dict) and "sheet" in case.body:
        case.body |= {"sheet": bare.sheet, "posture": "arm_out"}
    bare.hears(case)
