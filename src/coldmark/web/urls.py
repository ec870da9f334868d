"""The pages' addresses."""

from __future__ import annotations

from django.urls import URLPattern, path

from coldmark.web.views import card, due, job, jobs, kit, later, machine, machines, signing_in, story, today, visits

urlpatterns: list[URLPattern] = [
    path("", today.today, name="today"),
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("start/", signing_in.start, name="start"),
    path("machines/", machines.machines, name="machines"),
    path("machines/new/", machine.machine_new, name="machine_new"),
    path("machines/<uuid:machine>/", machine.machine, name="machine"),
    path("machines/<uuid:machine>/story/", story.story, name="story"),
    path("machines/<uuid:machine>/story/<uuid:fact>/", story.entry, name="entry"),
    path("machines/<uuid:machine>/findings/<uuid:finding>/", machine.settle, name="settle"),
    path("machines/<uuid:machine>/<slug:act>/", machine.act, name="act"),
    path("due/", due.due, name="due"),
    path("jobs/new/", jobs.job_new, name="job_new"),
    path("jobs/<uuid:job>/open/", jobs.job_open, name="job_open"),
    path("jobs/<uuid:job>/kit/", kit.kit, name="kit"),
    path("jobs/<uuid:job>/kit.pdf", kit.kit_pdf, name="kit_pdf"),
    # pages of others
    path("jobs/<uuid:job>/", job.job, name="job"),
    path("jobs/<uuid:job>/card/", card.card, name="card"),
    path("jobs/<uuid:job>/report.pdf", job.report_paper, name="report_pdf"),
    path("jobs/<uuid:job>/card.pdf", job.card_paper, name="card_pdf"),
    path("documents/<uuid:document>.pdf", job.document, name="document"),
    path("visits/", visits.visits, name="visits"),
    path("visits/new/", visits.visit_new, name="visit_new"),
    path("visits/<uuid:visit>/", visits.visit, name="visit"),
    path("visits/<uuid:visit>/call-off/", visits.visit_call_off, name="visit_call_off"),
    path("visits.ics", visits.visits_calendar, name="visits_calendar"),
    path("more/", later.later, name="more"),
    path("settings/", later.later, name="settings"),
]
