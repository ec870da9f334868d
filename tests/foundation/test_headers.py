"""Every answer carries the strict headers, whatever it is an answer to."""

from __future__ import annotations

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory

from coldmark.project.headers import StrictHeaders


def policy_of(path: str) -> dict[str, str]:
    def empty(request: HttpRequest) -> HttpResponse:
        return HttpResponse()

    text = StrictHeaders(empty)(RequestFactory().get(path))["Content-Security-Policy"]
    return dict(part.split(" ", 1) for part in text.split("; "))


@pytest.mark.parametrize(
    "path", ["/", "/due/", "/jobs/1/", "/jobs/1/card/", "/phone", "/static/web/sums.js", "/api/phone/"]
)
def test_no_page_but_the_apps_may_compile_anything(path: str) -> None:
    policy = policy_of(path)
    assert policy["script-src"] == "'self'"
    assert policy["default-src"] == "'none'"


@pytest.mark.parametrize("path", ["/phone/", "/phone/sw.js", "/static/phone/app/worker-1.js"])
def test_the_app_may_compile_webassembly_and_nothing_else(path: str) -> None:
    assert policy_of(path)["script-src"] == "'self' 'wasm-unsafe-eval'"


def test_only_the_app_may_ask_where_somebody_is() -> None:
    def empty(request: HttpRequest) -> HttpResponse:
        return HttpResponse()

    told = {path: StrictHeaders(empty)(RequestFactory().get(path))["Permissions-Policy"] for path in ("/phone/", "/")}
    assert "geolocation=(self)" in told["/phone/"]
    assert "geolocation=()" in told["/"]


def test_what_people_sent_in_loads_and_runs_nothing() -> None:
    def empty(request: HttpRequest) -> HttpResponse:
        return HttpResponse()

    answer = StrictHeaders(empty)(RequestFactory().get("/api/attachments/" + "0" * 64))
    assert answer["Content-Security-Policy"] == "default-src 'none'; frame-ancestors 'none'; sandbox"


@pytest.mark.parametrize("path", ["/", "/phone/"])
def test_nothing_comes_from_another_host_and_nothing_stands_inline(path: str) -> None:
    policy = policy_of(path)
    allowed = {"'self'", "'none'", "data:", "blob:", "'wasm-unsafe-eval'"}
    assert {source for sources in policy.values() for source in sources.split()} <= allowed
    assert policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["form-action"] == policy["connect-src"] == policy["font-src"] == policy["manifest-src"] == "'self'"
    assert policy["img-src"] == "'self' data: blob:"


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/no-such-page/", "/static/no-such-file.css", "/api/no-such-thing"])
def test_a_page_that_is_not_there_carries_them_too(path: str) -> None:
    answer = Client().get(path)
    assert answer.status_code in {401, 404}
    assert "default-src 'none'" in answer["Content-Security-Policy"]
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert answer["X-Frame-Options"] == "DENY"


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/sign-in/", "/", "/no-such-page/"])
def test_a_page_is_stored_nowhere(path: str) -> None:
    answer = Client().get(path)
    assert "no-store" in answer["Cache-Control"]
    assert "Access-Control-Allow-Origin" not in answer


@pytest.mark.django_db
def test_a_static_file_is_for_this_house_alone() -> None:
    answer = Client().get("/static/web/site.css")
    answer.close()
    assert answer.status_code == 200
    assert "Access-Control-Allow-Origin" not in answer
