"""Juniper Shelf house, US customary, a dry shelf of land: handed over five weeks ago, with one concession.

A solar pump fills a tank, a booster on a battery feeds the house. A union wept in the house line and was put right;
the garden tap gives less than was asked for, which the owner takes as it is.
"""

from datetime import date, timedelta

from commissioning.demo.drawings import gauge_at, tank
from commissioning.demo.hand import Fault, Hand, Story
from commissioning.demo.handing import concede, hear_from_laboratory, issue, send_to_laboratory, sign_and_end
from commissioning.demo.scribe import begin, moment_of, put_site
from commissioning.models import Sheet, Site, User

GARDEN_TAP = "delivery_flow:O2"
STORY = Story(
    begins="07:30", sky=0.94, air=22.0,
    given={
        "battery_rest_voltage": {"voltage": "~6.35", "rest": "14 h"},
        "pump_cable_insulation": {"insulation": "> 999", "test_voltage": "500"},
        "array_insulation": {"insulation": "> 999", "test_voltage": "500"},
        "bond_resistance": {"rows": "array frame, controller case, well casing"},
        "battery_sag": {"rest_voltage": "25.42", "current": "8.6"},
        "battery_temperature": {"temperature": "71"},
        "tank_level": {"level": "4.15"},
        "fuse_rating:FU1": {"rating": "30", "breaking": "20000", "voltage": "125"},
        "fuse_rating:FU2": {"rating": "15", "breaking": "20000", "voltage": "125"},
        "charge_current": {"voltage": "27.6", "stage": "bulk"},
        "charge_voltage": {"voltage": "27.9", "stage": "bulk"},
        "turbidity": {"turbidity": "0.9"},
        "sand": {"sand": "< 0.1"},
        "pumping_level": {"flow": "6.9", "minutes": "45 min"},
        "well_pump_power": {"voltage": "57.4"},
        "well_pump_current": {"current": "7.7"},
        "phase_unbalance": {"lead_1": "7.72", "lead_2": "7.65", "lead_3": "7.80"},
        "well_pump_flow": {
            "rows": "row 1, row 2, row 3", "power@row 1": "206", "power@row 2": "297", "power@row 3": "391",
        },
        "starts_at_fixed_draw": {"draw": "1.5"},
        "starts_with_taps_shut": {"starts": "0"},
        "tightness_house_side": {"pressure@start": "46.2", "pressure@settled": "45.9"},
        "filter_drop": {"before": "1.9", "flow": "4.7"},
        "booster_voltage": {"source": "25.1", "current": "8.3"},
        "booster_current": {"discharge": "41.5", "suction": "1.4"},
        "booster_flow": {"discharge": "41.8", "suction": "1.4"},
        "tightness_whole": {
            "pressure@start": "9.6", "pressure@settled": "9.5", "pressure@end": "9.4", "temperature@settled": "66",
            "temperature@end": "66",
        },
        "bleach_strength": {"available": "5.5"},
        "residual_at_sampling": {"residual": "< 0.1"},
        "coliform": {"colonies": "< 1"},
    },
    ways={"delivery_flow": "meter"},
    waits={"residual_at_sampling": timedelta(hours=25), "coliform": timedelta(days=3)},
    aims={GARDEN_TAP: {"delivery_pressure": 0.72}},
    notes={GARDEN_TAP: "long thin branch, both taps open"},
    photos={"cut_out:PS1": gauge_at(100), "tank_level:T1": lambda readings: tank(0.62, "tank at 4.15 ft")},
    faults={
        "tightness_house_side:PT1": Fault(
            {"fall": 2.4}, "a union drips by the booster", "The union behind the booster weeps.",
            "Union taken apart, its ring turned, made up again and dry.",
        ),
    },
)  # fmt: skip


def build(actor: User, day: date) -> Site:
    """Put the as-built record."""
    return put_site(
        "juniper_shelf_house.json", actor, day, owner="The Juniper Shelf household", place="on the shelf, two gates in",
        zone="America/Denver", covered="Well pump, both arrays, tank, battery, booster, pipes to two taps.",
        not_covered="The well itself, the plumbing of the house.",
    )  # fmt: skip


def hand_over(site: Site, technician: User, office: User, day: date) -> Sheet:
    """Start the system up, wait for the laboratory, accept the garden tap as it is, and issue the sheet."""
    scribe = begin(site, "start_up", technician, day, STORY.begins)
    Hand(scribe, STORY).carry_out()
    sample = send_to_laboratory(scribe, office, scribe.at("15:00", 2))
    hear_from_laboratory(sample, office, scribe.at("08:20", 5), number="22-0417")
    sign_and_end(scribe, scribe.at("10:40", 5), for_owner="R. Fallow")
    concede(
        scribe, office, scribe.at("11:30", 6), GARDEN_TAP, until=day + timedelta(days=365),
        reason="The owner waters by can there and takes it as it is, until the branch is laid anew.",
    )  # fmt: skip
    return issue(scribe, office, moment_of(site, day + timedelta(days=7), "09:10"))
