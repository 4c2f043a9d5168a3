"""What a system can do in an hour, found once: flow over the sun's power, stores, what is drawn when."""

from bisect import bisect_right
from dataclasses import dataclass, field

from sizing.design.boosters import filling_flow
from sizing.design.charging import LITHIUM, arrays_of, chargers_of
from sizing.design.days import flow_at_offered, sun_driven, usable_volume
from sizing.design.declare import Ask, Scene
from sizing.design.energy import ARRAY_FACTOR, KEPT, KEPT_LITHIUM, User, users_of
from sizing.design.wells import flow_at_full_power
from sizing.design.wiring import nominal_voltage
from sizing.errors import MissingDataError
from sizing.formulas.daily import usable_energy
from sizing.formulas.solar_pumping import array_power, controller_input_power
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    Inverter,
    Load,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
)
from sizing.system import SITE, Node, System
from sizing.working import Working

STEPS = 24  # points of a pump's flow over the power that its array offers
STRONGEST = 1200.0  # W/m²
CLEAN = 0.90  # left of rated power by dirt and mismatch where heat is reckoned apart; common practice, no source
REFERENCE = 25.0  # °C, cells at standard test conditions: IEC 61215

DEMAND_BY_HOUR = (0, 0, 0, 0, 1, 4, 9, 9, 6, 4, 4, 5, 6, 4, 3, 3, 4, 6, 9, 9, 7, 4, 2, 1)
"""Hundredths of a day's water in each hour: a morning and an evening peak. Common practice, no source."""
LOADS_BY_HOUR = (1, 1, 1, 1, 1, 2, 3, 3, 2, 2, 2, 2, 2, 2, 2, 2, 2, 4, 8, 8, 8, 6, 4, 2)
"""Shares of a day's use of loads in each hour: most of it in the evening. Common practice, no source."""


@dataclass(frozen=True)
class Array:
    """Panels as a source of power: rated power [W], and how heat takes from it."""

    rated: float
    per_kelvin: float | None = None
    noct: float | None = None

    def power(self, irradiance: float, air: float | None) -> float:
        """Return what the panels offer [W]; without an air temperature by one allowance for all losses."""
        share = irradiance / 1000
        if air is None or self.per_kelvin is None or self.noct is None:
            return self.rated * share * ARRAY_FACTOR
        cell = air + (self.noct - 20) / 800 * irradiance
        return self.rated * share * max(1 + self.per_kelvin * (cell - REFERENCE), 0.0) * CLEAN


@dataclass(frozen=True)
class SunPump:
    """A pump on panels of its own: flow [m³/s] over the power that they offer [W]."""

    tag: str
    arrays: tuple[Array, ...]
    powers: tuple[float, ...]
    flows: tuple[float, ...]

    def flow(self, irradiance: float, air: float | None) -> float:
        offered = sum(one.power(irradiance, air) for one in self.arrays)
        above = min(max(bisect_right(self.powers, offered), 1), len(self.powers) - 1)
        p0, p1 = self.powers[above - 1], self.powers[above]
        share = min(max((offered - p0) / (p1 - p0), 0.0), 1.0)
        return self.flows[above - 1] + share * (self.flows[above] - self.flows[above - 1])


@dataclass(frozen=True)
class StoredPump:
    """A pump on the battery: its flow [m³/s] and what it takes from the battery [W]."""

    tag: str
    flow: float
    power: float


@dataclass(frozen=True)
class Battery:
    """A battery with what charges it and what it feeds. Energies [J], powers [W]."""

    tag: str
    usable: float
    whole: float
    arrays: tuple[tuple[Array, float], ...]
    """Panels, each with the share of their energy that comes out of the battery again."""
    idle: float
    loads_in_a_day: float
    boost_per_volume: float
    """Energy for each m³ that a booster delivers [J/m³]; none without a booster."""
    pumps: tuple[StoredPump, ...] = ()

    @property
    def is_needed_for_water(self) -> bool:
        return self.boost_per_volume > 0


@dataclass(frozen=True)
class Plant:
    """A whole system as the year needs it. Volumes [m³], flows [m³/s]."""

    store: float
    demand: float
    springs: float
    sun_pumps: tuple[SunPump, ...]
    batteries: tuple[Battery, ...]
    air: dict[int, float] = field(default_factory=dict)
    """Mean air temperature by month [°C]; empty where none is recorded."""


def plant_of(system: System) -> Plant:
    """Return what a system can do; raises MissingDataError naming the field that is not recorded."""
    ask = Ask(Scene(system), SITE, w=Working(silent=True))
    pumps = system.of(SubmersiblePump)
    springs = sum(_spring(one) for one in system.of(SpringOrRoof))
    if not pumps and not springs:
        raise MissingDataError(SITE, "component", "the record holds no pump and no spring that brings water")
    return Plant(
        store=sum(usable_volume(ask, tank) for tank in system.of(StorageTank)),
        demand=ask.site.need("daily_demand"),
        springs=springs,
        sun_pumps=tuple(_sun_pump(ask, pump) for pump in pumps if sun_driven(system, pump)),
        batteries=tuple(_battery(ask, one) for one in system.of(BatteryBank)),
        air=_air(system),
    )


def _air(system: System) -> dict[int, float]:
    rows = getattr(system.site, "air_temperature", None) or ()
    return {int(month): air for month, air, *_ in rows if month is not None and air is not None}


def _spring(node: Node) -> float:
    if getattr(node.part, "source", None) == "roof":
        words = f"{node.tag}: the rain of the months is not in the record, so no water is counted from a roof"
        raise MissingDataError(node.tag, "source", words)
    return node.need("dry_season_yield")


def _sun_pump(ask: Ask, pump: Node) -> SunPump:
    controller, nodes = sun_driven(ask.system, pump) or (None, [])
    assert controller is not None
    arrays = tuple(array_of(node) for node in nodes)
    most = sum(one.rated for one in arrays) * STRONGEST / 1000
    powers = tuple(most * step / STEPS for step in range(STEPS + 1))
    flows = tuple(flow_at_offered(ask, pump, controller, one, 0) if one > 0 else 0.0 for one in powers)
    return SunPump(pump.tag, arrays, powers, flows)


def array_of(node: Node) -> Array:
    """Return panels as a source; heat is reckoned only where the nameplate says how it takes from them."""
    rated = array_power(
        module_power=node.need("module_power"),
        modules_in_series=node.need("series"),
        strings=node.need("parallel"),
    )
    return Array(
        rated, getattr(node.part, "power_coefficient", None), getattr(node.part, "operating_cell_temperature", None)
    )


def _battery(ask: Ask, bank: Node) -> Battery:
    users = users_of(ask.system, bank)
    kept = KEPT_LITHIUM if bank.need_text("chemistry") == LITHIUM else KEPT
    arrays = tuple(
        (array_of(array), charger.need("efficiency") * kept)
        for charger in chargers_of(ask.system, bank.tag)
        for array in arrays_of(ask.system, charger)
    )
    capacity, voltage = bank.need("block_capacity") * bank.need("parallel"), nominal_voltage(ask, bank)
    return Battery(
        tag=bank.tag,
        usable=usable_energy(capacity=capacity, voltage=voltage, discharge_share=bank.need("discharge_share")),
        whole=usable_energy(capacity=capacity, voltage=voltage, discharge_share=1.0),
        arrays=arrays,
        idle=sum(one.node.need("idle_power") for one in users if isinstance(one.node.part, Inverter)),
        loads_in_a_day=sum(_load(one) for one in users if isinstance(one.node.part, Load)),
        boost_per_volume=sum(_boost(ask, one) for one in users if isinstance(one.node.part, BoosterPump)),
        pumps=tuple(_stored(ask, one) for one in users if isinstance(one.node.part, SubmersiblePump)),
    )


def _load(user: User) -> float:
    return user.node.need("power") * user.node.need("daily_use") / user.efficiency()


def _boost(ask: Ask, user: User) -> float:
    return user.node.need("rated_power") / user.efficiency() / filling_flow(ask, user.node)


def _stored(ask: Ask, user: User) -> StoredPump:
    power = controller_input_power(output_power=user.node.need("rated_power"), efficiency=user.efficiency())
    return StoredPump(user.node.tag, flow_at_full_power(ask, user.node), power)
