"""One module per noun."""

from commissioning.models.acceptance import Concession, Defect
from commissioning.models.event import DailyHead, Event, Origin
from commissioning.models.instrument import Instrument
from commissioning.models.limit import SiteLimit
from commissioning.models.measurement import Judgement, Measurement, Photo, Reading
from commissioning.models.people import Role, User
from commissioning.models.record import Component, Run, Snapshot
from commissioning.models.sheet import Sheet, SheetState
from commissioning.models.site import Contact, Site, UnitSystem
from commissioning.models.visit import HoldRelease, SetAside, SettingAside, Signature, Visit, VisitKind

__all__ = [
    "Component",
    "Concession",
    "Contact",
    "DailyHead",
    "Defect",
    "Event",
    "HoldRelease",
    "Instrument",
    "Judgement",
    "Measurement",
    "Origin",
    "Photo",
    "Reading",
    "Role",
    "Run",
    "SetAside",
    "SettingAside",
    "Sheet",
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
