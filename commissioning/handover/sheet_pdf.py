"""The sheet as PDF, made from the frozen record alone and from the photographs it names by hash, then sealed."""

import json
from datetime import datetime
from typing import Any

from django.template.loader import render_to_string

from commissioning import photo_copies, photos
from commissioning.handover.paper import PHOTO, context_of
from commissioning.handover.seal import seal_pdf
from commissioning.pdf import Blobs, Enclosed, Paper, render_pdf

Plain = dict[str, Any]
RECORD_NAME = "record.json"


def printed_sheet(record: str, paper: Paper) -> bytes:
    """Return the PDF of a frozen record under the office's seal. A seal is never made the same twice."""
    return seal_pdf(render_sheet(record, paper), json.loads(record)["sheet"].get("office", ""))


def render_sheet(record: str, paper: Paper) -> bytes:
    """Return the PDF of a frozen record, with the record enclosed. The same record gives the same bytes."""
    context = context_of(record)
    blobs = registered(context["photos"])
    context["photos"] = [{**one, "src": one["src"] if one["src"] in blobs else ""} for one in context["photos"]]
    html = render_to_string("handover/sheet.html", context)
    return render_pdf(html, paper=paper, blobs=blobs, enclosed=[record_file(record)])


def record_file(record: str) -> Enclosed:
    """Return the frozen record as a file to enclose."""
    issued = datetime.fromisoformat(json.loads(record)["sheet"]["issued_at"])
    return Enclosed(RECORD_NAME, record.encode(), "The frozen record that this sheet prints", issued)


def registered(pictures: list[Plain]) -> Blobs:
    """Return the large copies of the photographs, by the address under which the sheet asks for them.

    A photograph whose file is gone is named on the sheet by its hash instead.
    """
    found: dict[str, tuple[bytes, str]] = {}
    for one in pictures:
        try:
            copy = photo_copies.path_of(one["src"].removeprefix(PHOTO), photo_copies.LARGE)
            found[one["src"]] = copy.read_bytes(), photos.DERIVATIVE_TYPE
        except (FileNotFoundError, photos.PhotoError):
            continue
    return found
