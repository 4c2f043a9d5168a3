"""A world in which every address of the logbook leads somewhere: the demo, and what no story of it holds."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

from django.urls import reverse
from django.utils import timezone

from commissioning import evidence
from commissioning.canonical import digest
from commissioning.models import (
    Component,
    Defect,
    Device,
    Instrument,
    LaboratoryReport,
    LaboratorySample,
    Measurement,
    Photo,
    Quarantined,
    Run,
    Sheet,
    Site,
    User,
    Visit,
)
from commissioning.models.event import Origin

OWED, TAKEN, OUTSIDE, RIVALS = "turbidity:W1", "bond_resistance:EE1", "short_circuit_current:A1", "array_insulation:A1"
HOLD = "fill_tank"
NEVER = "ab" * 32  # the hash of a file that nobody has


@dataclass(frozen=True)
class World:
    """Who asks, and one row of each kind that addresses name."""

    technician: User
    office: User
    visit: Visit
    """The start-up half done."""
    ended: Visit
    """The start-up of the house, whose sheet is issued."""
    returned: Visit
    """The school's second service visit."""
    again: Visit
    """A service visit to the house, just begun."""
    covered: Visit
    """The ranch's visit before cover: its pages are the shortest."""
    rows: dict[str, Any]

    def address(self, name: str) -> str:
        """Return where a name of the resolver leads in this world."""
        found = ARGUMENTS.get(name, {})
        return reverse(name, kwargs={key: get(self) for key, get in found.items()})


def row(name: str) -> Callable[[World], Any]:
    return lambda world: getattr(world.rows[name], "pk", world.rows[name])


def just(value: str) -> Callable[[World], Any]:
    return lambda world: value


def of_visit(world: World) -> Any:
    return world.visit.pk


def of_ended(world: World) -> Any:
    return world.ended.pk


def of_returned(world: World) -> Any:
    return world.returned.pk


def of_again(world: World) -> Any:
    return world.again.pk


def of_covered(world: World) -> Any:
    return world.covered.pk


def of_site(world: World) -> Any:
    return world.visit.site_id


def of_house(world: World) -> Any:
    return world.ended.site_id


SITE, VISIT = {"site_id": of_site}, {"visit_id": of_visit}
ENDED, RETURNED = {"visit_id": of_ended}, {"visit_id": of_returned}
INSTRUMENT = {"instrument_id": row("instrument")}
ARGUMENTS: dict[str, dict[str, Callable[[World], Any]]] = {
    "password-reset-confirm": {"uidb64": just("MQ"), "token": just("set-password")},
    "phone-take": VISIT, "phone-pack": VISIT, "phone-photo": {"sha256": just(NEVER)},
    "measurement-choose": {**VISIT, "owed_id": just(RIVALS)}, "photos-awaited": VISIT,
    "item-drop": {"item_id": row("item")},
    "service-record": RETURNED, "arrival": {"visit_id": of_again}, "comparison-list": RETURNED,
    "comparison": {**RETURNED, "check": just("specific_capacity"), "subject": just("W1")},
    "photo-file": {"photo_id": row("photo"), "size": just("thumbnail")},
    "visit-detail": VISIT, "visit-photos": VISIT, "visit-field-sheet": VISIT, "visit-instruments": VISIT,
    "visit-sign": VISIT, "visit-end": ENDED, "hold-detail": {**VISIT, "key": just(HOLD)}, "defect-raise": VISIT,
    "defect-detail": {**VISIT, "defect_id": row("defect")},
    "question-detail": {**VISIT, "question_id": row("question")},
    "measurement-set-aside": {**VISIT, "owed_id": just(OWED)}, "measurement": {**VISIT, "owed_id": just(OWED)},
    "site-detail": SITE, "site-edit": SITE, "contact-edit": SITE, "record-detail": SITE, "record-print": SITE,
    "record-design": SITE, "record-year": SITE,
    "component-new": {**SITE, "kind": just("valve")}, "component-edit": {**SITE, "item_id": row("component")},
    "component-replace": {**SITE, "item_id": row("component")},
    "component-retire": {**SITE, "item_id": row("loose")},
    "run-new": {**SITE, "kind": just("pipe")}, "run-edit": {**SITE, "item_id": row("run")},
    "run-retire": {**SITE, "item_id": row("run")},
    "acceptance-detail": VISIT, "concession-grant": {**VISIT, "owed_id": just(OUTSIDE)},
    "question-ask": {**VISIT, "owed_id": just(OUTSIDE)},
    "sheet-draft": {"visit_id": of_covered}, "sheet-detail": {"sheet_id": row("sheet")},
    "sheet-withdraw": {"sheet_id": row("sheet")},
    "sheet-file": {"sheet_id": row("sheet"), "paper": just("Letter")}, "visit-record": ENDED,
    "sheet-verify": {"token": row("sheet_token")},
    "owner-pack": {"site_id": of_house}, "owner-pack-file": {"site_id": of_house}, "owner-link": SITE,
    "site-load-out": {**SITE, "kind": just("service")}, "visit-load-out": VISIT,
    "owner-link-pack": {"token": row("owner_token")}, "owner-link-page": {"token": row("owner_token")},
    "person-edit": {"handle": row("person")}, "person-link": {"handle": row("person")},
    "site-readings": SITE, "laboratory": ENDED, "water-notice": ENDED,
    "laboratory-report": {"sample_id": row("sample")}, "laboratory-file": {"report_id": row("report")},
    "instrument-detail": INSTRUMENT, "instrument-edit": INSTRUMENT, "instrument-calibrate": INSTRUMENT,
    "instrument-found-bad": INSTRUMENT, "instrument-retire": INSTRUMENT, "phone-shut": {"device_id": row("phone")},
    "site-export": {"site_id": of_house}, "limit-lift": {"limit_id": row("limit")},
    "limit-set": {**SITE, "check_key": just("turbidity")},
}  # fmt: skip


def world_of(folder: Path) -> World:
    """Return the demo as such a world; what it lacks is written into it."""
    technician, office = User.objects.get(username="technician"), User.objects.get(username="office")
    visit = Visit.objects.get(site__name="Saltbush clinic")
    ended = Visit.objects.get(site__name="Juniper Shelf house")
    returned = Visit.objects.filter(site__name="Larkmoor school", kind="service").latest("started_at")
    sheet = Sheet.objects.get(visit=ended)
    rows = {
        "sheet": sheet, "sheet_token": json.loads(sheet.body)["sheet"]["token"],
        "owner_token": (folder / "demo_owner_link").read_text(), "person": technician.handle,
        "sample": LaboratorySample.objects.get(visit__site__name="Pandanus Point clinic"),
        "report": LaboratoryReport.objects.get(), "instrument": Instrument.objects.get(tag="DP2"),
        "photo": Photo.objects.filter(visit=visit).latest("taken_at"), "defect": Defect.objects.get(visit=visit),
        "component": Component.objects.get(site=visit.site, tag="V1"),
        "run": Run.objects.get(site=visit.site, tag="P6"), **_written(visit, technician, office),
    }  # fmt: skip
    again = _append(ended.site, "visit.begun", technician, **_begun())
    covered = Visit.objects.get(kind="before_cover")
    return World(technician, office, visit, ended, returned, again, covered, rows)


def _begun() -> dict[str, Any]:
    return {"visit": str(uuid4()), "kind": "service", "started_at": timezone.now().isoformat()}


def _written(visit: Visit, technician: User, office: User) -> dict[str, Any]:
    """Write what no story of the demo holds: a limit, a question, rivals, a photo to come, an item refused."""
    site = visit.site
    _append(site, "record.changed", technician, changes=[_loose()])
    limit = {"check": "turbidity", "judged": "turbidity", "subject": "W1", "lower": "", "upper": "4", "unit": "NTU"}
    question = {"visit": str(visit.pk), "check": "bond_resistance", "subject": "EE1", "words": "Which casing?"}
    photo = {"sha256": NEVER, "media_type": "image/png", "width": 40, "height": 30, "caption": ""}
    awaited = {"visit": str(visit.pk), "measurement": None, **photo, "taken_at": timezone.now().isoformat()}
    _rival(visit, technician)
    return {
        "loose": Component.objects.get(site=site, tag="V9"),
        "limit": _append(site, "limit.set", office, id=str(uuid4()), **limit, reason="what the owner was promised"),
        "question": _append(site, "question.asked", office, id=str(uuid4()), **question),
        "awaited": _append(site, "photo.added", technician, id=str(uuid4()), **awaited),
        "item": _refused(visit, technician),
        "phone": Device.objects.create(pk=uuid4(), first_user=technician, first_seen_at=timezone.now()),
    }


def _append(site: Site, of_kind: str, actor: User, **body: Any) -> Any:
    return evidence.append(site=site, kind=of_kind, body=body, actor=actor).projected


def _loose() -> dict[str, Any]:
    plate = {"function": "isolation", "normal_position": "open"}
    loose = {"id": str(uuid4()), "kind": "valve", "tag": "V9", "name": "on the shelf", "host": None, "nameplate": plate}
    return {"op": "put", "sort": "component", **loose}


def _rival(visit: Visit, technician: User) -> Measurement:
    """Bring a second value of a check, as another phone does that knows nothing of the first."""
    readings = [
        {"input": "insulation", "typed": "420", "unit": "Mohm", "label": ""},
        {"input": "test_voltage", "typed": "250", "unit": "", "label": ""},
    ]
    check, _, subject = RIVALS.partition(":")
    body = {
        "id": str(uuid4()), "visit": str(visit.pk), "check": check, "subject": subject,
        "taken_at": timezone.now().isoformat(), "readings": readings,
    }  # fmt: skip
    made = evidence.append(site=visit.site, kind="measurement.taken", body=body, actor=technician, origin=Origin.PHONE)
    assert isinstance(made.projected, Measurement)
    return made.projected


def _refused(visit: Visit, technician: User) -> Quarantined:
    text = json.dumps({"kind": "visit.noted", "body": {"words": "what no server knows"}})
    return Quarantined.objects.create(
        site=visit.site, event_id=uuid4(), device=str(uuid4()), device_sequence=1, kind="visit.noted", state="refused",
        faults='{"$.kind":"no such kind"}', text=text, digest=digest(text), sent_by=technician,
        received_at=timezone.now(),
    )  # fmt: skip
