"""Root stress in a pulsator: from the geometry alone, and at the points of load of ISO 6336-3."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.span import span
from gearcheck.stress.pulsator import pulsator_stress
from gearcheck.stress.root_form import LoadPoint, root_form
from tests.checks import cases, holds

GEAR = {
    "teeth": 24,
    "normal_module_mm": 5.0,
    "pressure_angle_deg": 20.0,
    "profile_shift": 0.1,
    "tip_diameter_mm": 131.0,
    "rack_dedendum": 1.4,
    "rack_root_radius": 0.3,
}


def bent(**changed):
    return pulsator_stress(
        **({"force_N": 40e3, "load_diameter_mm": 127.0, "face_width_mm": 30.0} | GEAR | changed)
    )


def form(load_point, **changed):
    given_values = {"helix_angle_deg": 0, "residual_undercut_mm": 0, "virtual_contact_ratio": 1.0,
                    "overlap_ratio": 0}  # fmt: skip
    return root_form(load_point=load_point, **(given_values | GEAR | changed))


@pytest.mark.parametrize("check", cases("pulsator", "gearcheck.stress.pulsator:pulsator_stress"), ids=str)
def test_against_the_geometry_and_the_tip(check):
    values = dict(check.inputs)
    if "span_teeth" in values:
        rack = {
            name: values[name]
            for name in ("normal_module_mm", "pressure_angle_deg", "teeth", "profile_shift")
        }
        over = span(**rack, helix_angle_deg=0, span_teeth=values.pop("span_teeth"))
        found = bent(**values, load_diameter_mm=over.contact_diameter_mm)
        section = found.form
        holds(check, d_F=found.load_diameter_mm, s_Fn=section.root_chord_mm, h_Fe=section.bending_arm_mm,
              Y_F=found.form_factor, Y_S=found.stress_correction_factor, sigma=found.stress_MPa)  # fmt: skip
        return
    point = LoadPoint(values.pop("load_point"))
    found = bent(**values, load_diameter_mm=values["tip_diameter_mm"])
    toothing = {name: values[name] for name in GEAR}
    at_tip = form(point, **toothing)
    over_form = found.form_factor * found.stress_correction_factor
    holds(check, over_form=over_form / (at_tip.form_factor * at_tip.stress_correction_factor))


@pytest.mark.parametrize("ratio", [1.2, 1.6, 1.9])
def test_at_the_outer_point_of_single_contact_it_is_the_form_of_the_rating(ratio):
    rated = form(LoadPoint.OUTER_SINGLE_CONTACT, virtual_contact_ratio=ratio)
    found = bent(load_diameter_mm=rated.load_diameter_mm)
    assert found.form_factor == pytest.approx(rated.form_factor, rel=1e-12)
    assert found.stress_correction_factor == pytest.approx(rated.stress_correction_factor, rel=1e-12)


@given(diameter=st.floats(116.0, 130.5), more=st.floats(0.1, 0.5), force=st.floats(1e3, 1e5))
def test_the_stress_grows_with_force_and_arm(diameter, more, force):
    low, high = (bent(load_diameter_mm=at, force_N=force) for at in (diameter, diameter + more))
    assert high.stress_MPa > low.stress_MPa > 0
    assert bent(load_diameter_mm=diameter, force_N=2 * force).stress_MPa == pytest.approx(2 * low.stress_MPa)


def test_many_forces_at_once():
    found = bent(force_N=np.array([20e3, 40e3]))
    assert found.stress_MPa[1] == pytest.approx(bent().stress_MPa)


@pytest.mark.parametrize("diameter", [110.0, 132.0])
def test_a_force_beside_the_flank_is_refused(diameter):
    with pytest.raises(InputError, match="base circle"):
        bent(load_diameter_mm=diameter)
    with pytest.raises(InputError, match="a force above 0 N"):
        bent(force_N=0.0)
