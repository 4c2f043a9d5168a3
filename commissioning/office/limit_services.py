"""What the office may write about limits: each one piece of evidence, and what is still to be accepted judged again."""

from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q

from commissioning import evidence, judging
from commissioning.models import Site, SiteLimit, User
from sizing.checks.declare import Check
from sizing.errors import SystemShapeError


@transaction.atomic
def set_limit(
    *, site: Site, check: Check, judged: str, subject: str, lower: str, upper: str, unit: str, reason: str, actor: User
) -> SiteLimit:
    """Set a limit of a site by name, with its reason. Raises evidence.RefusedError where none may be set."""
    if not actor.is_office:
        raise PermissionDenied
    body = {
        "id": str(uuid4()), "check": check.key, "judged": judged, "subject": subject, "lower": lower, "upper": upper,
        "unit": unit, "reason": reason,
    }  # fmt: skip
    event = evidence.append(site=site, kind="limit.set", body=body, actor=actor)
    assert isinstance(event.projected, SiteLimit)
    _judge_again(site, actor, "a limit of the site was set")
    return event.projected


@transaction.atomic
def lift_limit(*, limit: SiteLimit, reason: str, actor: User) -> None:
    """Lift a limit, with a reason: the check's own limits count again."""
    if not actor.is_office:
        raise PermissionDenied
    body = {"limit": str(limit.pk), "reason": reason}
    evidence.append(site=limit.site, kind="limit.lifted", body=body, actor=actor)
    _judge_again(limit.site, actor, "a limit of the site was lifted")


def _judge_again(site: Site, actor: User, because: str) -> None:
    """Judge every visit that goes on or has no sheet yet; what a sheet has frozen stays as it was said."""
    for visit in site.visits.filter(Q(ended_at=None) | Q(sheets=None)).distinct():
        try:
            judging.judge_visit_again(visit, actor=actor, because=because)
        except SystemShapeError:
            return
