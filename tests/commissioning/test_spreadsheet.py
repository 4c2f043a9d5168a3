"""No cell that leaves for a spreadsheet begins like a formula; numbers and words leave as they were typed."""

import csv
import io

import pytest

from commissioning.spreadsheet import csv_lines, safe_cell

# =, +, -, @, tab and carriage return: OWASP's page on CSV injection (from memory). The others hide the first character.
FORMULAS = [
    "=1+1", "=cmd|' /C calc'!A0", "+1+1", "-1+1", "-2+3+cmd|' /C calc'!A0", "@SUM(1)", "\t=1", "\r=1", "\n=1", "  =1",
    "\uff1d1+1", "\uff0b1", "\uff0d1+1", "\uff20SUM(1)", "\ufe66cmd", "\u200b=1", "\ufeff=1", "\u00a0=1", "\u2060-1+1",
    "\u202e=1", "\x00=1", "\u3000=1", "\u00ad+1", "\u0301=1", "--1", "-", "=", "-1e", "-1,5", "\u22125", "%0A=1",
    "|calc", "-1\n", "\t", "-0x1F",
]  # fmt: skip
PLAIN = [
    "-12.5", "-1", "0", "-1e-05", "-3.2E+4", "12", "1.3 -", "a=b", "W1", "", "’=1’", "< 1", "> 999", "Long Moss hamlet",
    "M. Quill", "18 % down",
]  # fmt: skip


@pytest.mark.parametrize("text", FORMULAS, ids=repr)
def test_what_begins_like_a_formula_is_made_text(text):
    assert safe_cell(text) == f"'{text}"


@pytest.mark.parametrize("text", PLAIN, ids=repr)
def test_everything_else_leaves_as_it_was_typed(text):
    assert safe_cell(text) == text


def test_table_comes_back_whole_from_a_reader():
    rows = [["a,b", 'c"d', "e\nf"], [-1.5, None, "=1"]]
    read = list(csv.reader(io.StringIO(b"".join(csv_lines(["=x", "y", "z"], rows)).decode("utf-8-sig"), newline="")))
    assert read == [["'=x", "y", "z"], ["a,b", 'c"d', "e\nf"], ["-1.5", "", "'=1"]]


def test_lone_surrogate_does_not_break_the_file():
    assert b"".join(csv_lines(["x"], [["a\ud800b"]])).endswith(b"a?b\r\n")
