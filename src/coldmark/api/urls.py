"""The API's addresses, under /api/."""

from __future__ import annotations

from django.urls import URLPattern, path

from coldmark.api import views

urlpatterns: list[URLPattern] = [
    path("me", views.me),
    path("facts", views.facts),
    path("bundle", views.bundle),
    path("attachments/lacking", views.lacking),
    path("attachments/<str:sha256>", views.attachment),
    path("photos/<str:sha256>/small", views.small_photo),
    path("jobs/<str:job>/card", views.card),
    path("jobs/<str:job>/level", views.level_read),
    path("jobs/<str:job>/meter", views.meter),
    path("jobs/<str:job>/finish", views.finish),
    path("catalogue", views.catalogue),
    path("calc/<str:name>", views.calculate),
    path("openapi.json", views.openapi),
    path("", views.nowhere),
    path("<path:address>", views.nowhere),
]
