"""Line contact: half-width, pressure and approach."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.contact.hertz import contact_modulus_MPa, hertz_line, line_approach
from tests.checks import cases, holds

STEEL = {"modulus_1_MPa": 206000, "modulus_2_MPa": 206000, "poisson_1": 0.3, "poisson_2": 0.3}


@pytest.mark.parametrize("check", cases("contact", "gearcheck.contact.hertz:hertz_line"), ids=str)
def test_half_width_and_pressure(check):
    given_values = check.inputs
    contact = hertz_line(
        line_load_N_mm=given_values["line_load_N_mm"],
        reduced_radius_mm=given_values["reduced_radius_mm"],
        modulus_1_MPa=given_values["modulus_MPa"],
        modulus_2_MPa=given_values["modulus_MPa"],
        poisson_1=given_values["poisson"],
        poisson_2=given_values["poisson"],
    )
    holds(check, half_width_mm=contact.half_width_mm, pressure_MPa=contact.pressure_MPa)


@pytest.mark.parametrize("check", cases("contact", "gearcheck.contact.hertz:line_approach"), ids=str)
def test_approach(check):
    holds(check, approach_mm=line_approach(**check.inputs).approach_mm)


@given(load=st.floats(1, 3000), radius=st.floats(0.5, 200), modulus=st.floats(5e4, 6e5), nu=st.floats(0, 0.5))
def test_the_pressure_carries_the_load(load, radius, modulus, nu):
    contact = hertz_line(
        line_load_N_mm=load, reduced_radius_mm=radius,
        modulus_1_MPa=206000, modulus_2_MPa=modulus, poisson_1=0.3, poisson_2=nu,
    )  # fmt: skip
    assert np.pi / 2 * contact.half_width_mm * contact.pressure_MPa == pytest.approx(load, rel=1e-12)
    heavier = hertz_line(line_load_N_mm=1.01 * load, reduced_radius_mm=radius, **STEEL)
    steel = hertz_line(line_load_N_mm=load, reduced_radius_mm=radius, **STEEL)
    assert heavier.pressure_MPa > steel.pressure_MPa
    assert heavier.half_width_mm > steel.half_width_mm


def test_the_softer_body_halves_the_contact_modulus():
    equal = contact_modulus_MPa(**STEEL)
    rigid = contact_modulus_MPa(**{**STEEL, "modulus_2_MPa": 1e30})
    assert equal == pytest.approx(206000 / 2 / 0.91)
    assert rigid == pytest.approx(2 * equal)


@given(depth=st.floats(0.01, 100))
def test_the_approach_grows_with_the_reference_depth(depth):
    common = {"half_width_mm": 0.3, "pressure_MPa": 1400, "modulus_MPa": 206000, "poisson": 0.3}
    near = line_approach(reference_depth_mm=depth, **common).approach_mm
    far = line_approach(reference_depth_mm=1.01 * depth, **common).approach_mm
    assert 0 < near < far


def test_no_load_has_no_width():
    contact = hertz_line(line_load_N_mm=0, reduced_radius_mm=10, **STEEL)
    assert (contact.half_width_mm, contact.pressure_MPa, contact.notices) == (0.0, 0.0, ())


def test_negative_load_and_radius_stop():
    pulled = hertz_line(line_load_N_mm=-1, reduced_radius_mm=10, **STEEL)
    assert pulled.pressure_MPa is None
    assert "w = -1 N/mm" in pulled.stops[0].text
    hollow = hertz_line(line_load_N_mm=[100, 100], reduced_radius_mm=[10, -2], **STEEL)
    assert np.isfinite(hollow.half_width_mm).tolist() == [True, False]
    assert len(hollow.stops) == 1
    assert line_approach(half_width_mm=0.3, pressure_MPa=1, modulus_MPa=1, poisson=0.3,
                         reference_depth_mm=-1).approach_mm is None  # fmt: skip


def test_elasticity_that_cannot_be_is_refused():
    with pytest.raises(InputError, match="modulus_2_MPa") as error:
        hertz_line(line_load_N_mm=1, reduced_radius_mm=1, **{**STEEL, "modulus_2_MPa": 0, "poisson_1": 0.6})
    assert len(error.value.faults) == 2


def test_arrays_equal_scalars():
    loads, radii = np.array([[100.0], [700.0]]), np.array([3.0, 8.0, 20.0])
    whole = hertz_line(line_load_N_mm=loads, reduced_radius_mm=radii, **STEEL)
    for row, load in enumerate(loads[:, 0]):
        for column, radius in enumerate(radii):
            one = hertz_line(line_load_N_mm=load, reduced_radius_mm=radius, **STEEL)
            assert whole.pressure_MPa[row, column] == pytest.approx(one.pressure_MPa, rel=1e-14)
            assert whole.half_width_mm[row, column] == pytest.approx(one.half_width_mm, rel=1e-14)
