"""Whether a closing code is one of ours, and what it stands for: for anybody who has it, without an account."""

from __future__ import annotations

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from coldmark.bench.errors import ColdmarkError
from coldmark.records import paperwork, services
from coldmark.records.errors import NotNow
from coldmark.web.form_words import say_in_full

__all__ = ["check"]


class CodeForm(forms.Form):
    """A closing code off a sticker, or the whole hash off a report's square code."""

    code = forms.CharField(
        label="The code",
        max_length=200,
        strip=True,
        help_text="17 letters and digits, as on the sticker or the report; or the 64 that the square code holds.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}),
    )


@never_cache
@require_safe
def check(request: HttpRequest) -> HttpResponse:
    """What a code stands for: when the job was closed, over how many entries, and what has come since."""
    if "code" not in request.GET:
        return _page(request, CodeForm())
    form = CodeForm(request.GET)
    if not form.is_valid():
        say_in_full(form)
        return _page(request, form, status=400)
    try:
        closed = services.check_code(form.cleaned_data["code"], address=request.META.get("REMOTE_ADDR", ""))
    except NotNow as error:
        form.add_error(None, error.say())
        response = _page(request, form, status=429)
        response["Retry-After"] = str(error.wait_s)
        return response
    except ColdmarkError as error:
        form.add_error("code", error.say())
        return _page(request, form, status=404 if error.message == "closing.unknown" else 400)
    return _page(request, form, code=closed.code, says=paperwork.says_of(closed))


def _page(request: HttpRequest, form: forms.Form, *, status: int = 200, **content: object) -> HttpResponse:
    return render(request, "web/check.html", {"form": form, **content}, status=status)
