"""Judges on the phone's side: tables made here, carryings-out sent through its module in one process."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from tempfile import NamedTemporaryFile
from typing import Any

from commissioning.sync.declared import check_data
from sizing.checks.declare import Check
from sizing.judgement import Assessment, Finding
from sizing.pocket.plain import pocket_data
from sizing.pocket.tabulate import Pocketed, tabulate, tolerance
from sizing.system import System
from tests.phone.node import run
from tests.sizing.pocket.draws import MIDSUMMER, Draw

JUDGE = """
  globalThis.laid ??= JSON.parse(readFileSync(PLACE, "utf8"));
  const [check, pocket] = globalThis.laid[it.laid];
  const found = m.judge(check, pocket, it.readings, it.conditions, it.moment, it.way);
  for (const one of found.findings) if (one.spread === Infinity) one.spread = 1e308;
  return found;"""
BAR = 0.1  # of the tolerance: what a table may be off
OF_VALUE = 3e-4  # or that share of a value that lies far off
FIGURES = ("nominal", "lower", "upper", "bearable")


@dataclass(frozen=True)
class Laid:
    """A check on one subject of a system, with its tables."""

    check: Check
    system: System
    tag: str
    pocketed: Pocketed

    @property
    def data(self) -> list[dict[str, Any]]:
        """What the pack carries of it."""
        return [check_data(self.check), pocket_data(self.pocketed, self.check)]

    def case(self, draw: Draw) -> dict[str, Any]:
        return {
            "readings": [{**vars(r), "words": ""} for r in draw.readings],
            "conditions": {name: {"value": v.value, "u": v.u, "words": v.words} for name, v in draw.conditions.items()},
            "moment": draw.moment,
            "way": draw.way,
        }


def laid(check: Check, system: System, tag: str) -> Laid:
    return Laid(check, system, tag, tabulate(check, system, tag, moment=MIDSUMMER))


def phone_says(cases: list[tuple[Laid, Draw]]) -> list[dict[str, Any]]:
    """Return what the phone says of each; sent and answered as JSON."""
    every = list({id(one): one for one, _ in cases}.values())
    places = {id(one): i for i, one in enumerate(every)}
    asked = [{"laid": places[id(one)], **one.case(draw)} for one, draw in cases]
    with NamedTemporaryFile("w", suffix=".json", encoding="utf-8") as file:
        json.dump([one.data for one in every], file)
        file.flush()
        found: list[dict[str, Any]] = run("judge.js", JUDGE.replace("PLACE", json.dumps(file.name)), asked)
    return found


@dataclass
class Tally:
    """How many verdicts agreed, and how far figures were off at most, as a share of the tolerance."""

    agree: int = 0
    unsure: int = 0
    at_limit: int = 0
    wrong: list[Any] = field(default_factory=list)
    worst: float = 0.0
    worst_at: str = ""

    def count(self, one: Laid, server: Assessment, phone: dict[str, Any]) -> None:
        for ours, theirs in zip(server.findings, phone["findings"], strict=True):
            self._count(one, ours, theirs)

    def _count(self, one: Laid, ours: Finding, theirs: dict[str, Any]) -> None:
        if theirs["unsure"]:
            self.unsure += 1
            return
        off = _off(one, ours, theirs)
        if off > self.worst:
            self.worst, self.worst_at = off, f"{one.check.key}:{one.tag}"
        said = ours.verdict.value if ours.verdict else ""
        if said == theirs["verdict"] and off <= BAR:
            self.agree += 1
        elif off <= BAR and _is_near_limit(one, ours, theirs):
            self.at_limit += 1
        else:
            self.wrong.append((one.check.key, one.tag, said, theirs["verdict"], ours.reason, theirs["reason"], off))


def _figures(ours: Finding) -> dict[str, float]:
    expected = ours.expected
    if expected is None:
        return {}
    found = {name: getattr(expected, name) for name in FIGURES if getattr(expected, name) is not None}
    return found | {f"term {i}": term.u for i, term in enumerate(expected.terms)}


def _off(one: Laid, ours: Finding, theirs: dict[str, Any]) -> float:
    """Return how far the phone's figures are off, as a share of the tolerance."""
    figures = _figures(ours)
    borne = max(tolerance(figures) if figures else 0.0, one.check.pocket.bearable, 1e-12)
    found = [abs(figures[n] - theirs[n]) / borne for n in FIGURES[:3] if n in figures and theirs[n] is not None]
    if ours.value is not None and theirs["value"] is not None:
        least = OF_VALUE / BAR * abs(ours.value)
        found.append(abs(ours.value - theirs["value"]) / max(borne, least))
    return max(found, default=0.0)


def _is_near_limit(one: Laid, ours: Finding, theirs: dict[str, Any]) -> bool:
    """Whether a limit, or the end of the room for uncertainty, lies so near that the error of a table can decide."""
    figures = _figures(ours)
    if not figures or ours.value is None or ours.spread is None:
        return False
    room, slack = tolerance(figures), 2 * BAR * tolerance(figures)
    ends = (ours.value - ours.spread, ours.value, ours.value + ours.spread)
    near = any(abs(end - figures[n]) <= slack for end in ends for n in ("lower", "upper") if n in figures)
    return near or abs(ours.spread - room) <= slack


def tallied(cases: Iterable[tuple[Laid, Draw]]) -> Tally:
    """Return how phone and server compare over some carryings-out."""
    listed, tally = list(cases), Tally()
    for (one, draw), phone in zip(listed, phone_says(listed), strict=True):
        tally.count(one, draw.judged(one.check, one.system, one.tag), phone)
    return tally
