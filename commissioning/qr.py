"""A QR code (ISO/IEC 18004) as inline SVG, in the colour of the text around it."""

from html import escape
from itertools import groupby

import segno

QUIET = 4  # modules of white around the code: the quiet zone of ISO/IEC 18004


def qr_svg(text: str, title: str = "Code") -> str:
    """Return the code of `text`, error correction M: paper gets wet, and folds."""
    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix_iter(border=QUIET)]
    d = "".join(_row(y, row) for y, row in enumerate(rows))
    head = f'<svg class="qr" viewBox="0 0 {len(rows)} {len(rows)}" role="img" shape-rendering="crispEdges">'
    return f'{head}<title>{escape(title)}</title><path d="{d}" fill="currentColor"/></svg>'


def _row(y: int, row: bytes) -> str:
    """Return one rectangle for each run of dark modules."""
    out, x = [], 0
    for is_dark, run in groupby(row):
        length = len(list(run))
        if is_dark:
            out.append(f"M{x} {y}h{length}v1h-{length}z")
        x += length
    return "".join(out)
