"""Finds what an address names, for the person who asks; what is not theirs is not found."""

from uuid import UUID

from django.http import Http404
from django.shortcuts import get_object_or_404

from commissioning.models import User, Visit
from commissioning.progress import HoldLine, Line, Progress, progress_of


def visit_for(user: User, visit_id: UUID) -> Visit:
    """Return a visit with its site."""
    return get_object_or_404(Visit.objects.for_user(user).select_related("site"), pk=visit_id)


def line_for(user: User, visit_id: UUID, owed_id: str) -> tuple[Progress, Line]:
    """Return how far a visit has come, and one of its owed checks."""
    progress = progress_of(visit_for(user, visit_id))
    line = progress.line(owed_id)
    if line is None:
        raise Http404
    return progress, line


def hold_for(user: User, visit_id: UUID, key: str) -> tuple[Progress, HoldLine]:
    """Return how far a visit has come, and one of its holds."""
    progress = progress_of(visit_for(user, visit_id))
    hold = progress.hold(key)
    if hold is None:
        raise Http404
    return progress, hold
