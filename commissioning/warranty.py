"""Until when the parts of a site are under warranty, from the day on which each was fitted and its term."""

from dataclasses import dataclass
from datetime import date

from commissioning.models import Component, Site
from commissioning.moments import day_words
from commissioning.nameplates import core_values, part_of
from commissioning.planned import months_after


@dataclass(frozen=True)
class Warranty:
    """One part: what it is, when it was fitted, and until when its warranty runs, as far as recorded."""

    component: Component
    installed: date | None
    until: date | None

    def runs_on(self, day: date) -> bool:
        """Whether the warranty runs on a day; its last day is one."""
        return self.until is not None and day <= self.until

    def words(self, today: date) -> str:
        """Return how the warranty stands on a day; empty where its end is not known."""
        if self.until is None:
            return ""
        stands = "still under warranty until" if self.runs_on(today) else "warranty ended"
        return f"{stands} {day_words(self.until)}"

    @property
    def installed_words(self) -> str:
        return day_words(self.installed) if self.installed else ""


def warranty_of(one: Component) -> Warranty:
    """Return what is recorded of one part. The last day of a term of months is the same day of the month."""
    papers = {name: one.nameplate[name] for name in ("installed_on", "warranty") if name in one.nameplate}
    values = core_values(part_of(one.kind), papers)
    day = date.fromisoformat(values["installed_on"]) if "installed_on" in values else None
    until = months_after(day, int(values["warranty"])) if day and "warranty" in values else None
    return Warranty(one, day, until)


def warranties_of(site: Site) -> list[Warranty]:
    """Return every part that stands there and whose warranty has an end, the one that ends first first."""
    found = [warranty_of(one) for one in site.components.standing()]
    return sorted((one for one in found if one.until), key=lambda one: (one.until or date.max, one.component.tag))
