"""Backlash: cited values, what moves it in which direction, and both ends."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.backlash import backlash, expansion
from gearcheck.gear.backlash_limits import Temperatures, backlash_limits
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from tests.checks import cases, holds
from tests.formula import disagreements

CASES = {check.id: check for check in cases("gear", "gearcheck.gear.backlash:backlash")}
COLD = {
    "pinion_temperature_C": 20.0,
    "wheel_temperature_C": 20.0,
    "housing_temperature_C": 20.0,
    "gear_expansion_um_m_K": 11.5,
    "housing_expansion_um_m_K": 10.5,
}
NOMINAL = {
    "pinion_allowance_mm": 0.0,
    "wheel_allowance_mm": 0.0,
    "centre_distance_allowance_mm": 0.0,
    "runout_mm": 0.0,
}


def toothed(teeth, shift, module, *, internal=False):
    reference = teeth * module
    tip = reference - 1.6 * module if internal else reference + 2 * (0.95 + shift) * module
    return Tooth(
        teeth=teeth,
        profile_shift=shift,
        tip_diameter_mm=tip,
        face_width_mm=30.0,
        rack_dedendum=1.4,
        rack_root_radius=0.3,
        protuberance_mm=0.0,
        stock_min_mm=0.0,
        stock_max_mm=0.0,
        internal=internal,
    )


def pair_of(module, helix, teeth, shifts, distance, *, internal=False):
    return pair_geometry(
        normal_module_mm=module,
        pressure_angle_deg=20.0,
        helix_angle_deg=helix,
        centre_distance_mm=distance,
        pinion=toothed(teeth[0], shifts[0], module),
        wheel=toothed(teeth[1], shifts[1], module, internal=internal),
    )


FAN = pair_of(5.0, 12.0, (23, 71), (0.35, 0.18), 243.0)
RING = pair_of(4.0, 0.0, (20, 70), (0.2, -0.2), 100.0, internal=True)


def test_the_backlash_that_a_generating_shift_was_made_for():
    check = CASES["BACKLASH-01"]
    given = check.inputs
    pair = pair_of(3.5, 21.0, given["teeth"], given["shifts"], given["centre_distance_mm"])
    found = backlash(pair=pair, **NOMINAL, **COLD)
    holds(check, j_bn_mm=found.normal_backlash_mm)
    assert found.normal_backlash_mm == pytest.approx(pair.normal_backlash_mm, abs=1e-12)


def test_backlash_over_temperatures():
    check = CASES["BACKLASH-02"]
    given = check.inputs
    states = {f"{name}_temperature_C": given[f"{name}_C"] for name in ("pinion", "wheel", "housing")}
    found = backlash(
        pair=FAN,
        pinion_allowance_mm=-0.06,
        wheel_allowance_mm=-0.08,
        centre_distance_allowance_mm=given["centre_distance_allowance_mm"],
        runout_mm=0.0,
        **{**COLD, **states},
    )
    holds(check, j_wt_mm=found.transverse_backlash_mm, j_bn_mm=found.normal_backlash_mm)
    assert disagreements(found)[0] == []


def test_a_pinion_in_an_internal_gear():
    check = CASES["BACKLASH-03"]
    first, second = check.inputs["allowances_mm"]
    thinner = {**NOMINAL, "pinion_allowance_mm": first, "wheel_allowance_mm": second}
    found = backlash(pair=RING, **thinner, **COLD)
    holds(check, j_bn_mm=found.normal_backlash_mm)
    assert disagreements(found)[0] == []
    wider = backlash(pair=RING, **{**thinner, "centre_distance_allowance_mm": 0.05}, **COLD)
    assert wider.normal_backlash_mm < found.normal_backlash_mm


@given(st.floats(-40.0, 150.0), st.floats(5.0, 30.0))
def test_one_material_at_one_temperature_keeps_the_shape(temperature, expands):
    """All lengths grow alike, and the backlash with them."""
    given_state = dict.fromkeys(
        ("pinion_temperature_C", "wheel_temperature_C", "housing_temperature_C"), temperature
    )
    expansions = {"gear_expansion_um_m_K": expands, "housing_expansion_um_m_K": expands}
    thinner = {**NOMINAL, "pinion_allowance_mm": -0.1}
    warm = backlash(pair=FAN, **thinner, **given_state, **expansions).normal_backlash_mm
    cold = backlash(pair=FAN, **thinner, **COLD).normal_backlash_mm
    assert warm == pytest.approx(cold * (1 + expands * (temperature - 20) / 1e6), rel=1e-9)


def test_what_takes_backlash_away():
    base = backlash(pair=FAN, **NOMINAL, **COLD).normal_backlash_mm
    for change in (
        {"pinion_allowance_mm": 0.05},
        {"wheel_allowance_mm": 0.05},
        {"centre_distance_allowance_mm": -0.05},
        {"runout_mm": -0.02},
        {"pinion_temperature_C": 60.0},
        {"wheel_temperature_C": 60.0},
        {"housing_temperature_C": -20.0},
    ):
        assert backlash(pair=FAN, **{**NOMINAL, **COLD, **change}).normal_backlash_mm < base


def test_the_radial_backlash_closes_the_gap_nearly():
    thinner = {**NOMINAL, "pinion_allowance_mm": -0.04, "wheel_allowance_mm": -0.04}
    found = backlash(pair=FAN, **thinner, **COLD)
    closer = {**thinner, "centre_distance_allowance_mm": -found.radial_backlash_mm}
    assert abs(backlash(pair=FAN, **closer, **COLD).normal_backlash_mm) < 0.02 * found.normal_backlash_mm


@pytest.mark.parametrize("pair", [FAN, RING], ids=["external", "internal"])
def test_both_ends_hold_every_backlash_between(pair):
    ends = {
        "pinion_allowance_mm": (-0.12, -0.06),
        "wheel_allowance_mm": (-0.15, -0.08),
        "centre_distance_allowance_mm": (-0.03, 0.04),
    }
    states = Temperatures(
        pinion_C=np.array([-20.0, 20.0, 85.0]),
        wheel_C=np.array([-20.0, 20.0, 75.0]),
        housing_C=np.array([-20.0, 20.0, 60.0]),
        gear_um_m_K=expansion("steel"),
        housing_um_m_K=expansion("grey cast iron"),
    )
    found = backlash_limits(pair=pair, **ends, runout_mm=0.02, temperatures=states)
    rng = np.random.default_rng(1)
    sampled = backlash(
        pair=pair,
        **{name: rng.uniform(*limits, (400, 1)) for name, limits in ends.items()},
        runout_mm=rng.uniform(-0.02, 0.02, (400, 1)),
        pinion_temperature_C=states.pinion_C,
        wheel_temperature_C=states.wheel_C,
        housing_temperature_C=states.housing_C,
        gear_expansion_um_m_K=states.gear_um_m_K,
        housing_expansion_um_m_K=states.housing_um_m_K,
    ).normal_backlash_mm
    assert (sampled >= found.least.normal_backlash_mm).all()
    assert (sampled <= found.greatest.normal_backlash_mm).all()


def test_what_cannot_be_worked_out():
    far = backlash(pair=FAN, **{**NOMINAL, "centre_distance_allowance_mm": -30.0}, **COLD)
    assert far.normal_backlash_mm is None
    assert [notice.key for notice in far.stops] == ["backlash.distance"]
    with pytest.raises(InputError) as caught:
        backlash(pair=FAN, **{**NOMINAL, "runout_mm": None, "pinion_allowance_mm": np.nan}, **COLD)
    assert len(caught.value.faults) == 2
