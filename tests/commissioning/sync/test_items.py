"""The entrance for items: once stored however often sent, in any order, each for itself."""

import hashlib
import json
from datetime import UTC, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from commissioning import evidence
from commissioning.chain import problems
from commissioning.items import digest_of_item
from commissioning.models import Device, Event, Judgement, Measurement, Quarantined, Visit
from tests.commissioning.sync.phones import ITEMS, Phone, states
from tests.commissioning.worlds import measure
from tests.tampering import without_triggers

pytestmark = pytest.mark.django_db

UNKNOWN = "0d0348b1-84fd-4055-b766-3e191a272d6b"  # an id of nothing; the same for every worker that collects


def test_item_becomes_evidence_with_its_clock_and_a_receipt(phone: Phone, technician: Any) -> None:
    shown = {"verdict": "within", "window": "20 … 30 m", "tables": "a1"}
    item = phone.measured(shown=shown)
    (result,) = phone.send(item)
    event = Event.objects.get(pk=item["id"])
    assert result == {
        "id": item["id"], "state": "stored", "faults": {}, "receipt": {"sequence": event.sequence, "hash": event.hash},
    }  # fmt: skip
    assert (event.origin, event.actor, event.device, event.device_sequence) == ("phone", technician, phone.device, 1)
    assert json.loads(event.clock) == item["clock"]
    assert json.loads(event.shown) == shown
    assert event.digest == item["digest"]
    assert event.recorded_at.isoformat(timespec="milliseconds") == item["clock"]["wall"]
    assert problems() == []


def test_answer_names_the_head_of_every_chain_it_touched(phone: Phone, visit: Visit) -> None:
    answer = phone.deliver(phone.measured()).json()
    last = Event.objects.of_site(visit.site_id).last()
    assert last is not None
    assert answer["logbook"] == 1
    assert answer["heads"] == {str(visit.site_id): [last.sequence, last.hash]}
    assert answer["epoch"] == phone.hello()["epoch"]


def test_measurement_is_judged_when_it_comes_in(phone: Phone) -> None:
    item = phone.measured()
    phone.send(item)
    assert Judgement.objects.filter(measurement=item["body"]["id"]).count() == 1


def test_sent_again_it_is_stored_once_and_has_the_same_receipt(phone: Phone) -> None:
    item = phone.measured()
    first, again = phone.send(item), phone.send(item)
    assert (states(first), states(again)) == (["stored"], ["duplicate"])
    assert first[0]["receipt"] == again[0]["receipt"]
    assert Measurement.objects.count() == 1


def test_twice_in_one_delivery_is_stored_once(phone: Phone) -> None:
    item = phone.measured()
    assert sorted(states(phone.send(item, item))) == ["duplicate", "stored"]


def test_order_of_arrival_does_not_matter(phone: Phone) -> None:
    first = phone.measured()
    second = phone.measured(body={"supersedes": first["body"]["id"], "supersedes_reason": "misread"})
    third = phone.measured(body={"supersedes": second["body"]["id"], "supersedes_reason": "misread again"})
    assert states(phone.send(third)) == ["waits"]
    assert not Event.objects.filter(pk=third["id"]).exists()
    assert states(phone.send(third, first, second)) == ["stored"] * 3
    assert Measurement.objects.current().get().pk.hex == third["body"]["id"].replace("-", "")


def test_what_waits_is_taken_when_what_it_needs_comes_in_the_same_delivery(phone: Phone, other: Phone) -> None:
    """Two devices: the one that was first by number needs what the other one brings."""
    first = other.measured()
    second = phone.measured(body={"supersedes": first["body"]["id"], "supersedes_reason": "misread"})
    assert states(phone.send(second)) == ["waits"]
    assert states(other.send(first)) == ["stored"]
    assert states(phone.send(second)) == ["stored"]


@pytest.mark.parametrize(
    ("name", "value"),
    [("visit", UNKNOWN), ("subject", "X99"), ("supersedes", UNKNOWN)],
)
def test_what_has_not_arrived_is_waited_for_and_named(phone: Phone, name: str, value: str) -> None:
    item = phone.measured(body={name: value, "supersedes_reason": "misread"})
    (result,) = phone.send(item)
    assert result["state"] == "waits"
    assert f"$.{name}" in result["faults"]
    assert not Quarantined.objects.exists()


def test_same_id_with_other_content_goes_to_quarantine_and_the_first_stands(phone: Phone) -> None:
    item = phone.measured()
    phone.send(item)
    other = {**item, "body": {**item["body"], "note": "altered"}}
    other["digest"] = digest_of_item(other)
    assert states(phone.send(other)) == ["conflict"]
    assert states(phone.send(other)) == ["conflict"]
    kept = Quarantined.objects.get()
    assert json.loads(kept.text) == other
    assert Event.objects.get(pk=item["id"]).digest == item["digest"]
    assert Measurement.objects.get().note == ""


def test_same_place_in_the_count_with_another_id_goes_to_quarantine(phone: Phone) -> None:
    item = phone.measured()
    phone.send(item)
    phone.n = 0
    twin = phone.measured()
    (result,) = phone.send(twin)
    assert result["state"] == "conflict"
    assert "number 1" in result["faults"]["$"]
    assert str(Quarantined.objects.get().event_id) == twin["id"]


def test_same_measurement_by_form_and_by_phone_is_a_conflict(phone: Phone, visit: Visit, technician: Any) -> None:
    item = phone.measured()
    measure(visit, "static_level", "W1", ("level", "23", "m", "1"), actor=technician, id=item["body"]["id"])
    assert states(phone.send(item)) == ["conflict"]


def test_changed_on_its_way_it_is_refused_by_its_digest(phone: Phone) -> None:
    item = phone.measured()
    item["body"]["readings"][0]["typed"] = "42.10"
    (result,) = phone.send(item)
    assert result["state"] == "refused"
    assert "$.digest" in result["faults"]
    assert not Quarantined.objects.exists()


def test_one_bad_item_never_holds_up_the_rest(phone: Phone) -> None:
    bad = [
        phone.measured(body={"readings": [{"input": "level", "label": "1", "typed": "deep", "unit": "m"}]}),
        phone.keep("sheet.issued", {"visit": str(uuid4()), "record": "{}", "file_hash": ""}),
        {"id": 5}, 7, None, [], "x",
        phone.keep("record.changed", {"changes": [{"op": "put", "sort": "component", "id": str(uuid4())}]}),
    ]  # fmt: skip
    good = [phone.measured() for _ in range(3)]
    results = phone.send(*bad[:4], *good, *bad[4:])
    assert states(results) == ["refused"] * 4 + ["stored"] * 3 + ["refused"] * 4
    assert all(one["faults"] for one in results if one["state"] == "refused")
    assert sorted(Quarantined.objects.values_list("kind", flat=True)) == [
        "measurement.taken", "record.changed", "sheet.issued",
    ]  # fmt: skip


@pytest.mark.parametrize("kind", ["sheet.issued", "concession.granted", "limit.set", "judgement.made", "visit.begun"])
def test_kinds_that_nobody_writes_on_site_are_refused(phone: Phone, kind: str) -> None:
    (result,) = phone.send(phone.keep(kind, {}))
    assert (result["state"], list(result["faults"])) == ("refused", ["$.kind"])


def test_item_of_another_person_waits_for_that_person(phone: Phone, other: Phone) -> None:
    item = phone.measured(user=str(other.user.handle))
    (result,) = phone.send(item)
    assert (result["state"], list(result["faults"])) == ("waits", ["$.user"])
    other.device = phone.device
    assert states(other.send(item)) == ["stored"]
    assert Event.objects.get(pk=item["id"]).actor == other.user


def test_colleague_may_send_from_the_same_phone(phone: Phone, other: Phone) -> None:
    phone.send(phone.measured())
    other.device, other.n = phone.device, phone.n
    assert states(other.send(other.measured())) == ["stored"]
    device = Device.objects.get()
    assert device.first_user == phone.user
    assert set(device.people.all()) == {phone.user, other.user}


def test_item_of_another_device_is_refused(phone: Phone) -> None:
    (result,) = phone.send(phone.measured(device=str(uuid4())))
    assert result["state"] == "refused"


def test_what_was_measured_before_a_change_of_the_record_is_judged_before_it(phone: Phone, site: Any) -> None:
    well = site.components.get(tag="W1")
    change = {"op": "put", "sort": "component", "id": str(well.pk), "kind": "well", "tag": "W1", "name": "Old well"}
    before = phone.measured()
    changed = phone.keep("record.changed", {"changes": [change], "reason": "name put right"})
    after = phone.measured(body={"supersedes": before["body"]["id"], "supersedes_reason": "again"})
    assert states(phone.send(before, changed, after)) == ["stored"] * 3
    first, second = (Judgement.objects.get(measurement=one["body"]["id"]) for one in (before, after))
    assert first.snapshot != second.snapshot
    assert '"Old well"' in second.snapshot.body
    assert '"Old well"' not in first.snapshot.body


def test_batch_says_the_same_as_one_by_one(phone: Phone, visit: Visit, technician: Any) -> None:
    """Judged together or one after the other: the last thing said of each check is the same."""
    from tests.commissioning.handover.started_up import NOON, READINGS, readings_of
    from tests.commissioning.worlds import visit_on

    some = [one for one in READINGS if one[0] in WANTED]
    for number, (check, subject, read) in enumerate(some):
        at = NOON + timedelta(seconds=20 * number)
        measure(visit, check, subject, *readings_of(check, read), actor=technician, at=at)
    again = Phone(technician, visit_on(visit.site, technician, at=NOON))
    items = [
        again.measured(c, s, *readings_of(c, r), body={"taken_at": (NOON + timedelta(seconds=20 * n)).isoformat()})
        for n, (c, s, r) in enumerate(some)
    ]
    assert states(again.send(*reversed(items))) == ["stored"] * len(items)
    assert _said(again.visit) == _said(visit)


WANTED = {
    "static_level", "irradiance", "module_temperature", "tank_level", "open_circuit_voltage", "short_circuit_current",
    "well_pump_power", "pumping_level",
}  # fmt: skip


def _said(visit: Visit) -> dict[str, Any]:
    found = {}
    for one in visit.measurements.current():
        judgement = one.judgement()
        assert judgement is not None
        found[one.owed_id] = (judgement.verdict, [(f["name"], f["value"], f["expected"]) for f in judgement.findings])
    return found


@pytest.mark.parametrize("many", [1, 2])
def test_fault_in_judging_undoes_nothing_and_is_made_good_when_sent_again(
    phone: Phone, many: int, monkeypatch: Any, caplog: Any
) -> None:
    """The same where the server dies between keeping and judging: the phone, which heard nothing, sends again."""
    items = [phone.measured(), phone.measured("tank_level", "T1", ("level", "1.30", "m"))][:many]
    with monkeypatch.context() as broken:
        broken.setattr("commissioning.judging.assessment_of", lambda *a: 1 / 0)
        assert states(phone.send(*items)) == ["stored"] * many
    assert "could not be judged" in caplog.text
    assert not Judgement.objects.exists()
    assert states(phone.send(*items)) == ["duplicate"] * many
    assert Judgement.objects.count() == many
    phone.send(*items)
    assert Judgement.objects.count() == many


def test_hash_of_what_a_phone_sent_can_be_recomputed_without_the_program(phone: Phone) -> None:
    """The recipe of the documentation with the fields that a phone adds; older hashes have none of them."""
    shown = {"tables": "a1", "verdict": "within", "window": "20 … 30 m"}
    item = phone.measured(shown=shown)
    phone.send(item)
    event = Event.objects.get(pk=item["id"])
    utc = "%Y-%m-%dT%H:%M:%S.%f+00:00"
    header = {
        "actor": str(event.actor.handle), "clock": plain(item["clock"]), "device": phone.device, "device_sequence": 1,
        "digest": item["digest"], "id": item["id"], "kind": "measurement.taken", "origin": "phone",
        "received_at": event.received_at.strftime(utc), "recorded_at": event.recorded_at.astimezone(UTC).strftime(utc),
        "sequence": event.sequence, "shown": plain(shown), "site": item["site"],
    }  # fmt: skip
    lines = [event.previous_hash, plain(header), plain(item["body"])]
    assert event.hash == hashlib.sha256("\n".join(lines).encode()).hexdigest()
    whole = {name: value for name, value in item.items() if name != "digest"}
    assert item["digest"] == hashlib.sha256(plain(whole).encode()).hexdigest()


def plain(content: Any) -> str:
    """Return canonical JSON by the standard library alone: enough for keys and texts in ASCII order."""
    return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def test_export_carries_what_a_phone_added_and_leaves_it_out_elsewhere(phone: Phone, visit: Visit) -> None:
    from commissioning.open_record.export import site_record

    item = phone.measured(shown={"verdict": "within"})
    phone.send(item)
    events = {one["id"]: one for one in site_record(visit.site)["events"]}
    sent = events.pop(item["id"])
    assert (json.loads(sent["clock"]), sent["digest"]) == (item["clock"], item["digest"])
    assert json.loads(sent["shown"]) == {"verdict": "within"}
    assert not any(name in one for one in events.values() for name in ("clock", "shown", "digest"))


@pytest.mark.parametrize("column", ["clock", "shown", "digest"])
def test_change_of_what_a_phone_added_is_found(phone: Phone, column: str) -> None:
    phone.send(phone.measured(shown={"verdict": "within"}))
    last = Event.objects.get(device=phone.device)
    with without_triggers() as cursor:
        cursor.execute(f"UPDATE commissioning_event SET {column} = '' WHERE device <> ''")
    assert any(f"event {last.sequence} " in line and "content" in line for line in problems())


# the whole delivery


@pytest.mark.parametrize(
    ("body", "status", "error"),
    [
        (b"x", 422, "json"),
        (b"[]", 422, "form"),
        (b"{}", 422, "form"),
        (b"\xff", 422, "encoding"),
        (b"[" * 100_000, 422, "depth"),
        (b'{"items":[NaN]', 422, "json"),
        (b" " * (2**20 + 1), 413, "size"),
    ],
)
def test_unreadable_delivery_is_refused_whole(phone: Phone, body: bytes, status: int, error: str) -> None:
    answer = phone.client.post(ITEMS, body, content_type="application/json")
    assert (answer.status_code, answer.json()["error"], answer.json()["logbook"]) == (status, error, 1)
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    ("changed", "status", "error"),
    [
        ({"user": str(uuid4())}, 409, "user"),
        ({"device": "phone"}, 422, "form"),
        ({"more": 1}, 422, "form"),
        ({"items": {}}, 422, "form"),
        ({"items": [{}] * 201}, 422, "form"),
        ({"items": [{"v": 0}]}, 426, "version"),
    ],
)
def test_wrong_delivery_is_refused_whole(phone: Phone, changed: Any, status: int, error: str) -> None:
    answer = phone.deliver(**changed)
    assert (answer.status_code, answer.json()["error"]) == (status, error)


def test_other_types_than_json_are_refused(phone: Phone) -> None:
    assert phone.client.post(ITEMS, {"items": "x"}).status_code == 415


def test_stranger_gets_401_json_and_never_a_page(client: Client, phone: Phone) -> None:
    for answer in (client.post(ITEMS), client.get(f"/phone/photo/{'a' * 64}/"), client.put("/phone/photo/x/")):
        assert (answer.status_code, answer.json()["logbook"]) == (401, 1)


def test_stale_token_gets_403_json(phone: Phone) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(phone.user, backend="django.contrib.auth.backends.ModelBackend")
    refused = strict.post(ITEMS, b"{}", content_type="application/json")
    assert (refused.status_code, refused.json()["error"]) == (403, "token")
    token = strict.get("/phone/hello/").json()["csrf"]
    taken = strict.post(ITEMS, b"{}", content_type="application/json", headers={"X-CSRFToken": token})
    assert taken.status_code == 422


def test_busy_database_is_said_and_nothing_is_acknowledged(phone: Phone, monkeypatch: Any) -> None:
    from django.db import OperationalError

    def busy(event: Event) -> Event:
        raise OperationalError("database is locked")

    monkeypatch.setattr(evidence, "written", busy)
    answer = phone.deliver(phone.measured())
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "10")
    monkeypatch.setattr(evidence, "written", lambda event: (_ for _ in ()).throw(OperationalError("disk is full")))
    assert phone.deliver(phone.measured()).status_code == 507
    assert not Measurement.objects.exists()


def test_fault_of_ours_undoes_that_item_alone_and_is_logged(phone: Phone, monkeypatch: Any, caplog: Any) -> None:
    project = evidence.KINDS["defect.raised"].project
    raised = phone.keep(
        "defect.raised", {"id": str(uuid4()), "visit": str(phone.visit.pk), "words": "x", "is_unsafe": False}
    )
    broken = evidence.Kind("defect.raised", evidence.KINDS["defect.raised"].validator, lambda event, body: 1 / 0)
    monkeypatch.setitem(evidence.KINDS, "defect.raised", broken)
    assert states(phone.send(raised, phone.measured())) == ["refused", "stored"]
    assert "ZeroDivisionError" in caplog.text
    monkeypatch.setitem(evidence.KINDS, "defect.raised", evidence.Kind("defect.raised", broken.validator, project))
    assert Quarantined.objects.unsettled().count() == 1
    assert states(phone.send(raised)) == ["stored"]
    assert Quarantined.objects.unsettled().count() == 0


# hello


def test_hello_says_who_when_and_what_comes_next(phone: Phone) -> None:
    assert phone.hello()["next"] == {phone.device: 1}
    phone.send(phone.measured(), phone.measured())
    said = phone.hello()
    assert (said["logbook"], said["user"], said["name"]) == (1, str(phone.user.handle), "T. Marsh")
    assert said["next"] == {phone.device: 3}
    assert said["time"].endswith("+00:00")
    assert said["version"] == said["oldest_version"] == 1


def test_hello_answers_a_stranger_without_telling_of_devices(client: Client, phone: Phone) -> None:
    phone.send(phone.measured())
    said = client.get(f"/phone/hello/?device={phone.device}").json()
    assert (said["user"], said["next"]) == (None, {})
    assert said["csrf"]
