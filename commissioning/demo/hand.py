"""A visit carried out in its order of checks, on a system that is as it should be but for what its story says.

Sun and heat follow from the hour, the place and the sky of the story; what is read follows from the model, through
`sound`. Each check is judged at once, as on site, so that what needs it sees the result.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from random import Random

from commissioning import judging
from commissioning.baseline import owed_in_baseline
from commissioning.demo.drawings import Photo
from commissioning.demo.scribe import Reading, Scribe, put_right, raise_defect, take
from commissioning.demo.sound import Asked, Given, sound_readings
from commissioning.models import Measurement
from sizing.checks.conditions import MOUNTS
from sizing.checks.declare import Answer, Kind, Shape
from sizing.formulas.cell_temperature import SANDIA_MOUNTS, sandia_module_temperature
from sizing.formulas.clear_sky import TYPICAL_LINKE_TURBIDITY
from sizing.formulas.irradiance import TYPICAL_ALBEDO, clear_sky_plane_irradiance
from sizing.order import order_of_checks
from sizing.owed import Owed
from sizing.system import SITE

PACE = timedelta(minutes=5)
A_MINUTE = timedelta(minutes=1)
WIND = 2.0  # m/s, a light breeze
ROW = timedelta(minutes=12)
SUN, HEAT = "irradiance", "module_temperature"
WEATHER = (SUN, HEAT)
LAST_LONGER = ("tank_level", "battery_temperature")
READ_BY = {
    "voltage": "MM1", "battery_sag/voltage": "", "booster_voltage/voltage": "MM2",
    "Battery and charging/voltage": "MM2", "current": "CL1", "irradiance": "SM1", "insulation": "IT1",
    "gauge_pressure": "PG2", "flow": "FM1", "depth": "DP2",
}  # fmt: skip


@dataclass(frozen=True)
class Fault:
    """What was found outside at first, put right, and taken again."""

    aims: Mapping[str, float]
    """Where the judged values lay at first, as shares of their limits."""
    note: str
    words: str
    righted: str


@dataclass(frozen=True)
class Story:
    """How a visit went: hours, sky and air, what was given of the readings, what was left, what was found."""

    begins: str
    sky: float
    air: float  # °C
    given: Mapping[str, Given] = field(default_factory=dict)
    ways: Mapping[str, str] = field(default_factory=dict)
    waits: Mapping[str, timedelta] = field(default_factory=dict)
    """How long somebody waits before a check, besides the pace: contact of chlorine, a tank that fills."""
    left: frozenset[str] = frozenset()
    """Checks and owed checks that are not taken on this visit."""
    aims: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    faults: Mapping[str, Fault] = field(default_factory=dict)
    notes: Mapping[str, str] = field(default_factory=dict)
    photos: Mapping[str, Callable[[Sequence[Reading]], Photo]] = field(default_factory=dict)
    read_by: Mapping[str, str] = field(default_factory=lambda: READ_BY)
    morning: str = "08:00"
    evening: str = "17:00"

    def leaves(self, owed: Owed) -> bool:
        return owed.id in self.left or owed.check in self.left

    def of(self, owed: Owed) -> Given:
        return {**self.given.get(owed.check, {}), **self.given.get(owed.id, {})}


class Hand:
    """One pair of hands on a visit: the clock goes on with each check."""

    def __init__(self, scribe: Scribe, story: Story) -> None:
        self.scribe, self.story = scribe, story
        self.run = judging.judging_of(scribe.visit, scribe.actor)
        visit = scribe.visit
        place = f"{visit.site.name} {visit.kind} {visit.site.visits.count()}"
        self.noise = Random(place)  # noqa: S311  # invented readings, the same on every machine and day
        self.now = scribe.at(story.begins)

    def carry_out(self) -> datetime:
        """Take every owed check that the story does not leave; return when the last was taken."""
        visit = self.scribe.visit
        for owed in order_of_checks(self.run.system, visit.kind, owed_in_baseline(visit)):
            if owed.optional or self.story.leaves(owed) or owed.check in WEATHER or self.has(owed):
                continue
            self.take(owed)
        self.run.write()
        return self.now

    def has(self, owed: Owed) -> bool:
        return bool(self.run.seen.of(owed.check, owed.subject))

    def take(self, owed: Owed) -> None:
        if owed.declared.kind is Kind.DERIVED and owed.declared.needs:
            self.run.derive(owed.declared)
            return
        self.go_on(owed)
        if owed.declared.kind is not Kind.MEASURED:
            self.write(owed, answer=Answer.AS_IT_SHOULD_BE.value if owed.declared.kind is Kind.OBSERVED else "")
            return
        fault = self.story.faults.get(owed.id)
        self.measure(owed, replaces=self.found(owed, fault) if fault else None)

    def found(self, owed: Owed, fault: Fault) -> Measurement:
        """Take a check that is outside, raise the defect, and put it right."""
        first = self.measure(owed, aims=fault.aims, note=fault.note)
        defect = raise_defect(
            self.scribe, self.now + A_MINUTE, fault.words, check=owed.check, subject=owed.subject, who="T. Marsh",
            due=self.now.date() + timedelta(days=7),
        )  # fmt: skip
        self.now += timedelta(minutes=50)
        put_right(self.scribe, self.now, defect, fault.righted)
        self.now += PACE
        self.run.seen.by_owed.pop((owed.check, owed.subject), None)
        return first

    def measure(
        self, owed: Owed, *, aims: Mapping[str, float] | None = None, note: str = "",
        replaces: Measurement | None = None,
    ) -> Measurement:  # fmt: skip
        """Take a check with the readings of a sound system, or with the judged value where the story wants it."""
        self.take_conditions(owed)
        asked = self.asked(owed, aims or self.story.aims.get(owed.id, {}))
        readings = [self.at_its_minute(owed, one) for one in sound_readings(asked, self.story.read_by)]
        made = self.write(owed, *readings, way=asked.way, note=note, replaces=replaces)
        self.now = max([self.now, *(one.at for one in made.readings.all())])
        return made

    def at_its_minute(self, owed: Owed, reading: Reading) -> Reading:
        """Return a reading with its own clock, where repeats lie minutes apart."""
        repeat = owed.declared.repeat
        if reading.label not in repeat.labels or repeat.shape not in (Shape.TIMED, Shape.ROWS):
            return reading
        place = repeat.labels.index(reading.label)
        later = timedelta(minutes=repeat.minutes[place]) if repeat.minutes else place * ROW
        return reading._replace(clock=f"{self.now + later:%H:%M}")

    def asked(self, owed: Owed, aims: Mapping[str, float]) -> Asked:
        run, way = self.run, self.story.ways.get(owed.check, owed.declared.way().key)
        conditions = judging.conditions_for(owed.declared, run.system, owed.subject, self.now, run.seen)
        return Asked(
            owed.declared, run.system, owed.subject, run.visit.site.unit_system, conditions, self.now.timestamp(),
            self.story.of(owed), self.noise, way, aims,
        )  # fmt: skip

    def write(
        self, owed: Owed, *readings: Reading, way: str = "", note: str = "", answer: str = "",
        replaces: Measurement | None = None,
    ) -> Measurement:  # fmt: skip
        """Write a measurement down and say at once how it stands."""
        shown = self.story.photos.get(owed.id)
        made = take(
            self.scribe, self.now, owed.check, owed.subject, *readings, way=way, answer=answer, replaces=replaces,
            note=note or self.story.notes.get(owed.id, ""), reason="taken again after it was put right",
            photos=[shown(readings)] if shown else (),
        )  # fmt: skip
        self.run.judge(made)
        return made

    def go_on(self, owed: Owed) -> None:
        """Let the clock go on to the next check; what is left in the evening waits for the morning."""
        self.now += self.story.waits.get(owed.id, self.story.waits.get(owed.check, PACE))
        if self.now.time() > time.fromisoformat(self.story.evening):
            morning = time.fromisoformat(self.story.morning)
            self.now = datetime.combine(self.now.date() + timedelta(days=1), morning, self.now.tzinfo)

    def take_conditions(self, owed: Owed) -> None:
        """Read again what the check is judged by: sun and heat right before it, the others where they are too old."""
        needs = {need.name: need for need in owed.declared.needs}
        for name in (*WEATHER, *LAST_LONGER):
            if name not in needs or needs[name].optional:
                continue
            ask = Owed(name, needs[name].of(self.run.system, owed.subject))
            if name in WEATHER:
                self.write(ask, self.weather(name, ask.subject), way=ask.declared.way().key)
                self.now += A_MINUTE
            elif self.is_too_old(ask, needs[name].max_age):
                self.measure(ask)
                self.now += A_MINUTE

    def is_too_old(self, ask: Owed, most: float | None) -> bool:
        taken = self.run.seen.of(ask.check, ask.subject)
        return not taken or (most is not None and (self.now - taken[-1][0].taken_at).total_seconds() > most)

    def weather(self, name: str, tag: str) -> Reading:
        """Return the reading of sun or heat on an array, as it is now."""
        sun = self.sun_on(tag)
        if name == SUN:
            return Reading("irradiance", f"{sun:.0f}", "W/m2", by=self.story.read_by.get("irradiance", ""))
        mount = SANDIA_MOUNTS[MOUNTS[self.run.system.node(tag).need_text("mounting")]]
        back = sandia_module_temperature(self.story.air, sun, WIND, mount.a, mount.b)
        return Reading("back_temperature", f"{back:.1f}", "degC", by="TH1")

    def sun_on(self, tag: str) -> float:
        """Return the irradiance in an array's plane under the sky of the story."""
        site, array = self.run.system.subject(SITE), self.run.system.node(tag)
        clear = clear_sky_plane_irradiance(
            unix_time=self.now.timestamp(), latitude=site.need("latitude"), longitude=site.need("longitude"),
            altitude=site.need("altitude"), tilt=array.need("tilt"), azimuth=array.need("azimuth"),
            linke_turbidity=TYPICAL_LINKE_TURBIDITY, albedo=TYPICAL_ALBEDO,
        )  # fmt: skip
        return self.story.sky * clear * self.noise.uniform(0.992, 1.008)
