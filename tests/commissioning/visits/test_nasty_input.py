"""What thumbs, other keypads and programs send: answered in words, never by a server error, nothing typed lost."""

import io
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.html import escape
from PIL import Image

from commissioning import files, photo_copies
from commissioning.models import Measurement, Photo, Visit
from tests.commissioning.visits.conftest import static_level, url_of

pytestmark = pytest.mark.django_db

NASTY = [
    "", " ", "1,5", "1.234,5", "1e309", "NaN", "inf", "-", "٢٤٫١", "२४", "24 m", "24m", "> 24", "OL", "--24", "2 4",
    "<script>alert(1)</script>", "'; DROP TABLE commissioning_reading; --", "9" * 400, "\u202e24", "24\x00", "０", "💧",
]  # fmt: skip
LEVEL = "static_level:W1"


@pytest.mark.parametrize("text", NASTY)
def test_nasty_number_is_answered_in_words_and_kept_in_the_field(
    as_technician: Client, visit: Visit, text: str
) -> None:
    answer = as_technician.post(url_of(visit, LEVEL), static_level(text, "24.11"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'id="error-r-level-0"' in page
    assert 'value="24.11"' in page
    assert f'value="{escape(text)}"' in page
    assert "<script>alert" not in page
    assert not Measurement.objects.exists()


@pytest.mark.parametrize(
    "sent",
    [
        {"unit-level": "furlong"}, {"unit-level": ""}, {"instrument-level": "x"}, {"id": "no uuid"}, {"id": ""},
        {"read_at": "tomorrow"}, {"read_at": "9999-12-31T23:59"}, {"first_sent": "x", "right": "y"},
        {"cure": "r-level-0|24.10|1e309|"}, {"cure": "x|||"}, {"cure": "unit-level|m|ft|"}, {"note": "n" * 5000},
        {"elapsed": "9" * 30}, {"photo_kept": "forged"}, {"reason": "\x00"},
    ],
)  # fmt: skip
def test_nasty_side_fields_never_break_the_page(as_technician: Client, visit: Visit, sent: dict[str, str]) -> None:
    assert as_technician.post(url_of(visit, LEVEL), static_level(**sent)).status_code in (200, 302)


@pytest.mark.parametrize("text", ["", "x", "-5", "9" * 40, "1e5", "25:61", "\x00", "12:00:00:00"])
def test_nasty_start_of_a_series_is_answered_in_words(as_technician: Client, visit: Visit, text: str) -> None:
    sent = {
        "id": str(uuid4()), "elapsed": text, "started": text, "r-pressure-0": "170", "r-pressure-1": "169",
        "r-pressure-2": "169",
    }  # fmt: skip
    answer = as_technician.post(url_of(visit, "tightness_whole:T1"), sent)
    assert answer.status_code == 200
    assert not Measurement.objects.exists()


@pytest.mark.parametrize("query", ["?way=nonsense", "?unit=<x>", "?back=<script>", "?again=1", "?replace=1", "?more=1"])
def test_nasty_address_shows_the_page(as_technician: Client, visit: Visit, query: str) -> None:
    assert as_technician.get(url_of(visit, LEVEL, query)).status_code == 200
    as_technician.post(url_of(visit, LEVEL), static_level())
    assert as_technician.get(url_of(visit, LEVEL, query)).status_code == 200


@pytest.mark.parametrize("query", ["?site=x", "?page=x", "?page=99999", "?site=<script>"])
def test_nasty_list_address_shows_the_list(as_technician: Client, visit: Visit, query: str) -> None:
    assert as_technician.get(reverse("visit-list") + query).status_code == 200
    assert as_technician.get(reverse("visit-begin") + query).status_code == 200


# photos


def picture(width: int = 60, height: int = 40, kind: str = "JPEG", name: str = "gauge.jpg") -> SimpleUploadedFile:
    made = io.BytesIO()
    Image.new("RGB", (width, height), "teal").save(made, kind)
    return SimpleUploadedFile(name, made.getvalue(), "image/jpeg")


def test_photo_is_tied_to_its_reading_and_served_to_people_only(
    as_technician: Client, client: Client, visit: Visit
) -> None:
    sent = picture()
    original = sent.read()
    sent.seek(0)
    as_technician.post(url_of(visit, LEVEL), {**static_level(), "photos": sent})
    photo = Photo.objects.get()
    assert photo.measurement == Measurement.objects.get()
    assert files.read(photo.sha256) == original
    for size in photo_copies.SIZES:
        url = reverse("photo-file", args=[photo.pk, size])
        answer = as_technician.get(url)
        assert answer.headers["Content-Type"] == "image/jpeg"
        assert Image.open(io.BytesIO(b"".join(answer.streaming_content))).size == (60, 40)
        assert client.get(url).status_code == 302
    assert as_technician.get(reverse("photo-file", args=[photo.pk, "original"])).status_code == 404
    assert as_technician.get(reverse("photo-file", args=[uuid4(), "large"])).status_code == 404


def test_photo_survives_a_form_that_comes_back(as_technician: Client, visit: Visit) -> None:
    answer = as_technician.post(url_of(visit, LEVEL), {**static_level("1,5"), "photos": picture()})
    tokens = answer.context["form"].photo_tokens()
    assert len(tokens) == 1
    as_technician.post(url_of(visit, LEVEL), {**static_level(), "photo_kept": tokens})
    assert Photo.objects.get().measurement == Measurement.objects.get()


def test_same_photo_sent_twice_is_kept_once(as_technician: Client, visit: Visit) -> None:
    sent = static_level()
    for _ in range(2):
        as_technician.post(url_of(visit, LEVEL), {**sent, "photos": picture()})
    assert Photo.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"just text", "not a photo"),
        (b"", "empty"),
        (b"\xff\xd8\xff\xe0" + b"\x00" * 50, "damaged"),
        (b"\x00\x00\x00\x18ftypheic" + b"\x00" * 40, "HEIC"),
    ],
)
def test_file_that_is_no_photo_is_said_so_and_the_reading_stays_typed(
    as_technician: Client, visit: Visit, data: bytes, words: str
) -> None:
    sent = {**static_level(), "photos": SimpleUploadedFile("gauge.jpg", data, "image/jpeg")}
    answer = as_technician.post(url_of(visit, LEVEL), sent)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert words in page
    assert 'value="24.10"' in page
    assert not Photo.objects.exists()


def test_forty_megapixels_are_taken_in(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, LEVEL), {**static_level(), "photos": picture(8000, 5000)})
    photo = Photo.objects.get()
    assert (photo.width, photo.height) == (8000, 5000)
    with Image.open(photo_copies.path_of(photo.sha256, photo_copies.LARGE)) as copy:
        assert max(copy.size) <= 1600


def test_photo_of_a_hundred_megapixels_is_refused_in_words(as_technician: Client, visit: Visit) -> None:
    answer = as_technician.post(url_of(visit, LEVEL), {**static_level(), "photos": picture(11_000, 9_000, "PNG")})
    assert "megapixels" in answer.content.decode()


def test_copies_are_made_again_where_only_the_file_is_there(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, LEVEL), {**static_level(), "photos": picture()})
    photo = Photo.objects.get()
    for size in photo_copies.SIZES:
        photo_copies.path_of(photo.sha256, size).unlink()
    assert as_technician.get(reverse("photo-file", args=[photo.pk, "thumbnail"])).status_code == 200


def test_photos_of_the_visit_are_added_and_shown(as_technician: Client, visit: Visit) -> None:
    url = reverse("visit-photos", args=[visit.pk])
    assert "Choose a photo." in as_technician.post(url, {}).content.decode()
    as_technician.post(url, {"photos": [picture(), picture(50, 50)]})
    assert Photo.objects.filter(measurement=None).count() == 2
    assert "Photos of the visit" in as_technician.get(reverse("visit-detail", args=[visit.pk])).content.decode()


def test_photo_for_a_measurement_of_another_visit_is_not_found(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    url = reverse("visit-photos", args=[visit.pk])
    assert as_technician.get(f"{url}?measurement={uuid4()}").status_code == 404
    assert as_technician.get(f"{url}?measurement=x").status_code == 404


def test_day_that_is_none_stays_typed_beside_its_error(as_technician: Client, visit: Visit) -> None:
    url = reverse("measurement-set-aside", args=[visit.pk, "coliform:O1"])
    page = as_technician.post(url, {"id": str(uuid4()), "sent_on": "2027-02-31"}).content.decode()
    assert 'value="2027-02-31"' in page
    assert "Give the day as 2027-04-14." in page
