"""The tables that a pack carries: one pocket for each owed check, kept on disk, with what was measured so far."""

import gzip
import json

import pytest

from commissioning.progress import progress_of
from commissioning.sync import tables
from sizing.checks.declare import Kind
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
LIGHT = {"static_level", "pumping_level", "irradiance", "open_circuit_voltage"}


@pytest.fixture
def light(monkeypatch, tmp_path, settings):
    """Tables of a few checks alone: the others take seconds."""
    settings.DATA_DIR = tmp_path
    made = []

    def few(progress, lines):
        made.append(len(lines))
        return whole(progress, [one for one in lines if one.check.key in LIGHT]) | {
            one.owed.id: {"server": "left out here"} for one in lines if one.check.key not in LIGHT
        }

    whole = tables._tabulated
    monkeypatch.setattr(tables, "_tabulated", few)
    return made


def test_every_measured_check_has_a_pocket_and_no_observation_has(light, visit):
    progress = progress_of(visit)
    found = tables.tables_of(progress)
    wanted = {one.owed.id for one in (*progress.lines, *progress.offered) if one.check.kind is not Kind.OBSERVED}
    assert found.keys() == wanted
    json.dumps(found, allow_nan=False)


def test_tables_lie_on_disk_and_are_made_once(light, visit, tmp_path):
    first = tables.tables_of(progress_of(visit))
    again = tables.tables_of(progress_of(visit))
    assert (sum(light), json.loads(json.dumps(first))) == (len(first), json.loads(json.dumps(again)))
    assert len(list((tmp_path / "pocket").glob("*.json.gz"))) == 1


def test_a_file_written_half_is_made_anew(light, visit, tmp_path):
    many = len(tables.tables_of(progress_of(visit)))
    place = next((tmp_path / "pocket").glob("*.json.gz"))
    place.write_bytes(place.read_bytes()[:-40])
    assert tables.tables_of(progress_of(visit))
    assert json.loads(gzip.decompress(place.read_bytes()))
    assert sum(light) == 2 * many


def test_what_a_cut_off_request_had_made_is_not_made_again(light, visit, monkeypatch):
    """The third lot is never made: the server was stopped. What lay on disk by then stays."""
    whole = tables._tabulated

    def cut_off(progress, lines):
        if len(light) == 2:
            raise KeyboardInterrupt
        return whole(progress, lines)

    monkeypatch.setattr(tables, "_tabulated", cut_off)
    with pytest.raises(KeyboardInterrupt):
        tables.tables_of(progress_of(visit))
    monkeypatch.setattr(tables, "_tabulated", whole)
    assert sum(light) == 2 * tables.AT_ONCE
    many = len(tables.tables_of(progress_of(visit)))
    assert sum(light) == many


def test_mark_changes_with_the_record(light, visit):
    before = tables.tables_mark(progress_of(visit))
    visit.site.plate = {**visit.site.plate, "altitude": {"typed": "1234", "unit": "m"}}
    visit.site.save()
    assert tables.tables_mark(progress_of(visit)) != before


def test_like_systems_share_their_tables(light, visit, technician, site):
    other = site_with_record(technician)
    assert tables.tables_mark(progress_of(visit_on(other, technician))) == tables.tables_mark(progress_of(visit))


def test_what_was_measured_comes_along_with_its_uncertainty(light, visit, technician):
    one = measure(
        visit, "static_level", "W1", ("level", "24.30", "m", "1"), ("level", "24.31", "m", "2"), actor=technician
    )
    found = tables.tables_of(progress_of(visit))[f"{one.check_key}:{one.subject}"]["seen"]
    assert [each["id"] for each in found] == [str(one.pk)]
    name, _, value, spread, own = found[0]["findings"][0]
    judged = one.judgement().findings[0]
    assert (name, value, spread) == (judged["name"], judged["value"], judged["spread"])
    assert 0 <= own <= spread / 2 + 1e-12
