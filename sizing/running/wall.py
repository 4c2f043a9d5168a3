"""What hangs on the wall of a system: what its owner may do without help, and when to keep off and call.

Common practice, no source. Nothing here needs a tool or opens anything live.
"""

from sizing.parts import (
    BatteryBank,
    BoosterPump,
    HandPump,
    Isolator,
    OvercurrentDevice,
    PressureSwitch,
    PressureTank,
    ReliefValve,
    SolarArray,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    Well,
)
from sizing.running import power, water, whole
from sizing.running.steps import label, listed
from sizing.system import System

Lines = list[str]


def no_water(system: System) -> Lines:
    """Return what an owner looks at when no water comes, the nearest and safest first."""
    steps: Lines = []
    if system.of(StorageTank):
        tags = [one.tag for one in system.of(StorageTank)]
        steps.append(f"Is there water in {listed(system, tags)}? Look from outside, through the opening or a gauge.")
    steps += _valves(system) + _power(system) + _sources(system)
    if system.of(HandPump):
        steps.append(f"Meanwhile: {listed(system, [one.tag for one in system.of(HandPump)])} gives water by hand.")
    return [*steps, "Still none: switch nothing on and off again and again. Call."]


def _valves(system: System) -> Lines:
    usual = [one.tag for one in water.isolation_valves(system) if not water.is_normally_shut(one)]
    return [f"Do these stand open: {listed(system, usual)}?"] if usual else []


def _power(system: System) -> Lines:
    steps: Lines = []
    if system.of(BoosterPump) or system.of(PressureSwitch):
        steps.append("Does the gauge show pressure? With none, and a tap open, the pump should run.")
    made = [one.tag for user in whole.pumps(system) for one in power.converters(system, user)]
    if made:
        steps.append(
            f"Is a lamp or a fault shown on {listed(system, list(dict.fromkeys(made)))}? Write down what it says."
        )
    switches = [one.tag for one in [*system.of(Isolator), *system.of(OvercurrentDevice)] if power.is_switch(one)]
    if switches:
        steps.append(f"Are these on: {listed(system, switches)}? A breaker that trips a second time stays off: call.")
    return steps


def _sources(system: System) -> Lines:
    steps: Lines = []
    if system.of(SolarArray):
        steps.append("Has there been sun today, and is nothing over the modules?")
    if system.of(SpringOrRoof):
        steps.append(f"Does water come at {listed(system, [one.tag for one in system.of(SpringOrRoof)])}?")
    return steps


def red_flags(system: System) -> Lines:
    """Return what an owner stops for and calls, by what this system has."""
    return [words for kinds, words in FLAGS if not kinds or any(system.of(kind) for kind in kinds)]


FLAGS: tuple[tuple[tuple[type, ...], str], ...] = (
    ((), "A burnt, cut or chewed cable, sparks, a hot box, water near cables: keep away from it."),
    ((SubmersiblePump, BoosterPump), "A pump that runs on and on, or clicks on and off every few seconds."),
    ((BatteryBank,), "A battery that smells, hisses, bulges or is hot: out of the room, no flame, no switch."),
    ((PressureTank, ReliefValve), "Water from a relief valve, or a gauge above its usual mark."),
    ((StorageTank,), "A tank that overflows and does not stop, or leans, or has lost its lid."),
    ((Well,), "Ground that settles at the well, a flood over it, an animal in it."),
    ((), "Water that is cloudy, coloured or smells: nobody drinks it."),
)


def hand_pump(system: System) -> Lines:
    """Return how a hand pump is used; nothing where there is none."""
    pumps = system.of(HandPump)
    if not pumps:
        return []
    piped = [one.tag for one in pumps if water.places_of(system, one.tag)]
    lines = ["Full, even strokes from stop to stop; nobody under the handle.", "The first strokes bring none: go on."]
    if piped:
        lines.append(f"{listed(system, piped)} pushes into the pipes: never against a valve that is shut.")
    return [*lines, "Many more strokes than usual to the first water: its lower valve leaks. Call."]


def stop_places(system: System) -> Lines:
    """Return the main switches and main valves by name, for the red box."""
    return [label(system, step.tag) for step in whole.stop(system) if step.tag]
