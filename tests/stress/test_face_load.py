"""The face load factor from shaft, manufacture and lead."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.stress.face_load import face_load_factor, initial_misalignment, load_from_misalignment
from gearcheck.stress.inputs import ContactPattern, LeadModification, Shaft, ShaftLayout
from gearcheck.stress.running_in import misalignment_allowance
from tests.checks import cases, holds
from tests.stress.pairs import LIMITS, factors_of, helical

SHAFT = Shaft(layout=ShaftLayout.TOWARDS_TORQUE, span_mm=200, offset_mm=40, diameter_mm=50, stiffened=True)
MESH = {
    "pinion_diameter_mm": 81.8,
    "face_width_mm": 32,
    "mean_line_load_N_mm": 490,
    "face_stiffness": 13.9,
    "helix_slope_um": 6.5,
    "helix_slope_5_um": 6.5,
    "pitch_line_velocity_m_s": 6.3,
    "pinion_limits": LIMITS,
    "wheel_limits": LIMITS,
}


def face_load(mesh=None, **shaft):
    return face_load_factor(shaft=replace(SHAFT, **shaft), **{**MESH, **(mesh or {})})


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.face_load:initial_misalignment"), ids=str)
def test_favourable_pattern(check):
    holds(
        check,
        F_bx=initial_misalignment(**check.inputs, pattern=ContactPattern.FAVOURABLE),
    )


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.face_load:load_from_misalignment"), ids=str
)
def test_both_branches(check):
    holds(check, K_Hb=load_from_misalignment(**check.inputs))


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.running_in:misalignment_allowance"), ids=str
)
def test_running_in_of_the_misalignment(check):
    holds(check, y=misalignment_allowance(**check.inputs))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.face_load:face_load_factor"), ids=str)
def test_face_load_by_hand(check):
    found = face_load(check.inputs)
    holds(
        check,
        f_sh=found.deflection_um,
        F_bx=found.initial_misalignment_um,
        F_by=found.misalignment_um,
        K_Hb=found.face_load_factor,
    )


def slope_of_a_beam(span, place, offset):
    """Slope of a bent bar under a unit load at the place of the load, times 3·E·I."""
    if place is ShaftLayout.OVERHUNG:
        return offset * span + 1.5 * offset**2
    a, b = span / 2 + offset, span / 2 - offset
    return a * b * (a - b) / span


@pytest.mark.parametrize(("layout", "offset"), [(ShaftLayout.TOWARDS_TORQUE, 20), (ShaftLayout.OVERHUNG, 30)])
def test_bending_is_that_of_a_bar(layout, offset):
    # the constants of the layouts are rounded, and the shaft has shoulders: within a quarter of plain bending
    found = face_load(layout=layout, offset_mm=offset, stiffened=False)
    second_moment = np.pi / 64 * 50**4
    slope = slope_of_a_beam(200, layout, offset) / (3 * 206000 * second_moment)
    bent = slope * 490 * 32 * 32 * 1000  # over the face, in µm
    share = found.bending_share * 0.023 * 490 * (32 / 81.8) ** 2
    assert share == pytest.approx(bent, rel=0.25)


def test_twist_is_that_of_a_solid_bar():
    # without offset the deflection is the twist of the pinion under a torque that fades along its face,
    # seven tenths of it, and its own bending
    found = face_load(offset_mm=0)
    shear_modulus = 206000 / (2 * 1.3)
    twist = 490 * (32 / 81.8) ** 2 * 4 / (np.pi * shear_modulus) * 1000
    assert 0.7 * found.deflection_um == pytest.approx(twist, rel=0.01)


def test_the_other_side_of_the_middle_takes_bending_off():
    towards, away = (
        face_load(layout=layout) for layout in (ShaftLayout.TOWARDS_TORQUE, ShaftLayout.AWAY_FROM_TORQUE)
    )
    assert away.bending_share == -towards.bending_share
    assert away.deflection_um < towards.deflection_um


def test_lead_and_manufacture():
    plain = face_load()
    assert plain.manufacture_um == 6.5
    assert face_load(misalignment_um=12).manufacture_um == 12
    for lead in LeadModification:
        found = face_load(lead_modification=lead)
        assert found.face_load_factor <= plain.face_load_factor
    crowned = face_load(lead_modification=LeadModification.CROWNING)
    assert crowned.initial_misalignment_um == pytest.approx(1.33 * 0.5 * crowned.deflection_um + 0.5 * 6.5)
    (note,) = crowned.notices
    assert f"{(crowned.deflection_um + 6.5) / 2:.3g} µm" in note.text


def test_never_below_the_least_misalignment():
    found = face_load(
        lead_modification=LeadModification.HELIX_AND_CROWNING,
        misalignment_um=0.0,
        mesh={"mean_line_load_N_mm": np.array([100.0, 1000.0])},
    )
    assert found.initial_misalignment_um.tolist() == [3.25, 5.0]


def test_what_lies_outside_is_a_caution():
    def keys(**shaft):
        return [notice.key.rpartition(".")[2] for notice in face_load(**shaft).notices]

    assert keys() == []
    assert keys(offset_mm=70) == ["offset_ratio"]
    assert keys(layout=ShaftLayout.OVERHUNG, offset_mm=70) == []
    assert keys(layout=ShaftLayout.OVERHUNG, offset_mm=120) == ["overhung_ratio", "part_of_face"]
    assert keys(diameter_mm=75) == ["stiffened"]
    assert keys(misalignment_um=100) == ["part_of_face"]


def test_bad_shafts_are_refused():
    with pytest.raises(InputError) as raised:
        face_load(span_mm=0, diameter_mm=-1)
    assert [fault.field for fault in raised.value.faults] == ["span_mm", "diameter_mm"]
    with pytest.raises(InputError, match="offset_mm"):
        face_load(offset_mm=-5)


def test_the_shaft_gives_the_factor_where_none_is_given():
    found = factors_of(helical(), face_load_factor=None, shaft=SHAFT, helix_slope_um=6.5)
    assert found.face_load.face_load_factor == found.face_load_factor > 1
    assert found.face_load.helix_slope_5_um == 6.5
    assert found.face_load.mean_line_load_N_mm == pytest.approx(found.line_load_N_mm * found.dynamic_factor)
    given = factors_of(helical(), face_load_factor=found.face_load_factor, shaft=SHAFT)
    assert given.face_load is None
    for name in ("transverse_factor_contact", "face_factor_bending", "governing_line_load_N_mm"):
        assert getattr(given, name) == getattr(found, name)


def test_class_5_follows_by_the_steps_of_the_classes():
    shaft = replace(SHAFT, pattern=ContactPattern.FAVOURABLE)
    given = {"face_load_factor": None, "shaft": shaft, "helix_slope_um": 10.0, "tolerance_class": 7}
    assert factors_of(helical(), **given).face_load.helix_slope_5_um == pytest.approx(5.0)
    assert factors_of(helical(), **given, helix_slope_5_um=6.0).face_load.helix_slope_5_um == 6.0


def test_neither_factor_nor_shaft_names_both_ways():
    with pytest.raises(InputError) as raised:
        factors_of(helical(), face_load_factor=None)
    (fault,) = raised.value.faults
    assert "face load factor K_Hβ" in fault.needed
    assert "shaft" in fault.needed
    with pytest.raises(InputError, match="helix_slope_um"):
        factors_of(helical(), face_load_factor=None, shaft=SHAFT)


def test_bins_and_samples_broadcast():
    found = factors_of(
        helical(),
        torque_Nm=np.array([[100.0], [500.0]]),
        face_load_factor=None,
        shaft=replace(SHAFT, span_mm=np.array([150.0, 200.0, 250.0])),
        helix_slope_um=6.5,
    )
    assert found.face_load_factor.shape == found.face_factor_bending.shape == (2, 3)
    one = factors_of(helical(), face_load_factor=None, shaft=replace(SHAFT, span_mm=250), helix_slope_um=6.5)
    assert found.face_load_factor[1, 2] == pytest.approx(one.face_load_factor)


@given(
    load=st.floats(5, 3000),
    stiffness=st.floats(2, 25),
    slope=st.floats(0.5, 60),
    layout=st.sampled_from(ShaftLayout),
    lead=st.sampled_from(LeadModification),
    pattern=st.sampled_from(ContactPattern),
)
@settings(max_examples=40)
def test_finite_steady_and_in_the_right_direction(load, stiffness, slope, layout, lead, pattern):
    def swept(mesh=None, **shaft):
        mesh = {
            "mean_line_load_N_mm": load,
            "face_stiffness": stiffness,
            "helix_slope_um": slope,
            **(mesh or {}),
        }
        factor = face_load(mesh, layout=layout, lead_modification=lead, pattern=pattern, **shaft)
        assert np.all(np.isfinite(factor.face_load_factor))
        assert np.all(factor.face_load_factor >= 1)
        assert np.all(factor.misalignment_um > 0)
        return factor.face_load_factor

    def steps(values):
        return np.diff(values) / values[:-1]

    swept(span_mm=np.linspace(50, 800, 60))
    swept(offset_mm=np.linspace(0, 60, 60))
    stiff = swept({"face_stiffness": np.linspace(2, 25, 400)})
    assert np.all(np.diff(stiff) > 0)
    assert np.max(steps(stiff)) < 0.03
    rough = swept({"helix_slope_um": np.linspace(0.5, 60, 400)})
    assert np.max(np.abs(steps(rough))) < 0.3
    if pattern is ContactPattern.UNPROVEN:
        assert np.all(np.diff(rough) >= -1e-12)
        heavy = swept({"mean_line_load_N_mm": np.geomspace(5, 3000, 400)})
        assert np.max(np.abs(steps(heavy))) < 0.03
        made = swept(misalignment_um=np.linspace(0, 100, 100))
        assert np.all(np.diff(made) >= -1e-12)
        if layout is not ShaftLayout.AWAY_FROM_TORQUE:
            assert np.all(np.diff(swept(offset_mm=np.linspace(0, 60, 60))) >= -1e-12)
            assert np.all(np.diff(swept(diameter_mm=np.linspace(30, 70, 60))) <= 1e-12)
