"""What follows a visit: names under it, the laboratory, a concession, the sheet, the owner's link."""

import secrets
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from django.conf import settings
from django.urls import reverse

from commissioning import evidence, files, pdf, snapshot
from commissioning.canonical import digest
from commissioning.demo.drawings import report
from commissioning.demo.handwriting import drawn
from commissioning.demo.scribe import DEMO, Scribe, end, sign
from commissioning.handover import services
from commissioning.handover.sheet_pdf import printed_sheet
from commissioning.models import LaboratorySample, Sheet, Site, User
from commissioning.owner.services import TOKEN_BYTES
from commissioning.visits.services import event_id

TOOK, RECEIVED = "I took these measurements", "I was shown the system and received these results"
LABORATORY = "district laboratory (invented)"
A_YEAR = timedelta(days=365)


def sign_and_end(scribe: Scribe, at: datetime, *, for_owner: str) -> None:
    """Sign for both sides, one after the other, and end the visit."""
    sign(scribe, at, "T. Marsh", "technician", TOOK, drawn("T Marsh"))
    sign(scribe, at + timedelta(minutes=5), for_owner, "for the owner", RECEIVED, drawn(for_owner.replace(".", "")))
    end(scribe, at + timedelta(minutes=10))


def send_to_laboratory(scribe: Scribe, office: User, at: datetime) -> LaboratorySample:
    """Write that the sample went away."""
    made = uuid5(scribe.visit.pk, "sample")
    body = {
        "id": str(made), "visit": str(scribe.visit.pk), "laboratory": LABORATORY, "sent_on": at.date().isoformat(),
        "words": "one bottle, on ice",
    }  # fmt: skip
    kept = _append(scribe.visit.site, "laboratory.sent", made, body, office, at)
    assert isinstance(kept, LaboratorySample)
    return kept


def hear_from_laboratory(sample: LaboratorySample, office: User, at: datetime, *, number: str) -> None:
    """Keep the laboratory's report, as a picture of paper."""
    made, picture = uuid5(sample.visit_id, number), report(number)
    body = {
        "id": str(made), "sample": str(sample.pk), "number": number, "method": "membrane filtration",
        "received_on": at.date().isoformat(), "sha256": picture["sha256"], "media_type": picture["media_type"],
    }  # fmt: skip
    _append(sample.visit.site, "laboratory.reported", made, body, office, at)


def concede(scribe: Scribe, office: User, at: datetime, owed: str, *, reason: str, until: date) -> None:
    """Accept a departure in the office's name."""
    made, (check, _, subject) = uuid5(scribe.visit.pk, f"conceded {owed}"), owed.partition(":")
    body = {
        "id": str(made), "visit": str(scribe.visit.pk), "check": check, "subject": subject, "reason": reason,
        "expires_on": until.isoformat(),
    }  # fmt: skip
    _append(scribe.visit.site, "concession.granted", made, body, office, at)


def give_link(site: Site, office: User, at: datetime) -> str:
    """Make the owner's link; return its secret, which no evidence holds."""
    token, made = secrets.token_urlsafe(TOKEN_BYTES), uuid5(DEMO, f"link {site.pk}")
    _append(site, "owner_link.made", made, {"id": str(made), "token_hash": digest(token)}, office, at)
    return token


def _append(site: Site, kind: str, made: UUID, body: dict[str, Any], actor: User, at: datetime) -> object:
    event = evidence.append(site=site, kind=kind, body=body, actor=actor, event_id=event_id(made, kind), at=at)
    return event.projected


def issue(scribe: Scribe, office: User, at: datetime, *, is_printed: bool = True) -> Sheet:
    """Issue the sheet of the visit on the day it was handed over: as the office does, but not with today's date.

    Printing takes longer than all the rest of a site: of a sheet that is not, the office makes the file when asked.
    """
    visit, path = scribe.visit, reverse("sheet-verify", args=["TOKEN"]).replace("TOKEN", "{}")
    draft = services.draft_of(visit)
    # A check newer than this story is open, and does not keep the demo from being made; its test says so.
    seen_to = {item.key: services.Seen("T. Marsh", at.date() + timedelta(days=14)) for item in draft.items}
    entry = services.Entry(
        draft.shown_hash, services.usual_paper(visit), seen_to, next_inspection=at.date() + A_YEAR,
        strokes=drawn("M Quill"),
    )  # fmt: skip
    address = (settings.PUBLIC_ADDRESS or "http://localhost:8000") + path
    record = services.frozen_record(draft, entry, office, address, at)
    made = printed_sheet(record, entry.paper) if is_printed and not pdf.pdf_available() else b""
    snapshot.take(visit.site)
    body = {"visit": str(visit.pk), "record": record, "file_hash": files.keep(made) if made else ""}
    made_sheet = _append(visit.site, "sheet.issued", visit.pk, body, office, at)
    assert isinstance(made_sheet, Sheet)
    return made_sheet
