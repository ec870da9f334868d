"""The tables. Kept ones are truth; projections are made from them and can be rebuilt to the same content."""

from coldmark.records.models.facts import Attachment, AttachmentUse, ClosingRow, Erasure, Fact
from coldmark.records.models.machines import Machine, OilVersion, SheetVersion, Van
from coldmark.records.models.people import Customer, Device, DeviceKey, Person, Role, SignInTry, Site
from coldmark.records.models.projections import DueRow, FindingRow, JobRow, MachineState, OwnerSpan
from coldmark.records.models.store import Store
from coldmark.records.models.visits import Document, Visit, VisitMachine

__all__ = [
    "KEPT",
    "PROJECTIONS",
    "Attachment",
    "AttachmentUse",
    "ClosingRow",
    "Customer",
    "Device",
    "DeviceKey",
    "Document",
    "DueRow",
    "Erasure",
    "Fact",
    "FindingRow",
    "JobRow",
    "Machine",
    "MachineState",
    "OilVersion",
    "OwnerSpan",
    "Person",
    "Role",
    "SheetVersion",
    "SignInTry",
    "Site",
    "Store",
    "Van",
    "Visit",
    "VisitMachine",
]

KEPT = (
    Store,
    Customer,
    Person,
    Device,
    DeviceKey,
    Site,
    Van,
    SheetVersion,
    OilVersion,
    Machine,
    Fact,
    Attachment,
    Visit,
    VisitMachine,
    Document,
    Erasure,
)
"""The tables that a backup takes, in an order in which they can be filled."""

PROJECTIONS = (MachineState, OwnerSpan, DueRow, FindingRow, JobRow, AttachmentUse, ClosingRow)
"""The tables that are made from the kept ones."""
