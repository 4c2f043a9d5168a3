"""One module per noun."""

from commissioning.models.acceptance import Concession, Defect
from commissioning.models.device import Device, Epoch, ItemSettled, Quarantined
from commissioning.models.event import DailyHead, Event, Origin
from commissioning.models.instrument import Calibration, FoundBad, Instrument
from commissioning.models.laboratory import LaboratoryReport, LaboratorySample
from commissioning.models.limit import SiteLimit
from commissioning.models.measurement import (
    Choice,
    Judgement,
    Measurement,
    PassedOver,
    Photo,
    PhotoLoss,
    Reading,
)
from commissioning.models.owner_link import OwnerLink
from commissioning.models.owner_said import OwnerSaid
from commissioning.models.people import Role, User
from commissioning.models.question import Question, Reply
from commissioning.models.record import Component, Run, Snapshot
from commissioning.models.sheet import Sheet, SheetFile, SheetState
from commissioning.models.site import Contact, Site, UnitSystem
from commissioning.models.visit import HoldRelease, SetAside, SettingAside, Signature, Visit, VisitKind

__all__ = [
    "Calibration",
    "Choice",
    "Component",
    "Concession",
    "Contact",
    "DailyHead",
    "Defect",
    "Device",
    "Epoch",
    "Event",
    "FoundBad",
    "HoldRelease",
    "Instrument",
    "ItemSettled",
    "Judgement",
    "LaboratoryReport",
    "LaboratorySample",
    "Measurement",
    "Origin",
    "OwnerLink",
    "OwnerSaid",
    "PassedOver",
    "Photo",
    "PhotoLoss",
    "Quarantined",
    "Question",
    "Reading",
    "Reply",
    "Role",
    "Run",
    "SetAside",
    "SettingAside",
    "Sheet",
    "SheetFile",
    "SheetState",
    "Signature",
    "Site",
    "SiteLimit",
    "Snapshot",
    "UnitSystem",
    "User",
    "Visit",
    "VisitKind",
]
