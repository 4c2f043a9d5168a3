"""Values of one owed check that nobody has set in order: two phones brought them, neither knowing of the other.

All stay. Until a person chooses, with a reason, the latest is shown and the check is not good.
"""

from commissioning.models import Measurement
from commissioning.stale import Key, is_stale
from sizing.checks.declare import Check, Kind


def rivals_of(check: Check, key: Key, found: list[Measurement], text: str) -> list[Measurement]:
    """Return the values that stand beside the latest one, oldest first; `text` is the record as it stands.

    A condition may be taken often; of derived values there is one. A value of a part that was replaced, or taken on a
    record that has changed since, was put behind by that. Two people who saw the same do not contradict each other.
    """
    if len(found) < 2 or check.is_condition or check.kind is Kind.DERIVED:
        return []
    latest = found[-1]
    return [
        one
        for one in found[:-1]
        if (one.component_id, one.run_id) == (latest.component_id, latest.run_id)
        and not (check.kind is Kind.OBSERVED and one.answer == latest.answer)
        and not is_stale(one, key, text)
    ]
