"""The sun of the months, as the site records it."""

from sizing.design.declare import Ask
from sizing.errors import MissingDataError
from sizing.records import record

MONTH_NAMES = (
    "", "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
MONTHS = 12
DAYS_BEFORE = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
MIDDLE = 15


@record
class Month:
    """One month: its number, and the full-sun time of its mean day in the plane of the array [s]."""

    number: int
    sun_hours: float

    @property
    def name(self) -> str:
        return MONTH_NAMES[self.number]

    @property
    def day_of_year(self) -> float:
        return float(DAYS_BEFORE[self.number - 1] + MIDDLE)


def least_sun(ask: Ask) -> Month:
    """Return the month with least sun, or raise MissingDataError where a month is not recorded."""
    rows = ask.site.part.need_table(ask.site.tag, "sun_hours")
    known = {int(month): hours for month, hours, *_ in rows if month is not None and hours is not None}
    lacking = [MONTH_NAMES[number] for number in range(1, MONTHS + 1) if number not in known]
    if lacking:
        words = f"site: sun by month has no row for {', '.join(lacking)}"
        raise MissingDataError(ask.site.tag, "sun_hours", words)
    number = min(known, key=lambda one: known[one])
    return Month(number, known[number])
