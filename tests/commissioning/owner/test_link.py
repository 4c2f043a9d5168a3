"""The owner's link: unguessable, kept as a hash, revocable, made again; unknown and revoked look alike."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from commissioning.canonical import digest
from commissioning.models import Event, OwnerLink, Site
from commissioning.owner import services
from tests.commissioning.worlds import site_with_record

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


def page(token: str) -> Any:
    return Client().get(reverse("owner-link-page", args=[token]))


def test_link_shows_the_standing_the_pack_and_nobody_signed_in(site: Site, office: Any) -> None:
    answer = page(services.make_link(site=site, actor=office))
    assert answer.status_code == 200
    for words in ("No handover sheet stands", "Do not drink it", "Switch C1", "Who to call"):
        assert words in answer.text
    for hidden in (office.get_full_name(), "/account/", f"/sites/{site.pk}"):
        assert hidden not in answer.text


def test_answers_are_kept_by_nobody_and_tell_no_referrer(site: Site, office: Any) -> None:
    for token in (services.make_link(site=site, actor=office), "nothing"):
        headers = page(token).headers
        assert headers["Cache-Control"] == "no-store"
        assert headers["Referrer-Policy"] == "no-referrer"
        assert "noindex" in headers["X-Robots-Tag"]


def test_secret_has_128_bits_and_stands_nowhere(site: Site, office: Any) -> None:
    token = services.make_link(site=site, actor=office)
    assert len(token) == 22  # 22 × 6 bits: 128 and a filling
    assert OwnerLink.objects.get().token_hash == digest(token)
    assert not any(token in body for body in Event.objects.values_list("body", flat=True))


def test_revoked_link_is_like_one_that_never_was(site: Site, office: Any) -> None:
    token = services.make_link(site=site, actor=office)
    services.revoke_link(link=OwnerLink.objects.get(), actor=office)
    revoked, unknown = page(token), page("x" * 22)
    assert (revoked.status_code, unknown.status_code) == (404, 404)
    assert revoked.content == unknown.content
    file = Client().get(reverse("owner-link-pack", args=[token]))
    assert file.status_code == 404


def test_making_another_shuts_the_one_before(site: Site, office: Any) -> None:
    first, second = (services.make_link(site=site, actor=office) for _ in range(2))
    assert (page(first).status_code, page(second).status_code) == (404, 200)


def test_office_makes_and_revokes_by_one_event_each(site: Site, as_office: Client) -> None:
    url = reverse("owner-link", args=[site.pk])
    before = Event.objects.count()
    made = as_office.post(url)
    assert "/o/" in made.text
    assert made.headers["Cache-Control"] == "no-store"
    assert Event.objects.count() == before + 1
    assert "/o/" not in as_office.get(url).text
    as_office.post(url, {"revoke": "yes"})
    assert list(Event.objects.order_by("sequence").values_list("kind", flat=True))[-2:] == [
        "owner_link.made", "owner_link.revoked",
    ]  # fmt: skip


def test_technician_makes_none(site: Site, as_technician: Client, technician: Any) -> None:
    assert as_technician.post(reverse("owner-link", args=[site.pk])).status_code == 404
    with pytest.raises(PermissionDenied):
        services.make_link(site=site, actor=technician)
    assert not OwnerLink.objects.exists()


def test_database_keeps_one_standing_link_a_site(site: Site, office: Any) -> None:
    services.make_link(site=site, actor=office)
    services.make_link(site=site, actor=office)
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE commissioning_ownerlink SET revoked_at = NULL")
