"""A booster's table against numpy's interpolation."""

import math

import numpy as np
import pytest

from sizing.errors import OutOfRangeError
from sizing.formulas.booster_tables import table_current

PRESSURES, CURRENTS = (100e3, 200e3, 300e3, 400e3), (5.0, 7.5, 10.0, 11.0)


@pytest.mark.parametrize("pressure", [100e3, 140e3, 200e3, 333e3, 400e3])
def test_between_rows_as_numpy_interpolates(pressure: float) -> None:
    assert table_current(PRESSURES, CURRENTS, pressure) == pytest.approx(np.interp(pressure, PRESSURES, CURRENTS))


@pytest.mark.parametrize(
    ("pressures", "currents", "pressure", "argument"),
    [
        (PRESSURES, CURRENTS, 99e3, "pressure"),
        (PRESSURES, CURRENTS, 401e3, "pressure"),
        (PRESSURES, CURRENTS, math.nan, "pressure"),
        (PRESSURES[:1], CURRENTS[:1], 100e3, "pressures"),
        (PRESSURES[::-1], CURRENTS, 200e3, "pressures"),
        (PRESSURES, CURRENTS[:3], 200e3, "currents"),
    ],
)
def test_outside_its_range_it_is_refused(pressures, currents, pressure, argument) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        table_current(pressures, currents, pressure)
    assert refused.value.argument == argument
