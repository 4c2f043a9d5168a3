"""A year of operation: balances that close, effects that go one way, a day that a pencil reckons."""

import dataclasses
from math import fsum
from typing import Any

import pandas as pd
import pvlib
import pytest

from sizing.design.judge import design_check
from sizing.errors import MissingDataError
from sizing.operation.days import DAYS_OF, Day, day_weights, days_of_year, sun_above_air
from sizing.operation.plant import Array, Battery, Plant, StoredPump, SunPump, plant_of
from sizing.operation.stores import HOUR, Stores, settled_year
from sizing.operation.year import year_of, year_of_operation
from sizing.system import System, build
from tests.sizing.design.systems import changed
from tests.sizing.systems import quince_ridge

SUN = [
    [month, hours * HOUR] for month, hours in enumerate((3.0, 3.8, 4.6, 5.2, 5.6, 6.0, 6.3, 6.1, 5.5, 4.4, 3.3, 2.7), 1)
]


def ridge(**values: Any) -> System:
    return build(changed(quince_ridge(), **{"site__daily_demand": 4.0, "site__sun_hours": SUN, **values}))


PUMP = SunPump("P", (Array(1000.0),), (0.0, 400.0, 1200.0), (0.0, 0.0, 1e-3))
PLANT = Plant(store=6.0, demand=4.0, springs=0.0, sun_pumps=(PUMP,), batteries=())


def test_each_month_keeps_its_recorded_sun() -> None:
    days = days_of_year(ridge())
    assert len(days) == 365
    for number, hours in SUN:
        of_month = [day for day in days if day.month == number]
        assert len(of_month) == DAYS_OF[int(number) - 1]
        assert fsum(day.sun_hours for day in of_month) / len(of_month) == pytest.approx(hours, rel=1e-12)
        assert fsum(sum(day.hours()) for day in of_month) * HOUR == pytest.approx(
            1000 * hours * len(of_month), rel=1e-12
        )


def test_a_grey_months_days_differ_more_than_a_clear_ones() -> None:
    assert max(day_weights(0.35, 31)) - min(day_weights(0.35, 31)) > max(day_weights(0.7, 31)) - min(
        day_weights(0.7, 31)
    )
    assert fsum(day_weights(0.5, 30)) == pytest.approx(30)


@pytest.mark.parametrize(
    ("latitude", "tilt", "azimuth", "day"), [(38, 40, 180, 15), (-20, 25, 0, 196), (5, 0, 180, 80)]
)
def test_sun_above_the_air_on_a_plane_agrees_with_pvlib(latitude: float, tilt: float, azimuth: float, day: int) -> None:
    """pvlib: extraterrestrial radiation and angle of incidence, minute by minute; its own sun, within 2 %."""
    times = pd.date_range("2023-01-01", periods=1440, freq="min", tz="UTC") + pd.Timedelta(days=day - 1)
    place = pvlib.solarposition.get_solarposition(times, latitude, 0.0)
    normal = pvlib.irradiance.get_extra_radiation(times, solar_constant=1361.0)
    cosine = pvlib.irradiance.aoi_projection(tilt, azimuth, place["zenith"], place["azimuth"]).clip(lower=0)
    theirs = float((normal * cosine * (place["elevation"] > 0)).sum() * 60)
    assert sun_above_air((tilt, azimuth), latitude, day) == pytest.approx(theirs, rel=0.02)


def test_water_is_neither_made_nor_lost() -> None:
    days = days_of_year(ridge())
    stores = Stores(PLANT)
    before, runs = stores.water, stores.run(days)
    brought, given = fsum(r.brought for r in runs), fsum(r.delivered + r.spilled for r in runs)
    assert brought - given == pytest.approx(stores.water - before, abs=1e-9)
    for run in runs:
        assert run.delivered <= run.wanted + 1e-12
        assert -1e-12 <= run.stored <= PLANT.store + 1e-12


def test_energy_is_neither_made_nor_lost() -> None:
    """With a battery too large to fill and users that it always feeds, charge after = before + gained − drawn."""
    array = Array(300.0)
    pump = StoredPump("S", 5e-4, 500.0)
    battery = Battery("B", 9e9, 1e10, ((array, 0.8),), 10.0, 1e6, boost_per_volume=2e5, pumps=(pump,))
    plant = Plant(store=3.0, demand=2.0, springs=0.0, sun_pumps=(), batteries=(battery,))
    stores = Stores(plant)
    stores.charge = [8e9]
    days = days_of_year(ridge())
    runs = stores.run(days)
    gained = fsum(array.power(sun, None) * 0.8 * HOUR for day in days for sun in day.hours())
    lifted, boosted = fsum(r.brought for r in runs) / 5e-4 * 500.0, fsum(r.delivered for r in runs) * 2e5
    assert stores.charge[0] == pytest.approx(8e9 + gained - 365 * (10 * 86400 + 1e6) - lifted - boosted, rel=1e-9)


def test_a_constant_sun_gives_what_a_pencil_gives() -> None:
    """6 sun hours in 12 h of day: G₀ = 1000·π·6/(2·12) = 785.4 W/m²; the pump begins at 500 W/m² (400 W of 800 W)
    and gives 1e-3 m³/s at 1500 W/m², so Q = 1e-6·(G − 500) m³/s above it. Hours from the middle of the day, at ½, 1½,
    2½ … h: G = 785.4·cos(15°·t)·s with s so that the day's sum is 6000 Wh/m²: Σcos over 12 hours = 7.6613, s = 0.99715;
    G = 776.4, 723.5, 621.3, 476.7 …: Q = 276.4, 223.5, 121.3, 0 mL/s: twice the sum · 3600 s = 4.473 m³."""
    pump = SunPump("P", (Array(1000.0),), (0.0, 400.0, 1200.0), (0.0, 0.0, 1e-3))
    plant = Plant(store=100.0, demand=4.0, springs=0.0, sun_pumps=(pump,), batteries=())
    run = Stores(plant).run([Day(1, 6 * HOUR, 12 * HOUR)])[0]
    assert run.brought == pytest.approx(4.473, abs=0.001)


def test_a_battery_is_never_drawn_below_what_must_stay_in() -> None:
    battery = Battery("B", 2e6, 4e6, ((Array(100.0), 0.85),), 20.0, 3e6, boost_per_volume=3e5)
    plant = Plant(store=3.0, demand=2.0, springs=5e-5, sun_pumps=(), batteries=(battery,))
    _, runs = settled_year(plant, days_of_year(ridge()))
    assert min(run.lowest_charge for run in runs) == pytest.approx(0.5)
    assert any(run.energy_short > 0 for run in runs)
    assert any(run.short > 0 for run in runs), "a booster without energy delivers nothing"


@pytest.mark.parametrize("factor", [1.2, 2.0])
def test_more_store_more_sun_or_less_demand_never_brings_more_short_days(factor: float) -> None:
    system = ridge()
    tight = dataclasses.replace(PLANT, demand=9.0)
    here = year_of(tight, system).short_days
    assert here > 0
    assert year_of(dataclasses.replace(tight, store=tight.store * factor), system).short_days <= here
    assert year_of(dataclasses.replace(tight, demand=tight.demand / factor), system).short_days <= here
    more_sun = ridge(site__sun_hours=[[month, hours * 1.15] for month, hours in SUN])
    assert year_of(tight, more_sun).short_days <= here


def test_heat_takes_from_the_panels_where_air_is_known() -> None:
    # at 800 W/m² and 20 °C the cell is at NOCT 45 °C: 1000 W · 0.8 · (1 − 0.004 · 20) · 0.90 = 662.4 W
    assert Array(1000.0, -0.004, 45.0).power(800.0, 20.0) == pytest.approx(662.4)
    assert Array(1000.0, -0.004, 45.0).power(800.0, 35.0) < 662.4
    assert Array(1000.0, -0.004, 45.0).power(800.0, None) == pytest.approx(640.0)  # 80 % without an air temperature


def test_a_clear_year_agrees_with_the_design_checks_day() -> None:
    """Where the sun is far above what starts the pump, grey and clear days level out against the one mean day."""
    system = ridge(site__sun_hours=[[month, (6.0 if month == 12 else 6.5) * HOUR] for month in range(1, 13)])
    (rule,) = [one for one in design_check(system, ["daily_volume"]) if one.outcome]
    assert rule.outcome is not None
    december = year_of_operation(system).months[11]
    assert december.could_bring == pytest.approx(rule.outcome.value, rel=0.15)


def test_in_a_gloomy_month_the_clear_days_bring_what_the_mean_day_would_not() -> None:
    """A pump has a least power: on a mean grey day it hardly turns, on a clear one it does."""
    system = ridge()
    (rule,) = [one for one in design_check(system, ["daily_volume"]) if one.outcome]
    assert rule.outcome is not None
    assert year_of_operation(system).months[11].could_bring > rule.outcome.value


def test_flow_table_follows_the_pump_between_its_points() -> None:
    plant = plant_of(ridge())
    flows = plant.sun_pumps[0].flows
    assert list(flows) == sorted(flows)
    assert flows[0] == 0 < flows[-1]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"site__sun_hours": SUN[:11]}, "sun by month has no row for month 12"),
        ({"site__daily_demand": None}, "water wanted in a day"),
    ],
)
def test_what_is_missing_is_named(values: dict[str, Any], words: str) -> None:
    with pytest.raises(MissingDataError, match=words):
        year_of_operation(ridge(**values))
