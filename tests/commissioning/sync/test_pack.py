"""The pack that a phone takes along: whose it is, what is in it, what it weighs, and what it asks of the database."""

import gzip
import json
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Site, Visit
from commissioning.sync import tables
from tests.commissioning.handover.started_up import begin_up, start_up
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
LARGEST = 300_000  # bytes, compressed, without photos
ROOM_OF_TABLES = 80_000  # bytes that the tables take of it: they are left out here, and weighed by their own tests


@pytest.fixture(autouse=True)
def no_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the pocket tables out: they take seconds, and have tests of their own."""
    monkeypatch.setattr("commissioning.sync.pack.tables_of", lambda progress: {})


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician)


def answer_of(client: Client, visit: Visit, **headers: str) -> Any:
    return client.get(reverse("phone-pack", args=[visit.pk]), headers=headers)


def pack_of(client: Client, visit: Visit) -> dict[str, Any]:
    answer = answer_of(client, visit)
    assert answer.status_code == 200
    found: dict[str, Any] = json.loads(gzip.decompress(answer.content))
    return found


def test_pack_is_closed_to_a_stranger(visit: Visit) -> None:
    answer = answer_of(Client(), visit, accept="application/json")
    assert answer.status_code == 401
    assert "pages" not in answer.json()


def test_pack_holds_every_page_of_the_visit_and_no_token(as_technician: Client, visit: Visit) -> None:
    pack = pack_of(as_technician, visit)
    url = visit.get_absolute_url()
    wanted = {url, f"{url}sign/", f"{url}end/", f"{url}photos/", f"{url}defect/", f"{url}hold/close_strings/"}
    wanted |= {f"{url}{line['id']}/" for line in pack["lines"]}
    wanted |= {reverse("record-detail", args=[visit.site_id]), *(i["url"] for i in pack["as_built"]["items"].values())}
    assert wanted <= set(pack["pages"])
    text = json.dumps(pack)
    assert "csrfmiddlewaretoken" not in text
    assert "X-CSRFToken" not in text
    assert pack["logbook"] == 1
    assert (pack["visit"], pack["name"]) == (str(visit.pk), "T. Marsh")


def test_pages_are_those_of_the_person_who_asks(as_office: Client, as_technician: Client, visit: Visit) -> None:
    assert "M. Quill" in pack_of(as_office, visit)["pages"][visit.get_absolute_url()]
    assert "M. Quill" not in pack_of(as_technician, visit)["pages"][visit.get_absolute_url()]


def test_queries_do_not_grow_with_what_was_measured(
    as_technician: Client, technician: Any, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    few, all_of_it = begin_up(technician), start_up(technician, site_with_record(technician, name="Larch Hill"))
    answer_of(as_technician, few)  # what is fetched once a process is there now
    with django_assert_max_num_queries(200) as asked:
        answer_of(as_technician, few)
    with django_assert_max_num_queries(len(asked) + 3):
        answer_of(as_technician, all_of_it)


def test_pack_is_small_and_unchanged_it_is_not_sent_again(as_technician: Client, technician: Any) -> None:
    visit = start_up(technician, leave=("turbidity",))
    answer = answer_of(as_technician, visit)
    assert len(answer.content) < LARGEST - ROOM_OF_TABLES
    again = answer_of(as_technician, visit, if_none_match=answer["ETag"])
    assert (again.status_code, again.content) == (304, b"")
    measure(visit, "turbidity", "W1", ("turbidity", "0.9", "NTU"), actor=technician)
    assert answer_of(as_technician, visit, if_none_match=answer["ETag"]).status_code == 200


def test_service_visit_takes_its_baseline_along(as_technician: Client, visit: Visit, technician: Any) -> None:
    measure(visit, "static_level", "W1", ("level", "24.10", "m", "1"), ("level", "24.11", "m", "2"), actor=technician)
    site = Site.objects.get(pk=visit.site_id)
    service = visit_on(site, technician, "service")
    before = pack_of(as_technician, service)["baseline"]["static_level:W1"]
    assert before["values"][0]["value"].startswith("24.1")
    assert pack_of(as_technician, visit)["baseline"] == {}


def test_tables_are_asked_for_by_the_pack(as_technician: Client, visit: Visit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("commissioning.sync.pack.tables_of", lambda progress: {"static_level:W1": {"seen": []}})
    pack = pack_of(as_technician, visit)
    assert pack["tables"] == {"static_level:W1": {"seen": []}}
    assert len(pack["tables_mark"]) == len(tables.core_mark())
