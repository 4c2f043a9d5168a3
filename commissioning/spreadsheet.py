"""Rows for a spreadsheet program, which runs as a formula what begins like one: no cell of ours does.

Source: the list of beginnings (=, +, -, @, tab, carriage return) is that of OWASP's page on CSV injection (from
memory). Full-width forms and characters that are not seen are ours: a program may drop or fold them on its way in.
"""

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Iterator

BEGINNINGS = frozenset("=+-@|%\u2212")
NUMBER = re.compile(r"-?[0-9]+([.][0-9]+)?([eE][+-]?[0-9]+)?")
NOT_SEEN = frozenset({"Cc", "Cf", "Zs", "Zl", "Zp", "Mn", "Co", "Cn", "Cs"})
"""Unicode's categories of what has no ink of its own before the first letter."""
BYTE_ORDER_MARK = "\ufeff"  # without it one of the programs reads UTF-8 as something else


def safe_cell(text: str) -> str:
    """Return a cell as it is typed, with an apostrophe before it where a program could take it for a formula."""
    if NUMBER.fullmatch(text):
        return text  # −12.5 as a number is a number
    return f"'{text}" if begins_like_a_formula(text) else text


def begins_like_a_formula(text: str) -> bool:
    """Whether the first character that is seen begins a formula, or a control character begins the cell."""
    if text[:1] in ("\t", "\r", "\n"):
        return True
    for one in unicodedata.normalize("NFKC", text):
        if unicodedata.category(one) not in NOT_SEEN:
            return one in BEGINNINGS
    return False


def csv_lines(head: Iterable[str], rows: Iterable[Iterable[object]]) -> Iterator[bytes]:
    """Yield a table line by line as UTF-8, every cell safe; nothing is held in memory but the line."""
    yield BYTE_ORDER_MARK.encode()
    yield _line(head)
    for cells in rows:
        yield _line(cells)


def _line(cells: Iterable[object]) -> bytes:
    held = io.StringIO()
    csv.writer(held, lineterminator="\r\n").writerow([safe_cell("" if one is None else str(one)) for one in cells])
    return held.getvalue().encode("utf-8", "replace")
