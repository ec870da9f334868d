"""People who sign in, the devices they record on, and the customers they work for."""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models


class Role(models.TextChoices):
    """What a person may do: mechanics and the office see the firm, owners their own machines and write nothing."""

    MECHANIC = "mechanic", "mechanic"
    OFFICE = "office", "office"
    OWNER = "owner", "owner"


class Customer(models.Model):
    """A customer: who owns machines and is told how they are."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=200)
    contact = models.CharField(max_length=200, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    email = models.CharField(max_length=200, blank=True)
    address = models.TextField(blank=True)
    note = models.TextField(blank=True, help_text="internal, never shown to an owner")
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name


class Site(models.Model):
    """A place where machines stand."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    customer = models.ForeignKey(Customer, models.PROTECT, null=True, blank=True, related_name="sites")
    name = models.CharField(max_length=200)
    address = models.TextField(blank=True)
    lat = models.FloatField(null=True, blank=True)
    lon = models.FloatField(null=True, blank=True)
    access = models.TextField(blank=True, help_text="gate, key, whom to call; internal")

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name


class People(BaseUserManager["Person"]):
    """Finds people by the name they sign in with."""

    def get_by_natural_key(self, username: str | None) -> Person:
        return self.get(sign_in=(username or "").strip().casefold())


class Person(AbstractBaseUser):
    """A person who signs in. The name lives here alone, so that it can be erased without touching a fact."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    sign_in = models.CharField(max_length=80, unique=True)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=8, choices=Role.choices)
    customer = models.ForeignKey(Customer, models.PROTECT, null=True, blank=True, related_name="people")
    units = models.CharField(max_length=6, choices=(("metric", "metric"), ("us", "US customary")), default="metric")
    look = models.CharField(max_length=4, choices=(("day", "day"), ("sun", "sun"), ("dark", "dark")), default="day")
    is_active = models.BooleanField(default=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    USERNAME_FIELD = "sign_in"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    objects = People()

    class Meta:
        ordering = ("name", "id")
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(role="owner") | models.Q(customer__isnull=False),
                name="owner_has_customer",
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_staff(self) -> bool:
        """Whether the person belongs to the firm."""
        return self.role in {Role.MECHANIC, Role.OFFICE}


class Device(models.Model):
    """A phone or a browser that records facts, with the last running number seen from it."""

    id = models.UUIDField(primary_key=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="devices")
    label = models.CharField(max_length=120, blank=True)
    last_number = models.BigIntegerField(default=0)
    clock_error_s = models.IntegerField(default=0, help_text="device minus server, as last recorded in a fact")
    met_at = models.DateTimeField(null=True, blank=True)
    seen_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.label or str(self.id)


class DeviceKey(models.Model):
    """What lets a device in without signing in anew: bound to the device and to one person who signed in on it.

    Only the hash of its secret is here. A revoked one stays, so that what is brought with it is told from a stranger's.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    device = models.ForeignKey(Device, models.CASCADE, related_name="keys")
    person = models.ForeignKey(Person, models.CASCADE, related_name="keys")
    sha256 = models.CharField(max_length=64, help_text="of the secret")
    made_at = models.DateTimeField()
    used_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=("device", "person"), name="key_device")]

    def __str__(self) -> str:
        return f"key of {self.device_id}"


class SignInTry(models.Model):
    """How often a sign-in failed of late, by name and by address, so that guessing is slow."""

    key = models.CharField(primary_key=True, max_length=64, help_text="SHA-256 of what is counted")
    failed = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField()
    wait_until = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.failed} failed"
