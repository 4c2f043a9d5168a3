"""Which server this is, and since when its record goes on without a break.

A phone that meets another epoch offers again all that it still has. So whatever puts an older state of the database
back calls `new_epoch`; nothing is lost then that a phone still has.
"""

from uuid import UUID, uuid4

from django.db import transaction
from django.utils import timezone

from commissioning.models import Epoch


def present_epoch() -> Epoch:
    """Return the epoch that goes on; the first one begins when it is first asked for."""
    found = Epoch.objects.last()
    return found or new_epoch("the record begins")


@transaction.atomic
def new_epoch(reason: str, *, is_copy: bool = False) -> Epoch:
    """Begin another epoch, after a restore. A copy that runs beside its original becomes a server of its own."""
    last = Epoch.objects.last()
    if last is not None and not reason.strip():
        raise ValueError("say why another epoch begins")
    server: UUID = uuid4() if last is None or is_copy else last.server
    return Epoch.objects.create(server=server, began_at=timezone.now(), reason=reason)
