"""The files of a sheet: each was made once, by the office, and is handed out as it lies, byte for byte."""

from commissioning import files
from commissioning.models import Sheet
from commissioning.pdf import Paper
from commissioning.projections.sheet import issued_paper


class GoneError(RuntimeError):
    """There is no such file; the message says whether it was never made or is lost."""


def files_of(sheet: Sheet) -> dict[str, str]:
    """Return the hash of the file on each paper that has one, that of the issue first."""
    first = {issued_paper(sheet): sheet.file_hash} if sheet.file_hash else {}
    return first | {one.paper: one.file_hash for one in sheet.files.all()}


def paper_of(sheet: Sheet, paper: Paper) -> bytes:
    """Return the file on a paper, byte for byte. Raises GoneError if there is none."""
    known = files_of(sheet).get(paper)
    if known is None:
        raise GoneError(f"No file has been made on {paper} paper.")
    try:
        data = files.read(known)
    except FileNotFoundError:
        raise GoneError("The file is not here any more. Bring it back from a backup.") from None
    if files.digest_of(data) != known:
        raise GoneError("The file that lies here is not the one that was made. Bring it back from a backup.")
    return data
