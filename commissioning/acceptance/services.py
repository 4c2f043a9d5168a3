"""What the office may write here: concessions, and questions about a check."""

from datetime import date
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction

from commissioning import evidence
from commissioning.models import Concession, Question, User, Visit
from commissioning.progress import Line, Status
from sizing.holds import hold_that_fixes


def why_not_conceded(line: Line) -> str:
    """Return in words why a check cannot be conceded as it stands; empty if it can."""
    hold = hold_that_fixes(line.check.key)
    if hold is not None:
        return f"The hold “{hold.title}” can only be settled, never conceded: {hold.why}. Put it right and test again."
    if line.concession is not None and not line.in_doubt:
        return "It is conceded already."
    if line.is_good:
        return "Nothing departs here: there is nothing to concede."
    if line.measurement is None and line.status not in (Status.NOT_TAKEN, Status.AS_BEFORE):
        return "It is still owed. Take it first, or say on the visit why it cannot be taken."
    return ""


@transaction.atomic
def grant_concession(*, visit: Visit, line: Line, reason: str, expires_on: date | None, actor: User) -> Concession:
    """Accept a departure by name, with its reason. Who is of the office is known here, not in a file read in."""
    if not actor.is_office:
        raise PermissionDenied
    body = {
        "id": str(uuid4()),
        "visit": str(visit.pk),
        "check": line.owed.check,
        "subject": line.owed.subject,
        "reason": reason,
        "expires_on": expires_on.isoformat() if expires_on else None,
    }
    event = evidence.append(site=visit.site, kind="concession.granted", body=body, actor=actor)
    assert isinstance(event.projected, Concession)
    return event.projected


@transaction.atomic
def ask_question(*, visit: Visit, line: Line, words: str, actor: User) -> Question:
    """Ask whoever took a check about it. Raises evidence.RefusedError while another question on it is open."""
    if not actor.is_office:
        raise PermissionDenied
    body = {
        "id": str(uuid4()), "visit": str(visit.pk), "check": line.owed.check, "subject": line.owed.subject,
        "words": words, "measurement": str(line.measurement.pk) if line.measurement else None,
    }  # fmt: skip
    event = evidence.append(site=visit.site, kind="question.asked", body=body, actor=actor)
    assert isinstance(event.projected, Question)
    return event.projected
