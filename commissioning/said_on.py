"""What the owner said on a visit: the latest counts."""

from commissioning.models import OwnerSaid, Visit, VisitKind


def said_on(visit: Visit) -> OwnerSaid | None:
    """Return what the owner said last on a service visit; None where nobody asked, and on any other visit."""
    if visit.kind != VisitKind.SERVICE:
        return None
    return visit.owner_said.select_related("by").last()


def symptoms_on(visit: Visit) -> tuple[str, ...]:
    """Return the keys of the sayings that were chosen on a visit."""
    said = said_on(visit)
    return tuple(said.symptoms) if said else ()
