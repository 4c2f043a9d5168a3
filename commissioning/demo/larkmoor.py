"""Larkmoor school, metric, south of the equator: started up and handed over three years ago."""

from datetime import date, datetime, timedelta

from commissioning.demo.handing import issue, sign_and_end
from commissioning.demo.scribe import Reading as R
from commissioning.demo.scribe import Scribe, begin, judge, moment_of, put_site, see, take
from commissioning.models import Sheet, Site, User


def build(actor: User, day: date) -> Site:
    """Put the as-built record."""
    return put_site(
        "larkmoor_school.json", actor, day, owner="Larkmoor school board", place="on the plain, behind the school",
        zone="Africa/Windhoek",
        covered="Well pump, array, tank, pipes to two taps, hand pump beside the well.",
        not_covered="The well itself, the house taps behind the yard tap.",
    )  # fmt: skip


def start_up(site: Site, technician: User, office: User, day: date) -> Sheet:
    """Take every check of the start-up, wait for the laboratory, sign, and issue the sheet."""
    scribe = begin(site, "start_up", technician, day, "07:40")
    look_and_prove_dead(scribe)
    measure_dead(scribe)
    measure_array(scribe)
    measure_well_and_pump(scribe)
    measure_storage(scribe)
    measure_delivery(scribe)
    measure_hand_pump(scribe)
    make_safe_to_drink(scribe)
    see(scribe, scribe.at("10:20", 4), "as_left:site", "owner_unaided:site")
    judge(scribe)
    sign_and_end(scribe, scribe.at("11:05", 4), for_owner="E. Sable")
    return issue(scribe, office, moment_of(site, day + timedelta(days=7), "09:30"), is_printed=False)


def look_and_prove_dead(scribe: Scribe) -> None:
    see(
        scribe, scribe.at("07:50"),
        "walk_round_well:W1", "walk_round_array:A1", "walk_round_tank:T1", "walk_round_pipework:site",
        "walk_round_labels:site",
    )  # fmt: skip
    see(scribe, scribe.at("08:12"), "proved_dead:C1", "electronics_disconnected:C1")
    take(
        scribe, scribe.at("08:30"), "static_level", "W1",
        R("level", "31.62", "m", "1", "DP1"), R("level", "31.63", "m", "2", "DP1", "08:50"),
    )  # fmt: skip
    take(scribe, scribe.at("08:41"), "well_depth_measured", "W1", R("depth", "83.7", "m"), note="hard bottom")


def measure_dead(scribe: Scribe) -> None:
    take(
        scribe, scribe.at("08:55"), "electrode_resistance", "EE1",
        R("resistance", "11.8", "ohm", "52 %", "ET1"),
        R("resistance", "12.3", "ohm", "62 %", "ET1"),
        R("resistance", "12.7", "ohm", "72 %", "ET1"),
    )  # fmt: skip
    take(
        scribe, scribe.at("09:10"), "bond_resistance", "EE1",
        R("resistance", "0.18", "ohm", "array frame", "LO1"),
        R("resistance", "0.09", "ohm", "controller case", "LO1"),
        R("resistance", "0.24", "ohm", "well casing", "LO1"),
    )  # fmt: skip
    take(
        scribe, scribe.at("10:02"), "pump_cable_loop_resistance", "PU1",
        R("resistance", "1.28", "ohm", "leads 1 and 2", "LO1"),
        R("resistance", "1.27", "ohm", "pair 2", "LO1"),
        R("resistance", "1.28", "ohm", "pair 3", "LO1"),
        R("temperature", "22.5", "degC"),
        note="pump hung at 62 m, one splice",
    )  # fmt: skip
    take(
        scribe, scribe.at("10:08"), "pump_cable_insulation", "PU1",
        R("insulation", "> 999", "Mohm", by="IT1"), R("test_voltage", "500"),
    )  # fmt: skip
    take(
        scribe, scribe.at("10:14"), "array_insulation", "A1",
        R("insulation", "420", "Mohm", by="IT1"), R("test_voltage", "500"),
    )  # fmt: skip
    see(scribe, scribe.at("10:20"), "low_water_guard_dry:LS2", "level_switch_dry:LS1")


def sun(scribe: Scribe, at: datetime, read: str) -> None:
    take(scribe, at, "irradiance", "A1", R("irradiance", read, "W/m2", by="SM1"), way="meter")


def heat(scribe: Scribe, at: datetime, read: str) -> None:
    take(scribe, at, "module_temperature", "A1", R("back_temperature", read, "degC", by="TH1"), way="contact")


def measure_array(scribe: Scribe) -> None:
    see(scribe, scribe.at("10:26"), "string_polarity:A1")
    sun(scribe, scribe.at("10:30"), "742")
    heat(scribe, scribe.at("10:31"), "44.5")
    take(
        scribe, scribe.at("10:33"), "open_circuit_voltage", "A1",
        R("voltage", "123.4", "V", "string 1", "MM1"), R("voltage", "122.9", "V", "string 2", "MM1"),
    )  # fmt: skip
    sun(scribe, scribe.at("10:35"), "751")
    take(
        scribe, scribe.at("10:37"), "short_circuit_current", "A1",
        R("current", "3.97", "A", "string 1", "CL1"), R("current", "3.91", "A", "string 2", "CL1"),
    )  # fmt: skip
    sun(scribe, scribe.at("10:39"), "758")


def measure_well_and_pump(scribe: Scribe) -> None:
    see(scribe, scribe.at("10:58"), "rotation:PU1")
    sun(scribe, scribe.at("11:02"), "821")
    heat(scribe, scribe.at("11:03"), "48.0")
    take(scribe, scribe.at("11:05"), "time_to_water", "PU1", R("time", "41", "s"))
    sun(scribe, scribe.at("11:07"), "826")
    take(scribe, scribe.at("11:24"), "turbidity", "W1", R("turbidity", "1.2", "NTU"))
    take(scribe, scribe.at("11:30"), "sand", "W1", R("sand", "< 0.1", "mL/L"))
    take(
        scribe, scribe.at("11:44"), "pumping_level", "W1",
        R("level", "36.12", "m", by="DP1"), R("flow", "31.2", "L/min", by="FM1"), R("minutes", "40", "min"),
    )  # fmt: skip
    sun(scribe, scribe.at("11:55"), "884")
    heat(scribe, scribe.at("11:56"), "50.5")
    take(
        scribe, scribe.at("11:58"), "well_pump_power", "PU1",
        R("voltage", "101.4", "V", by="MM1"), R("current", "7.18", "A", by="CL1"), way="meters",
    )  # fmt: skip
    sun(scribe, scribe.at("12:00"), "889")
    take(scribe, scribe.at("12:04"), "well_pump_current", "PU1", R("current", "7.6", "A", by="CL1"))
    take(
        scribe, scribe.at("12:07"), "phase_unbalance", "PU1",
        R("lead_1", "7.60", "A", by="CL1"), R("lead_2", "7.55", "A", by="CL1"), R("lead_3", "7.66", "A", by="CL1"),
    )  # fmt: skip


def measure_storage(scribe: Scribe) -> None:
    take(scribe, scribe.at("12:10"), "tank_level", "T1", R("level", "0.62", "m"))
    take(
        scribe, scribe.at("12:40"), "well_pump_flow", "PU1",
        R("flow", "18.0", "L/min", "row 1", "FM1", "12:15"), R("power", "388", "W", "row 1", clock="12:15"),
        R("flow", "25.9", "L/min", "row 2", "FM1", "12:27"), R("power", "561", "W", "row 2", clock="12:27"),
        R("flow", "33.0", "L/min", "row 3", "FM1", "12:40"), R("power", "728", "W", "row 3", clock="12:40"),
        way="meter", note="rows 1 and 2 with modules covered",
    )  # fmt: skip
    take(
        scribe, scribe.at("13:10"), "wellhead_pressure", "PU1",
        R("pressure", "206", "kPa", by="PG1"), R("flow", "33.1", "L/min", by="FM1"),
    )  # fmt: skip
    take(
        scribe, scribe.at("13:20"), "fill_balance", "T1",
        R("start_level", "0.62", "m"), R("end_level", "0.99", "m"), R("flow", "32.8", "L/min", by="FM1"),
        R("time", "60", "min"),
    )  # fmt: skip
    take(scribe, scribe.at("16:05"), "fill_stop_level", "LS1", R("depth", "2.09", "m"), way="dip")
    see(scribe, scribe.at("16:25"), "overflow_carries_full_flow:T1", note="level rose to the lip and stayed there")
    see(scribe, scribe.at("16:35"), "frost_and_drain_down:site", note="both tap stands drain through their feet")
    take(scribe, scribe.at("16:50"), "fill_restart_level", "LS1", R("depth", "1.60", "m"), way="dip")


def measure_delivery(scribe: Scribe) -> None:
    take(
        scribe, scribe.at("08:10", 1), "tightness_whole", "T1",
        R("pressure", "182.0", "kPa", "start", "PG1"),
        R("pressure", "181.2", "kPa", "settled", "PG1", "08:25"),
        R("temperature", "21.4", "degC", "settled", clock="08:25"),
        R("pressure", "180.6", "kPa", "end", "PG1", "08:55"),
        R("temperature", "21.5", "degC", "end", clock="08:55"),
    )  # fmt: skip
    take(scribe, scribe.at("09:20", 1), "tank_level", "T1", R("level", "1.94", "m"))
    buckets(scribe, scribe.at("09:32", 1), "O1", ("65.4", "66.1", "65.8"), "158")
    buckets(scribe, scribe.at("09:48", 1), "O2", ("50.9", "50.3", "51.2"), "157")


def buckets(scribe: Scribe, at: datetime, tap: str, seconds: tuple[str, str, str], kilopascals: str) -> None:
    """Catch a pail of 20 L three times, with the gauge in front of the tap."""
    caught = [R("volume", "20", "L", str(i)) for i in (1, 2, 3)]
    timed = [R("time", read, "s", str(i)) for i, read in enumerate(seconds, 1)]
    pressure = R("pressure", kilopascals, "kPa", by="PG1")
    take(scribe, at, "delivery_flow", tap, *caught, *timed, pressure, way="bucket")


def measure_hand_pump(scribe: Scribe) -> None:
    take(scribe, scribe.at("10:25", 1), "strokes_to_water", "HP1", R("strokes", "2", "1"))
    counted = [R("strokes", "40", "1", str(i)) for i in (1, 2, 3)]
    caught = [R("volume", read, "L", str(i)) for i, read in enumerate(("11.2", "11.3", "11.2"), 1)]
    take(scribe, scribe.at("10:40", 1), "volume_per_stroke", "HP1", *caught, *counted)
    see(scribe, scribe.at("10:50", 1), "cannot_backflow:HP1")


def make_safe_to_drink(scribe: Scribe) -> None:
    take(scribe, scribe.at("11:30", 1), "bleach_strength", "site", R("available", "5", "%"), way="available")
    take(scribe, scribe.at("11:35", 1), "tank_level", "T1", R("level", "1.88", "m"))
    take(
        scribe, scribe.at("11:50", 1), "chlorine_dose", "W1", R("bleach", "22.5", "L"), note="shared by water, 2 to 18"
    )
    take(scribe, scribe.at("13:40", 2), "residual_at_sampling", "O1", R("residual", "< 0.1", "mg/L"))
    see(scribe, scribe.at("13:55", 2), "sample_taken:O1")
    take(scribe, scribe.at("10:00", 4), "coliform", "O1", R("colonies", "< 1", "cfu/100mL"), note="report 2217")
