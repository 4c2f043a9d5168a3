"""The year in figures: each month's water against what is wanted, the days that fall short, the month to build for."""

from collections import Counter
from dataclasses import dataclass

from sizing.operation.days import days_of_year
from sizing.operation.plant import Plant, plant_of
from sizing.operation.stores import DayRun, months_of, settled_year
from sizing.system import System

NOTICED = 0.005  # a day that lacks less than this share of its water is not called short: a bucket
DEPTHS = (0.2, 0.5, 0.8)


@dataclass(frozen=True)
class MonthRun:
    """One month: volumes of a mean day [m³], how many days fell short, the lowest charge of the battery."""

    month: int
    wanted: float
    could_bring: float
    delivered: float
    spilled: float
    short_days: int
    lowest_store: float
    lowest_charge: float
    energy_short_days: int


@dataclass(frozen=True)
class Year:
    """A year of operation. `margin` is water that could come over water wanted in the month with least of it."""

    plant: Plant
    days: tuple[DayRun, ...]
    months: tuple[MonthRun, ...]
    design_month: MonthRun
    margin: float
    depths: dict[float, int]
    """Share drawn from the battery → on how many days as much or more was drawn."""

    @property
    def short_days(self) -> int:
        return sum(month.short_days for month in self.months)

    @property
    def spilled(self) -> float:
        return sum(day.spilled for day in self.days)

    @property
    def has_battery(self) -> bool:
        return bool(self.plant.batteries)


def year_of_operation(system: System) -> Year:
    """Return a mean year of a system, hour by hour; raises MissingDataError naming the field that is not recorded."""
    return year_of(plant_of(system), system)


def year_of(plant: Plant, system: System) -> Year:
    """Return a mean year of a plant under the sun of a system's site."""
    _, runs = settled_year(plant, days_of_year(system))
    months = tuple(_month(number, days) for number, days in months_of(runs))
    worst = max(months, key=lambda one: (one.short_days, one.wanted - one.could_bring))
    least = min(one.could_bring / one.wanted for one in months)
    drawn = Counter(depth for run in runs for depth in DEPTHS if 1 - run.lowest_charge >= depth)
    return Year(plant, tuple(runs), months, worst, least, {depth: drawn[depth] for depth in DEPTHS})


def is_short(run: DayRun) -> bool:
    """Whether a day lacked water that somebody would notice."""
    return run.short > NOTICED * run.wanted


def _month(number: int, days: list[DayRun]) -> MonthRun:
    many = len(days)
    return MonthRun(
        month=number,
        wanted=sum(one.wanted for one in days) / many,
        could_bring=sum(one.could_bring for one in days) / many,
        delivered=sum(one.delivered for one in days) / many,
        spilled=sum(one.spilled for one in days) / many,
        short_days=sum(1 for one in days if is_short(one)),
        lowest_store=min(one.stored for one in days),
        lowest_charge=min(one.lowest_charge for one in days),
        energy_short_days=sum(1 for one in days if one.energy_short > 0),
    )
