"""The pages' addresses."""

from __future__ import annotations

from django.urls import URLPattern, path

from coldmark.web.views import card, job, later, signing_in

urlpatterns: list[URLPattern] = [
    path("", later.later, name="today"),
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("start/", signing_in.start, name="start"),
    path("machines/", later.later, name="machines"),
    path("machines/<uuid:machine>/", later.later, name="machine"),
    path("due/", later.later, name="due"),
    path("jobs/<uuid:job>/kit/", later.later, name="kit"),
    # pages of others
    path("jobs/<uuid:job>/", job.job, name="job"),
    path("jobs/<uuid:job>/card/", card.card, name="card"),
    path("jobs/<uuid:job>/report.pdf", job.report_paper, name="report_pdf"),
    path("jobs/<uuid:job>/card.pdf", job.card_paper, name="card_pdf"),
    path("documents/<uuid:document>.pdf", job.document, name="document"),
    path("visits/", later.later, name="visits"),
    path("more/", later.later, name="more"),
    path("settings/", later.later, name="settings"),
]
