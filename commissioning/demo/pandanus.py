"""Pandanus Point clinic, metric, on a wet tropical shore: rain from the roof, a booster on a battery.

Everything is taken; the sample went to the laboratory two days ago, and until it answers nobody drinks.
"""

from datetime import date

from commissioning.demo.drawings import display_of, gauge_at
from commissioning.demo.hand import Hand, Story
from commissioning.demo.handing import send_to_laboratory, sign_and_end
from commissioning.demo.scribe import begin, put_site
from commissioning.models import Site, User

STORY = Story(
    begins="08:10", sky=0.9, air=29.0,
    given={
        "battery_rest_voltage": {"voltage": "~12.8", "rest": "13 h"},
        "precharge": {"temperature": "27"},
        "array_insulation": {"insulation": "> 999", "test_voltage": "250"},
        "bond_resistance": {"rows": "array frame, charger case, booster stand"},
        "battery_sag": {"rest_voltage": "25.68", "current": "9.1"},
        "battery_temperature": {"temperature": "29"},
        "tank_level": {"level": "1.62"},
        "fuse_rating:FU1": {"rating": "25", "breaking": "10000", "voltage": "80"},
        "fuse_rating:FU2": {"rating": "10", "breaking": "10000", "voltage": "80"},
        "charge_current": {"voltage": "27.2", "stage": "bulk"},
        "charge_voltage": {"voltage": "27.4", "stage": "bulk"},
        "starts_at_fixed_draw": {"draw": "5"},
        "starts_with_taps_shut": {"starts": "0"},
        "tightness_house_side": {"pressure@start": "228", "pressure@settled": "226"},
        "filter_drop": {"before": "12.6", "flow": "11.4"},
        "booster_voltage": {"source": "25.4", "current": "4.4"},
        "booster_current": {"discharge": "196", "suction": "10"},
        "booster_flow": {"discharge": "197", "suction": "10"},
        "tightness_whole": {
            "pressure@start": "64.0", "pressure@settled": "63.6", "pressure@end": "63.4", "temperature@settled": "28",
            "temperature@end": "28",
        },
        "residual_at_sampling": {"residual": "< 0.1"},
    },
    ways={"delivery_flow": "meter"},
    left=frozenset({"coliform"}),
    notes={
        "battery_sag:BA1": "booster and a lamp on a lead",
        "walk_round_tank:T1": "first flush and screen looked into, gutters clean",
    },
    photos={"battery_rest_voltage:BA1": display_of, "cut_out:PS1": gauge_at(400)},
)  # fmt: skip


def build(actor: User, day: date) -> Site:
    """Put the as-built record."""
    return put_site(
        "pandanus_point_clinic.json", actor, day, owner="Pandanus Point health committee",
        place="on the point, behind the palms", zone="Pacific/Guadalcanal",
        covered="Gutters, tank, array, battery, booster, pipes to two taps.",
        not_covered="The roof itself, the plumbing of the wash house.",
    )  # fmt: skip


def start_up(site: Site, technician: User, office: User, day: date) -> None:
    """Take all that can be taken on site, and send the sample away."""
    scribe = begin(site, "start_up", technician, day, STORY.begins)
    Hand(scribe, STORY).carry_out()
    sign_and_end(scribe, scribe.at("15:10"), for_owner="J. Tamua")
    send_to_laboratory(scribe, office, scribe.at("08:30", 1))
