"""Planned visits and issued documents: ordinary rows."""

from __future__ import annotations

import uuid

from django.db import models

from coldmark.records.models.machines import Machine, Van
from coldmark.records.models.people import Person, Site


class Visit(models.Model):
    """A planned visit to a site. How far it has got is read from the facts of its jobs."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    day = models.DateField()
    from_time = models.TimeField(null=True, blank=True)
    to_time = models.TimeField(null=True, blank=True)
    mechanic = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="visits")
    van = models.ForeignKey(Van, models.PROTECT, null=True, blank=True, related_name="visits")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="visits")
    note = models.TextField(blank=True, help_text="internal, never shown to an owner")
    changed = models.PositiveIntegerField(default=0, help_text="how often it was changed, for calendars")
    called_off = models.BooleanField(default=False)

    class Meta:
        ordering = ("day", "from_time", "id")
        indexes = [
            models.Index(fields=("day", "mechanic"), name="visit_day"),
            models.Index(fields=("mechanic", "day"), name="visit_mechanic"),
        ]

    def __str__(self) -> str:
        return f"{self.day} {self.site or ''}"


class VisitMachine(models.Model):
    """A machine of a visit, the tasks planned on it, and the id of the job that will do them."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    visit = models.ForeignKey(Visit, models.CASCADE, related_name="machines")
    machine = models.ForeignKey(Machine, models.PROTECT, related_name="visits")
    tasks = models.JSONField(default=list)
    job = models.UUIDField(unique=True, default=uuid.uuid4)
    place = models.PositiveSmallIntegerField(default=0, help_text="in which order")

    class Meta:
        ordering = ("place", "id")
        constraints = [models.UniqueConstraint(fields=("visit", "machine"), name="visit_machine_once")]

    def __str__(self) -> str:
        return f"{self.machine} on {self.visit}"


class Document(models.Model):
    """An issued document: its bytes are kept by hash, with the ids of the facts it was made from.

    Erased, only this row stays, so that its number is accounted for.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    number = models.CharField(max_length=20, unique=True)
    what = models.CharField(max_length=10)
    job = models.UUIDField(null=True, blank=True, db_index=True)
    machine = models.ForeignKey(Machine, models.PROTECT, related_name="documents")
    sha256 = models.CharField(max_length=64)
    media_type = models.CharField(max_length=60, default="application/pdf")
    size = models.PositiveIntegerField()
    facts = models.JSONField(default=list, help_text="ids of the facts used")
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    shows = models.JSONField(null=True, blank=True, help_text="whose names and which attachments are in it")
    answered = models.JSONField(default=list, help_text="ids of other askings that it was the answer to")
    given_up = models.BooleanField(default=False, help_text="its file is gone, and nobody is waited for")
    erased_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-issued_at", "id")
        indexes = [models.Index(fields=("machine", "-issued_at"), name="document_machine")]

    def __str__(self) -> str:
        return self.number
