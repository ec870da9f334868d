"""Customers and their sites."""

from __future__ import annotations

import uuid
from dataclasses import asdict

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from coldmark.records import queries, services
from coldmark.records.access import require_office
from coldmark.records.errors import NotFound
from coldmark.records.models import Person
from coldmark.web.pages import page
from coldmark.web.row_forms import CustomerForm, EraseForm, SiteForm
from coldmark.web.views.rows import row_page

__all__ = ["customer", "customer_edit", "customer_erase", "customer_new", "customers", "site_edit", "site_new"]


@require_safe
@page()
def customers(request: HttpRequest, person: Person) -> HttpResponse:
    """The customers that hold all the words typed."""
    q = request.GET.get("q", "")[:200]
    return render(request, "web/customers.html", {"lines": queries.customers(person, q), "q": q})


@require_safe
@page()
def customer(request: HttpRequest, person: Person, customer: uuid.UUID) -> HttpResponse:
    """A customer: whom to call, sites and machines."""
    data, sites, machines = queries.customer(person, str(customer))
    return render(request, "web/customer.html", {"customer": data, "sites": sites, "machines": machines})


@require_http_methods(["GET", "POST"])
@page()
def customer_new(request: HttpRequest, person: Person) -> HttpResponse:
    """A customer entered."""
    form = CustomerForm(person, request.POST or None)
    return row_page(
        request,
        person,
        form,
        form.record,
        title="New customer",
        button="Enter it",
        done="Entered.",
        back=(reverse("customers"), "Customers"),
        after=lambda id: reverse("customer", args=[id]),
    )


@require_http_methods(["GET", "POST"])
@page()
def customer_edit(request: HttpRequest, person: Person, customer: uuid.UUID) -> HttpResponse:
    """A customer changed."""
    data, _sites, _machines = queries.customer(person, str(customer))
    form = CustomerForm(person, _own(request, data.id), asdict(data))
    back = (reverse("customer", args=[data.id]), data.name)
    return row_page(request, person, form, form.record, title="Change a customer", button="Keep", back=back)


@require_http_methods(["GET", "POST"])
@page()
def customer_erase(request: HttpRequest, person: Person, customer: uuid.UUID) -> HttpResponse:
    """A customer's names erased; for the office, with a reason."""
    require_office(person, "erasing")
    data, _sites, _machines = queries.customer(person, str(customer))
    form = EraseForm(queries.documents_showing(person, "customer", data.id), request.POST or None)
    return row_page(
        request,
        person,
        form,
        lambda: services.erase(person, "customer", data.id, form.cleaned_data["reason"], documents=form.papers_too),
        title=f"Erase {data.name}?",
        says=(
            "Name, address, telephone, notes and the names of the sites go for good, here and in every restored "
            "backup. What was done on the machines stays."
        ),
        button="Erase for good",
        done="Erased.",
        back=(reverse("customer", args=[data.id]), data.name),
        after=lambda _erased: reverse("customers"),
    )


@require_http_methods(["GET", "POST"])
@page()
def site_new(request: HttpRequest, person: Person) -> HttpResponse:
    """A site entered."""
    customer = request.GET.get("customer", "")
    form = SiteForm(person, request.POST or None, {"customer": customer})
    back = _back(customer)
    return row_page(request, person, form, form.record, title="New site", button="Enter it", done="Entered.", back=back)


@require_http_methods(["GET", "POST"])
@page()
def site_edit(request: HttpRequest, person: Person, site: uuid.UUID) -> HttpResponse:
    """A site changed."""
    data = next((one for one in queries.sites(person) if one.id == str(site)), None)
    if data is None:
        raise NotFound("site", site)
    form = SiteForm(person, _own(request, data.id), asdict(data))
    back = _back(data.customer or "")
    return row_page(request, person, form, form.record, title="Change a site", button="Keep", back=back)


def _back(customer: str) -> tuple[str, str]:
    try:
        return reverse("customer", args=[uuid.UUID(customer)]), "The customer"
    except ValueError:
        return reverse("customers"), "Customers"


def _own(request: HttpRequest, id: str) -> dict[str, object] | None:
    """What was posted, for the row of the address and no other."""
    return None if request.method != "POST" else {**request.POST.dict(), "id": id}
