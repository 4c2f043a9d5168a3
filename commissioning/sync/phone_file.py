"""The file that a phone writes of what it keeps: brought in by the office through the same entrance."""

import base64
import binascii
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import transaction
from jsonschema import Draft202012Validator

from commissioning import evidence, files
from commissioning.models import User
from commissioning.models.event import Origin
from commissioning.sync.intake import Intake, Result
from commissioning.sync.item_form import ID
from commissioning.sync.item_views import note_device
from commissioning.sync.photo_pieces import PieceError, take_whole
from commissioning.sync.strict import UnreadableError, object_of, read_json

MOST_BYTES = 500 * 2**20
FILE = "phone"
NAMED = Draft202012Validator(ID)


@dataclass
class Brought:
    """What became of a file: a result for each item, and what became of its photos."""

    results: list[Result]
    photos_kept: int = 0
    photo_faults: list[str] = field(default_factory=list)

    def count(self, *states: str) -> int:
        return sum(1 for one in self.results if one.state in states)


def bring_in(data: bytes, *, sender: User) -> Brought:
    """Take in a phone's file. Each item keeps its own author; that the office brought it is evidence of its own.

    Raises UnreadableError where the file is none of ours.
    """
    content = object_of(read_json(data))
    items, pictures = content.get("items"), content.get("photos")
    if content.get("file") != FILE or not isinstance(items, list) or not isinstance(pictures, dict):
        raise UnreadableError("format", "is not a file that a phone wrote")
    brought = Brought(Intake(sender, _authors(items), Origin.IMPORT).take(items))
    _note_devices(brought.results)
    for name, text in pictures.items():
        _take_picture(str(name), text, brought)
    _note(files.digest_of(data), brought, sender)
    return brought


def _authors(items: Iterable[Any]) -> dict[str, User]:
    """Return the people whose items a file holds, as far as they are known here."""
    named = [one.get("user") for one in items if isinstance(one, dict)]
    handles = {UUID(one) for one in named if NAMED.is_valid(one)}
    return {str(user.handle): user for user in User.objects.filter(handle__in=handles)}


def _note_devices(results: list[Result]) -> None:
    for device, author in {(r.event.device, r.event.actor) for r in results if r.event and r.event.device}:
        note_device(UUID(device), author)


def _take_picture(name: str, text: Any, brought: Brought) -> None:
    try:
        if not isinstance(text, str):
            raise PieceError("form", "is not in the file")
        take_whole(name, base64.b64decode(text, validate=True))
        brought.photos_kept += 1
    except (PieceError, binascii.Error, ValueError) as error:
        brought.photo_faults.append(f"{name[:12]}: {error}")


@transaction.atomic
def _note(sha256: str, brought: Brought, sender: User) -> None:
    """Write into the office's own chain who brought which file, and which items came of it."""
    stored = [one.id for one in brought.results if one.state == "stored"]
    if stored:
        body = {"sha256": sha256, "stored": stored}
        evidence.append(site=None, kind="file.brought_in", body=body, actor=sender)
