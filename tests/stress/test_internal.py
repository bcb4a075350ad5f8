"""The rating with an internal gear: its textbook values, its limit cases, and the whole chain."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.contact.hertz import hertz_line
from gearcheck.gear.path import contact_path
from gearcheck.stress.inputs import Member, StressEdition
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_form import LoadPoint, root_form
from gearcheck.stress.root_internal import internal_root_form
from gearcheck.stress.stiffness import InternalMeshStiffness, MeshStiffness, mesh_stiffness
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.stress import pairs

PLAIN = {
    "normal_module_mm": 1.0,
    "pressure_angle_deg": 20.0,
    "helix_angle_deg": 0.0,
    "profile_shift": 0.0,
    "rack_dedendum": 1.25,
    "rack_root_radius": 0.15,
    "residual_undercut_mm": 0.0,
    "virtual_contact_ratio": 1.6,
    "overlap_ratio": 0.0,
    "load_point": LoadPoint.TIP,
}


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.root_internal:internal_root_form"), ids=str
)
def test_the_textbook_values(check):
    inputs = check.inputs
    given_tooth = {name: inputs[name] for name in ("teeth", "tip_diameter_mm", "rack_root_radius")}
    form = internal_root_form(**{**PLAIN, **given_tooth, "rack_dedendum": inputs["rack_dedendum"]})
    holds(check, Y_F=form.form_factor, Y_S=form.stress_correction_factor)


def test_the_replacement_rack_is_near_an_endless_external_gear():
    """At 60° to the middle of the space both look at the same place of the same rack."""
    teeth = 1e5
    rack = {**PLAIN, "rack_root_radius": 0.3}
    outer = root_form(**rack, teeth=teeth, tip_diameter_mm=teeth + 2)
    inner = internal_root_form(**rack, teeth=teeth, tip_diameter_mm=teeth - 2)
    assert inner.root_chord_mm == pytest.approx(outer.root_chord_mm, rel=1e-3)
    assert inner.bending_arm_mm == pytest.approx(outer.bending_arm_mm, rel=1e-3)
    assert inner.form_factor == pytest.approx(outer.form_factor, rel=2e-3)
    assert inner.stress_correction_factor == pytest.approx(outer.stress_correction_factor, rel=2e-3)


@settings(max_examples=25)
@given(shift=st.floats(-0.8, 0.3), teeth=st.integers(80, 200), contact=st.floats(1.1, 1.9))
def test_directions_of_the_internal_root(shift, teeth, contact):
    def form(**changed):
        tip = teeth - 2 * (0.9 + shift)
        return internal_root_form(
            **{**PLAIN, "teeth": teeth, "tip_diameter_mm": tip, "profile_shift": shift, **changed}
        )

    at_tip, single = form(), form(load_point=LoadPoint.OUTER_SINGLE_CONTACT, virtual_contact_ratio=contact)
    assert 0 < single.bending_arm_mm < at_tip.bending_arm_mm
    assert single.form_factor < at_tip.form_factor
    assert form(rack_root_radius=0.3).stress_correction_factor < at_tip.stress_correction_factor
    for result in (at_tip, single, form(edition=StressEdition.ISO_6336_2006)):
        assert disagreements(result)[0] == []


def test_a_shift_thickens_the_tooth_and_leaves_the_rack():
    """The same tooth, drawn with another shift, bends over the same chord."""
    one = internal_root_form(**PLAIN, teeth=80, tip_diameter_mm=78)
    moved = internal_root_form(**{**PLAIN, "profile_shift": 0.4}, teeth=80, tip_diameter_mm=78 - 0.8)
    assert moved.root_chord_mm == pytest.approx(one.root_chord_mm)
    assert moved.bending_arm_mm == pytest.approx(one.bending_arm_mm)


@pytest.mark.parametrize("helix", [0, 15])
def test_the_whole_rating_of_both_members(helix):
    pair = pairs.internal(helix_angle_deg=helix)
    assert not pair.stops
    for member in Member:
        rating = pairs.rated(pair, member=member)
        for result in pairs.results_in(rating):
            assert disagreements(result)[0] == [], type(result)
            assert not result.stops, type(result)
        assert rating.flank_limit.safety > 0
        assert rating.root_limit.safety > 0
    assert rating.flank.wheel_contact_factor == pytest.approx(1.0, abs=0.2)


def test_sigma_H0_is_the_hertz_pressure_at_the_pitch_point():  # noqa: N802 - a symbol
    pair = pairs.internal()
    rating = pairs.rated(pair)
    flank = rating.flank
    force = rating.factors.tangential_force_N / np.cos(np.radians(pair.transverse_pressure_angle_deg))
    pressure = hertz_line(
        line_load_N_mm=force / pair.common_face_width_mm,
        reduced_radius_mm=pair.reduced_radius_mm,
        modulus_1_MPa=pairs.LIMITS.elastic_modulus_MPa,
        modulus_2_MPa=pairs.LIMITS.elastic_modulus_MPa,
        poisson_1=pairs.LIMITS.poisson_ratio,
        poisson_2=pairs.LIMITS.poisson_ratio,
    ).pressure_MPa
    bare = flank.nominal_stress_MPa / (flank.contact_ratio_factor * flank.helix_factor)
    assert bare == pytest.approx(pressure, rel=1e-9)


@pytest.mark.parametrize("helix", [0, 15])
def test_the_inner_points_of_single_contact_lie_on_the_path(helix):
    pair = pairs.internal(helix_angle_deg=helix)
    flank, path = pairs.rated(pair).flank, contact_path(pair=pair, points=4001)
    there = [
        np.interp(mark, path.position_mm, path.reduced_radius_mm) for mark in (path.mark_B_mm, path.mark_D_mm)
    ]
    assert flank.pinion_point_ratio == pytest.approx(np.sqrt(pair.reduced_radius_mm / there[0]), rel=1e-6)
    assert flank.wheel_point_ratio == pytest.approx(np.sqrt(pair.reduced_radius_mm / there[1]), rel=1e-6)
    assert flank.wheel_point_ratio < 1 < flank.pinion_point_ratio


def test_the_outer_point_of_single_contact_of_the_internal_gear():
    pair = pairs.internal()
    root = root_stress(pair=pair, member=Member.WHEEL, factors=pairs.factors_of(pair))
    path = contact_path(pair=pair, points=4001)
    diameter = np.interp(path.mark_B_mm, path.position_mm, path.wheel_diameter_mm)
    assert root.form.load_diameter_mm == pytest.approx(diameter, rel=1e-8)


def test_an_internal_flank_is_less_stressed_than_an_external_one():
    inner, outer = pairs.internal(), pairs.spur(teeth=(20, 70), centre_distance_mm=180, tips=(88, 288))
    assert pairs.rated(inner).flank.nominal_stress_MPa < pairs.rated(outer).flank.nominal_stress_MPa


def test_an_endless_wheel_has_the_flexibility_of_an_internal_one():

    given_mesh = {
        "pinion_teeth": 20,
        "pinion_profile_shift": 0.3,
        "wheel_profile_shift": -0.3,
        "pinion_rack_dedendum": 1.25,
        "wheel_rack_dedendum": 1.25,
        "pressure_angle_deg": 20,
        "helix_angle_deg": 10,
        "transverse_contact_ratio": 1.6,
        "line_load_N_mm": 300,
        "light_load_stiffness": pairs.PRIMARY.light_load_stiffness,
    }
    inner = mesh_stiffness(**given_mesh, wheel_teeth=70, internal_wheel=True)
    endless = mesh_stiffness(**given_mesh, wheel_teeth=1e12)
    assert isinstance(inner, InternalMeshStiffness)
    assert not isinstance(endless, InternalMeshStiffness)
    assert isinstance(endless, MeshStiffness)
    assert inner.mesh_stiffness == pytest.approx(endless.mesh_stiffness, rel=1e-9)
    assert inner.wheel_virtual_teeth is None
