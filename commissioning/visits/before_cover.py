"""What a visit before cover leaves behind: which buried lines were tested while they could be seen."""

from commissioning.models import Measurement, VisitKind
from commissioning.progress import HoldLine, Progress
from commissioning.stale import tag_now
from sizing.checks.before_cover import is_to_be_covered
from sizing.parts import Pipe
from sizing.system import System, as_counted

COVER = "cover_pipe"
TESTS = ("buried_line_test", "buried_line_makeup")
MOST_NAMED = 12


def cover_hold(progress: Progress) -> HoldLine | None:
    """Return the hold before anything is covered, on a visit that is there for it."""
    return progress.hold(COVER) if progress.visit.kind == VisitKind.BEFORE_COVER else None


def buried_words(progress: Progress) -> str:
    """Return in a start-up how many of the lines in the ground were tested before they were covered."""
    if progress.system is None or progress.visit.kind != VisitKind.START_UP:
        return ""
    buried = buried_lines(progress.system)
    if not buried:
        return ""
    missed = sorted(set(buried) - _tested(progress), key=as_counted)
    if not missed:
        return f"Before cover: {'the buried line was' if len(buried) == 1 else 'all buried lines were'} tested."
    named = ", ".join(missed[:MOST_NAMED]) + (" and more" if len(missed) > MOST_NAMED else "")
    if len(missed) == len(buried):
        return f"Before cover: no line in the ground was tested: {named}."
    return f"Before cover: tested {len(buried) - len(missed)} of the lines that lie in the ground, not {named}."


def buried_lines(system: System) -> list[str]:
    """Return the pipes that are recorded as lying in the ground."""
    pipes = [run for run in system.runs.values() if isinstance(run.part, Pipe) and is_to_be_covered(system, run.tag)]
    return [run.tag for run in pipes if getattr(run.part, "lies", None) == "ground" or getattr(run.part, "cover", None)]


def _tested(progress: Progress) -> set[str]:
    rows = Measurement.objects.current().on_standing().filter(
        visit__site=progress.visit.site_id, visit__kind=VisitKind.BEFORE_COVER, check_key__in=TESTS
    )  # fmt: skip
    return {tag_now(row) for row in rows.select_related("component", "run")}
