"""Signing in and out, and the first person."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.contrib import auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from coldmark.records import queries, services
from coldmark.records.models import Person
from coldmark.web.pages import worked

__all__ = ["sign_in", "sign_out", "start"]

BY_PASSWORD = "django.contrib.auth.backends.ModelBackend"


class SignInForm(forms.Form):
    """Name and password."""

    sign_in = forms.CharField(
        label="Name",
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label="Password", strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )


class StartForm(forms.Form):
    """The business and its first person; where others can reach the server, the code that it printed as well."""

    start_code = forms.CharField(
        label="Start code",
        max_length=40,
        help_text="Printed in the terminal where the server was started.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}),
    )
    business = forms.CharField(label="Your business", max_length=120, help_text="As it shall stand on reports.")
    address = forms.CharField(label="Its address", required=False, widget=forms.Textarea(attrs={"rows": 3}))
    phone = forms.CharField(label="Its telephone", max_length=60, required=False)
    name = forms.CharField(label="Your name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    sign_in = forms.CharField(
        label="Name to sign in with",
        max_length=80,
        help_text="One word, such as your first name.",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        help_text="Ten letters or more; a few words that belong to nothing are good.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label="The same password again",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not settings.COLDMARK_START_CODE:
            del self.fields["start_code"]

    def clean_again(self) -> str:
        """Refuse a password that is not the same twice."""
        again: str = self.cleaned_data["again"]
        if again != self.cleaned_data.get("password"):
            raise forms.ValidationError("The two passwords are not the same.")
        return again


@sensitive_post_parameters("password")
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Sign in; the very first visitor makes the first person instead."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    here = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, require_https=request.is_secure())
    after = wanted if here else "/"
    if isinstance(request.user, Person):
        return redirect(after)
    if not queries.anybody():
        return redirect("start")
    form = SignInForm(request.POST or None)
    if request.method == "POST":
        went, person = worked(
            form,
            None,
            lambda: services.sign_in(
                form.cleaned_data["sign_in"],
                form.cleaned_data["password"],
                address=request.META.get("REMOTE_ADDR", ""),
            ),
        )
        if went and person is not None:
            auth.login(request, person, backend=BY_PASSWORD)
            device = services.own_device(person, request.COOKIES.get("coldmark_device", ""))
            if device is not None:
                request.session["device"] = device  # the session ends when the device is trusted no more
            return redirect(after)
    return render(request, "web/sign_in.html", {"form": form, "next": after})


@never_cache
@require_http_methods(["GET", "POST"])
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out; asked first, so that no link can do it. The device's key ends with it."""
    if request.method == "POST":
        device = request.session.get("device")
        if isinstance(request.user, Person) and device is not None:
            services.end_keys(request.user, device)
        auth.logout(request)
        response = redirect("sign_in")
        response.delete_cookie("coldmark_key", path="/api/", samesite="Lax")
        return response
    return render(request, "web/sign_out.html")


@sensitive_post_parameters("password", "again")
@never_cache
@require_http_methods(["GET", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """Make the first person of an empty house; afterwards this page only leads to the sign-in."""
    if queries.anybody():
        return redirect("sign_in")
    form = StartForm(request.POST or None)
    if request.method == "POST":
        went, id = worked(form, None, lambda: _first(form))
        if went and id is not None:
            auth.login(request, Person.objects.get(id=id), backend=BY_PASSWORD)
            return redirect("today")
    return render(request, "web/start.html", {"form": form})


def _first(form: forms.Form) -> str:
    told = form.cleaned_data
    services.check_start_code(told.get("start_code", ""))
    return services.first_person(
        told["name"],
        told["sign_in"],
        told["password"],
        business=told["business"],
        address=told["address"],
        phone=told["phone"],
    )
