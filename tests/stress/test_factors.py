from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.stress.dynamics import dynamic_coefficients, dynamic_factor
from gearcheck.stress.inputs import (
    PRIMARY,
    DeviationInKHalpha,
    LightLoadStiffness,
    SupercriticalKv,
    TipReliefInKv,
)
from gearcheck.stress.running_in import running_in_allowance, running_in_relief
from gearcheck.stress.stiffness import basic_rack_factor, mesh_stiffness
from tests.checks import cases, holds
from tests.stress.pairs import factors_of, from_sheet, helical, spur


def stiffness_of(line_load, reading=LightLoadStiffness.FOURTH_ROOT, **changed):
    given = {
        "pinion_teeth": 16,
        "wheel_teeth": 24,
        "pinion_profile_shift": 0.1817,
        "wheel_profile_shift": 0.1715,
        "pinion_rack_dedendum": 1.25,
        "wheel_rack_dedendum": 1.25,
        "pressure_angle_deg": 20,
        "helix_angle_deg": 0,
        "transverse_contact_ratio": 1.43754,
    }
    return mesh_stiffness(**{**given, **changed}, line_load_N_mm=line_load, light_load_stiffness=reading)


def dynamics_of(speed, reading=SupercriticalKv.NOT_BELOW_1, **changed):
    given = {
        "pinion_teeth": 20,
        "gear_ratio": 2,
        "pinion_base_diameter_mm": 75.175,
        "pinion_mean_diameter_mm": 79,
        "pinion_density_kg_mm3": 7.83e-6,
        "wheel_density_kg_mm3": 7.83e-6,
        "total_contact_ratio": 1.6,
        "line_load_N_mm": 400,
        "single_stiffness": 13,
        "mesh_stiffness": 19,
        "pitch_deviation_um": 6,
        "form_deviation_um": 5,
        "tip_relief_um": 0,
    }
    return dynamic_factor(pinion_speed_rpm=speed, supercritical_kv=reading, **{**given, **changed})


def speed_at(ratio, **changed):
    """The speed at which the resonance ratio is `ratio`."""
    return ratio / dynamics_of(1.0, **changed).resonance_ratio


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.stiffness:mesh_stiffness"), ids=str)
def test_stiffness(check):
    inputs = dict(check.inputs)
    dedendum, load = inputs.pop("rack_dedendum"), inputs.pop("line_load_N_mm")
    found = stiffness_of(load, pinion_rack_dedendum=dedendum, wheel_rack_dedendum=dedendum, **inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.stiffness:basic_rack_factor"), ids=str)
def test_basic_rack_factor(check):
    holds(check, C_B=basic_rack_factor(**check.inputs))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.dynamics:dynamic_coefficients"), ids=str)
def test_coefficients(check):
    found = dynamic_coefficients(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.running_in:running_in_relief"), ids=str)
def test_running_in_relief(check):
    holds(check, C_ay=running_in_relief(**check.inputs))


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.running_in:running_in_allowance"), ids=str
)
def test_running_in_allowance(check):
    holds(check, y=running_in_allowance(**check.inputs))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.factors:load_factors"), ids=str)
def test_load_factors(check):
    found = from_sheet(check.inputs["pair"]).factors
    holds(
        check,
        F_t=found.tangential_force_N,
        v=found.pitch_line_velocity_m_s,
        w=found.line_load_N_mm,
        c=found.single_stiffness,
        c_ga=found.mesh_stiffness,
        N=found.resonance_ratio,
        K_V=found.dynamic_factor,
        K_Ha=found.transverse_factor_contact,
        K_Fa=found.transverse_factor_bending,
        K_Fb=found.face_factor_bending,
    )


@pytest.mark.parametrize("reading", LightLoadStiffness)
def test_stiffness_meets_at_100_newtons_a_millimetre(reading):
    below, at, above = (stiffness_of(load, reading).single_stiffness for load in (100 - 1e-9, 100, 900))
    assert below == pytest.approx(at, rel=1e-9)
    assert at == above


def test_stiffness_at_light_load_by_both_readings():
    full = stiffness_of(100).single_stiffness
    assert stiffness_of(50).single_stiffness == pytest.approx(full * 0.5**0.25)
    assert stiffness_of(50, LightLoadStiffness.LINEAR).single_stiffness == pytest.approx(full * 0.5)


def test_stiffness_outside_its_range_is_a_caution():
    assert stiffness_of(400).notices == ()
    keys = {notice.key for notice in stiffness_of(1700, pinion_profile_shift=-0.8).notices}
    assert keys == {
        "iso6336_1.mesh_stiffness.shift_sum",
        "iso6336_1.mesh_stiffness.shift_difference",
        "iso6336_1.mesh_stiffness.line_load_N_mm",
    }


@given(
    total=st.floats(1.2, 4),
    load=st.floats(101, 1500),
    pitch=st.floats(0, 30),
    relief=st.floats(0, 40),
    edge=st.sampled_from([1.15, 1.5]),
)
def test_dynamic_factor_is_continuous_where_the_standard_is(total, load, pitch, relief, edge):
    given = {
        "total_contact_ratio": total,
        "line_load_N_mm": load,
        "pitch_deviation_um": pitch,
        "tip_relief_um": relief,
    }
    speed = speed_at(edge, **given)
    below, at, above = dynamics_of(speed * np.array([1 - 1e-9, 1, 1 + 1e-9]), **given).dynamic_factor
    assert below == pytest.approx(at, abs=1e-6)
    assert above == pytest.approx(at, abs=1e-6)
    assert at >= 1


def test_ranges_of_speed_take_their_own_formula():
    found = dynamics_of(speed_at(np.array([0.5, 0.84, 0.86, 1.0, 1.325, 1.6])))
    below, high = found.subcritical_factor, found.supercritical_factor
    assert found.dynamic_factor[:2].tolist() == below[:2].tolist()
    assert found.dynamic_factor[2:4].tolist() == [found.resonant_factor] * 2
    assert found.dynamic_factor[4] == pytest.approx((found.resonant_factor + high) / 2)
    assert found.dynamic_factor[5] == high


def test_main_resonance_starts_earlier_at_light_load_and_is_a_caution():
    assert dynamics_of(1, line_load_N_mm=25).resonance_start == pytest.approx(0.675)
    assert dynamics_of(1, line_load_N_mm=100).resonance_start == pytest.approx(0.85)
    assert dynamics_of(speed_at(0.85)).notices == ()
    assert [notice.key for notice in dynamics_of(speed_at(0.8501)).notices] == ["iso6336_1.main_resonance"]


def test_coefficients_keep_their_jumps_at_two():
    at, above = (dynamic_coefficients(total_contact_ratio=ratio) for ratio in (2.0, 2.0 + 1e-12))
    assert at.C_v2 - above.C_v2 == pytest.approx(0.34 - 0.57 / 1.7)
    assert at.C_v3 - above.C_v3 == pytest.approx(0.23 - 0.096 / 0.44)
    assert at.C_v4 - above.C_v4 == pytest.approx(0.90 - 0.47 / 0.56)
    assert at.C_v6 - above.C_v6 == pytest.approx(0.47 - 0.12 / 0.26)
    edges = dynamic_coefficients(total_contact_ratio=np.array([1.5, 1.5 + 1e-9, 2.5, 2.5 + 1e-9])).C_v7
    assert edges == pytest.approx([0.75, 0.75, 1.0, 1.0])


def test_supercritical_may_fall_below_1_only_by_its_reading():
    given = {"pitch_deviation_um": 0.1, "form_deviation_um": 0.1}
    speed = speed_at(2.0)
    assert dynamics_of(speed, **given).dynamic_factor == 1
    as_computed = dynamics_of(speed, SupercriticalKv.AS_COMPUTED, **given).dynamic_factor
    assert as_computed == pytest.approx(0.754, abs=0.01)


def test_the_relief_of_running_in_is_said_where_it_counts():
    def keys(relief_um, tolerance_class, **readings):
        found = factors_of(
            helical(),
            tip_relief_um=relief_um,
            tolerance_class=tolerance_class,
            readings=replace(PRIMARY, **readings),
        )
        return [notice.key for notice in found.notices]

    assert keys(0, 5) == keys(np.array([10.0, 0.0]), 5) == ["iso6336_1.running_in_relief"]
    assert keys(0.1, 5) == keys(0, 6) == keys(0, 5, tip_relief_in_kv=TipReliefInKv.ALWAYS) == []


def test_the_line_load_counts_the_mesh_load_factor():
    found = factors_of(helical(), mesh_load_factor=1.2)
    assert found.line_load_N_mm == pytest.approx(1.2 * factors_of(helical()).line_load_N_mm)
    share = found.single_stiffness * (7 - found.pitch_running_in_um) / found.line_load_N_mm
    assert found.dynamics.pitch_share == pytest.approx(share)


def relief_share(relief_um, tolerance_class, reading):
    readings = replace(PRIMARY, tip_relief_in_kv=reading)
    given = {"tip_relief_um": relief_um, "tolerance_class": tolerance_class, "readings": readings}
    found = factors_of(helical(), **given)
    return (
        found.dynamics.relief_share,
        found.single_stiffness / found.line_load_N_mm,
        found.running_in_relief_um,
    )


def test_tip_relief_counts_up_to_class_5():
    share, per_um, _ = relief_share(10, 5, TipReliefInKv.TO_CLASS_5)
    assert share == pytest.approx(1 - 10 * per_um)
    share, per_um, running_in = relief_share(0, 5, TipReliefInKv.TO_CLASS_5)
    assert share == pytest.approx(1 - running_in * per_um)
    assert relief_share(10, 6, TipReliefInKv.TO_CLASS_5)[0] == 1
    share, per_um, _ = relief_share(10, 6, TipReliefInKv.ALWAYS)
    assert share == pytest.approx(1 - 10 * per_um)
    assert relief_share(0, 5, TipReliefInKv.ALWAYS)[0] == 1


@given(
    torque=st.floats(20, 3000),
    pitch=st.floats(0, 60),
    turned=st.booleans(),
    width=st.floats(20, 120),
    kind=st.sampled_from([spur, helical]),
)
@settings(max_examples=60)
def test_transverse_factors_keep_their_limits(torque, pitch, turned, width, kind):
    pair = kind(widths=(width, width))
    reading = DeviationInKHalpha.LARGER_OF_BOTH if turned else DeviationInKHalpha.BASE_PITCH
    readings = replace(PRIMARY, deviation_in_khalpha=reading)
    found = factors_of(pair, torque_Nm=torque, base_pitch_deviation_um=pitch, readings=readings)
    e_a, e_g = found.transverse_contact_ratio, found.total_contact_ratio
    contact = max(e_g / (e_a * found.contact_ratio_factor**2), 1)
    bending = max(e_g / (0.25 * e_a + 0.75), 1)
    assert 1 <= found.transverse_factor_contact <= contact + 1e-12
    assert 1 <= found.transverse_factor_bending <= bending + 1e-12


def test_transverse_factor_is_continuous_at_a_total_ratio_of_two():
    # ε_γ/2 and √(2·(ε_γ - 1)/ε_γ) both are 1 at 2
    found = factors_of(
        helical(widths=np.linspace(30, 36, 4001) * np.ones((2, 1))), base_pitch_deviation_um=60
    )
    total, factor = found.total_contact_ratio, found.transverse_factor_unlimited
    assert total[0] < 2 < total[-1]
    assert np.max(np.abs(np.diff(factor))) < 2e-3


def test_larger_deviation_in_khalpha_by_its_reading():
    given = {"torque_Nm": 60, "base_pitch_deviation_um": 5, "profile_form_deviation_um": 30}
    larger = replace(PRIMARY, deviation_in_khalpha=DeviationInKHalpha.LARGER_OF_BOTH)
    assert factors_of(spur(), **given).transverse_deviation_um == 5
    assert factors_of(spur(), **given, readings=larger).transverse_deviation_um == 30


def test_face_factor_of_bending():
    found = factors_of(helical(widths=(10, 40)))
    assert found.height_to_width == pytest.approx(1 / 3)
    assert found.face_exponent == pytest.approx(1 / (1 + 1 / 3 + 1 / 9))
    wide = factors_of(helical(widths=(60, 60)))
    assert wide.face_exponent > found.face_exponent
    assert wide.face_factor_bending == pytest.approx(1.15**wide.face_exponent)


def test_bad_arguments_show_all_at_once():
    with pytest.raises(InputError) as raised:
        factors_of(helical(), torque_Nm=0, speed_rpm=-1, application_factor=0)
    fields = [fault.field for fault in raised.value.faults]
    assert fields == ["torque_Nm", "speed_rpm", "application_factor"]
