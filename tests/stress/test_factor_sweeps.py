"""Every factor of ISO 6336-1 over its whole range: finite, steady, and in the direction that it should go."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.results import terms
from gearcheck.stress.dynamics import dynamic_factor
from gearcheck.stress.inputs import (
    PRIMARY,
    Blank,
    LightLoadStiffness,
    Shaft,
    ShaftLayout,
    SupercriticalKv,
    TipReliefInKv,
)
from gearcheck.stress.running_in import misalignment_allowance, running_in_allowance
from gearcheck.stress.stiffness import mesh_stiffness
from tests.stress.pairs import factors_of, helical, spur

FEW = settings(max_examples=20, deadline=None)
SHAFT = Shaft(
    layout=ShaftLayout.AWAY_FROM_TORQUE, span_mm=160.0, offset_mm=30.0, diameter_mm=48.0, stiffened=True
)
WHOLE = {
    "torque_Nm": np.geomspace(0.5, 5000, 500),
    "speed_rpm": np.geomspace(0.1, 60000, 500),
    "base_pitch_deviation_um": np.linspace(0, 150, 500),
    "profile_form_deviation_um": np.linspace(0, 150, 500),
    "tip_relief_um": np.linspace(0, 150, 500),
    "tolerance_class": np.arange(1.0, 12.0),
    "application_factor": np.linspace(1, 3, 100),
    "mesh_load_factor": np.linspace(1, 2, 100),
    "helix_slope_um": np.linspace(0.1, 150, 500),
}


def jump(values):
    """The largest step between neighbours, relative."""
    return np.max(np.abs(np.diff(values)) / np.abs(values[:-1]))


def loaded(kind, **given):
    return factors_of(
        kind(),
        **{
            "face_load_factor": None,
            "shaft": SHAFT,
            "helix_slope_um": 8.0,
            "pinion_blank": Blank(bore_mm=25.0),
            "wheel_blank": Blank(rim_thickness_mm=10.0, web_thickness_mm=9.0),
            **given,
        },
    )


@pytest.mark.parametrize("kind", [spur, helical])
@pytest.mark.parametrize("name", WHOLE)
def test_no_number_is_missing_anywhere(kind, name):
    found = loaded(kind, **{name: WHOLE[name]})
    parts = (found.stiffness, found.dynamics, found.face_load, found.pinion_blank, found.wheel_blank)
    for result in (found, *parts):
        for field, item, value in terms(result):
            if value is None:
                assert not item.formula, field
            else:
                assert np.all(np.isfinite(value)), field
    for factor in ("dynamic_factor", "face_load_factor", "face_factor_bending", "transverse_factor_contact"):
        assert np.all(np.asarray(getattr(found, factor)) >= 1), factor


@pytest.mark.parametrize("kind", [spur, helical])
def test_what_must_not_jump_does_not(kind):
    # K_V itself jumps at the start of the main resonance; at this speed it stays below that
    for name in ("torque_Nm", "base_pitch_deviation_um", "profile_form_deviation_um", "helix_slope_um"):
        found = loaded(kind, **{name: WHOLE[name]}, speed_rpm=300)
        for factor in ("dynamic_factor", "face_load_factor", "face_factor_bending"):
            assert np.ndim(getattr(found, factor)) == 0 or jump(getattr(found, factor)) < 0.05, (name, factor)
        for factor in ("transverse_factor_contact", "transverse_factor_bending"):
            assert np.ndim(getattr(found, factor)) == 0 or jump(getattr(found, factor)) < 0.05, (name, factor)


@given(
    total=st.floats(1.1, 4),
    load=st.floats(5, 1500),
    pitch=st.floats(0, 40),
    form=st.floats(0, 40),
    relief=st.floats(0, 60),
    reading=st.sampled_from(SupercriticalKv),
)
@FEW
def test_dynamic_factor_over_all_speeds(total, load, pitch, form, relief, reading):
    def at(speed):
        return dynamic_factor(
            pinion_speed_rpm=speed,
            pinion_teeth=20,
            gear_ratio=2.5,
            pinion_base_diameter_mm=75.2,
            pinion_mean_diameter_mm=79,
            pinion_density_kg_mm3=7.83e-6,
            wheel_density_kg_mm3=7.83e-6,
            total_contact_ratio=total,
            line_load_N_mm=load,
            single_stiffness=13,
            mesh_stiffness=19,
            pitch_deviation_um=pitch,
            form_deviation_um=form,
            tip_relief_um=relief,
            supercritical_kv=reading,
        )

    per_ratio = 1 / at(1.0).resonance_ratio
    ratio = np.linspace(0.001, 3, 3001)
    found = at(ratio * per_ratio)
    factor, start = found.dynamic_factor, found.resonance_start
    assert np.all(np.isfinite(factor))
    below, resonant = ratio <= start, (ratio > start) & (ratio <= 1.15)
    size = np.max(factor)
    assert np.all(np.diff(factor[below]) >= 0)
    assert np.max(np.abs(np.diff(factor[below]))) < 0.01 * size
    assert np.ptp(factor[resonant]) == 0
    assert np.max(np.abs(np.diff(factor[~below]))) < 0.01 * size
    assert np.ptp(factor[ratio >= 1.5]) == 0


def test_the_jump_into_the_main_resonance_goes_up():
    # N_S·C_v3 stays below C_v4 at every contact ratio, so that the resonance is never the milder range
    for torque in (20.0, 60.0, 500.0):
        at_start = loaded(helical, torque_Nm=torque)
        speed = 1480 * at_start.dynamics.resonance_start / at_start.resonance_ratio
        pair = factors_of(helical(), torque_Nm=torque, speed_rpm=speed * np.array([0.9, 1.1]))
        assert pair.dynamic_factor[0] < pair.dynamic_factor[1]


@pytest.mark.parametrize("reading", TipReliefInKv)
def test_dynamic_factor_in_its_directions(reading):
    readings = replace(PRIMARY, tip_relief_in_kv=reading)
    for name in ("base_pitch_deviation_um", "profile_form_deviation_um"):
        found = factors_of(helical(), readings=readings, **{name: WHOLE[name]})
        assert np.all(np.diff(found.dynamic_factor) >= 0)
    # relief first takes the change of stiffness away, beyond the deflection it brings it back
    relief = factors_of(helical(), readings=readings, tip_relief_um=np.linspace(0.1, 150, 500))
    turns = np.sign(np.diff(relief.dynamic_factor))
    assert turns[0] == -1
    assert turns[-1] == 1
    assert np.count_nonzero(np.diff(turns)) <= 2
    assert jump(relief.dynamic_factor) < 0.01


def stiffness_of(**changed):
    given = {
        "pinion_teeth": 20,
        "wheel_teeth": 40,
        "pinion_profile_shift": 0.3,
        "wheel_profile_shift": 0.1,
        "pinion_rack_dedendum": 1.25,
        "wheel_rack_dedendum": 1.25,
        "pressure_angle_deg": 20,
        "helix_angle_deg": 10,
        "transverse_contact_ratio": 1.5,
        "line_load_N_mm": 300,
        "light_load_stiffness": LightLoadStiffness.FOURTH_ROOT,
    }
    return mesh_stiffness(**{**given, **changed})


@pytest.mark.parametrize(
    ("name", "values", "direction"),
    [
        ("pinion_teeth", np.linspace(8, 200, 400), 0),
        ("wheel_teeth", np.linspace(20, 400, 400), 0),
        ("pinion_profile_shift", np.linspace(-0.6, 1.5, 400), 0),
        ("wheel_profile_shift", np.linspace(-1, 1, 400), 0),
        ("pinion_rack_dedendum", np.linspace(1, 1.6, 100), -1),
        ("pressure_angle_deg", np.linspace(15, 28, 100), 1),
        ("helix_angle_deg", np.linspace(0, 40, 400), -1),
        ("transverse_contact_ratio", np.linspace(1, 2.6, 100), 1),
        ("line_load_N_mm", np.geomspace(0.5, 3000, 2000), 1),
        ("gear_blank_factor", np.linspace(0.6, 1.05, 100), 1),
    ],
)
def test_stiffness_over_its_range(name, values, direction):
    found = stiffness_of(**{name: values}).mesh_stiffness
    assert np.all(np.isfinite(found))
    assert np.all(found > 0)
    assert jump(found) < 0.02
    if direction:
        assert np.all(direction * np.diff(found) >= -1e-12)


@given(
    x_1=st.floats(-0.4, 1.2),
    x_2=st.floats(-1, 0.8),
    z_1=st.integers(8, 120),
    ratio=st.floats(1, 10),
    angle=st.floats(0, 30),
)
@FEW
def test_flexibility_is_never_without_sense(x_1, x_2, z_1, ratio, angle):
    found = stiffness_of(
        pinion_teeth=z_1,
        wheel_teeth=z_1 * ratio,
        pinion_profile_shift=x_1,
        wheel_profile_shift=x_2,
        helix_angle_deg=angle,
    )
    assert 0.02 < found.flexibility < 0.3


@pytest.mark.parametrize("kind", [spur, helical])
def test_transverse_factors_in_their_directions(kind):
    def factors(**given):
        found = factors_of(kind(), **given)
        return found.transverse_factor_contact, found.transverse_factor_bending

    # under the caps of running-in more deviation means more uneven sharing; more load means less
    for factor in factors(base_pitch_deviation_um=np.linspace(0, 150, 400), speed_rpm=300):
        assert np.all(np.diff(factor) >= -1e-12)
    for factor in factors(torque_Nm=np.geomspace(40, 5000, 400), base_pitch_deviation_um=40, speed_rpm=10):
        assert np.all(np.diff(factor) <= 1e-12)


def test_face_factor_of_bending_lies_between_1_and_that_of_contact():
    given = np.linspace(1, 4, 200)
    for width in (8, 20, 60, 200):
        found = factors_of(helical(widths=(width, width)), face_load_factor=given)
        assert np.all(found.face_factor_bending >= 1)
        assert np.all(found.face_factor_bending <= given)
        assert np.all(np.diff(found.face_factor_bending) > 0)
    widths = np.linspace(8, 200, 400)
    swept = factors_of(helical(widths=(widths, widths)), face_load_factor=1.5)
    assert np.all(np.diff(swept.face_exponent) >= 0)
    assert jump(swept.face_exponent) < 0.01


@pytest.mark.parametrize("treatment", ["case-carburised", "gas-nitrided", "through-hardened"])
@pytest.mark.parametrize("allowance", [running_in_allowance, misalignment_allowance])
def test_running_in_leaves_part_of_a_deviation(allowance, treatment):
    deviation = np.linspace(0, 300, 600)
    of = {"treatment": treatment, "flank_limit_MPa": 640}
    by_speed = [allowance(deviation_um=deviation, pitch_line_velocity_m_s=v, **of) for v in (2, 7, 20)]
    for found in by_speed:
        assert np.all((found >= 0) & (found <= deviation))
        assert np.all(np.diff(found) >= 0)
        assert np.max(np.diff(found)) <= deviation[1]
    for slow, fast in pairwise(by_speed):
        assert np.all(fast <= slow)
