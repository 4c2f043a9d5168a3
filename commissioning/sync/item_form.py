"""What one item must be before it is taken in: its form, its digest, a kind that phones write, a known site."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from jsonschema import Draft202012Validator, FormatChecker

from commissioning import evidence
from commissioning.canonical import NotCanonicalError, canonical_json
from commissioning.items import OLDEST_VERSION, VERSION, Item, digest_of_item
from commissioning.models import Site
from commissioning.projections import schemas as s
from commissioning.projections.visit import moment
from commissioning.sync.strict import Faults, faults_in, printable

ID: dict[str, Any] = {"type": "string", "pattern": "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"}
MILLISECONDS: dict[str, Any] = s.maybe({"type": "string", "pattern": "^-?[0-9]{1,15}$"})
CLOCK = s.body(
    {
        "wall": s.MOMENT,
        "zone": {"type": "string", "maxLength": 64},
        "ahead_ms": MILLISECONDS,
        "bound_ms": MILLISECONDS,
    }
)
SHOWN = s.body(
    {"verdict": {"enum": ["", "within", "outside", "borderline", "unjudged"]}},
    {"window": {"type": "string", "maxLength": 120}, "tables": {"type": "string", "maxLength": 80}},
)
FORM = s.body(
    {
        "v": {"type": "integer", "minimum": 0, "maximum": 1000},
        "id": ID,
        "device": ID,
        "n": {"type": "integer", "minimum": 1, "maximum": 2**31 - 1},
        "user": ID,
        "site": ID,
        "kind": {"type": "string", "maxLength": 64},
        "body": {"type": "object"},
        "clock": CLOCK,
        "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
    },
    {"shown": SHOWN},
)
VALIDATOR = Draft202012Validator(FORM, format_checker=FormatChecker())

# What is done on site. Concessions, limits and sheets are the office's, judgements the server's own.
ON_SITE = frozenset(
    {
        "measurement.taken", "measurement.chosen", "check.set_aside", "hold.released", "visit.signed", "visit.ended",
        "defect.raised", "defect.put_right", "record.changed", "photo.added", "photo.lost", "item.dropped",
        "owner.said", "question.answered",
    }
)  # fmt: skip


class BadItemError(ValueError):
    """An item cannot be taken as it is; `faults` says where and why, `is_whole` whether its digest fits."""

    def __init__(self, faults: Faults, *, is_whole: bool = False) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults
        self.is_whole = is_whole


@dataclass(frozen=True)
class Ready:
    """An item whose form is as it should be."""

    item: Item
    id: UUID
    site_id: UUID
    wall: datetime

    @property
    def place(self) -> tuple[str, int]:
        """Its place in the count of its device."""
        return self.item["device"], self.item["n"]


def checked(item: Any) -> Ready:
    """Return an item ready for the append door, or raise BadItemError with every fault."""
    faults = faults_in(item) or _faults_of_form(item)
    if faults:
        raise BadItemError(faults)
    if digest_of(item) != item["digest"]:
        raise BadItemError({"$.digest": "does not fit the rest: it was changed on its way"})
    try:
        wall = moment(item["clock"]["wall"], "$.clock.wall")
    except evidence.RefusedError as error:
        raise BadItemError(error.faults, is_whole=True) from error
    return Ready(item, UUID(item["id"]), UUID(item["site"]), wall)


def _faults_of_form(item: Any) -> Faults:
    return {printable(e.json_path, 120): printable(e.message, 200) for e in VALIDATOR.iter_errors(item)}


def digest_of(item: Item) -> str:
    """Return the digest of an item; empty where it has no canonical text."""
    try:
        return digest_of_item(item)
    except NotCanonicalError:
        return ""


def refuse_what_is_not_sent(ready: Ready, sites: dict[UUID, Site]) -> None:
    """Raise BadItemError for a kind that no phone writes, evidence.WaitsError for a site or form not known here."""
    kind, version = ready.item["kind"], ready.item["v"]
    if version < OLDEST_VERSION:
        raise BadItemError({"$.v": "was written by a version too old to be read"}, is_whole=True)
    if version > VERSION:
        raise evidence.WaitsError({"$.v": "was written by a newer version than this server has"})
    if kind not in ON_SITE:
        raise BadItemError({"$.kind": "is not something that is done on site"}, is_whole=True)
    if ready.site_id not in sites:
        raise evidence.WaitsError({"$.site": "there is no such site here"})


def text_of(item: Item) -> str:
    """Return the canonical text of a whole item."""
    return canonical_json(item)
