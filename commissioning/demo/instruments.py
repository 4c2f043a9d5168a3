"""The firm's instruments, as their own labels state them. Invented, like everything here."""

from datetime import date, timedelta

from commissioning.models import Instrument

YEAR = timedelta(days=365)

# tag, name, quantity, unit, ± % of reading, ± counts, one count, ± % of full scale, full scale, serial
KIT = (
    ("MM1", "multimeter, DC volts", "voltage", "V", "0.5", "2", "0.1", "", "1000", "04417"),
    ("CL1", "DC clamp", "current", "A", "2.0", "5", "0.01", "", "60", "2209"),
    ("SM1", "sun meter", "irradiance", "W/m2", "5", "2", "1", "", "1400", "S-318"),
    ("TH1", "contact thermometer", "temperature", "degC", "", "10", "0.1", "", "", "77"),
    ("DP1", "dip meter, metres", "depth", "m", "0.05", "1", "0.01", "", "100", "D1"),
    ("DP2", "dip meter, feet", "depth", "ft", "0.05", "2", "0.01", "", "300", "D2"),
    ("IT1", "insulation tester", "insulation", "Mohm", "5", "3", "1", "", "999", "9120"),
    ("LO1", "low-ohm meter", "resistance", "ohm", "2", "1", "0.01", "", "20", "0655"),
    ("ET1", "earth tester", "resistance", "ohm", "2", "3", "0.1", "", "2000", "31-C"),
    ("PG1", "fine pressure gauge", "gauge_pressure", "kPa", "", "", "", "0.6", "250", "G-14"),
    ("FM1", "clamp-on flow meter", "flow", "L/min", "3", "1", "0.1", "", "200", "58802"),
)
OVERDUE = "SM1"


def put_instruments() -> None:
    """Put the kit, nothing calibrated yet."""
    Instrument.objects.bulk_create(
        Instrument(
            tag=tag, name=name, quantity=quantity, unit=unit, of_reading_percent=percent, counts=counts,
            resolution=count, of_full_scale_percent=of_full_scale, full_scale=full_scale, serial=serial,
        )
        for tag, name, quantity, unit, percent, counts, count, of_full_scale, full_scale, serial in KIT
    )  # fmt: skip


def calibrate_all(on: date) -> None:
    """Write the yearly calibration of the whole kit."""
    for one in Instrument.objects.all():
        calibrate(one, on)


def calibrate(one: Instrument, on: date) -> None:
    """Write one calibration; it holds a year."""
    one.calibrated_on, one.calibration_due = on, on + YEAR
    one.calibration_reference = f"own comparison, {on:%Y}-{one.tag}"
    one.save(update_fields=["calibrated_on", "calibration_due", "calibration_reference"])


def calibrate_but_one(on: date, overdue_since: date) -> None:
    """Write the yearly calibration, and leave the sun meter overdue: somebody has to see to it."""
    for one in Instrument.objects.all():
        calibrate(one, overdue_since - YEAR if one.tag == OVERDUE else on)
