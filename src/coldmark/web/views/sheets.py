"""Data sheets and oils: the texts that say what machines and oils are."""

from __future__ import annotations

from typing import Any, get_args

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.bench import oil as bench_oil
from coldmark.bench import sheet as bench_sheet
from coldmark.bench import words
from coldmark.bench.errors import Refused
from coldmark.bench.sheet import MachineKind, SheetFaults
from coldmark.records import queries, services
from coldmark.records.models import Person
from coldmark.web.pages import page, worked

__all__ = [
    "oil",
    "oil_download",
    "oil_new",
    "oil_template",
    "oils",
    "sheet",
    "sheet_download",
    "sheet_new",
    "sheet_template",
    "sheets",
]

MOST_BYTES = 400_000
KINDS: tuple[str, ...] = get_args(MachineKind)


class TextForm(forms.Form):
    """A text, pasted or as a file."""

    file = forms.FileField(
        label="A file",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".toml,.json,.txt"}),
    )
    text = forms.CharField(
        label="Or the text itself",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 14, "spellcheck": "false", "class": "code", "autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        """Take the file where there is one, else the text; it is UTF-8, with line ends of any sort."""
        told = super().clean() or {}
        upload = told.get("file")
        if upload is not None:
            if upload.size > MOST_BYTES:
                raise forms.ValidationError(f"The file has {upload.size} bytes; at most {MOST_BYTES} are read.")
            try:
                told["text"] = upload.read().decode("utf-8-sig")
            except UnicodeDecodeError as error:
                raise forms.ValidationError(f"The file is not text in UTF-8 (byte {error.start + 1}).") from error
        told["text"] = str(told.get("text", "")).replace("\r\n", "\n")
        if not told["text"].strip():
            raise forms.ValidationError("Choose a file, or paste the text.")
        return told


@require_safe
@page()
def sheets(request: HttpRequest, person: Person) -> HttpResponse:
    """The data sheets."""
    return render(request, "web/sheets.html", {"lines": queries.sheets(person), "kinds": KINDS})


@require_safe
@page(staff=False)
def sheet(request: HttpRequest, person: Person, sha256: str) -> HttpResponse:
    """A data sheet's text, and what it had better have; an owner reads the text of his machine's."""
    found = queries.sheet_page(person, sha256)
    remarks = [one.say() for one in bench_sheet.remarks(found.text)]
    return render(request, "web/sheet.html", {"line": found.line, "text": found.text, "remarks": remarks})


@require_safe
@page(staff=False)
def sheet_download(_request: HttpRequest, person: Person, sha256: str) -> HttpResponse:
    """A data sheet's text as a file."""
    return _toml(queries.sheet_page(person, sha256).text, f"sheet-{sha256[:12]}.toml")


@require_safe
@page()
def sheet_template(_request: HttpRequest, _person: Person, kind: str) -> HttpResponse:
    """A commented data sheet to start from."""
    if kind not in KINDS:
        raise Http404
    return _toml(bench_sheet.template(kind), f"{kind}.toml")


@require_http_methods(["GET", "POST"])
@page()
def sheet_new(request: HttpRequest, person: Person) -> HttpResponse:
    """Keep a data sheet; what is wrong with it is told line by line, all at once."""
    form = TextForm(request.POST or None, request.FILES or None)
    faults: tuple[str, ...] = ()
    if request.method == "POST":
        try:
            went, kept = worked(form, person, lambda: _keep_sheet(person, form.cleaned_data["text"]))
        except _Faults as found:
            went, kept, faults = False, None, found.said
            form = TextForm(initial={"text": form.cleaned_data["text"]})
        if went and kept is not None:
            messages.success(request, words.sentence("web.sheet.known" if kept.known else "web.sheet.kept"))
            return redirect("sheet", kept.sha256)
    return render(request, "web/sheet_new.html", {"form": form, "faults": faults, "kinds": KINDS})


class _Faults(Exception):
    """All that is wrong with a sheet, as sentences."""

    def __init__(self, said: tuple[str, ...]) -> None:
        self.said = said
        super().__init__()


def _keep_sheet(person: Person, text: str) -> services.SheetKept:
    try:
        return services.keep_sheet(person, text)
    except SheetFaults as found:
        raise _Faults(tuple(fault.say() for fault in found.faults)) from found


@require_safe
@page()
def oils(request: HttpRequest, person: Person) -> HttpResponse:
    """The oils that can be chosen."""
    return render(request, "web/oils.html", {"lines": queries.oils(person)})


@require_safe
@page()
def oil(request: HttpRequest, person: Person, sha256: str) -> HttpResponse:
    """An oil's text."""
    text = queries.oil_text(person, sha256)
    return render(request, "web/oil.html", {"oil": bench_oil.from_text(text), "text": text, "sha256": sha256})


@require_safe
@page()
def oil_download(_request: HttpRequest, person: Person, sha256: str) -> HttpResponse:
    """An oil's text as a file."""
    return _toml(queries.oil_text(person, sha256), f"oil-{sha256[:12]}.toml")


@require_safe
@page()
def oil_template(_request: HttpRequest, _person: Person) -> HttpResponse:
    """A commented oil to start from."""
    return _toml(bench_oil.template(), "oil.toml")


@require_http_methods(["GET", "POST"])
@page()
def oil_new(request: HttpRequest, person: Person) -> HttpResponse:
    """Keep an oil."""
    form = TextForm(request.POST or None, request.FILES or None)
    wrong = ""
    if request.method == "POST":
        try:
            went, kept = worked(form, person, lambda: _keep_oil(person, form.cleaned_data["text"]))
        except _Faults as found:
            went, kept, wrong = False, None, found.said[0]
            form = TextForm(initial={"text": form.cleaned_data["text"]})
        if went and kept is not None:
            messages.success(request, words.sentence("web.oil.known" if kept.known else "web.oil.kept", oil=kept.name))
            return redirect("oils")
    return render(request, "web/oil_new.html", {"form": form, "faults": (wrong,) if wrong else ()})


def _keep_oil(person: Person, text: str) -> services.OilKept:
    try:
        return services.keep_oil(person, text)
    except Refused as error:
        raise _Faults((error.say(),)) from error


def _toml(text: str, name: str) -> HttpResponse:
    answer = HttpResponse(text, content_type="application/toml; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
