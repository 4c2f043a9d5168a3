"""Limits of a site: set and lifted by the office with name and reason, applied to what is still to be accepted."""

from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.ledger import lines_of
from commissioning.models import Event, SiteLimit, Visit
from commissioning.office import limit_services
from commissioning.progress import Line, progress_of
from sizing.checks.catalogue import CHECKS
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
MORNING = datetime(2027, 4, 14, 15, tzinfo=UTC)
REASON = "The float hangs in a stilling pipe."
TYPED = {"judged": "level", "subject": "LS1", "lower": "1.5", "upper": "1.9", "unit": "m", "reason": REASON}


@pytest.fixture
def visit(technician: Any) -> Visit:
    visit = visit_on(site_with_record(technician), technician, at=MORNING)
    measure(visit, "fill_stop_level", "LS1", ("depth", "2.05", "m"), actor=technician, at=MORNING, way="dip")
    return visit


def url(visit: Visit, check: str = "fill_stop_level") -> str:
    return reverse("limit-set", args=[visit.site_id, check])


def line(visit: Visit) -> Line:
    found = progress_of(visit).line("fill_stop_level:LS1")
    assert found is not None
    return found


def body(**changes: Any) -> dict[str, Any]:
    """Return what the append door needs to set a limit."""
    return {"id": str(uuid4()), "check": "fill_stop_level", **TYPED, **changes}


def test_a_limit_of_the_site_is_judged_by_and_named(visit: Visit, as_office: Client) -> None:
    assert line(visit).verdict == "within"
    assert as_office.post(url(visit), TYPED).status_code == 302
    judged = line(visit)
    assert judged.verdict == "outside"
    assert judged.judgement is not None
    expected = judged.judgement.findings[0]["expected"]
    assert (expected["lower"], expected["upper"]) == (1.5, 1.9)
    assert expected["basis"] == f"site limit by M. Quill: {REASON}"
    assert judged.judgement.because == "a limit of the site was set"


def test_the_sheet_prints_whose_limit_it_is(visit: Visit, as_office: Client) -> None:
    as_office.post(url(visit), TYPED)
    content = next(one for one in lines_of(progress_of(visit)) if one["owed"] == "fill_stop_level:LS1")
    assert content["rows"][0]["basis"] == f"site limit by M. Quill: {REASON}"


def test_a_limit_is_typed_in_any_unit_on_offer(visit: Visit, as_office: Client) -> None:
    as_office.post(url(visit), {**TYPED, "lower": "", "upper": "6", "unit": "ft"})
    limit = SiteLimit.objects.get()
    assert limit.upper == pytest.approx(6 * 0.3048)  # NIST SP 811, B.8: 1 ft = 0.3048 m
    assert (limit.upper_typed, limit.unit, limit.lower) == ("6", "ft", None)


def test_a_limit_for_every_subject_yields_to_one_for_a_tag(visit: Visit, as_office: Client) -> None:
    as_office.post(url(visit), {**TYPED, "subject": "", "upper": "1.9"})
    assert line(visit).verdict == "outside"
    as_office.post(url(visit), {**TYPED, "upper": "2.15"})
    assert line(visit).verdict == "within"
    assert SiteLimit.objects.standing().count() == 2


def test_a_second_limit_replaces_the_first_and_both_stay_on_record(visit: Visit, as_office: Client) -> None:
    as_office.post(url(visit), TYPED)
    as_office.post(url(visit), {**TYPED, "upper": "2.15", "reason": "Moved up."})
    first, second = SiteLimit.objects.order_by("at")
    assert first.lifted_reason == "replaced: Moved up."
    assert second.lifted_at is None
    assert Event.objects.filter(kind="limit.set").count() == 2


def test_lifting_brings_the_checks_own_limits_back(visit: Visit, as_office: Client) -> None:
    as_office.post(url(visit), TYPED)
    lift = reverse("limit-lift", args=[SiteLimit.objects.get().pk])
    assert "stilling pipe" in as_office.get(lift).content.decode()
    assert as_office.post(lift, {"reason": ""}).status_code == 200
    assert as_office.post(lift, {"reason": "A new float."}).status_code == 302
    assert line(visit).verdict == "within"
    assert SiteLimit.objects.get().lifted_reason == "A new float."
    assert as_office.get(lift).status_code == 404


def test_what_keeps_people_safe_has_no_limit_of_a_site(visit: Visit, as_office: Client, office: Any) -> None:
    page = as_office.get(url(visit, "coliform")).content.decode()
    assert "can only be settled" in page
    assert "Set the limit" not in page
    typed = {**TYPED, "judged": "coliform", "subject": "O1", "unit": "cfu/100mL"}
    assert as_office.post(url(visit, "coliform"), typed).status_code == 200
    for key in ("coliform", "residual_at_sampling", "open_circuit_voltage"):
        given = body(check=key, judged=CHECKS[key].judged[0].name, subject="")
        with pytest.raises(evidence.RefusedError, match="can only be settled"):
            evidence.append(site=visit.site, kind="limit.set", body=given, actor=office)
    assert not SiteLimit.objects.exists()


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"judged": "colour"}, "$.judged"),
        ({"subject": "LS99"}, "$.subject"),
        ({"lower": "", "upper": ""}, "$.lower"),
        ({"lower": "2.5"}, "$.lower"),
        ({"upper": "1,9"}, "$.upper"),
        ({"unit": "kPa"}, "$.lower"),
        ({"reason": ""}, "$.reason"),
        ({"check": "irradiance", "judged": "irradiance"}, "$.judged"),
    ],
)
def test_the_door_refuses_what_is_no_limit(visit: Visit, office: Any, changes: dict[str, str], place: str) -> None:
    with pytest.raises(evidence.RefusedError) as refused:
        evidence.append(site=visit.site, kind="limit.set", body=body(**changes), actor=office)
    assert place in refused.value.faults


NASTY = ("1,5", "1e309", "NaN", "", "٣", "<script>alert(1)</script>", "12 m", "9" * 39)


@pytest.mark.parametrize("typed", NASTY)
def test_nasty_input_is_answered_at_the_field_and_kept(visit: Visit, as_office: Client, typed: str) -> None:
    answer = as_office.post(url(visit), {**TYPED, "lower": typed, "upper": "", "subject": "LS1"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert REASON in page
    assert "<script>alert" not in page
    assert not SiteLimit.objects.exists()


def test_a_form_without_a_reason_or_with_another_units_quantity_is_asked_back(visit: Visit, as_office: Client) -> None:
    page = as_office.post(url(visit), {**TYPED, "reason": ""}).content.decode()
    assert "Say why." in page
    assert 'value="1.9"' in page
    assert as_office.post(url(visit), {**TYPED, "unit": "parsec"}).status_code == 200
    assert as_office.post(url(visit), {**TYPED, "subject": "O1"}).status_code == 200  # the check is not taken there
    assert not SiteLimit.objects.exists()


def test_only_the_office_sees_and_sets_limits(visit: Visit, as_technician: Client, technician: Any) -> None:
    assert as_technician.get(url(visit)).status_code == 404
    assert as_technician.post(url(visit), TYPED).status_code == 404
    assert Client().get(url(visit)).status_code == 302
    with pytest.raises(PermissionDenied):
        limit_services.set_limit(site=visit.site, check=CHECKS["fill_stop_level"], actor=technician, **TYPED)


def test_unknown_sites_checks_and_limits_are_not_found(visit: Visit, as_office: Client) -> None:
    assert as_office.get(reverse("limit-set", args=[uuid4(), "fill_stop_level"])).status_code == 404
    for key in ("no_such_check", "irradiance", "walk_round_tank"):
        assert as_office.get(url(visit, key)).status_code == 404
    assert as_office.get(reverse("limit-lift", args=[uuid4()])).status_code == 404


def test_the_page_leads_back_to_the_check_it_came_from(visit: Visit, as_office: Client) -> None:
    page = as_office.get(f"{url(visit)}?visit={visit.pk}&subject=LS1").content.decode()
    assert reverse("measurement", args=[visit.pk, "fill_stop_level:LS1"]) in page
    assert as_office.get(f"{url(visit)}?visit=nonsense").status_code == 200


def test_the_database_keeps_one_standing_limit_with_a_side(visit: Visit, as_office: Client, office: Any) -> None:
    as_office.post(url(visit), TYPED)
    one = SiteLimit.objects.get()
    for changes, name in (({}, "UNIQUE"), ({"subject": "", "lower": None, "upper": None}, "site_limit_has_a_side")):
        columns = {f.attname: getattr(one, f.attname) for f in SiteLimit._meta.concrete_fields}
        columns |= {"id": uuid4(), **changes}
        values = [v.hex if hasattr(v, "hex") and not isinstance(v, float) else v for v in columns.values()]
        marks = ", ".join(["%s"] * len(columns))
        sql = f"INSERT INTO commissioning_sitelimit ({', '.join(columns)}) VALUES ({marks})"
        with pytest.raises(IntegrityError, match=name), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(sql, values)


def test_the_check_leads_the_office_to_its_limits_and_nobody_else(
    visit: Visit, as_office: Client, as_technician: Client
) -> None:
    check = reverse("measurement", args=[visit.pk, "fill_stop_level:LS1"])
    link = f"{url(visit)}?visit={visit.pk}&amp;subject=LS1"
    assert link in as_office.get(check).content.decode()
    assert link not in as_technician.get(check).content.decode()
