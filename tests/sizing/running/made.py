"""Systems made up by chance, of every shape a small contractor builds; drawn by Hypothesis."""

from typing import Any

from hypothesis import strategies as st

from sizing.system import System, build
from tests.sizing.systems import component, run

Document = dict[str, Any]


class Laying:
    """A record being laid: components and runs with tags counted up."""

    def __init__(self) -> None:
        self.components: list[Document] = []
        self.runs: list[Document] = []
        self.many: dict[str, int] = {}

    def tag(self, prefix: str) -> str:
        self.many[prefix] = self.many.get(prefix, 0) + 1
        return f"{prefix}{self.many[prefix]}"

    def add(self, prefix: str, kind: str, host: str | None = None, **plate: Any) -> str:
        tag = self.tag(prefix)
        self.components.append(component(tag, kind, host, **plate))
        return tag

    def pipe(self, start: str, end: str) -> None:
        self.runs.append(run(self.tag("P"), "pipe", start, end))

    def cable(self, start: str, end: str) -> None:
        self.runs.append(run(self.tag("K"), "cable", start, end))

    def system(self) -> System:
        return build({"site": {}, "components": self.components, "runs": self.runs})


def between(draw: Any, laying: Laying, at: str) -> str:
    """Return the end of a way on which there may be valves, a drain, a filter."""
    for kind in draw(st.lists(st.sampled_from(("isolation", "check", "drain", "filter")), max_size=3)):
        if kind == "filter":
            tag = laying.add("F", "filter", side="pressure")
            laying.pipe(at, f"{tag}.inlet")
            at = f"{tag}.outlet"
        elif kind == "drain":
            tee = laying.add("J", "junction")
            laying.pipe(at, tee)
            laying.pipe(tee, laying.add("V", "valve", function="drain", normal_position="shut"))
            at = tee
        else:
            tag = laying.add("V", "valve", function=kind, normal_position="open")
            laying.pipe(at, tag)
            at = tag
    return at


def device(draw: Any, laying: Laying, at: str, kinds: tuple[str, ...]) -> str:
    """Return the end of a cable that may lead through something that parts it."""
    kind = draw(st.sampled_from(kinds))
    if kind == "none":
        return at
    plate = {} if kind == "isolator" else {"form": kind}
    tag = laying.add("S" if kind == "isolator" else "FU", "isolator" if kind == "isolator" else "overcurrent_device",
                     **plate)  # fmt: skip
    laying.cable(at, f"{tag}.line")
    return f"{tag}.load"


ANY = ("isolator", "breaker", "fuse", "none")


def battery(draw: Any, laying: Laying) -> str:
    """Return the posts of a battery with one or two chargers."""
    bank = laying.add("BA", "battery_bank")
    for _ in range(draw(st.integers(1, 2))):
        array, charger = laying.add("A", "solar_array"), laying.add("CC", "charge_controller")
        laying.cable(device(draw, laying, f"{array}.output", ANY), f"{charger}.array")
        laying.cable(device(draw, laying, f"{charger}.battery", ANY), f"{bank}.posts")
    return f"{bank}.posts"


def feed(draw: Any, laying: Laying, pump: str, posts: str) -> None:
    """Lay power to a pump: from an array of its own, from the battery, or behind an inverter."""
    how = draw(st.sampled_from(("array", "battery", "inverter")))
    if how == "array" or not posts:
        array, controller = laying.add("A", "solar_array"), laying.add("C", "pump_controller")
        laying.cable(device(draw, laying, f"{array}.output", ANY), f"{controller}.array")
        laying.cable(f"{controller}.motor", f"{pump}.motor")
        return
    at = device(draw, laying, posts, ANY)
    if how == "inverter":
        inverter = laying.add("IN", "inverter")
        laying.cable(at, f"{inverter}.input")
        at = device(draw, laying, f"{inverter}.output", ("breaker", "none"))
    laying.cable(at, f"{pump}.motor")


@st.composite
def systems(draw: Any) -> System:
    """Return a system: a source, none to two tanks in line, perhaps a booster, one to three taps."""
    laying = Laying()
    posts = battery(draw, laying) if draw(st.booleans()) else ""
    source = draw(st.sampled_from(("well", "spring")))
    tanks = draw(st.integers(0 if source == "well" else 1, 2))
    if source == "well":
        pump = laying.add("PU", "submersible_pump", laying.add("W", "well"))
        feed(draw, laying, pump, posts)
        at = f"{pump}.discharge"
    else:
        at = f"{laying.add('SR', 'spring_or_roof')}.outlet"
    if draw(st.booleans()):
        at = with_hand_pump(laying, at)
    for _ in range(tanks):
        tank = laying.add("T", "storage_tank")
        laying.pipe(between(draw, laying, at), f"{tank}.inlet")
        at = f"{tank}.outlet"
    if tanks and draw(st.booleans()):
        at = boosted(draw, laying, between(draw, laying, at), posts)
    elif not tanks:
        at = pressed(laying, at)
    at = between(draw, laying, at)
    tee = laying.add("J", "junction")
    laying.pipe(at, tee)
    for _ in range(draw(st.integers(1, 3))):
        laying.pipe(between(draw, laying, tee), f"{laying.add('O', 'outlet')}.inlet")
    return laying.system()


def with_hand_pump(laying: Laying, at: str) -> str:
    """Return where a hand pump pushes into the same main, each behind its check valve."""
    tee = laying.add("J", "junction")
    for start in (at, f"{laying.add('HP', 'hand_pump')}.discharge"):
        check = laying.add("V", "valve", function="check", normal_position="open")
        laying.pipe(start, check)
        laying.pipe(check, tee)
    return tee


def boosted(draw: Any, laying: Laying, at: str, posts: str) -> str:
    principle = draw(st.sampled_from(("centrifugal", "positive_displacement")))
    booster = laying.add("B", "booster_pump", principle=principle)
    laying.pipe(at, f"{booster}.suction")
    feed(draw, laying, booster, posts)
    check = laying.add("V", "valve", function="check", normal_position="open")
    laying.pipe(f"{booster}.discharge", check)
    return pressed(laying, check)


def pressed(laying: Laying, at: str) -> str:
    tank = laying.add("PT", "pressure_tank")
    laying.pipe(at, tank)
    return tank
