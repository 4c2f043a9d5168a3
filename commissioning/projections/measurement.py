"""Evidence of what was measured, what was said of it, and its photographs."""

import json
from typing import Any, cast
from uuid import UUID, uuid5

from commissioning import evidence, units
from commissioning.accuracy import reading_uncertainty
from commissioning.models import (
    Component,
    Event,
    Instrument,
    Judgement,
    Measurement,
    Origin,
    Photo,
    Reading,
    Run,
    Snapshot,
)
from commissioning.photos import LONGEST_SIDE, MEDIA_TYPE
from commissioning.projections import schemas as s
from commissioning.projections.visit import moment, visit_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Answer, Check, Input, Kind
from sizing.system import SITE

MOST_PHOTOS = 24  # with one measurement: a form that came back carries those of before

FIELD_SHEET = "field sheet"
"""Written on paper first, and typed in afterwards."""

READING = s.body(
    {
        "input": s.KEY,
        "label": {"type": "string", "maxLength": 24},
        "typed": {"type": "string", "minLength": 1, "maxLength": 40},
        "unit": {"type": "string", "maxLength": 20},
    },
    {"instrument": s.maybe(s.UUID), "at": s.MOMENT},
)
PHOTO = s.body(
    {
        "id": s.UUID,
        "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        "media_type": {"enum": sorted(MEDIA_TYPE.values())},
        "width": {"type": "integer", "minimum": 1, "maximum": LONGEST_SIDE},
        "height": {"type": "integer", "minimum": 1, "maximum": LONGEST_SIDE},
        "caption": s.LINE,
    }
)
TAKEN = s.body(
    {"id": s.UUID, "visit": s.UUID, "check": {"enum": sorted(CHECKS)}, "subject": s.TAG, "taken_at": s.MOMENT},
    {
        "way": {"type": "string", "maxLength": 24},
        "answer": {"enum": ["", *[a.value for a in Answer]]},
        "readings": {"type": "array", "items": READING, "maxItems": 400},
        "note": s.WORDS,
        "origin_note": {"enum": [FIELD_SHEET]},
        "supersedes": s.maybe(s.UUID),
        "supersedes_reason": s.WORDS,
        "photos": {"type": "array", "items": PHOTO, "maxItems": MOST_PHOTOS, "uniqueItems": True},
    },
)


@evidence.kind("measurement.taken", schema=TAKEN)
def take_measurement(event: Event, body: dict[str, Any]) -> Measurement:
    """Write one measurement with its readings and photos; the values are computed here from what was typed."""
    check = CHECKS[body["check"]]
    visit = visit_of(event, body)
    component, run = _subject(event, body["subject"])
    measurement = Measurement(
        pk=body["id"],
        visit=visit,
        check_key=check.key,
        subject=body["subject"],
        component=component,
        run=run,
        way=body.get("way", ""),
        answer=body.get("answer", ""),
        note=body.get("note", ""),
        taken_at=moment(body["taken_at"], "$.taken_at"),
        taken_by=event.actor,
        event=event,
        supersedes=_superseded(event, body, visit.pk),
        supersedes_reason=body.get("supersedes_reason", ""),
    )
    readings = [_reading(check, measurement, item, place) for place, item in enumerate(body.get("readings", []))]
    _refuse_empty(check, measurement, readings)
    measurement.save()
    Reading.objects.bulk_create(readings)
    prefetched(measurement, readings)
    if body.get("photos"):
        Photo.objects.bulk_create(_photo(measurement, one) for one in body["photos"])
    return measurement


def prefetched(measurement: Measurement, readings: list[Reading]) -> None:
    """Let whoever judges it next find its readings without asking for them."""
    known: Any = measurement
    known._prefetched_objects_cache = {"readings": readings}


def _photo(measurement: Measurement, item: dict[str, Any]) -> Photo:
    """Return a photo taken with a measurement; its file may arrive later."""
    visit, when, by = measurement.visit, measurement.taken_at, measurement.taken_by
    return Photo(pk=item["id"], measurement=measurement, visit=visit, taken_at=when, by=by, **_of_file(item))


def _of_file(item: dict[str, Any]) -> dict[str, Any]:
    return {name: item[name] for name in ("sha256", "media_type", "width", "height", "caption")}


def _subject(event: Event, tag: str) -> tuple[Component | None, Run | None]:
    if tag == SITE:
        return None, None
    component = Component.objects.standing().filter(site=event.site, tag=tag).first()
    run = None if component else Run.objects.standing().filter(site=event.site, tag=tag).first()
    if component is None and run is None:
        raise evidence.WaitsError({"$.subject": f"{tag} is not in the as-built record"})
    return cast("Component | None", component), cast("Run | None", run)


def _superseded(event: Event, body: dict[str, Any], visit_id: UUID) -> Measurement | None:
    """Return what is replaced. What two phones replaced, neither knowing of the other, has two successors."""
    if not body.get("supersedes"):
        return None
    old = Measurement.objects.filter(pk=body["supersedes"]).first()
    if old is None:
        raise evidence.WaitsError({"$.supersedes": "the measurement that it replaces is not there"})
    if (old.visit_id, old.check_key, old.subject) != (visit_id, body["check"], body["subject"]):
        raise evidence.RefusedError({"$.supersedes": "there is no such measurement of this check"})
    if event.origin == Origin.WEB and Measurement.objects.filter(supersedes=old).exists():
        raise evidence.RefusedError({"$.supersedes": "this measurement has been replaced already"})
    if not body.get("supersedes_reason", "").strip():
        raise evidence.RefusedError({"$.supersedes_reason": "say why it is replaced"})
    return old


def _reading(check: Check, measurement: Measurement, item: dict[str, Any], place: int) -> Reading:
    where = f"$.readings[{place}]"
    declared = check.input(item["input"])
    if declared is None:
        raise evidence.RefusedError({where: f"{check.key} has no reading {item['input']}"})
    instrument = Instrument.objects.filter(pk=item["instrument"]).first() if item.get("instrument") else None
    if declared.options:
        option = next((o for o in declared.options if o.value == item["typed"]), None)
        if option is None:
            raise evidence.RefusedError({where: "is not one of the choices"})
        value, bound, u = option.number, "", 0.0
    else:
        try:
            entry = units.parse(
                item["typed"],
                item["unit"],
                declared.quantity,
                hard=declared.hard,
                soft=None,
                bounds=declared.may_be_bound,
            )
        except (units.InputError, units.UnknownUnitError) as error:
            raise evidence.RefusedError({where: str(error)}) from error
        value, bound = _value_and_bound(entry, declared, instrument, where)
        u = 0.0 if bound else reading_uncertainty(entry, declared, instrument)
    return Reading(
        pk=uuid5(UUID(str(measurement.pk)), f"{declared.name}/{item['label']}"),
        measurement=measurement,
        input=declared.name,
        label=item["label"],
        typed=item["typed"],
        unit=item["unit"],
        bound=bound,
        value=value,
        u=u,
        instrument=instrument,
        at=moment(item["at"], f"{where}.at") if "at" in item else measurement.taken_at,
        position=place,
    )


def _value_and_bound(
    entry: units.Entry, declared: Input, instrument: Instrument | None, where: str
) -> tuple[float, str]:
    """Return the core value; over an instrument's range the end of its scale stands as a bound."""
    if entry.value_core is not None:
        return entry.value_core, entry.bound
    if entry.bound == "OL" and instrument is not None and instrument.full_scale:
        return units.to_core(float(instrument.full_scale), instrument.unit, declared.quantity), ">"
    raise evidence.RefusedError({where: "type the end of the instrument's range as a bound, such as > 999"})


def _refuse_empty(check: Check, measurement: Measurement, readings: list[Reading]) -> None:
    if check.kind is Kind.OBSERVED and not measurement.answer:
        raise evidence.RefusedError({"$.answer": "an observation needs an answer"})
    if check.kind is Kind.MEASURED and not readings:
        raise evidence.RefusedError({"$.readings": "a measurement needs a reading"})


@evidence.kind(
    "judgement.made",
    schema=s.body(
        {
            "id": s.UUID,
            "measurement": s.UUID,
            "snapshot": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "check_revision": {"type": "integer", "minimum": 1},
            "core_version": {"type": "string", "maxLength": 24},
            "verdict": {"enum": ["", "within", "outside", "borderline", "unjudged"]},
            "findings": {"type": "string"},
            "conditions": {"type": "string"},
            "because": {"type": "string", "maxLength": 120},
        }
    ),
)
def make_judgement(event: Event, body: dict[str, Any]) -> Judgement:
    """Write what was said of a measurement. Findings and conditions travel as JSON texts: they hold floats."""
    return Judgement.objects.create(
        pk=body["id"],
        measurement=event.known.get("measurement")
        or Measurement.objects.get(pk=body["measurement"], visit__site=event.site),
        snapshot=event.known.get("snapshot") or Snapshot.objects.get(pk=body["snapshot"], site=event.site),
        check_revision=body["check_revision"],
        core_version=body["core_version"],
        verdict=body["verdict"],
        findings=json.loads(body["findings"]),
        conditions=json.loads(body["conditions"]),
        because=body["because"],
        made_at=event.received_at,
    )


@evidence.kind(
    "photo.added",
    schema=s.body(
        {
            "id": s.UUID,
            "visit": s.UUID,
            "measurement": s.maybe(s.UUID),
            "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "media_type": {"type": "string", "maxLength": 40},
            "width": {"type": "integer", "minimum": 1},
            "height": {"type": "integer", "minimum": 1},
            "caption": s.LINE,
            "taken_at": s.MOMENT,
        }
    ),
)
def add_photo(event: Event, body: dict[str, Any]) -> Photo:
    visit = visit_of(event, body)
    measurement = visit.measurements.filter(pk=body["measurement"]).first() if body["measurement"] else None
    if measurement is None and body["measurement"]:
        raise evidence.WaitsError({"$.measurement": "there is no such measurement on this visit"})
    return Photo.objects.create(
        pk=body["id"],
        visit=visit,
        measurement=measurement,
        **_of_file(body),
        taken_at=moment(body["taken_at"], "$.taken_at"),
        by=event.actor,
    )
