"""Fennel Gap farm: a design with gaps. Nobody has been there yet."""

from datetime import date

from commissioning.demo.scribe import put_site
from commissioning.models import Site, User


def build(actor: User, day: date) -> Site:
    """Put the record as far as it is known."""
    return put_site(
        "fennel_gap_farm.json", actor, day, owner="The Alder family", place="at the head of the gap",
        zone="Europe/Lisbon", covered="New solar pump, tank in the yard, two taps. The old well stays.",
    )  # fmt: skip
