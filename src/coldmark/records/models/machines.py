"""Machines and vans, and the texts that say what they are."""

from __future__ import annotations

import uuid

from django.db import models


class Machine(models.Model):
    """A machine. Its id may be made anywhere; whose it is and where it stands are facts, not columns."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    number = models.CharField(max_length=40, blank=True, help_text="the firm's or the owner's number for it")
    name = models.CharField(max_length=120, blank=True)
    serial = models.CharField(max_length=60, blank=True)
    plate = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True, help_text="internal, never shown to an owner")
    known = models.BooleanField(default=True, help_text="false until the office has given it a name")

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name or self.number or str(self.id)


class Van(models.Model):
    """A van: what it carries, and how much waste it can take."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=120)
    plate = models.CharField(max_length=40, blank=True)
    waste_l = models.FloatField(null=True, blank=True, help_text="how much waste oil it can take [L]")
    oils = models.JSONField(default=dict, blank=True, help_text="litres carried, by the oil's key")
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name


class SheetVersion(models.Model):
    """A data sheet's text, named by its SHA-256 and never rewritten."""

    sha256 = models.CharField(primary_key=True, max_length=64)
    text = models.TextField()
    title = models.CharField(max_length=200)
    kind = models.CharField(max_length=20)
    kept_at = models.DateTimeField()

    class Meta:
        ordering = ("title", "kept_at", "sha256")

    def __str__(self) -> str:
        return self.title


class OilVersion(models.Model):
    """An oil's data, named by its SHA-256; the latest kept one of a key is offered for new work."""

    sha256 = models.CharField(primary_key=True, max_length=64)
    key = models.CharField(max_length=80, db_index=True)
    text = models.TextField()
    kept_at = models.DateTimeField()

    class Meta:
        ordering = ("key", "kept_at", "sha256")

    def __str__(self) -> str:
        return self.key
