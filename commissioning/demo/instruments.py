"""The firm's instruments, as their own labels state them. Invented, like everything here."""

from datetime import datetime, timedelta
from uuid import uuid5

from commissioning import evidence
from commissioning.demo.scribe import DEMO
from commissioning.models import Instrument, User

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
    ("MM2", "multimeter, 60 V range", "voltage", "V", "0.3", "2", "0.01", "", "60", "04417"),
    ("PG2", "digital pressure gauge, psi", "gauge_pressure", "psi", "", "1", "0.1", "0.1", "100", "88-02"),
    ("PG3", "digital test gauge, 300 psi", "gauge_pressure", "psi", "", "1", "0.1", "0.05", "300", "T-061"),
    ("FM1", "clamp-on flow meter", "flow", "L/min", "3", "1", "0.1", "", "200", "58802"),
)
OVERDUE = "SM1"


def put_instruments(office: User, at: datetime) -> None:
    """Put the kit, nothing calibrated yet."""
    for tag, name, quantity, unit, percent, counts, count, of_full_scale, full_scale, serial in KIT:
        body = {
            "id": str(uuid5(DEMO, tag)), "tag": tag, "name": name, "quantity": quantity, "unit": unit,
            "of_reading_percent": percent, "counts": counts, "resolution": count,
            "of_full_scale_percent": of_full_scale, "full_scale": full_scale, "serial": serial,
        }  # fmt: skip
        evidence.append(site=None, kind="instrument.kept", body=body, actor=office, at=at)


def calibrate(office: User, at: datetime, *, but: str = "", only: str = "") -> None:
    """Write the yearly calibration of the whole kit, of all but one, or of one alone."""
    for one in Instrument.objects.exclude(tag=but).filter(tag__contains=only):
        body = {
            "id": str(uuid5(one.pk, f"{at:%Y-%m-%d}")), "instrument": str(one.pk), "on": f"{at:%Y-%m-%d}",
            "due": f"{at + YEAR:%Y-%m-%d}", "reference": f"own comparison, {at:%Y}-{one.tag}",
        }  # fmt: skip
        evidence.append(site=None, kind="instrument.calibrated", body=body, actor=office, at=at)
