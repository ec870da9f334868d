"""The addresses: the API under /api/, pages everywhere else."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("api/", include("coldmark.api.urls")),
    path("", include("coldmark.web.urls")),
]

handler400 = "coldmark.web.views.errors.not_readable"
handler403 = "coldmark.web.views.errors.not_open"
handler404 = "coldmark.web.views.errors.not_here"
handler500 = "coldmark.web.views.errors.went_wrong"
