"""Facts as they were recorded, and what hangs on them."""

from __future__ import annotations

import uuid

from django.db import models

from coldmark.records.models.people import Person


class Fact(models.Model):
    """One fact: the recorder's canonical text, unchanged, and the columns by which it is found.

    ``subject``, ``job``, ``device`` and ``person`` are bare ids: a fact may speak of what this database does not know
    yet, and must be kept all the same.
    """

    id = models.UUIDField(primary_key=True)
    arrival = models.BigIntegerField(unique=True)
    kind = models.CharField(max_length=60)
    subject_type = models.CharField(max_length=10)
    subject = models.UUIDField()
    job = models.UUIDField(null=True, blank=True)
    at = models.DateTimeField(help_text="when it happened, with the measured error of the recorder's clock taken off")
    device = models.UUIDField()
    number = models.BigIntegerField()
    person = models.UUIDField()
    corrects = models.UUIDField(null=True, blank=True, help_text="the fact that this one replaces or withdraws")
    text = models.TextField()
    sha256 = models.CharField(max_length=64)
    arrived = models.DateTimeField()
    brought_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    held_apart = models.BooleanField(default=False, help_text="came from a revoked device; not folded")

    class Meta:
        indexes = [
            models.Index(fields=("subject", "at", "id"), name="fact_story"),
            models.Index(fields=("subject", "arrival"), name="fact_fold"),
            models.Index(fields=("job", "at", "id"), name="fact_job", condition=models.Q(job__isnull=False)),
            models.Index(fields=("corrects",), name="fact_corrects", condition=models.Q(corrects__isnull=False)),
            models.Index(fields=("device", "subject"), name="fact_device"),
            models.Index(fields=("device",), name="fact_held", condition=models.Q(held_apart=True)),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"


class Attachment(models.Model):
    """A photo, a text or strokes, kept as a file named by its hash. Erased, only this row stays."""

    sha256 = models.CharField(primary_key=True, max_length=64)
    media_type = models.CharField(max_length=60)
    size = models.PositiveIntegerField()
    made_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    kept_at = models.DateTimeField()
    given_up = models.BooleanField(default=False, help_text="its file is gone, and no phone is waited for")
    erased_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.media_type} {self.sha256[:12]}"


class AttachmentUse(models.Model):
    """Which fact speaks of which attachment, so that the access rule is one look-up. Made from the facts' texts."""

    id = models.BigAutoField(primary_key=True)
    sha256 = models.CharField(max_length=64)
    fact = models.UUIDField()
    field = models.CharField(max_length=20)
    kind = models.CharField(max_length=40)
    subject = models.UUIDField()
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=("sha256", "fact", "field"), name="attachment_use_once")]
        indexes = [models.Index(fields=("fact",), name="attachment_use_fact")]

    def __str__(self) -> str:
        return f"{self.field} of {self.fact}"


class ClosingRow(models.Model):
    """The closing code of a fact that closes a job, so that a code finds it. Made from the facts' texts."""

    fact = models.UUIDField(primary_key=True)
    code = models.CharField(max_length=17)
    sha256 = models.CharField(max_length=64)

    class Meta:
        indexes = [
            models.Index(fields=("code",), name="closing_code"),
            models.Index(fields=("sha256",), name="closing_sha256"),
        ]

    def __str__(self) -> str:
        return self.code


_ERASABLE = tuple((what, what) for what in ("attachment", "document", "person", "customer"))


class Erasure(models.Model):
    """What was erased, when, by whom and why; done again after a restore."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    what = models.CharField(max_length=10, choices=_ERASABLE)
    target = models.CharField(max_length=64)
    reason = models.CharField(max_length=200)
    at = models.DateTimeField()
    by = models.UUIDField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=("what", "target"), name="erased_once")]

    def __str__(self) -> str:
        return f"{self.what} {self.target}"
