"""A year of operation ready to print: one sentence, one picture, a line for each month."""

from calendar import month_abbr, month_name
from collections.abc import Iterator
from dataclasses import dataclass

from commissioning import units
from commissioning.plots.chart import Plot
from sizing.operation.year import MonthRun, Year
from sizing.quantities import Quantity

HEIGHT = 240
WIDTH = 520


@dataclass(frozen=True)
class MonthShown:
    """One month as a line of the table: a mean day's water, and what fell short."""

    name: str
    wanted: str
    could_bring: str
    delivered: str
    spilled: str
    short: str
    charge: str
    is_design: bool


@dataclass(frozen=True)
class YearShown:
    """What the page of a year prints."""

    sentence: str
    is_enough: bool
    more: tuple[str, ...]
    plot: str
    months: tuple[MonthShown, ...]
    has_battery: bool


def year_shown(year: Year, unit_system: str) -> YearShown:
    """Return a year in the site's units."""
    code = units.usual_unit(Quantity.VOLUME, unit_system, (0.0, year.design_month.wanted * 3)).code
    return YearShown(
        sentence=sentence(year, code),
        is_enough=year.short_days == 0,
        more=tuple(more_said(year, code)),
        plot=plot(year, code),
        months=tuple(_month(one, year, code) for one in year.months),
        has_battery=year.has_battery,
    )


def sentence(year: Year, code: str) -> str:
    """Return the answer first: on how many days the water that was promised is there."""
    wanted = _volume(year.design_month.wanted, code)
    if year.short_days == 0:
        least = min(year.months, key=lambda one: one.could_bring)
        could = _volume(least.could_bring, code)
        return f"On every day of a mean year the {wanted} wanted are there; {_name(least)} brings least, {could} a day."
    worst = year.design_month
    days = f"{365 - year.short_days} of 365 days"
    return (
        f"On {days} of a mean year the {wanted} wanted are there; {_name(worst)} falls short most, "
        f"on {_days(worst.short_days)}."
    )


def more_said(year: Year, code: str) -> Iterator[str]:
    """Yield what follows from the year, a sentence each."""
    if year.spilled > 0.01 * sum(day.wanted for day in year.days):
        yield (
            f"The tanks are full and could take {_volume(year.spilled / 365, code)} more on a mean day: "
            "a pump that stops on a full tank stands still then."
        )
    if not year.has_battery:
        return
    lowest = min(one.lowest_charge for one in year.months)
    yield f"The battery falls to {100 * lowest:.0f} % of its capacity at the lowest."
    for depth, days in year.depths.items():
        if days:
            yield f"On {_days(days)} {100 * depth:.0f} % or more of it are drawn."
    lacking = sum(one.energy_short_days for one in year.months)
    if lacking:
        yield f"On {_days(lacking)} it is empty before its users have had what they draw."


def plot(year: Year, code: str) -> str:
    """Return the picture: water wanted, dashed, and water that could come, a point for each month."""
    wanted = [(float(one.month), _in(one.wanted, code)) for one in year.months]
    coming = [(float(one.month), _in(one.could_bring, code)) for one in year.months]
    delivered = [(float(one.month), _in(one.delivered, code)) for one in year.months]
    top = 1.12 * max(y for _, y in (*wanted, *coming))
    ticks = [(float(n), month_abbr[n][:1]) for n in range(1, 13)]
    symbol = units.unit(code, Quantity.VOLUME).symbol
    drawn = Plot(
        sentence(year, code), (0.7, 12.6), (0.0, top), "month", f"water of a mean day, {symbol}", WIDTH, HEIGHT, ticks
    )
    drawn.curve(wanted, 2.0, dash="6 4")
    drawn.curve(coming, 2.0)
    for at, amount in delivered:
        short = next(one for one in year.months if one.month == at).short_days
        drawn.point(at, amount, verdict="outside" if short else "within")
    drawn.text(drawn.x(1.0), drawn.y(coming[0][1]) - 8, "could come", 12)
    drawn.text(drawn.x(12.5), drawn.y(wanted[-1][1]) + 16, "wanted", 12, anchor="end")
    return drawn.svg()


def _month(one: MonthRun, year: Year, code: str) -> MonthShown:
    return MonthShown(
        name=month_name[one.month],
        wanted=_volume(one.wanted, code),
        could_bring=_volume(one.could_bring, code),
        delivered=_volume(one.delivered, code),
        spilled=_volume(one.spilled, code),
        short=_days(one.short_days) if one.short_days else "none",
        charge=f"{100 * one.lowest_charge:.0f} %",
        is_design=one.month == year.design_month.month,
    )


def _name(one: MonthRun) -> str:
    return month_name[one.month]


def _days(many: int) -> str:
    return f"{many} day{'' if many == 1 else 's'}"


def _in(volume: float, code: str) -> float:
    return units.from_core(volume, code, Quantity.VOLUME)


def _volume(volume: float, code: str) -> str:
    return units.figure(volume, Quantity.VOLUME, code)
