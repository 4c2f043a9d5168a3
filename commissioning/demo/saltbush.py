"""Saltbush clinic, US customary: a start-up half done. The well pump has turned, its water still goes to waste."""

from datetime import date, timedelta

from commissioning.demo.drawings import display
from commissioning.demo.scribe import Reading as R
from commissioning.demo.scribe import Scribe, begin, judge, put_site, raise_defect, see, set_aside, take
from commissioning.models import Site, User


def build(actor: User, day: date) -> Site:
    """Put the as-built record. The winding resistance was not to be found on the motor."""
    return put_site(
        "saltbush_clinic.json", actor, day, owner="Saltbush clinic trust", place="below the bench, north of the wash",
        zone="America/Denver",
        covered="Well pump, array, tank, pipes to two taps, hand pump beside the well.",
        not_covered="The well itself, the plumbing of the clinic.",
    )  # fmt: skip


def start_up(site: Site, technician: User, day: date) -> None:
    """Take the first half of the start-up."""
    scribe = begin(site, "start_up", technician, day, "08:05")
    look_round(scribe)
    measure_dead(scribe)
    measure_array(scribe, day)
    see(scribe, scribe.at("10:48"), "rotation:PU1", note="strong and steady, cloudy; pumping to waste")
    judge(scribe)


def look_round(scribe: Scribe) -> None:
    see(scribe, scribe.at("08:12"), "walk_round_well:W1", "walk_round_array:A1", "walk_round_tank:T1")
    slip = take(
        scribe, scribe.at("08:24"), "static_level", "W1",
        R("level", "129.30", "ft", "1", "DP2"), R("level", "129.32", "ft", "2", "DP2"),
    )  # fmt: skip
    judge(scribe)  # said of it, before anybody saw that it was one
    take(
        scribe, scribe.at("08:31"), "static_level", "W1",
        R("level", "119.30", "ft", "1", "DP2"), R("level", "119.32", "ft", "2", "DP2"),
        replaces=slip, reason="Read 10 ft off on the tape",
    )  # fmt: skip
    set_aside(
        scribe, scribe.at("08:34"), "well_depth_measured", "W1", "cannot_be_taken",
        "Pump was hung before we came, the tape would lie on its cable",
    )  # fmt: skip
    set_aside(
        scribe, scribe.at("08:40"), "walk_round_pipework", "site", "cannot_be_taken",
        "The trench was filled in before we came",
    )  # fmt: skip
    set_aside(scribe, scribe.at("08:42"), "walk_round_labels", "site", "parked", "Labels are in the other truck")


def measure_dead(scribe: Scribe) -> None:
    see(scribe, scribe.at("08:50"), "proved_dead:C1", "electronics_disconnected:C1")
    take(
        scribe, scribe.at("09:04"), "electrode_resistance", "EE1",
        R("resistance", "23.9", "ohm", "52 %", "ET1"),
        R("resistance", "24.6", "ohm", "62 %", "ET1"),
        R("resistance", "25.3", "ohm", "72 %", "ET1"),
        note="dry gravel",
    )  # fmt: skip
    take(
        scribe, scribe.at("09:16"), "bond_resistance", "EE1",
        R("resistance", "0.22", "ohm", "array frame", "LO1"),
        R("resistance", "0.12", "ohm", "controller case", "LO1"),
        R("resistance", "0.31", "ohm", "well casing", "LO1"),
    )  # fmt: skip
    take(
        scribe, scribe.at("09:25"), "pump_cable_loop_resistance", "PU1",
        R("resistance", "0.47", "ohm", "leads 1 and 2", "LO1"), R("temperature", "57", "degF"),
    )  # fmt: skip
    take(
        scribe, scribe.at("09:31"), "pump_cable_insulation", "PU1",
        R("insulation", "> 999", "Mohm", by="IT1"), R("test_voltage", "500"),
    )  # fmt: skip
    take(
        scribe, scribe.at("09:38"), "array_insulation", "A1",
        R("insulation", "> 999", "Mohm", by="IT1"), R("test_voltage", "250"),
    )  # fmt: skip
    see(scribe, scribe.at("09:46"), "low_water_guard_dry:LS2", "level_switch_dry:LS1")


def measure_array(scribe: Scribe, day: date) -> None:
    see(scribe, scribe.at("10:02"), "string_polarity:A1")
    sun(scribe, "10:06", "688")
    take(
        scribe, scribe.at("10:07"), "module_temperature", "A1", R("back_temperature", "88", "degF", by="TH1"),
        way="contact",
    )  # fmt: skip
    take(
        scribe, scribe.at("10:09"), "open_circuit_voltage", "A1",
        R("voltage", "72.4", "V", "string 1", "MM1"),
        R("voltage", "72.1", "V", "string 2", "MM1"),
        R("voltage", "71.6", "V", "string 3", "MM1"),
    )  # fmt: skip
    sun(scribe, "10:11", "694")
    take(
        scribe, scribe.at("10:13"), "short_circuit_current", "A1",
        R("current", "5.98", "A", "string 1", "CL1"),
        R("current", "6.04", "A", "string 2", "CL1"),
        R("current", "3.87", "A", "string 3", "CL1"),
        note="shade of the radio mast on the lower module of string 3 until about eleven",
        photos=[display("3.87", "A")],
    )  # fmt: skip
    sun(scribe, "10:15", "701")
    raise_defect(
        scribe, scribe.at("10:22"), "The radio mast shades string 3 in the morning. Move the mast, or the array.",
        check="short_circuit_current", subject="A1", who="T. Marsh", due=day + timedelta(days=14),
    )  # fmt: skip


def sun(scribe: Scribe, clock: str, read: str) -> None:
    take(scribe, scribe.at(clock), "irradiance", "A1", R("irradiance", read, "W/m2", by="SM1"), way="meter")
