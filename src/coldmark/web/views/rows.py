"""What the pages of ordinary rows share: a form shown, taken, and gone on from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from coldmark.records.models import Person
from coldmark.web.pages import worked

__all__ = ["row_page"]


def row_page(
    request: HttpRequest,
    person: Person,
    form: forms.Form,
    act: Callable[[], Any],
    *,
    title: str,
    button: str,
    back: tuple[str, str],
    after: Callable[[Any], str] | None = None,
    done: str = "Kept.",
    says: str = "",
) -> HttpResponse:
    """Show a form; posted, hand it to its service and go on.

    Parameters
    ----------
    act
        Hands what was typed to one service.
    back
        Address and name of the page above.
    after
        The address to go on to, from what came of it; the page above unless given.
    """
    if request.method == "POST":
        went, came = worked(form, person, act)
        if went:
            messages.success(request, done)
            return redirect(back[0] if after is None else after(came))
    content = {"form": form, "title": title, "button": button, "back": back, "says": says}
    return render(request, "web/row.html", content)
