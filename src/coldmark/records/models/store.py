"""The one row about the database itself."""

from __future__ import annotations

import uuid

from django.db import models


class Store(models.Model):
    """What is true of the whole database: its epoch, the numbers given next, and what a backup covers.

    Arrival numbers are given while this row is locked, so that they become visible in their order and a pull that
    asks for all after N never skips one.
    """

    ONLY = 1

    id = models.PositiveSmallIntegerField(primary_key=True, default=ONLY)
    epoch = models.UUIDField(default=uuid.uuid4, help_text="changes when a backup is restored")
    next_arrival = models.BigIntegerField(default=1)
    next_document = models.PositiveIntegerField(default=1)
    office_device = models.UUIDField(default=uuid.uuid4, help_text="the device of facts made on the server")
    office_number = models.BigIntegerField(default=0, help_text="the last running number given to it")
    demo = models.BooleanField(default=False)
    business_name = models.CharField(max_length=120, blank=True, help_text="who issues the papers")
    business_address = models.TextField(blank=True)
    business_phone = models.CharField(max_length=60, blank=True)
    money = models.CharField(max_length=10, blank=True, help_text="what sums of money are shown with")
    coldest_c = models.FloatField(null=True, blank=True, help_text="the coldest start to reckon with here [°C]")
    backed_up_to = models.BigIntegerField(default=0, help_text="the last arrival that a backup covers")
    backed_up_at = models.DateTimeField(null=True, blank=True)
    lacking = models.PositiveIntegerField(default=0, help_text="files that the last backup lacked")

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(id=1), name="store_is_one_row")]

    def __str__(self) -> str:
        return f"store {self.epoch}"
