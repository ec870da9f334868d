"""What lists and search need, made from facts and sheets. Dropped and rebuilt, it has the same content."""

from __future__ import annotations

from django.db import models

from coldmark.records.models.machines import Machine
from coldmark.records.models.people import Customer, Site


class MachineState(models.Model):
    """The folded state of one machine as text, how far it is folded, and the columns for lists."""

    machine = models.OneToOneField(Machine, models.CASCADE, primary_key=True, related_name="state")
    snapshot = models.TextField(blank=True)
    folded_to = models.BigIntegerField(default=0, help_text="the last arrival in it")
    stale = models.BooleanField(default=True, help_text="facts have come that are not folded in, or folding failed")
    trouble = models.TextField(blank=True, help_text="why the last fold failed")
    code_version = models.CharField(max_length=20, blank=True)
    joined_into = models.ForeignKey(Machine, models.CASCADE, null=True, blank=True, related_name="joined")
    customer = models.ForeignKey(Customer, models.SET_NULL, null=True, blank=True, related_name="+")
    site = models.ForeignKey(Site, models.SET_NULL, null=True, blank=True, related_name="+")
    sheet = models.CharField(max_length=64, blank=True)
    sheet_title = models.CharField(max_length=200, blank=True)
    kind = models.CharField(max_length=20, blank=True)
    hours = models.FloatField(null=True, blank=True, help_text="hours since new at the last reading")
    hours_at = models.DateTimeField(null=True, blank=True)
    per_day = models.FloatField(null=True, blank=True, help_text="hours a day, as used of late")
    open_findings = models.PositiveIntegerField(default=0)
    open_jobs = models.PositiveIntegerField(default=0)
    flags = models.PositiveIntegerField(default=0)
    next_task = models.CharField(max_length=80, blank=True)
    next_likely = models.DateField(null=True, blank=True)
    search = models.TextField(blank=True, help_text="all that the search looks in, folded to one case")

    class Meta:
        indexes = [
            models.Index(fields=("customer",), name="state_customer"),
            models.Index(fields=("stale",), name="state_stale", condition=models.Q(stale=True)),
        ]

    def __str__(self) -> str:
        return f"state of {self.machine_id}"


class OwnerSpan(models.Model):
    """From when until when a customer owned a machine; ``until`` is null for the present owner."""

    id = models.BigAutoField(primary_key=True)
    machine = models.ForeignKey(Machine, models.CASCADE, related_name="owner_spans")
    customer = models.UUIDField()
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=("customer", "machine"), name="owner_span")]

    def __str__(self) -> str:
        return f"{self.machine_id} {self.since}–{self.until or ''}"


class DueRow(models.Model):
    """When a task of a machine falls due: by the meter, by the calendar, and the window of days."""

    id = models.BigAutoField(primary_key=True)
    machine = models.ForeignKey(Machine, models.CASCADE, related_name="due_rows")
    task = models.CharField(max_length=80)
    name = models.CharField(max_length=200)
    due_h = models.FloatField(null=True, blank=True)
    due_day = models.DateField(null=True, blank=True)
    early = models.DateField(null=True, blank=True)
    likely = models.DateField(null=True, blank=True)
    late = models.DateField(null=True, blank=True)
    by = models.CharField(max_length=10)
    grid_h = models.FloatField(null=True, blank=True)
    rides_with = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=("machine", "task"), name="due_once")]
        indexes = [models.Index(fields=("likely", "machine"), name="due_likely")]

    def __str__(self) -> str:
        return f"{self.task} of {self.machine_id}"


class FindingRow(models.Model):
    """A finding, open or settled."""

    fact = models.UUIDField(primary_key=True)
    machine = models.ForeignKey(Machine, models.CASCADE, related_name="findings")
    at = models.DateTimeField()
    about = models.CharField(max_length=80)
    what = models.CharField(max_length=20)
    urgency = models.CharField(max_length=20)
    job = models.UUIDField(null=True, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=("machine", "at"), name="finding_machine"),
            models.Index(fields=("at",), name="finding_open", condition=models.Q(settled_at__isnull=True)),
        ]

    def __str__(self) -> str:
        return f"{self.what} at {self.about}"


class JobRow(models.Model):
    """A job on a machine, as far as its facts go."""

    job = models.UUIDField(primary_key=True)
    machine = models.ForeignKey(Machine, models.CASCADE, related_name="jobs")
    opened_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    tasks = models.JSONField(default=list)
    tasks_done = models.JSONField(default=list)
    visit = models.UUIDField(null=True, blank=True, db_index=True)
    hours = models.FloatField(null=True, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=("machine", "opened_at"), name="job_machine"),
            models.Index(fields=("opened_at",), name="job_open", condition=models.Q(closed_at__isnull=True)),
        ]

    def __str__(self) -> str:
        return f"job {self.job}"
