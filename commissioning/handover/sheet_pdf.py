"""The sheet as PDF, made from the frozen record alone and from the photographs it names by hash."""

from typing import Any

from django.template.loader import render_to_string

from commissioning import photo_copies, photos
from commissioning.handover.paper import PHOTO, context_of
from commissioning.pdf import Blobs, Paper, render_pdf

Plain = dict[str, Any]


def render_sheet(record: str, paper: Paper) -> bytes:
    """Return the PDF of a frozen record. The same record gives the same bytes."""
    context = context_of(record)
    blobs = registered(context["photos"])
    context["photos"] = [{**one, "src": one["src"] if one["src"] in blobs else ""} for one in context["photos"]]
    return render_pdf(render_to_string("handover/sheet.html", context), paper=paper, blobs=blobs)


def registered(pictures: list[Plain]) -> Blobs:
    """Return the small copies of the photographs, by the address under which the sheet asks for them.

    A photograph whose file is gone is named on the sheet by its hash instead.
    """
    found: dict[str, tuple[bytes, str]] = {}
    for one in pictures:
        try:
            copy = photo_copies.path_of(one["src"].removeprefix(PHOTO), photo_copies.THUMBNAIL)
            found[one["src"]] = copy.read_bytes(), photos.DERIVATIVE_TYPE
        except (FileNotFoundError, photos.PhotoError):
            continue
    return found
