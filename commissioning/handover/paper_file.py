"""The PDF of a sheet: the file as issued where it is there, otherwise made again from the frozen record."""

import json

from commissioning import files
from commissioning.handover.sheet_pdf import render_sheet
from commissioning.models import Sheet
from commissioning.pdf import Paper


class GoneError(RuntimeError):
    """The file that was issued is not here and cannot be made the same again."""


def issued_paper(sheet: Sheet) -> str:
    """Return the paper on which the file of a sheet was made."""
    return str(json.loads(sheet.body)["sheet"]["paper"])


def paper_of(sheet: Sheet, paper: Paper) -> bytes:
    """Return the PDF on a paper. On the paper of its issue it is the very file, byte for byte, or GoneError."""
    if paper != issued_paper(sheet) or not sheet.file_hash:
        return render_sheet(sheet.body, paper)
    try:
        return files.read(sheet.file_hash)
    except FileNotFoundError:
        return _made_again(sheet, paper)


def _made_again(sheet: Sheet, paper: Paper) -> bytes:
    made = render_sheet(sheet.body, paper)
    if files.digest_of(made) != sheet.file_hash:
        raise GoneError("The issued file is not here, and this version makes another. Bring it back from a backup.")
    files.keep(made)
    return made
