"""Prints a line a figure: name, value, goal. Exit status 1 if one is past its goal.

    .venv/bin/python -m tests.bench [NAME…]

The machines are noisy, so a goal is a ratio of two things measured in the same run, or a difference from
the bare interpreter. Medians of several rounds.
"""

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
ROUNDS = 7


@dataclass(frozen=True)
class Figure:
    """One figure with the goal that it must not pass."""

    name: str
    value: float
    goal: float
    unit: str
    note: str = ""

    @property
    def is_met(self) -> bool:
        return self.value <= self.goal


def median_time(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Return the median CPU time of some work [s], after one round to warm up."""
    work()
    times = []
    for _ in range(rounds):
        before = time.process_time()
        work()
        times.append(time.process_time() - before)
    return statistics.median(times)


def operating_point_time() -> float:
    """Return what solving one operating point takes [s]."""
    from sizing.parts import SubmersiblePump
    from sizing.pumping import operating_point, well_specific_capacity
    from sizing.system import State, build
    from tests.sizing.systems import quince_ridge

    system = build(quince_ridge())
    pump, well = system.of(SubmersiblePump)[0], system.node("W1")
    level = well.need("measuring_point_height") + 15.0
    state = State(running=frozenset({pump.tag}), levels={"T1": level})

    def solve() -> object:
        return operating_point(
            system, pump, power=400.0, static_level=24.0, specific_capacity=well_specific_capacity(well), state=state
        )

    return median_time(solve, 25)


def must_set() -> Figure:
    """A whole must-set evaluation with uncertainty, over one operating-point solve."""
    from sizing.system import build
    from tests.sizing.checks.measured import GOOD, judged
    from tests.sizing.systems import quince_ridge

    system = build(quince_ridge())
    once = operating_point_time()
    whole = median_time(lambda: [judged(one, system) for one in GOOD])
    note = f"{len(GOOD)} measurements, {1000 * whole:.0f} ms; one operating point {1000 * once:.2f} ms"
    return Figure("must-set", whole / once, 300, "× one operating point", note)


def pdf() -> Figure:
    """A whole sheet, from the frozen record to the sealed file, over the renderer's own time on the same HTML."""
    from tests.bench.paper import pdf_times

    whole, alone, note = pdf_times(median_time)
    return Figure("pdf", whole / alone, 1.25, "× the renderer alone", f"{whole:.2f} s and {alone:.2f} s; {note}")


def keep() -> Figure:
    """Keeping one reading through the phones' entrance, judged and chained, over a bare authenticated insert."""
    from tests.bench.sending import keep_times

    whole, bare, note = keep_times()
    return Figure("keep", whole / bare, 4, "× a bare insert", f"{1000 * whole:.1f} ms and {1000 * bare:.1f} ms; {note}")


def send() -> Figure:
    """Sending readings over the same rows by bulk insert plus their judgements."""
    from tests.bench.sending import send_times

    whole, rows, note = send_times(median_time)
    return Figure("send", whole / rows, 3, "× bulk insert and judging", f"{whole:.2f} s and {rows:.2f} s; {note}")


def import_time() -> Figure:
    """Importing the whole core, more than the bare interpreter takes."""
    bare = fresh("pass")
    core = fresh("import sizing.order, sizing.judgement, sizing.drift, sizing.design.judge, sizing.cross_checks")
    return Figure("import", 1000 * (core - bare), 150, "ms more than the bare interpreter")


def fresh(code: str) -> float:
    """Return the median CPU time of a fresh interpreter that runs some code, bytecode warm [s]."""
    times = []
    warm = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    for _ in range(ROUNDS + 1):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, env=warm)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(times[1:])


def year() -> Figure:
    """A mean year of a whole system, hour by hour, with what its days come to."""
    from sizing.operation.year import year_of_operation
    from sizing.system import build
    from tests.sizing.operation.test_year import SUN
    from tests.sizing.systems import plate, quince_ridge

    document = quince_ridge()
    plate(document, "site").update(daily_demand=4.0, sun_hours=SUN)
    system = build(document)
    return Figure("year", median_time(lambda: year_of_operation(system), 3), 1, "s of CPU", "8760 hours")


def pocket() -> Figure:
    """All tables of a system's must set, as a phone takes them along the first time; over one operating point."""
    from sizing.order import order_of_checks
    from sizing.pocket.tabulate import tabulate
    from sizing.system import build
    from tests.sizing.systems import quince_ridge

    system, moment = build(quince_ridge()), 1_813_000_000.0  # noon of some day in June
    owed = [one for one in order_of_checks(system) if not one.optional and one.declared.judged]

    def whole() -> int:
        return sum(len(tabulate(one.declared, system, one.subject, moment=moment).tables) for one in owed)

    before = time.process_time()
    tables = whole()
    spent = time.process_time() - before
    once = operating_point_time()
    return Figure("pocket", spent / once, 30_000, "× one operating point", f"{tables} tables in {spent:.1f} s of CPU")


def weight(name: str, goal: float) -> Figure:
    """What comes over a thin signal: the first page of all, a later one, a visit taken along."""
    from tests.bench.weight import weights

    value, note = weights()[name]
    return Figure(name, value, goal, "kB", note)


FIGURES: dict[str, Callable[[], Figure]] = {
    "must-set": must_set,
    "import": import_time,
    "year": year,
    "pocket": pocket,
    "pdf": pdf,
    "keep": keep,
    "send": send,
    "weight": lambda: weight("weight", 60),
    "later": lambda: weight("later", 10),
    "pack": lambda: weight("pack", 300),
}


def main(names: list[str]) -> int:
    unknown = set(names) - set(FIGURES)
    if unknown:
        print(f"no figure is called {', '.join(sorted(unknown))}; there are {', '.join(FIGURES)}", file=sys.stderr)
        return 2
    figures = [FIGURES[name]() for name in names or FIGURES]
    for one in figures:
        state = "" if one.is_met else "  PAST ITS GOAL"
        print(f"{one.name:<10} {one.value:>9.2f} {one.unit} (goal {one.goal:g}){state}  {one.note}".rstrip())
    return 0 if all(one.is_met for one in figures) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
