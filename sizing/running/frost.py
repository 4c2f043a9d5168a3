"""What still holds water when a system is emptied, what of it the frost reaches, and how a battery is left."""

from sizing.parts import BatteryBank, BoosterPump, Filter, HandPump, PressureSwitch
from sizing.running import water
from sizing.running.steps import LIVE_BATTERY, Act, Step, label, listed
from sizing.system import Run, System, as_counted

CHARGED = (
    "A discharged lead-acid battery freezes at about −8 °C at a specific gravity of 1.100 and about −15 °C at "
    "1.150 (common practice, no source); charged it stands far harder frost."
)


def staying_full(system: System, held: frozenset[str]) -> list[str]:
    """Return the pipes from which no tap or drain lets the water out, or only one that lies higher.

    `held` are the valves that are shut meanwhile.
    """
    pipes = [run for run in system.runs.values() if run.kind == "pipe"]
    return sorted((run.tag for run in pipes if _stays_full(system, run, held)), key=as_counted)


def _stays_full(system: System, pipe: Run, held: frozenset[str]) -> bool:
    if system.node(pipe.start.tag).kind == "submersible_pump":
        return True
    ends = [water.place(system, end.tag, end.port) for end in (pipe.start, pipe.end) if end.tag not in held]
    ways = [way for at in ends for way in water.runs_out_at(system, at, held)]
    return not ways or _lies_under_all(system, pipe, [way.tag for way in ways])


def _lies_under_all(system: System, pipe: Run, ways: list[str]) -> bool:
    """Whether both ends lie below every opening; unknown heights say nothing."""
    ends = [_height(system, end.tag) for end in (pipe.start, pipe.end)]
    heights = [_height(system, tag) for tag in ways]
    known = [one for one in [*ends, *heights] if one is not None]
    if len(known) < len(ends) + len(heights):
        return False
    return max(known[:2]) < min(known[2:])


def _height(system: System, tag: str) -> float | None:
    part = system.node(tag).part
    found: float | None = getattr(part, "elevation", None)
    return found


def is_in_reach(system: System, pipe: Run) -> bool | None:
    """Whether frost reaches a pipe; None where the record does not say how it lies."""
    lies, cover, depth = (
        getattr(pipe.part, "lies", None),
        getattr(pipe.part, "cover", None),
        system.site.frost_depth,
    )
    if lies in ("open", "inside"):
        return bool(lies == "open")
    if cover is None or depth is None:
        return None
    return bool(cover < depth)


def what_freezes(system: System, held: frozenset[str]) -> list[Step]:
    """Return what to do about each thing that keeps water: pipes in reach of the frost, pumps, bowls, small tubes."""
    full = [system.runs[tag] for tag in staying_full(system, held)]
    steps = [_pipes(system, full, True, "frost reaches them. Lag them, or have a drain put in before the winter.")]
    steps.append(_pipes(system, full, None, "the record does not say how they lie. Ask before the first frost."))
    return [*(step for step in steps if step is not None), *_bodies(system)]


def _pipes(system: System, full: list[Run], reach: bool | None, words: str) -> Step | None:
    tags = [run.tag for run in full if is_in_reach(system, run) is reach]
    return Step(Act.LOOK, "", f"{listed(system, tags)} keep water: {words}") if tags else None


def _bodies(system: System) -> list[Step]:
    """Return the parts with water of their own; common practice, no source: small tubes freeze first."""
    said = (
        (Filter, "Empty the bowl of {} and put it back loosely."),
        (BoosterPump, "Take out the plug under {} and let it run empty; keep the plug beside it."),
        (PressureSwitch, "Undo and empty the small tube to {}: it freezes first."),
        (HandPump, "Do as its maker says for {} in frost: open its drain hole, or leave the handle down."),
    )
    return [Step(Act.LOOK, "", words.format(label(system, one.tag))) for kind, words in said for one in system.of(kind)]


def batteries_kept(system: System) -> list[Step]:
    """Return how a battery winters: lead-acid on charge with its arrays on, lithium as its maker says."""
    steps = []
    for bank in system.of(BatteryBank):
        name, chemistry = label(system, bank.tag), getattr(bank.part, "chemistry", None) or ""
        if "lithium" in chemistry:
            words, caution = f"Leave {name} as full as its maker says for storage.", "Never charge it below its limit."
        else:
            words, caution = f"Leave {name} on charge, the array on, full of water to the mark.", CHARGED
        steps.append(Step(Act.LOOK, "", words, f"{caution} {LIVE_BATTERY}"))
    return steps
