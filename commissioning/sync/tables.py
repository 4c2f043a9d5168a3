"""Pocket tables of a visit: what the phone judges by, and what has been measured so far that others need.

Tables follow from the record, the site's own limits, the code of the core and the day. They are made once for those
and kept on disk: a whole start-up takes seconds.
"""

import gzip
import hashlib
import json
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings

import sizing
from commissioning import snapshot
from commissioning.canonical import canonical_json, digest
from commissioning.models import Judgement, Measurement, SiteLimit
from commissioning.progress import Line, Progress
from commissioning.site_limits import standing_limits, with_limits
from sizing import CORE_VERSION
from sizing.checks.declare import Check, Kind
from sizing.formulas.uncertainty import combine
from sizing.pocket.plain import pocket_data
from sizing.pocket.pose import DAY
from sizing.pocket.tabulate import tabulate
from sizing.system import System

FORMAT = 1
KEPT = 24  # sites whose tables stay on disk
AT_ONCE = 8  # checks whose tables are made before they are put on disk
ROOM = "pocket"


def tables_of(progress: Progress) -> dict[str, dict[str, Any]]:
    """Return by owed check its tables, and what has been measured of it so far.

    Each entry is what `judge.js` calls a pocket. An observation has none.
    """
    if progress.system is None:
        return {}
    lines = [line for line in (*progress.lines, *progress.offered) if line.check.kind is not Kind.OBSERVED]
    made = _made(progress, lines)
    return {line.owed.id: {**made[line.owed.id], "seen": _seen(line)} for line in lines}


def tables_mark(progress: Progress) -> str:
    """Return what names these tables: it changes with record, limits, core and day."""
    day = int(progress.visit.started_at.timestamp() // DAY)
    record = _numbers_of(snapshot.document_of(progress.visit.site))
    limits = sorted(_limit_text(one) for one in standing_limits(progress.visit.site_id))
    kind = progress.visit.kind
    return digest("|".join((str(FORMAT), CORE_VERSION, core_mark(), record, kind, str(day), *limits)))


def _numbers_of(document: dict[str, Any]) -> str:
    """Return the record without ids and the site's name: like systems share their tables."""
    parts = {name: [{**one, "id": ""} for one in document[name]] for name in ("components", "runs")}
    return digest(canonical_json({**document, **parts, "site": {**document["site"], "name": ""}}))


def _limit_text(one: SiteLimit) -> str:
    return f"{one.check_key}:{one.subject}:{one.judged}:{one.lower}:{one.upper}:{one.reason}:{one.by_id}"


@cache
def core_mark() -> str:
    """Return the mark of the core's code in this process."""
    found = hashlib.sha256()
    for path in sorted(Path(sizing.__file__).parent.rglob("*.py")):
        found.update(path.read_bytes())
    return found.hexdigest()


def _made(progress: Progress, lines: list[Line]) -> dict[str, dict[str, Any]]:
    """Return the tables of some owed checks, from disk where they are there."""
    place = settings.DATA_DIR / ROOM / f"{tables_mark(progress)}.json.gz"
    known = _from_disk(place)
    lacking = [line for line in lines if line.owed.id not in known]
    for some in batched(lacking, AT_ONCE):
        known |= _tabulated(progress, some)
        _to_disk(place, known)  # a request that is cut off has not worked in vain
    return known


def batched(lines: list[Line], many: int) -> Iterator[list[Line]]:
    """Yield the lines in lots of so many."""
    for first in range(0, len(lines), many):
        yield lines[first : first + many]


def _tabulated(progress: Progress, lines: Iterable[Line]) -> dict[str, dict[str, Any]]:
    limits = standing_limits(progress.visit.site_id)
    system, moment = progress.system, progress.visit.started_at.timestamp()
    assert system is not None
    found = {}
    for line in lines:
        check = with_limits(line.check, line.owed.subject, limits)
        found[line.owed.id] = tables_for(check, system, line.owed.subject, moment)
    return found


def tables_for(check: Check, system: System, tag: str, moment: float) -> dict[str, Any]:
    """Return the tables of a check on one subject, as the phone reads them."""
    return pocket_data(tabulate(check, system, tag, moment=moment), check)


def _from_disk(place: Path) -> dict[str, dict[str, Any]]:
    try:
        found: dict[str, dict[str, Any]] = json.loads(gzip.decompress(place.read_bytes()))
    except (OSError, ValueError, EOFError):
        return {}  # not there, or written half: made anew
    return found


def _to_disk(place: Path, content: dict[str, dict[str, Any]]) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    half = place.with_suffix(".half")
    half.write_bytes(gzip.compress(json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()))
    half.replace(place)
    for old in sorted(place.parent.glob("*.gz"), key=lambda one: one.stat().st_mtime)[:-KEPT]:
        old.unlink(missing_ok=True)


def _seen(line: Line) -> list[dict[str, Any]]:
    """Return what was measured on an owed check and still counts, oldest first."""
    taken = [*line.earlier, *([line.measurement] if line.measurement else [])]
    return [_measured(line.check, one, one.judgement()) for one in sorted(taken, key=lambda one: one.taken_at)]


def _measured(check: Check, one: Measurement, judgement: Judgement | None) -> dict[str, Any]:
    findings = judgement.findings if judgement else []
    values = [f for f in findings if f["value"] is not None]
    return {
        "id": str(one.pk),
        "at": one.taken_at.timestamp(),
        "findings": [
            [f["name"], f["repeat"], f["value"], f["spread"] or 0.0, _own_u(check, f["terms"])] for f in values
        ],
    }


def _own_u(check: Check, terms: list[dict[str, Any]]) -> float:
    """Return the uncertainty of a value without conditions, nameplate and model: what repeats do not share."""
    conditions = {need.label.lower() for need in check.needs}
    return combine([t["u"] for t in terms if not t["shared"] and t["name"] not in conditions] or [0.0])
