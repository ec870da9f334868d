"""The addresses: the API under /api/, pages everywhere else."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("api/", include("coldmark.api.urls")),
    path("", include("coldmark.web.urls")),
]

handler400 = "coldmark.project.failing.not_readable"
handler403 = "coldmark.project.failing.not_open"
handler404 = "coldmark.project.failing.not_here"
handler500 = "coldmark.project.failing.went_wrong"
