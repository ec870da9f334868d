"""How the API answers: JSON always, a refusal with its sentence and the name of the field, never a page."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, Concatenate, NoReturn, ParamSpec

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.http.request import UnreadablePostError

from coldmark.api.shapes import Said, plain
from coldmark.bench import words
from coldmark.bench.errors import ColdmarkError, Refused
from coldmark.records import services
from coldmark.records.errors import NotAllowed, NotFound, NotNow
from coldmark.records.models import Person

__all__ = ["KEY_COOKIE", "body_of", "endpoint", "key_of", "methods_of", "said", "tell", "trusted", "units_of"]

KEY_COOKIE = "coldmark_key"
"""Sent along under /api/ alone: no page of the office is opened by it."""
_KEY = "coldmark.key"

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, Person, P], HttpResponseBase]

logger = logging.getLogger(__name__)


def units_of(person: Person) -> words.UnitSystem:
    """The units in which a person is answered."""
    return "us" if person.units == "us" else "metric"


def tell(answer: object, *, status: int = 200) -> JsonResponse:
    """An answer of one of the API's shapes, or plain data. What JSON has no word for (NaN) is a mistake here."""
    return JsonResponse(plain(answer), status=status, safe=False, json_dumps_params={"allow_nan": False})


def said(status: int, message: str, /, **values: str) -> JsonResponse:
    """An answer that is a sentence."""
    return tell(Said(words.sentence(message, units="metric", **values)), status=status)


def _refusal(error: ColdmarkError, person: Person) -> JsonResponse:
    answer = Said(error.say(units_of(person)), error.name if isinstance(error, Refused) else None)
    if isinstance(error, NotFound):
        return tell(answer, status=404)
    if isinstance(error, NotAllowed):
        return tell(answer, status=403)
    if isinstance(error, NotNow):
        response = tell(answer, status=429)
        response["Retry-After"] = str(error.wait_s)
        return response
    return tell(answer, status=422)


def endpoint(
    *methods: str, delivering: tuple[str, ...] = ()
) -> Callable[[View[P]], Callable[Concatenate[HttpRequest, P], HttpResponseBase]]:
    """Make a view of the API: let in by signing in or by a device's key, one of ``methods``, refusals as JSON.

    The view is called with the request, the person, and the parts of the address. With one of the methods that are
    ``delivering`` a key that is trusted no more does too: :func:`trusted` tells, and what is brought is held apart.
    """

    def wrap(view: View[P]) -> Callable[Concatenate[HttpRequest, P], HttpResponseBase]:
        @wraps(view)
        def answer(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            if request.method not in methods:
                response = said(405, "api.method", method=str(request.method), methods=", ".join(methods))
                response["Allow"] = ", ".join(methods)
                return response
            person = _let_in(request, delivering)
            if person is None:
                return _turned_away(request)
            try:
                response_made = view(request, person, *args, **kwargs)
            except ColdmarkError as error:
                response_made = _refusal(error, person)
            except RequestDataTooBig:
                response_made = said(413, "api.too_long")
            except UnreadablePostError:
                response_made = said(400, "api.broken_off")
            response_made["Cache-Control"] = response_made.get("Cache-Control", "no-store")
            return response_made

        answer.methods = methods  # type: ignore[attr-defined]
        return answer

    return wrap


def _let_in(request: HttpRequest, delivering: tuple[str, ...]) -> Person | None:
    person = request.user if isinstance(request.user, Person) and request.user.is_active else None
    if person is not None and (person.is_staff or request.method not in delivering):
        return person
    key = services.read_key(request.COOKIES.get(KEY_COOKIE, ""))
    if key is None or (person is not None and key.person.id != person.id):
        return person
    # Somebody who has become an owner meanwhile brings what was recorded before by the key that was given for it.
    request.META[_KEY] = key
    return key.person if key.trusted or request.method in delivering else None


def _turned_away(request: HttpRequest) -> HttpResponseBase:
    """Nobody is let in. One who comes with a key that is trusted no more is told: what was taken along has to go."""
    known = key_of(request) is not None
    answer = Said(words.sentence("api.key_gone"), "key") if known else Said(words.sentence("api.sign_in"))
    response = tell(answer, status=401)
    response["Cache-Control"] = "no-store"
    return response


def key_of(request: HttpRequest) -> services.KeyUse | None:
    """The key by which a request was let in; ``None`` where its sender is signed in."""
    found = request.META.get(_KEY)
    return found if isinstance(found, services.KeyUse) else None


def trusted(request: HttpRequest) -> bool:
    """Whether what a request brings counts at once."""
    key = key_of(request)
    return key is None or key.trusted


def methods_of(view: object) -> tuple[str, ...]:
    """The methods that a view made by :func:`endpoint` answers."""
    return tuple(getattr(view, "methods", ()))


def body_of(request: HttpRequest) -> Mapping[str, Any]:
    """Read the request's JSON object.

    Raises
    ------
    Refused
        When the body is no JSON object.
    """
    try:
        told = json.loads(request.body, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise Refused("api.not_json", name="body") from None
    if not isinstance(told, dict):
        raise Refused("api.not_object", name="body")
    return told


def _no_number(word: str) -> NoReturn:
    """NaN and Infinity are no JSON, though Python reads them."""
    raise ValueError(word)
