"""Pipe bores against a general-purpose reference library, printed averages and published friction tables."""

import pytest
from fluids import piping

from sizing.formulas.pipes import PIPE_ROUGHNESS, hazen_williams_head_loss
from sizing.lookups.pipes import INCH, PIPE_SIZES, PSI, pipe_size, sizes_of
from sizing.parts import Pipe

NOMINAL = {"1/2": 0.5, "3/4": 0.75, "1": 1.0, "1-1/4": 1.25, "1-1/2": 1.5, "2": 2.0, "2-1/2": 2.5, "3": 3.0, "4": 4.0}

# Average inside diameters of PVC pipe as pipe data sheets print them [in]; half a unit of the last digit is 0.0005,
# but the sheets themselves differ by 0.002. Schedule 40 up to 2 in seen, the others from memory.
AVERAGES = {
    40: (0.608, 0.810, 1.033, 1.364, 1.592, 2.049, 2.445, 3.042, 3.998),
    80: (0.528, 0.722, 0.936, 1.255, 1.476, 1.913, 2.290, 2.864, 3.786),
}


@pytest.mark.parametrize("schedule", [40, 80])
@pytest.mark.parametrize("size", NOMINAL)
def test_steel_bores_match_the_reference_library(size: str, schedule: int) -> None:
    listed = dict(zip(getattr(piping, f"NPS{schedule}"), getattr(piping, f"S{schedule}i"), strict=True))
    bore = PIPE_SIZES[f"{size} in Sch {schedule} steel"].inside_diameter
    # the library rounds outside diameter and wall to a tenth and a hundredth of a millimetre
    assert 1000 * bore == pytest.approx(listed[NOMINAL[size]], abs=0.08)


@pytest.mark.parametrize("schedule", [40, 80])
def test_average_bores_of_pvc_match_what_data_sheets_print(schedule: int) -> None:
    for size, printed in zip(NOMINAL, AVERAGES[schedule], strict=True):
        bore = PIPE_SIZES[f"{size} in Sch {schedule} PVC"].inside_diameter
        assert bore / INCH == pytest.approx(printed, abs=0.002), size


@pytest.mark.parametrize("ratio", [21, 26])
def test_least_walls_of_sdr_pvc_match_the_reference_library(ratio: int) -> None:
    sizes, bores = getattr(piping, f"NPSDR{ratio}_D2241"), getattr(piping, f"SDR{ratio}i_D2241")
    listed = dict(zip(sizes, bores, strict=True))
    margin = 2 * 0.010 * 25.4  # the library subtracts the least wall, we the average one
    for one in (s for s in PIPE_SIZES.values() if f"SDR {ratio} PVC" in s.designation):
        size = one.designation.partition(" in ")[0]
        assert 1000 * one.inside_diameter + margin == pytest.approx(listed[NOMINAL[size]], abs=0.35), size


def test_medium_steel_matches_the_reference_library() -> None:
    listed = dict(zip(piping.DN_MEDIUM_BS1387, piping.MEDIUMi_BS1387, strict=True))
    for one in sizes_of("galvanized"):
        if one.designation.startswith("DN"):
            nominal = int(one.designation.split()[1])
            # the library has the older BS 1387, whose outside diameters are up to 0.6 mm larger
            assert 1000 * one.inside_diameter == pytest.approx(listed[nominal], rel=0.03), nominal


@pytest.mark.parametrize(
    ("designation", "bore", "tolerance", "source"),
    [
        ("1/2 in type L copper", 0.545, 5e-4, "ASTM B88, table of type L (from memory)"),
        ("1 in type L copper", 1.025, 5e-4, "ASTM B88, table of type L (from memory)"),
        ("2 in type M copper", 2.009, 5e-4, "ASTM B88, table of type M (from memory)"),
        ("1 in SIDR 15 PE", 1.049, 5e-4, "ASTM D2239: the bore of Schedule 40 pipe"),
        ("2 in SIDR 9 PE", 2.067, 5e-4, "ASTM D2239: the bore of Schedule 40 pipe"),
        ("1 in DR 11 PE", 1.062, 1e-3, "pipe maker's dimension tables for ASTM D3035 (from memory)"),
        ("2 in DR 11 PE", 1.917, 1e-3, "pipe maker's dimension tables for ASTM D3035 (from memory)"),
    ],
)
def test_inch_bores_match_print(designation: str, bore: float, tolerance: float, source: str) -> None:
    assert PIPE_SIZES[designation].inside_diameter / INCH == pytest.approx(bore, abs=tolerance), source


@pytest.mark.parametrize(
    ("designation", "bore"),
    [("40 mm SDR 11 PE 100", 32.6), ("25 mm SDR 11 PE 100", 20.4), ("63 mm SDR 17 PE 100", 55.4)],
)
def test_metric_polyethylene_by_hand(designation: str, bore: float) -> None:
    # 40 − 2·3.7, 25 − 2·2.3, 63 − 2·3.8 mm; walls of ISO 4427-2 (from memory)
    assert 1000 * PIPE_SIZES[designation].inside_diameter == pytest.approx(bore)


def test_walls_of_metric_polyethylene_follow_their_ratio() -> None:
    for one in sizes_of("pe"):
        if one.source == "ISO 4427-2":
            outside, ratio = float(one.designation.split()[0]), float(one.designation.split()[3])
            wall = (outside - 1000 * one.inside_diameter) / 2
            # rounded up to a tenth, with 2.0 mm the least; nominal ratios are themselves rounded
            assert outside / ratio - 0.05 < wall < max(outside / ratio + 0.2, 2.001), one.designation


@pytest.mark.parametrize(
    ("designation", "gpm", "loss", "source"),
    [
        ("1 in Sch 40 PVC", 5, 1.52, "Illinois Administrative Code 77-906, appendix A, exhibit I"),
        ("1 in Sch 40 PVC", 10, 5.50, "Illinois Administrative Code 77-906, appendix A, exhibit I"),
        ("1-1/4 in Sch 40 PVC", 10, 1.46, "Illinois Administrative Code 77-906, appendix A, exhibit I"),
        ("2 in Sch 40 PVC", 50, 3.98, "Illinois Administrative Code 77-906, appendix A, exhibit I"),
    ],
)
def test_a_published_friction_table_lies_between_average_and_nominal_bore(
    designation: str, gpm: float, loss: float, source: str
) -> None:
    flow = gpm * 6.30902e-5
    steel = PIPE_SIZES[designation.replace("PVC", "steel")].inside_diameter
    average, nominal = (
        100 * hazen_williams_head_loss(flow, 1.0, bore, 150.0)
        for bore in (PIPE_SIZES[designation].inside_diameter, steel)
    )
    assert nominal * 0.97 < loss < average * 1.03, source


def test_ratings_of_common_pipe() -> None:
    # printed on the pipe: 1 in Schedule 40 PVC 450 psi, SDR 21 200 psi; PE 100 SDR 11 is PN 16
    assert PIPE_SIZES["1 in Sch 40 PVC"].pressure_rating == pytest.approx(450 * PSI)
    assert PIPE_SIZES["2 in SDR 21 PVC"].pressure_rating == pytest.approx(200 * PSI)
    assert PIPE_SIZES["40 mm SDR 11 PE 100"].pressure_rating == pytest.approx(16e5)
    assert PIPE_SIZES["1 in SIDR 15 PE"].pressure_rating is None


def test_a_thicker_wall_leaves_a_smaller_bore_and_stands_more() -> None:
    for size in NOMINAL:
        thin, thick = PIPE_SIZES[f"{size} in Sch 40 PVC"], PIPE_SIZES[f"{size} in Sch 80 PVC"]
        assert thick.inside_diameter < thin.inside_diameter
        assert (thick.pressure_rating or 0) > (thin.pressure_rating or 0)


@pytest.mark.parametrize("typed", ["1 in sch 40 pvc", '1" Sch40 PVC', "1inch Schedule 40 PVC", "  1 IN SCH 40 PVC "])
def test_a_size_is_found_however_it_is_typed(typed: str) -> None:
    assert pipe_size(typed) == PIPE_SIZES["1 in Sch 40 PVC"]


def test_near_designations_are_not_confused() -> None:
    assert pipe_size("13.5 in DR 11 PE") is None
    assert pipe_size("1 in DR 13.5 PE") == PIPE_SIZES["1 in DR 13.5 PE"]
    assert pipe_size("1 in DR 135 PE") is None
    assert pipe_size("") is None
    assert pipe_size("22 x 1 mm copper") == PIPE_SIZES["22 × 1 mm copper"]


def test_every_size_is_of_a_material_of_the_nameplate_and_has_a_possible_bore() -> None:
    materials = {choice.value for choice in Pipe.declarations()["material"].choices}
    low, high = Pipe.declarations()["inside_diameter"].soft or (0, 0)
    assert {one.material for one in PIPE_SIZES.values()} == materials == set(PIPE_ROUGHNESS)
    assert all(low <= one.inside_diameter <= high for one in PIPE_SIZES.values())
    assert len({one.designation.lower() for one in PIPE_SIZES.values()}) == len(PIPE_SIZES)


def test_no_printed_rating_is_asked_back_as_unusual() -> None:
    low, high = Pipe.declarations()["pressure_rating"].soft or (0.0, 0.0)
    ratings = [size.pressure_rating for size in PIPE_SIZES.values() if size.pressure_rating is not None]
    assert [one for one in ratings if not low <= one <= high] == []
