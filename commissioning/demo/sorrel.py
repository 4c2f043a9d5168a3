"""Sorrel Creek ranch, US customary, deep frost: the trenches are open, the lines are being proved before cover."""

from datetime import date, timedelta

from commissioning.demo.drawings import trench
from commissioning.demo.hand import Hand, Story
from commissioning.demo.scribe import begin, put_site, raise_defect
from commissioning.models import Site, User

TO_TROUGH = "buried_line_test:P6"
STORY = Story(
    begins="08:20", sky=0.8, air=11.0,
    given={
        "buried_line_test": {
            "pressure@start": "88.0", "pressure@settled": "86.4", "pressure@end": "86.0", "temperature@settled": "51",
            "temperature@end": "51",
        },
        "buried_line_test:P7": {"pressure@start": "196", "pressure@settled": "194", "pressure@end": "193"},
        TO_TROUGH: {"pressure@settled": "85.8", "pressure@end": "81.9"},
        "splice_insulation": {"insulation": "> 999", "test_voltage": "500"},
    },
    left=frozenset({"buried_line_test:P9", "buried_line_test:P10", "photographs", "walk_round_labels"}),
    notes={TO_TROUGH: "damp sand at the second joint"},
    photos={"cover_depth:site": lambda readings: trench("6 ft")},
    read_by={"insulation": "IT1", "gauge_pressure": "PG3"},
    evening="18:30",
)  # fmt: skip


def build(actor: User, day: date) -> Site:
    """Put the as-built record."""
    return put_site(
        "sorrel_creek_ranch.json", actor, day, owner="The Sorrel Creek partners", place="up the creek, second bridge",
        zone="America/Denver", covered="Well pump, array, tank on the knoll, mains to house and trough.",
        not_covered="The well itself, the plumbing of the house.",
    )  # fmt: skip


def before_cover(site: Site, technician: User, day: date) -> None:
    """Prove most of the lines; one loses pressure, so nothing is covered yet."""
    scribe = begin(site, "before_cover", technician, day, STORY.begins)
    done = Hand(scribe, STORY).carry_out()
    check, _, subject = TO_TROUGH.partition(":")
    raise_defect(
        scribe, done + timedelta(minutes=5), "Line to the trough loses pressure: fuse the second joint again.",
        check=check, subject=subject, who="T. Marsh", due=day + timedelta(days=4),
    )  # fmt: skip
