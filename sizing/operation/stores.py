"""A year hour by hour: tanks and battery between what comes and what is asked for. Every balance closes exactly."""

from collections.abc import Iterator
from dataclasses import dataclass

from sizing.operation.days import HOURS, Day
from sizing.operation.plant import DEMAND_BY_HOUR, LOADS_BY_HOUR, Battery, Plant

HOUR = 3600.0  # s


@dataclass(frozen=True)
class DayRun:
    """What became of one day. Volumes [m³], energies [J]."""

    month: int
    could_bring: float
    """What pumps and springs could bring had the tanks room for it."""
    brought: float
    wanted: float
    delivered: float
    spilled: float
    stored: float
    """What is in the tanks at midnight after."""
    lowest_charge: float
    """The lowest share of the battery's whole capacity in the day; 1 without a battery."""
    energy_short: float

    @property
    def short(self) -> float:
        return self.wanted - self.delivered


class Stores:
    """What is in the tanks [m³] and in each battery [J], as the hours go by."""

    def __init__(self, plant: Plant) -> None:
        self.plant = plant
        self.water = plant.store
        self.charge = [one.whole for one in plant.batteries]

    def run(self, days: list[Day]) -> list[DayRun]:
        """Return what becomes of each day, from the present stores on."""
        return [self._day(day) for day in days]

    def _day(self, day: Day) -> DayRun:
        air = self.plant.air.get(day.month)
        totals = [0.0] * 5
        energy_short, lowest = 0.0, self._share()
        for hour, sun in enumerate(day.hours()):
            lacking = self._feed_loads(hour, sun, air)
            for place, amount in enumerate(self._move_water(hour, sun, air)):
                totals[place] += amount
            energy_short += lacking
            lowest = min(lowest, self._share())
        could, brought, wanted, delivered, spilled = totals
        could += self._from_surplus(day, air)
        return DayRun(day.month, could, brought, wanted, delivered, spilled, self.water, lowest, energy_short)

    def _share(self) -> float:
        shares = [
            left / one.whole for left, one in zip(self.charge, self.plant.batteries, strict=True) if one.whole > 0
        ]
        return min(shares, default=1.0)

    def _feed_loads(self, hour: int, sun: float, air: float | None) -> float:
        """Charge each battery, feed what always runs; return the energy that was not there."""
        lacking = 0.0
        for place, one in enumerate(self.plant.batteries):
            gained = sum(array.power(sun, air) * kept for array, kept in one.arrays) * HOUR
            drawn = one.idle * HOUR + one.loads_in_a_day * LOADS_BY_HOUR[hour] / sum(LOADS_BY_HOUR)
            there = self._reserve(place, one) + gained
            lacking += max(drawn - there, 0.0)
            self.charge[place] = min(self.charge[place] + gained - min(drawn, there), one.whole)
        return lacking

    def _reserve(self, place: int, one: Battery) -> float:
        """Return what may still be drawn before the share that has to stay in."""
        return max(self.charge[place] - (one.whole - one.usable), 0.0)

    def _move_water(self, hour: int, sun: float, air: float | None) -> tuple[float, float, float, float, float]:
        """Bring water in, draw what is wanted, let go what has no room.

        Returns what could come, what came, what was wanted, what was delivered, what ran over.
        """
        plant = self.plant
        wanted = plant.demand * DEMAND_BY_HOUR[hour] / sum(DEMAND_BY_HOUR)
        free = plant.springs * HOUR + sum(pump.flow(sun, air) for pump in plant.sun_pumps) * HOUR
        lifted = self._lift(max(plant.store - self.water - free + wanted, 0.0))
        self.water += free + lifted
        delivered = self._deliver(min(wanted, self.water))
        self.water -= delivered
        spilled = max(self.water - plant.store, 0.0)
        self.water -= spilled
        return free, free + lifted, wanted, delivered, spilled

    def _lift(self, room: float) -> float:
        """Let pumps on a battery fill what room there is; return what they brought."""
        lifted = 0.0
        for place, battery in enumerate(self.plant.batteries):
            for pump in battery.pumps:
                most = pump.flow * min(HOUR, self._reserve(place, battery) / pump.power)
                taken = min(most, room - lifted)
                self.charge[place] -= taken / pump.flow * pump.power if pump.flow > 0 else 0.0
                lifted += taken
        return lifted

    def _from_surplus(self, day: Day, air: float | None) -> float:
        """Return what pumps on a battery could bring with the energy of one day that nothing else takes."""
        could = 0.0
        for one in self.plant.batteries:
            gained = sum(array.power(sun, air) * kept for array, kept in one.arrays for sun in day.hours()) * HOUR
            left = max(gained - one.idle * HOURS * HOUR - one.loads_in_a_day, 0.0)
            for pump in one.pumps:
                could += pump.flow * min(HOURS * HOUR, left / pump.power / len(one.pumps))
        return could

    def _deliver(self, volume: float) -> float:
        """Return what a booster passes on with the energy there is, taking that energy."""
        for place, one in enumerate(self.plant.batteries):
            if not one.is_needed_for_water:
                continue
            volume = min(volume, self._reserve(place, one) / one.boost_per_volume)
            self.charge[place] -= volume * one.boost_per_volume
        return volume


def settled_year(plant: Plant, days: list[Day]) -> tuple[Stores, list[DayRun]]:
    """Return the second of two equal years, so that the first of January does not begin with full stores."""
    stores = Stores(plant)
    stores.run(days)
    return stores, stores.run(days)


def months_of(runs: list[DayRun]) -> Iterator[tuple[int, list[DayRun]]]:
    """Yield each month with its days."""
    for month in range(1, 13):
        yield month, [run for run in runs if run.month == month]
