"""Whether a file is a sheet of ours: authentic and current, superseded, withdrawn, changed, or not ours.

The whole file is compared first, by its hash: no other byte can then be wrong, not even in the seal's own container,
which no signature covers. Only a file that the evidence does not know is asked for its seal.
"""

import io
import json
from dataclasses import dataclass
from enum import StrEnum

from commissioning import files
from commissioning.canonical import digest
from commissioning.handover.register import faults_of_record, sheet_like, sheet_of_file
from commissioning.handover.seal import SealSeen, seal_of
from commissioning.handover.seal_keys import own_fingerprint
from commissioning.handover.sheet_pdf import RECORD_NAME
from commissioning.models import Sheet, SheetState


class Answer(StrEnum):
    AUTHENTIC = "authentic"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"
    CHANGED = "changed"
    NOT_OURS = "not ours"


@dataclass(frozen=True)
class Examined:
    """The answer about a file, in one word and one sentence; `why` says what it rests on."""

    answer: Answer
    words: str
    why: str
    sheet: Sheet | None = None

    @property
    def is_good(self) -> bool:
        """Whether a reader may rely on the file today."""
        return self.answer is Answer.AUTHENTIC


BY_STATE = {
    SheetState.ISSUED: Answer.AUTHENTIC,
    SheetState.SUPERSEDED: Answer.SUPERSEDED,
    SheetState.WITHDRAWN: Answer.WITHDRAWN,
}


def examine_hash(sha256: str) -> Examined | None:
    """Return the answer for a file of which only the hash is known; None where the evidence does not know it."""
    sheet = sheet_of_file(sha256)
    if sheet is None:
        return None
    return Examined(BY_STATE[SheetState(sheet.state)], standing_words(sheet), "The file is the one made, whole.", sheet)


def examine(data: bytes) -> Examined:
    """Return the answer for a file."""
    known = examine_hash(files.digest_of(data))
    seal = seal_of(data)
    if known is None:
        return _unknown(data, seal)
    assert known.sheet is not None
    faults = [*faults_of_record(known.sheet), *_faults_of_known(data, seal, known.sheet)]
    if faults:
        return Examined(Answer.CHANGED, f"The file is as it was made, but {'; '.join(faults)}.", known.why, known.sheet)
    return Examined(known.answer, known.words, f"{known.why} {_seal_words(seal)}", known.sheet)


def _faults_of_known(data: bytes, seal: SealSeen, sheet: Sheet) -> list[str]:
    """Return what contradicts a file that the evidence knows: another seal than printed, another record than kept."""
    issue = json.loads(sheet.body)["sheet"]
    if "seal" not in issue:  # printed before sheets were sealed
        return []
    faults = [] if seal.is_whole and seal.root == issue["seal"] else [seal.words]
    return faults + ([] if enclosed_record(data) == sheet.hash else ["the record it encloses is not the one kept here"])


def _unknown(data: bytes, seal: SealSeen) -> Examined:
    is_ours = seal.is_there and seal.root == own_fingerprint()
    like = _sheet_of_record(enclosed_record(data)) or sheet_like(data)
    if is_ours and seal.is_whole:
        return Examined(
            Answer.NOT_OURS,
            "It carries this office's seal, but the office has not issued it: do not rely on it. Tell the office.",
            "The seal is whole; no evidence names the file. The data here may be older than the file, or the key may "
            "be in other hands.",
            like,
        )
    if is_ours or like is not None:
        name = f" of sheet {like.number}, revision {like.revision}," if like else ""
        return Examined(Answer.CHANGED, f"A copy{name} that was changed: do not rely on it.", _because(seal), like)
    return Examined(Answer.NOT_OURS, "This office has not issued it.", _because(seal))


def _because(seal: SealSeen) -> str:
    return f"No evidence names exactly this file; {seal.words}."


def _seal_words(seal: SealSeen) -> str:
    return "Its seal is whole." if seal.is_whole else "It carries no seal."


def standing_words(sheet: Sheet) -> str:
    """Return the one sentence that a reader came for."""
    if sheet.state == SheetState.WITHDRAWN:
        return "Withdrawn: this sheet is no longer valid."
    if sheet.state == SheetState.ISSUED:
        return "Genuine and current."
    after = Sheet.objects.filter(year=sheet.year, sequence=sheet.sequence).order_by("revision").last()
    assert after is not None
    gone = ", which is withdrawn" if after.state == SheetState.WITHDRAWN else ""
    return f"Genuine, but superseded by revision {after.revision}{gone}."


def enclosed_record(data: bytes) -> str:
    """Return the hash of the record that a file encloses; empty where it encloses none that can be read."""
    try:
        return digest(_enclosed(data).decode())
    except Exception:  # whatever a hostile file breaks in the reader: it encloses nothing then
        return ""


def _enclosed(data: bytes) -> bytes:
    from pyhanko.pdf_utils.reader import PdfFileReader

    names = PdfFileReader(io.BytesIO(data)).root["/Names"]["/EmbeddedFiles"]["/Names"]
    found = {str(names[i]): names[i + 1] for i in range(0, len(names), 2)}
    return bytes(next(one for key, one in found.items() if RECORD_NAME in (key, str(one["/UF"])))["/EF"]["/F"].data)


def _sheet_of_record(record_hash: str) -> Sheet | None:
    return Sheet.objects.filter(hash=record_hash).select_related("site").first() if record_hash else None
