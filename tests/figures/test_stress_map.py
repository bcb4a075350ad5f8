"""The map of the shear stress below the contact: its peak is that of the theory."""

import pytest

from gearcheck.figures.stress_map import map_drawing
from gearcheck.hardening.required import required_case_depth


@pytest.fixture(scope="module")
def solved():
    return required_case_depth(
        half_width_mm=[0.2, 0.3],
        pressure_MPa=[900, 1500],
        surface_hardness_HV=700,
        core_hardness_HV=400,
        safety=1.0,
    )


def test_the_peak_lies_on_the_load_line_where_the_theory_has_it(solved):
    drawing = map_drawing(solved, 0.0)
    # from memory: 0.300 p0 at 0.786 half-widths
    assert drawing.rows["cells"]["shear"].max() == pytest.approx(0.300 * 1500, rel=2e-3)
    assert drawing.rows["peak"]["z"].iloc[0] == pytest.approx(0.786 * 0.3, rel=0.06)
    assert drawing.rows["peak"]["x"].iloc[0] == pytest.approx(0.0, abs=1e-9)
    assert "0.60 mm width" in drawing.words


def test_friction_moves_the_peak_towards_it_and_up(solved):
    plain, rubbed = (map_drawing(solved, friction).rows["peak"] for friction in (0.0, 0.2))
    assert rubbed["x"].iloc[0] != 0
    assert rubbed["z"].iloc[0] < plain["z"].iloc[0]


def test_where_no_depth_suffices_the_largest_pressure_is_drawn():
    none = required_case_depth(
        half_width_mm=[0.2, 0.3],
        pressure_MPa=[2900, 2500],
        surface_hardness_HV=700,
        core_hardness_HV=400,
        safety=1.5,
    )
    assert none.depth_mm is None
    assert map_drawing(none, 0.0).rows["cells"]["shear"].max() == pytest.approx(0.300 * 2900, rel=2e-3)
