"""Readings of the test system as the cross-checks see them, each right until a test makes it slip."""

from dataclasses import replace

from sizing.cross.measured import Measured, Other
from sizing.cross_checks import Found, doubts_about
from sizing.quantities import Quantity as Q
from sizing.system import System, build
from tests.sizing.systems import L_PER_MIN, quince_ridge

# Exact factors: NIST SP 811, appendix B.8 (psi, US and imperial gallon, foot).
PSI, GALLON, IMPERIAL, FOOT = 6894.757, 3.785412, 4.54609, 0.3048
TO_KPA = (Other("psi", PSI / 1000), Other("bar", 100.0), Other("m of water", 9.80665))
TO_L_PER_MIN = (Other("gal/min (US)", GALLON), Other("gal/min (imp.)", IMPERIAL, True), Other("L/s", 60.0))
TO_M = (Other("ft", FOOT),)
TO_L = (Other("gal (US)", GALLON), Other("gal (imp.)", IMPERIAL), Other("m³", 1000.0))
OTHERS = {Q.GAUGE_PRESSURE: TO_KPA, Q.FLOW: TO_L_PER_MIN, Q.DEPTH: TO_M, Q.LENGTH: TO_M, Q.VOLUME: TO_L}
SYMBOL = {Q.GAUGE_PRESSURE: "kPa", Q.FLOW: "L/min", Q.DEPTH: "m", Q.LENGTH: "m", Q.VOLUME: "L"}

NAMES = {"power": Q.POWER, "flow": Q.FLOW, "level": Q.DEPTH, "irradiance": Q.IRRADIANCE, "voltage": Q.VOLTAGE}


def read(owed: str, name: str, value: float, quantity: Q, u: float = 0.0, **more: object) -> Measured:
    """Return one reading with the units it could have been mixed up with."""
    check, _, subject = owed.partition(":")
    made = Measured(check, subject, name, value, quantity, u=u, unit=SYMBOL.get(quantity, ""))
    return replace(made, others=OTHERS.get(quantity, ()), **more)  # type: ignore[arg-type]  # fields of Measured


def reduced(owed: str, name: str, value: float, quantity: Q, u: float = 0.0, **more: object) -> Measured:
    """Return one value reduced from readings."""
    return read(owed, name, value, quantity, u, is_reading=False, **more)


def row(repeat: str = "row 1", power: float = 490.0, flow: float = 27.0, level: float = 25.8) -> tuple[Measured, ...]:
    """Return a row of the well pump: 27 L/min from 25.8 m to a tank 18.35 m above, some 45 m in all, on 490 W."""
    lifted = flow * L_PER_MIN
    return (
        read("well_pump_flow:PU1", "power", power, Q.POWER, 0.014 * power, repeat=repeat, label="Power"),
        read("well_pump_flow:PU1", "flow", lifted, Q.FLOW, 0.017 * lifted, repeat=repeat, label="Flow"),
        read("well_pump_flow:PU1", "level", level, Q.DEPTH, 0.01, repeat=repeat, label="Depth to water"),
    )  # fmt: skip


def sun(value: float = 900.0, at: float | None = None) -> Measured:
    return reduced("irradiance:A1", "irradiance", value, Q.IRRADIANCE, 26.0, at=at, label="Irradiance")


def strings(*currents: float, nominal: float = 5.33) -> tuple[Measured, ...]:
    """Return the short-circuit currents of the strings of A1, as read and as reduced."""
    made = []
    for i, value in enumerate(currents, 1):
        one = read("short_circuit_current:A1", "current", value, Q.CURRENT, 0.07, repeat=f"string {i}", label="Current")
        made += [one, replace(one, is_reading=False, nominal=nominal)]
    return tuple(made)


def found(*measured: Measured, system: System | None = None) -> dict[str, Found]:
    """Return the doubts about these readings by the key of their relation."""
    return {one.doubt.key: one for one in doubts_about(system or build(quince_ridge()), measured)}
