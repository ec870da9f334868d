"""The addresses: the API under /api/, pages everywhere else."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("api/", include("coldmark.api.urls")),
    path("", include("coldmark.web.urls")),
]
