"""Likely causes of what has moved: a table of faults with their signs, and the ranking of them.

A sign is how a reading lies against this system's own baseline, conditions taken out. *same* was looked at and found
unchanged; a reading that a row does not name says nothing for or against it. *unsteady* scatters from minute to
minute and *either* is up on one system and down on another; neither speaks against a row.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from sizing.records import record
from sizing.system import System

HERE = Path(__file__).parent
MEASUREMENT = "measurement"
URGENT = "stop_and_make_safe"
PRIOR = {"common": 0.3, "occasional": 0.15, "rare": 0.0}
"""What a row weighs before anything is read (common practice, no source): it only parts what the signs leave equal."""
KINDS = {
    "well": ("well",),
    "well_pump": ("submersible_pump",),
    "pump_controller": ("pump_controller",),
    "pv_array": ("solar_array",),
    "storage": ("storage_tank",),
    "booster": ("booster_pump",),
    "pressure_tank": ("pressure_tank",),
    "pressure_switch": ("pressure_switch",),
    "battery": ("battery_bank",),
    "charge_controller": ("charge_controller",),
    "inlet_filter": ("filter",),
    "earthing": ("earth_electrode", "surge_protector"),
    "hand_pump": ("hand_pump",),
}
"""The kinds of component of which one must stand in the system for causes of a part to be possible."""
HALF = 0.5
MOST = 4


class Sign(StrEnum):
    """How a reading lies against its baseline."""

    UP = "up"
    DOWN = "down"
    NIL = "nil"
    SAME = "same"
    CHANGED = "changed"
    """Not as it should be, where an observation has no direction."""


@record
class Cause:
    """One fault: its signs by key of check, and the test that confirms it."""

    key: str
    part: str
    words: str
    signs: Mapping[str, str]
    confirm: str
    remedy: str
    prior: str
    urgency: str
    source: str
    nil: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    tell_apart: str = ""

    @property
    def is_urgent(self) -> bool:
        return self.urgency == URGENT


@record
class Likely:
    """A cause with the readings that speak for it and against it."""

    cause: Cause
    speaks_for: tuple[str, ...]
    unchanged: tuple[str, ...]
    against: tuple[str, ...]
    weight: float = 0.0
    parts: tuple[str, ...] = field(default=())
    """Readings that part it from the causes shown beside it: in them the signs are others."""


@cache
def causes() -> tuple[Cause, ...]:
    """Return the whole table."""
    return tuple(_read(path.stem, row) for path in sorted(HERE.glob("*.toml")) for row in _rows(path))


def _rows(path: Path) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = tomllib.loads(path.read_text("utf-8"))["cause"]
    return rows


def _read(part: str, row: dict[str, Any]) -> Cause:
    given: dict[str, Any] = {name: tuple(v) if isinstance(v, list) else v for name, v in row.items()}
    return Cause(part=part, **given)


def likely(
    seen: Mapping[str, Sign], principles: Mapping[str, str] | None = None, parts: frozenset[str] | None = None
) -> list[Likely]:
    """Return the causes that fit what was seen, likeliest first; slips of measuring before all others.

    `principles` gives, by part (`well_pump`, `booster`), the principle of its pump where it is known; `parts`
    names the parts that the system has, all where it is not given. Look-alikes of
    what is shown are shown too, and so is whatever must be made safe if a changed reading speaks for it.
    """
    weighed = [_weigh(cause, seen) for cause in causes() if applies(cause, principles or {}, parts)]
    fitting = sorted((w for w in weighed if w.speaks_for), key=lambda w: -w.weight)
    shown = [w for w in fitting if w.weight > len(w.against)][:MOST]
    named = {key for w in shown for key in w.cause.alike}
    shown += [w for w in fitting if w not in shown and _stands_beside(w, named)]
    kept = sorted(shown, key=lambda w: (w.cause.part != MEASUREMENT, -w.weight))
    return [_parted(w, kept) for w in kept]


def of_system(system: System) -> tuple[dict[str, str], frozenset[str]]:
    """Return the principles of a system's pumps and the parts that it has, as `likely` asks for them."""
    kinds = {node.kind for node in system.nodes.values()}
    parts = frozenset(part for part, wanted in KINDS.items() if kinds & set(wanted))
    found = {}
    for node in system.nodes.values():
        part = next((p for p in ("well_pump", "booster") if node.kind in KINDS[p]), "")
        if part and getattr(node.part, "principle", None):
            found[part] = str(getattr(node.part, "principle", ""))
    return found, parts


def _stands_beside(one: Likely, named: set[str]) -> bool:
    is_alike = one.cause.key in named and not one.against
    return is_alike or (one.cause.is_urgent and one.weight > 0 and not one.against)


def applies(cause: Cause, principles: Mapping[str, str], parts: frozenset[str] | None) -> bool:
    """Whether a cause can befall this system; a pump whose principle is not recorded keeps all of its own."""
    if parts is not None and cause.part in KINDS and cause.part not in parts:
        return False
    known = principles.get(cause.part, "")
    return not cause.only or not known or known in cause.only


def speaks_for(cause: Cause, key: str, sign: Sign) -> bool:
    """Whether a reading that went one way speaks for a cause."""
    return key in cause.signs and (_fit(cause.signs[key], sign, key in cause.nil) or 0) > 0


def _weigh(cause: Cause, seen: Mapping[str, Sign]) -> Likely:
    """Return a cause with what speaks for it: a changed reading counts one, an unchanged one half, against it one."""
    changed: list[str] = []
    same: list[str] = []
    against: list[str] = []
    weight = PRIOR[cause.prior]
    for key, sign in cause.signs.items():
        if key not in seen:
            continue
        fit = _fit(sign, seen[key], key in cause.nil)
        if fit is None:
            continue
        (against if fit < 0 else same if seen[key] is Sign.SAME else changed).append(key)
        weight += fit
    return Likely(cause, tuple(changed), tuple(same), tuple(against), weight)


def _fit(sign: str, found: Sign, is_nil: bool) -> float | None:
    """Return what one reading says of one sign; None where it says nothing."""
    if sign == "unsteady":
        return None
    if found is Sign.SAME:
        return {"same": HALF, "either": None}.get(sign, -1.0)
    if sign == "same":
        return -1.0
    if sign == "either" or found is Sign.CHANGED:
        return HALF
    if found is Sign.NIL or is_nil:
        return _fit_nil(sign, found, is_nil)
    return 1.0 if sign == found.value else -1.0


def _fit_nil(sign: str, found: Sign, is_nil: bool) -> float:
    """Return the same where a reading is nil, or should be."""
    if sign != "down" or found is Sign.UP:
        return -1.0
    return 1.0 if found is Sign.NIL and is_nil else HALF


def _parted(one: Likely, shown: list[Likely]) -> Likely:
    """Return a cause with the readings in which it differs from those shown beside it, each once."""
    others = [other.cause.signs for other in shown if other.cause.key != one.cause.key]
    keys = (key for key, sign in one.cause.signs.items() for signs in others if signs.get(key, sign) != sign)
    return Likely(one.cause, one.speaks_for, one.unchanged, one.against, one.weight, tuple(dict.fromkeys(keys)))
