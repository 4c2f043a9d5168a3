"""The sun of 365 days from the sun of twelve months: clear and grey days in a plausible order, none of them real."""

from dataclasses import dataclass

from sizing.design.months import DAYS_BEFORE, MONTHS
from sizing.errors import MissingDataError
from sizing.formulas.daily import half_sine_irradiance, half_sine_peak
from sizing.formulas.day_sequence import clearness_at_share
from sizing.formulas.extraterrestrial import SOLAR_CONSTANT, daylight_duration, extraterrestrial_normal
from sizing.formulas.irradiance import incidence_cosine
from sizing.formulas.sun_geometry import azimuth_at_hour_angle, declination_of_day, elevation_at_hour_angle
from sizing.parts import SolarArray
from sizing.system import SITE, System

DAYS_OF = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
FULL_SUN = 1000.0  # W/m²
CLEARNESS_KNOWN = (0.2, 0.8)  # where the distribution of days is known
HOURS = 24
DEGREES = 5  # of hour angle, 20 minutes
Plane = tuple[float, float]  # tilt, azimuth [°]
# Place of each day of a month when its days are ranked from the greyest: a grey spell, a fair one, a mixed one.
# Knight, Klein, Duffie 1991 (Solar Energy 46: 109), from memory.
RANK_OF_DAY = (
    24, 28, 11, 19, 18, 3, 2, 4, 9, 20, 14, 23, 8, 16, 21, 26, 15, 10, 22, 17, 5, 1, 6, 29, 12, 7, 31, 30, 27, 13, 25
)  # fmt: skip


@dataclass(frozen=True)
class Day:
    """One day: month from 1, full-sun time in the plane of the array [s], from sunrise to sunset [s]."""

    month: int
    sun_hours: float
    daylight: float

    def hours(self) -> list[float]:
        """Return the mean irradiance of each hour, sun time [W/m²]; together they are the day's sun exactly."""
        if self.sun_hours <= 0 or self.daylight <= 0:
            return [0.0] * HOURS
        peak = half_sine_peak(self.sun_hours, self.daylight)
        each = [self._at(hour, peak) for hour in range(HOURS)]
        whole = FULL_SUN * self.sun_hours / (3600 * sum(each))
        return [one * whole for one in each]

    def _at(self, hour: int, peak: float) -> float:
        since_sunrise = (hour + 0.5) * 3600 - (12 * 3600 - self.daylight / 2)
        if not 0 <= since_sunrise <= self.daylight:
            return 0.0
        return half_sine_irradiance(peak, since_sunrise, self.daylight)


def days_of_year(system: System) -> list[Day]:
    """Return the 365 days of a year that keeps the recorded sun of each month; raises MissingDataError."""
    site = system.subject(SITE)
    latitude, rows = site.need("latitude"), site.part.need_table(SITE, "sun_hours")
    by_month = {int(month): hours for month, hours, *_ in rows if month is not None and hours is not None}
    lacking = [str(number) for number in range(1, MONTHS + 1) if number not in by_month]
    if lacking:
        raise MissingDataError(SITE, "sun_hours", f"site: sun by month has no row for month {', '.join(lacking)}")
    plane = _plane(system)
    return [day for month in range(1, MONTHS + 1) for day in _month(month, by_month[month], latitude, plane)]


def _month(month: int, mean: float, latitude: float, plane: Plane) -> list[Day]:
    many = DAYS_OF[month - 1]
    middle = float(DAYS_BEFORE[month - 1] + 15)
    daylight = daylight_duration(latitude, middle)
    weights = day_weights(mean_clearness(mean, sun_above_air(plane, latitude, middle)), many)
    return [Day(month, mean * weight, daylight) for weight in weights]


def mean_clearness(sun_hours: float, above: float) -> float:
    """Return how clear a month is: its sun in the plane of the array over the sun above the air in that plane.

    It only decides how far single days lie from the month's mean; where no distribution is known the nearest is taken.
    """
    low, high = CLEARNESS_KNOWN
    found = sun_hours * FULL_SUN / above if above > 0 else low
    return min(max(found, low), high)


def sun_above_air(plane: Plane, latitude: float, day_of_year: float) -> float:
    """Return the energy of a day outside the air on a tilted plane [J/m²]."""
    normal = extraterrestrial_normal(day_of_year, SOLAR_CONSTANT)
    declination = declination_of_day(day_of_year)
    cosines = (_cosine(plane, latitude, declination, angle) for angle in range(-180, 180, DEGREES))
    return normal * sum(cosines) * 86_400 * DEGREES / 360


def _cosine(plane: Plane, latitude: float, declination: float, angle: float) -> float:
    """Return how squarely the sun falls on a plane; none where it is behind the plane or below the horizon."""
    elevation = elevation_at_hour_angle(latitude, declination, angle)
    if elevation <= 0:
        return 0.0
    return max(incidence_cosine(*plane, elevation, azimuth_at_hour_angle(latitude, declination, angle)), 0.0)


def _plane(system: System) -> Plane:
    """Return tilt and azimuth of the array; without one, or where it is not recorded, a level plane."""
    for array in system.of(SolarArray):
        tilt, azimuth = getattr(array.part, "tilt", None), getattr(array.part, "azimuth", None)
        if tilt is not None and azimuth is not None:
            return tilt, azimuth
    return 0.0, 180.0


def day_weights(clearness: float, days: int) -> list[float]:
    """Return the sun of each day of a month as a multiple of its mean day; their mean is 1."""
    ranks = [rank for rank in RANK_OF_DAY if rank <= days]
    each = [clearness_at_share(clearness, (rank - 0.5) / days) for rank in ranks]
    return [one * days / sum(each) for one in each]
