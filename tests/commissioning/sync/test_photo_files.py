"""Photos by pieces: whole only when the hash fits, a piece twice sent is once there, and no sheet without them."""

import json
import os
from typing import Any
from uuid import uuid4

import pytest
from django.core.management import call_command
from django.test import Client

from commissioning import files
from commissioning.models import Photo, PhotoLoss
from commissioning.progress import progress_of
from commissioning.sync import photo_pieces
from tests.commissioning.sync.phones import Phone, photo_of, picture, states

pytestmark = pytest.mark.django_db


def told(answer: Any) -> Any:
    return answer.status_code, answer.json().get("have"), answer.json().get("done"), answer.json().get("error")


def test_photo_arrives_in_pieces_and_is_what_was_taken(phone: Phone) -> None:
    data = picture(side=200)
    sha = photo_of(data)["sha256"]
    assert told(phone.client.get(f"/phone/photo/{sha}/")) == (200, 0, False, None)
    size = len(data) // 3 + 1
    for start in range(0, len(data), size):
        answer = phone.put(data, offset=start, size=size, name=sha, total=len(data))
    assert told(answer) == (200, len(data), True, None)
    assert files.read(sha) == data
    assert told(phone.client.get(f"/phone/photo/{sha}/")) == (200, len(data), True, None)
    assert told(phone.put(data)) == (200, len(data), True, None)


def test_piece_twice_or_out_of_place_changes_nothing(phone: Phone) -> None:
    data = picture()
    assert told(phone.put(data, size=100, total=len(data), name=photo_of(data)["sha256"]))[1] == 100
    for offset in (0, 50, 101, 400):
        answer = phone.put(data, offset=offset, size=100, total=len(data), name=photo_of(data)["sha256"])
        assert told(answer) == (200, 100, False, None)
    assert told(phone.put(data, offset=100, name=photo_of(data)["sha256"], total=len(data)))[2] is True


def test_whole_with_another_hash_is_let_go_and_starts_again(phone: Phone) -> None:
    data = picture()
    sha = photo_of(data)["sha256"]
    spoiled = data[:-9] + b"x" + data[-8:]
    assert told(phone.put(spoiled, name=sha)) == (422, None, None, "hash")
    assert told(phone.client.get(f"/phone/photo/{sha}/")) == (200, 0, False, None)
    assert told(phone.put(data))[2] is True


def test_file_that_is_no_photo_is_refused(phone: Phone) -> None:
    assert told(phone.put(b"#!/bin/sh\n")) == (422, None, None, "photo")


@pytest.mark.parametrize(
    ("name", "query", "data", "status", "error"),
    [
        ("a" * 64, "?offset=0&total=0", b"x", 422, "size"),
        ("a" * 64, f"?offset=0&total={26 * 2**20}", b"x", 422, "size"),
        ("a" * 64, "?offset=0&total=9", b"", 422, "piece"),
        ("a" * 64, "?offset=9&total=9", b"x", 422, "piece"),
        ("a" * 64, "?offset=-1&total=9", b"x", 422, "number"),
        ("a" * 64, "?offset=%D9%A1&total=9", b"x", 422, "number"),
        ("a" * 64, "?total=9", b"x", 422, "number"),
        ("a" * 64, f"?offset=0&total={2**20}", b"x" * (256 * 1024 + 1), 413, "large"),
        ("A" * 64, "?offset=0&total=9", b"x", 422, "name"),
        ("..", "?offset=0&total=9", b"x", 422, "name"),
        ("x%2e%2e", "?offset=0&total=9", b"x", 422, "name"),
    ],
)
def test_bad_pieces_are_refused_by_a_word(
    phone: Phone, name: str, query: str, data: bytes, status: int, error: str
) -> None:
    answer = phone.client.put(f"/phone/photo/{name}/{query}", data, content_type="application/octet-stream")
    assert answer.status_code == status
    assert answer.json()["error"] == error


def test_full_disk_is_said(phone: Phone, monkeypatch: Any) -> None:
    def full(*args: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(photo_pieces, "_alone", full)
    assert phone.put(picture()).status_code == 507


def test_measurement_brings_its_photos_in_the_same_event(phone: Phone) -> None:
    data = picture()
    item = phone.measured(body={"photos": [photo_of(data, caption="the tape")]})
    assert states(phone.send(item)) == ["stored"]
    photo = Photo.objects.get()
    assert (str(photo.measurement_id), photo.caption, photo.by) == (item["body"]["id"], "the tape", phone.user)
    assert progress_of(phone.visit).awaited == [photo]
    phone.put(data)
    assert progress_of(phone.visit).awaited == []


def test_no_sheet_is_issued_before_every_photo_is_here(phone: Phone, office: Any) -> None:
    from commissioning.handover.services import Entry, NotIssuedError, draft_of, issue_sheet

    data = picture()
    phone.send(phone.measured(body={"photos": [photo_of(data)]}))

    def issue() -> None:
        entry = Entry(shown_hash=draft_of(phone.visit).shown_hash, paper="A4")
        issue_sheet(visit=phone.visit, entry=entry, actor=office, address="/v/{}/")

    with pytest.raises(NotIssuedError, match="1 photo has not arrived yet"):
        issue()
    phone.put(data)
    with pytest.raises(NotIssuedError) as refused:
        issue()
    assert "photo" not in str(refused.value)


def test_photo_that_never_will_come_is_given_up_with_a_reason(phone: Phone, as_office: Client) -> None:
    phone.send(phone.measured(body={"photos": [photo_of(picture())]}))
    photo = Photo.objects.get()
    address = f"/visit/{phone.visit.pk}/photos/awaited/"
    assert photo.sha256[:12] in as_office.get(address).text
    assert "This field is required" in as_office.post(address, {"photo": photo.pk, "reason": " "}).text
    for wrong in ("x", uuid4()):
        assert as_office.post(address, {"photo": wrong, "reason": "why"}).status_code == 404
    assert as_office.post(address, {"photo": photo.pk, "reason": "the phone fell into the well"}).status_code == 302
    assert PhotoLoss.objects.get().reason == "the phone fell into the well"
    assert progress_of(phone.visit).awaited == []


def test_draft_and_acceptance_say_that_photos_are_awaited(phone: Phone, as_office: Client) -> None:
    phone.send(phone.measured(body={"photos": [photo_of(picture())]}))
    for address in (f"/acceptance/{phone.visit.pk}/", f"/sheets/draft/{phone.visit.pk}/"):
        assert f"/visit/{phone.visit.pk}/photos/awaited/" in as_office.get(address).text


def test_sweeper_takes_what_nothing_names_and_only_when_it_is_old(phone: Phone, settings: Any) -> None:
    kept, loose, half = picture(1), picture(2), picture(3)
    phone.send(phone.measured(body={"photos": [photo_of(kept)]}))
    phone.put(kept), phone.put(loose)
    phone.put(half, size=50, total=len(half), name=photo_of(half)["sha256"])
    call_command("sweep", verbosity=0)
    assert files.is_there(photo_of(loose)["sha256"])
    for path in settings.MEDIA_ROOT.rglob("*"):
        os.utime(path, (0, 0))
    call_command("sweep", verbosity=0)
    assert files.is_there(photo_of(kept)["sha256"])
    assert not files.is_there(photo_of(loose)["sha256"])
    assert [p.name for p in settings.MEDIA_ROOT.rglob("*") if p.is_file()] != []
    assert not any(photo_of(one)["sha256"] in p.name for one in (loose, half) for p in settings.MEDIA_ROOT.rglob("*"))


# by file


def phone_file(phone: Phone, *items: Any, **photos: Any) -> bytes:
    content = {"logbook": 1, "file": "phone", "device": phone.device, "written": "", "items": items, "photos": photos}
    return json.dumps(content).encode()


def bring(client: Client, data: bytes) -> Any:
    from django.core.files.uploadedfile import SimpleUploadedFile

    return client.post("/office/phones/", {"file": SimpleUploadedFile("phone.json", data)}, follow=True)


def test_office_brings_in_a_phones_file_with_its_photos(
    phone: Phone, other: Phone, as_office: Client, office: Any
) -> None:
    import base64

    from commissioning.models import Event

    data = picture()
    mine = phone.measured(body={"photos": [photo_of(data)]})
    theirs = other.measured("tank_level", "T1", ("level", "1.30", "m"))
    file = phone_file(phone, mine, theirs, **{photo_of(data)["sha256"]: base64.b64encode(data).decode()})
    assert "2 stored, 1 photos, 0 here before" in bring(as_office, file).text
    assert "0 stored" in bring(as_office, file).text
    assert {(e.actor, e.origin) for e in Event.objects.filter(kind="measurement.taken", device__gt="")} == {
        (phone.user, "import"), (other.user, "import"),
    }  # fmt: skip
    noted = Event.objects.get(kind="file.brought_in")
    assert (noted.actor, json.loads(noted.body)["stored"]) == (office, [mine["id"], theirs["id"]])
    assert files.read(photo_of(data)["sha256"]) == data
    assert states(phone.send(mine)) == ["duplicate"]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"[]", b"{}", b'{"file":"phone","items":[],"photos":[]}'])
def test_other_files_are_refused_at_the_field(as_office: Client, data: bytes) -> None:
    answer = bring(as_office, data)
    assert answer.status_code == 200
    assert "phone&#x27;s file" in answer.text or "empty" in answer.text


def test_bad_photo_in_a_file_does_not_stop_the_items(phone: Phone, as_office: Client) -> None:
    answer = bring(as_office, phone_file(phone, phone.measured(), **{"a" * 64: "%%%", "b": "", "c" * 64: None}))
    assert "1 stored" in answer.text
    assert "Photo aaaaaaaaaaaa" in answer.text


def test_phones_page_is_for_the_office_alone(as_technician: Client) -> None:
    assert as_technician.get("/office/phones/").status_code == 404
    assert as_technician.get(f"/office/phones/{uuid4()}/drop/").status_code == 404


def test_office_sees_what_came_back_and_drops_it_with_a_reason(phone: Phone, as_office: Client) -> None:
    bad = phone.measured(body={"readings": [{"input": "level", "label": "1", "typed": "deep", "unit": "m"}]})
    phone.send(bad)
    page = as_office.get("/office/phones/")
    assert "refused" in page.text
    from commissioning.models import Quarantined

    address = f"/office/phones/{Quarantined.objects.get().pk}/drop/"
    assert "deep" in as_office.get(address).text
    assert as_office.post(address, {"reason": "typed anew"}).status_code == 302
    assert as_office.get(address).status_code == 404
    assert "Everything that phones sent was taken in" in as_office.get("/office/phones/").text


def test_technician_drops_it_on_the_phone(phone: Phone) -> None:
    from commissioning.models import Quarantined

    bad = phone.measured(body={"readings": [{"input": "level", "label": "1", "typed": "deep", "unit": "m"}]})
    phone.send(bad)
    body = {
        "visit": str(phone.visit.pk),
        "item": bad["id"],
        "digest": bad["digest"],
        "kind": bad["kind"],
        "faults": "x",
        "reason": "typed anew",
    }
    assert states(phone.send(phone.keep("item.dropped", body))) == ["stored"]
    assert not Quarantined.objects.unsettled().exists()
