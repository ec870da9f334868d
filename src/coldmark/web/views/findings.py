"""What was found on all machines and is open."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from coldmark.records import queries
from coldmark.records.models import Person
from coldmark.web.pages import asked_page, is_part, page

__all__ = ["findings"]


@require_safe
@page(staff=False)
def findings(request: HttpRequest, person: Person) -> HttpResponse:
    """The open findings, of all customers or one; as one chooses, the list alone."""
    customer = request.GET.get("customer", "") if person.is_staff else ""
    found = queries.open_findings(person, customer=customer or None, page=asked_page(request))
    content = {
        "found": found,
        "customer": customer,
        "filter": urlencode({"customer": customer}) if customer else "",
    }
    return render(request, "web/_findings.html" if is_part(request) else "web/findings.html", content)
