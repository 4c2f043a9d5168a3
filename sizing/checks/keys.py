"""Keys of what is taken as a part of another check: they stand in fault tables and old records like any other key."""

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Judged

PART_OF: dict[str, str] = {"delivery_pressure": "delivery_flow"}
"""Key of a value that is judged within another check → that check; the value there bears the key."""


def check_and_value(key: str) -> tuple[Check, Judged | None]:
    """Return the check of a key, and the value within it that bears the key; None where the check itself does.

    Raises KeyError for a key that is neither.
    """
    if key in CHECKS:
        return CHECKS[key], None
    check = CHECKS[PART_OF[key]]
    return check, next(one for one in check.judged if one.name == key)
