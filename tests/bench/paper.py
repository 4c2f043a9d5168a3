"""The whole of a printed sheet against the renderer's own time on the very same HTML."""

import os
from collections.abc import Callable
from datetime import date
from typing import Any

ROUNDS = 3


def pdf_times(median_time: Callable[..., float]) -> tuple[float, float, str]:
    """Return the CPU time of a whole sheet, that of the renderer alone on its HTML, and what was printed."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django
    from django.test.utils import setup_databases, teardown_databases

    django.setup()
    before = setup_databases(verbosity=0, interactive=False)
    try:
        record = full_record()
    finally:
        teardown_databases(before, verbosity=0)
    from commissioning.handover.sheet_pdf import printed_sheet

    pages, alone = bare_renderer(record)
    whole = median_time(lambda: printed_sheet(record, "A4"), ROUNDS)
    return whole, median_time(alone, ROUNDS), f"{pages} pages, {len(record) / 1024:.0f} kB of record"


def full_record() -> str:
    """Return the frozen record of a start-up measured from end to end."""
    from django.utils import timezone

    from commissioning.handover import services
    from commissioning.models import User
    from tests.commissioning.handover.started_up import start_up

    technician = User.objects.create_user("marsh", display_name="T. Marsh")
    office = User.objects.create_user("quill", display_name="M. Quill", role="office")
    draft = services.draft_of(start_up(technician))
    seen = {item.key: services.Seen("T. Marsh", date(2027, 4, 23)) for item in draft.items}
    entry = services.Entry(shown_hash=draft.shown_hash, paper="A4", seen_to=seen, isolated="S1 locked.")
    return services.frozen_record(draft, entry, office, "http://localhost/v/{}/", timezone.now())


def bare_renderer(record: str) -> tuple[int, Callable[[], Any]]:
    """Return the number of pages, and the renderer's own work: HTML and style sheet in, tagged PDF out."""
    from django.template.loader import render_to_string
    from weasyprint import CSS, HTML

    from commissioning.handover.paper import context_of
    from commissioning.pdf import STATIC

    html = render_to_string("handover/sheet.html", context_of(record))
    style = (STATIC / "css" / "sheet.css").read_text("utf-8").replace("sheet:font/", (STATIC / "fonts").as_uri() + "/")

    def document() -> Any:
        return HTML(string=html).render(stylesheets=[CSS(string=style)])

    def alone() -> bytes:
        return bytes(HTML(string=html).write_pdf(stylesheets=[CSS(string=style)], pdf_tags=True))

    return len(document().pages), alone
