"""The visit record: what was signed on site, as its own PDF, beside the office's sheet and never instead of it.

It prints the very content whose hash stands under a signature, as it was kept when it was signed.
"""

import json
from typing import Any

from django.template.loader import render_to_string

from commissioning import files
from commissioning.handover.paper import drawn_signature
from commissioning.models import Signature, UnitSystem, Visit
from commissioning.moments import moment_words, zone_of
from commissioning.pdf import Paper, render_pdf
from commissioning.progress import progress_of
from commissioning.visits.signing import shown_at_signing

Plain = dict[str, Any]


class NotKeptError(RuntimeError):
    """There is nothing to print; the message says why."""


def visit_record(visit: Visit) -> bytes:
    """Return the PDF of what was signed last, with every signature. Raises NotKeptError where nothing can be shown."""
    signatures = list(visit.signatures.order_by("at"))
    if not signatures:
        raise NotKeptError("Nobody has signed this visit yet.")
    content, under = signed_content(visit, signatures)
    context = {
        "visit": visit,
        "content": content,
        "under": under,
        "signatures": [_signature(one, under, visit) for one in signatures],
        "ended": moment_words(visit.ended_at, zone_of(visit.site)) if visit.ended_at else "",
    }
    paper: Paper = "Letter" if visit.site.unit_system == UnitSystem.US else "A4"
    return render_pdf(render_to_string("handover/visit_record.html", context), paper=paper)


def signed_content(visit: Visit, signatures: list[Signature]) -> tuple[Plain, str]:
    """Return the content that was signed last and is still here, with its hash."""
    for one in reversed(signatures):
        try:
            return json.loads(files.read(one.shown_hash)), one.shown_hash
        except (FileNotFoundError, ValueError):
            continue
    now = shown_at_signing(progress_of(visit))
    if any(one.shown_hash == now.hash for one in signatures):
        return now.content, now.hash
    raise NotKeptError("What was signed is not kept here as it was shown; only its hash is.")


def _signature(one: Signature, under: str, visit: Visit) -> Plain:
    return {
        "name": one.printed_name, "role": one.role, "meaning": one.meaning, "hash": one.shown_hash,
        "when": moment_words(one.at, zone_of(visit.site)), "is_of_this": one.shown_hash == under,
        "drawing": drawn_signature(one.strokes, one.printed_name),
    }  # fmt: skip
