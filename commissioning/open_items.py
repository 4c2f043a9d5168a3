"""What still blocks a clean sheet, each thing once, with a key that a form can name."""

from dataclasses import dataclass
from datetime import date

from commissioning.models import Defect
from commissioning.progress import Block, Line, Progress


@dataclass(frozen=True)
class OpenItem:
    """One thing that is open: what it is, and who is known to see to it until when."""

    key: str
    title: str
    words: str
    who: str = ""
    due: date | None = None
    owed: str = ""
    defect: Defect | None = None
    hold: str = ""
    from_laboratory: bool = False
    is_taken: bool = False
    is_unsafe: bool = False
    is_awaited: bool = False
    """Photos that are still to come."""


def open_items(progress: Progress) -> list[OpenItem]:
    """Return the open items, gravest first. A check with an open defect stands in the defect's line."""
    in_defects = {line.owed.id for line in progress.lines if any(d.put_right_at is None for d in line.defects)}
    blocks = [b for b in progress.blocks if not (b.line and b.line.owed.id in in_defects)]
    return [_item(block, progress) for block in blocks]


def check_words(line: Line) -> str:
    """Return a check as it is spoken of: number, name, subject."""
    return f"{line.owed.number} {line.check.title}, {line.subject_words}"


def _item(block: Block, progress: Progress) -> OpenItem:
    if block.defect is not None:
        return _of_defect(block.defect, progress)
    if block.line is not None:
        return _of_line(block.line, block.words)
    if block.photos:
        return OpenItem("photos", "Photos", block.words, is_awaited=True)
    assert block.hold is not None
    hold = block.hold
    why = f": {hold.release.by.get_full_name()}, {hold.release.reason}" if hold.release else ""
    return OpenItem(
        f"hold:{hold.hold.key}", f"Hold “{hold.hold.title}”", f"released, not settled{why}", hold=hold.hold.key
    )


def _of_defect(defect: Defect, progress: Progress) -> OpenItem:
    line = progress.line(f"{defect.check_key}:{defect.subject}") if defect.check_key else None
    safe = "unsafe" if defect.is_unsafe else "not unsafe"
    at = f", check {check_words(line)}" if line else ""
    return OpenItem(
        f"defect:{defect.pk}", f"Defect {defect.number} ({safe}){at}", defect.words, defect.who, defect.due,
        owed=line.owed.id if line else "", defect=defect, is_taken=True, is_unsafe=defect.is_unsafe,
    )  # fmt: skip


def _of_line(line: Line, words: str) -> OpenItem:
    waits = line.check.from_laboratory
    return OpenItem(
        f"check:{line.owed.id}", check_words(line), words, who="laboratory" if waits else "", owed=line.owed.id,
        from_laboratory=waits, is_taken=line.measurement is not None,
    )  # fmt: skip
