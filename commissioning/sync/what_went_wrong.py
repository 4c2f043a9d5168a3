"""From an exception at the append door to words for the person whose item it was."""

import logging
from dataclasses import dataclass

from django.core.exceptions import ObjectDoesNotExist, ValidationError
from django.db import IntegrityError

from commissioning import evidence
from commissioning.sync.item_form import BadItemError
from commissioning.sync.strict import Faults, printable

OURS = "The server could not take this in. It is kept word for word; the office sees it."
TAKEN = "Something with this id is stored already, with other content. What stands was not touched."
LOG = logging.getLogger(__name__)


@dataclass(frozen=True)
class Waits:
    """What an item speaks of has not arrived; it may be sent again."""

    faults: Faults


def faults_of(error: Exception) -> Faults | Waits:
    """Return place → reason of what an item was not taken for, or that it waits."""
    if isinstance(error, evidence.WaitsError):
        return Waits(_printable(error.faults))
    if isinstance(error, ObjectDoesNotExist):
        return Waits({"$.body": "speaks of something that is not here"})
    if isinstance(error, evidence.RefusedError | BadItemError):
        return _printable(error.faults)
    if isinstance(error, evidence.ConflictError):
        return {"$": printable(error, 300)}
    if isinstance(error, IntegrityError):
        return {"$": TAKEN}
    if isinstance(error, ValidationError):
        return {"$.body": printable(" ".join(error.messages), 300)}
    if isinstance(error, KeyError):
        return {f"$.body.{printable(error.args[0] if error.args else '')}": "is missing, or is not known"}
    if isinstance(error, ValueError):  # a nameplate that is not what its declaration asks for
        return {"$.body": printable(error, 300)}
    LOG.error("an item met a fault of ours", exc_info=error)
    return {"$": OURS}


def _printable(faults: Faults) -> Faults:
    return {printable(place, 120): printable(reason, 300) for place, reason in faults.items()}
