"""A phone that is lost: its people are signed out everywhere, and what it sends is set apart for the office to see."""

from uuid import UUID

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from commissioning import evidence
from commissioning.models import Device, User
from commissioning.sync.strict import Faults

IS_SHUT_OUT = "is a phone that the office has shut out as lost; the office looks at what it sends"


@transaction.atomic
def shut_phone_out(*, device: Device, words: str, actor: User) -> int:
    """Shut a phone out, and sign out everywhere whoever used it; return how many sessions that ended."""
    _append("phone.shut_out", {"device": str(device.pk), "words": words}, actor)
    return _sign_out({str(pk) for pk in device.people.values_list("pk", flat=True)})


@transaction.atomic
def let_phone_in(*, device: Device, actor: User) -> None:
    """Let a phone that was found send again; it offers what was set apart by itself."""
    _append("phone.let_in", {"device": str(device.pk)}, actor)


def faults_of_phone(device: str, shut: set[UUID]) -> Faults:
    """Return why nothing is taken in from a phone; empty where it is."""
    return {"$.device": IS_SHUT_OUT} if UUID(device) in shut else {}


def shut_phones() -> set[UUID]:
    """Return the phones that are shut out."""
    return set(Device.objects.exclude(shut_at=None).values_list("pk", flat=True))


def _sign_out(people: set[str]) -> int:
    standing = Session.objects.filter(expire_date__gt=timezone.now()).iterator()
    theirs = [one.pk for one in standing if str(one.get_decoded().get(SESSION_KEY)) in people]
    return Session.objects.filter(pk__in=theirs).delete()[0]


def _append(kind: str, body: dict[str, str], actor: User) -> None:
    if not actor.is_office:
        raise PermissionDenied
    evidence.append(site=None, kind=kind, body=body, actor=actor)
