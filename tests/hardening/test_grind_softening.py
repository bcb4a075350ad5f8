"""Softening by the heat of a pass, and the pass that keeps its limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.hardening.exposure import permissible_share, shear_envelope_MPa
from gearcheck.hardening.grind_limit import GrindLever, pass_below_softening, pass_below_temperature
from gearcheck.hardening.grind_softening import grind_softening, tempered_loss_HV
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.stock import ground_hardness
from gearcheck.materials.hardness import yield_strength_MPa
from tests.checks import cases, holds
from tests.hardening.passes import TEMPER, heat_of

SOFTENING = "gearcheck.hardening.grind_softening"
LIMIT = "gearcheck.hardening.grind_limit"
DEPTH = np.linspace(0, 1, 201)
CASE = hardness_profile(
    depth_mm=DEPTH, surface_hardness_HV=720, core_hardness_HV=400, case_depth_mm=1.0
).hardness_HV
RANGES = {
    GrindLever.DEPTH_OF_CUT: {"lowest": 0.001, "highest": 0.1},
    GrindLever.WORK_SPEED: {"lowest": 5.0, "highest": 1000.0},
    GrindLever.SPECIFIC_ENERGY: {"lowest": 8.0, "highest": 200.0},
}
levers = st.sampled_from(list(GrindLever))


def softened(heat, hardness=CASE, depth=DEPTH, **changed):
    given_values = {**TEMPER, "austenitising_temperature_C": 727.0, **changed}
    return grind_softening(heat=heat, depth_mm=depth, hardness_HV=hardness, **given_values)


@pytest.mark.parametrize("check", cases("grinding", f"{SOFTENING}:tempered_loss_HV"), ids=str)
def test_loss_of_a_second_temper(check):
    inputs = dict(check.inputs)
    hours = np.array(inputs.pop("time_s")) / 3600
    least, greatest = tempered_loss_HV(**inputs, time_h=hours)
    plain = [value.tolist() if value.ndim else float(value) for value in (least, greatest)]
    holds(check, least=plain[0], greatest=plain[1])


@pytest.mark.parametrize("check", cases("grinding", f"{SOFTENING}:grind_softening"), ids=str)
def test_tempering_parameter_of_the_pass(check):
    inputs = dict(check.inputs)
    warm = inputs.pop("temperature_C") - heat_of().rise_K
    found = softened(heat_of(work_temperature_C=warm), **inputs)
    holds(check, parameter=found.parameter[0], temper_parameter=found.temper_parameter[0])


def test_the_softened_skin_stands_where_the_pass_exceeds_the_temper():
    found = softened(heat_of())
    assert found.hardness_HV[0] == pytest.approx(720 - 128, abs=0.1)
    deep = found.softened_depth_mm
    assert 0.1 < deep < 0.15
    assert (found.hardness_HV[deep > DEPTH] < CASE[deep > DEPTH]).all()
    assert (found.hardness_HV[deep < DEPTH] == CASE[deep < DEPTH]).all()
    at = softened(heat_of(), hardness=[700.0], depth=[deep])
    assert at.parameter[0] == pytest.approx(at.temper_parameter[0], abs=1)
    assert [notice.key for notice in found.notices] == ["grind_softening.softened"]


def test_the_softened_skin_is_more_exposed():
    # stock off first, then the skin that the last pass softens, then the contact of the finished flank
    ground = ground_hardness(depth_mm=DEPTH, hardness_HV=CASE, removed_mm=0.1)
    skin = softened(heat_of(), hardness=ground)
    shear = shear_envelope_MPa(depth_mm=DEPTH, half_width_mm=np.array([0.2]), pressure_MPa=np.array([1500.0]))
    exposed, before = (
        shear / (permissible_share() * yield_strength_MPa(hardness_HV=hardness))
        for hardness in (skin.hardness_HV, ground)
    )
    softer = skin.softened_depth_mm > DEPTH
    assert (exposed[softer][1:] > before[softer][1:]).all()
    assert exposed[~softer] == pytest.approx(before[~softer])


def test_a_cool_pass_leaves_the_case_as_it_is():
    found = softened(heat_of(specific_energy_J_mm3=15))
    assert (found.hardness_HV == CASE).all()
    assert found.softened_depth_mm == found.rehardened_depth_mm == 0
    assert found.notices == ()


def test_a_burnt_skin_is_named_and_credited_with_nothing():
    found = softened(heat_of(specific_energy_J_mm3=80))
    skin = found.rehardened_depth_mm
    assert 0 < skin < found.softened_depth_mm
    assert (found.hardness_HV[skin > DEPTH] == CASE[skin > DEPTH]).all()
    assert found.hardness_HV.min() < 400
    assert {"grind_softening.rehardened", "jaeger.grind_heat.burn"} <= {item.key for item in found.notices}
    edge = np.interp(skin, DEPTH, found.temperature_C)
    assert edge == pytest.approx(727, abs=0.1)


def test_a_profile_that_ends_too_early_is_said():
    found = softened(heat_of(), hardness=[720.0, 715.0], depth=[0.0, 0.05])
    assert "grind_softening.deeper" in [notice.key for notice in found.notices]


@settings(deadline=None)
@given(energy=st.floats(8, 60), temper=st.floats(120, 240), hours=st.floats(1, 8))
def test_a_pass_never_hardens_and_a_hotter_one_softens_more(energy, temper, hours):
    case_temper = {"temper_temperature_C": temper, "temper_time_h": hours}
    here = softened(heat_of(specific_energy_J_mm3=energy), **case_temper)
    hotter = softened(heat_of(specific_energy_J_mm3=1.03 * energy), **case_temper)
    assert np.isfinite(here.hardness_HV).all()
    assert (here.hardness_HV <= here.highest_HV).all()
    assert (here.highest_HV <= CASE).all()
    assert (here.hardness_HV >= 150).all()
    assume(hotter.rehardened_depth_mm == 0)
    assert (hotter.hardness_HV <= here.hardness_HV).all()
    assert hotter.softened_depth_mm >= here.softened_depth_mm
    higher = softened(
        heat_of(specific_energy_J_mm3=energy), temper_temperature_C=temper + 5, temper_time_h=hours
    )
    assert (higher.hardness_HV >= here.hardness_HV).all()


@given(energy=st.floats(8, 50))
def test_the_softened_hardness_has_no_steps(energy):
    below = softened(heat_of(specific_energy_J_mm3=energy))
    assert np.abs(np.diff(below.hardness_HV - CASE)).max() < 12


def test_many_passes_in_one_call():
    many = softened(heat_of(specific_energy_J_mm3=[20.0, 40.0, 70.0]), temper_temperature_C=[150, 180, 180])
    assert many.hardness_HV.shape == (3, 201)
    for row, (energy, temper) in enumerate(((20.0, 150), (40.0, 180), (70.0, 180))):
        one = softened(heat_of(specific_energy_J_mm3=energy), temper_temperature_C=temper)
        assert many.hardness_HV[row] == pytest.approx(one.hardness_HV)
        assert many.softened_depth_mm[row] == pytest.approx(one.softened_depth_mm)
        assert many.rehardened_depth_mm[row] == pytest.approx(one.rehardened_depth_mm)


def test_what_makes_no_sense_is_refused():
    with pytest.raises(InputError) as refused:
        softened(heat_of(), depth=[0.1, 0.1], hardness=[1, 1], temper_time_h=0, temper_temperature_C=800)
    fields = [fault.field for fault in refused.value.faults]
    assert fields == ["depth_mm", "temper_time_h", "austenitising_temperature_C"]
    assert "T_t = 300 °C" in softened(heat_of(), temper_temperature_C=300).notices[0].text


def _solved(function, check):
    return {
        lever.value: function(heat=heat_of(), lever=lever, **RANGES[lever], **check.inputs).largest
        for lever in GrindLever
    }


@pytest.mark.parametrize("check", cases("grinding", f"{LIMIT}:pass_below_temperature"), ids=str)
def test_the_pass_back_from_its_temperature(check):
    holds(check, **_solved(pass_below_temperature, check))


@pytest.mark.parametrize("check", cases("grinding", f"{LIMIT}:pass_below_softening"), ids=str)
def test_the_pass_back_from_its_softening(check):
    holds(check, **_solved(pass_below_softening, check))


@settings(deadline=None, max_examples=40)
@given(lever=levers, permissible=st.floats(120, 700), share=st.one_of(st.none(), st.floats(0.2, 0.9)))
def test_the_limit_is_reached_and_no_more(lever, permissible, share):
    heat = heat_of(partition=share)
    found = pass_below_temperature(heat=heat, lever=lever, **RANGES[lever], permissible_C=permissible)
    assume(found.notices == ())
    assert found.surface_temperature_C == pytest.approx(permissible, abs=1e-6)
    assert found.reached == found.surface_temperature_C
    again = heat_of(partition=share, **{lever.value: 1.001 * found.largest})
    assert again.surface_temperature_C > permissible


@settings(deadline=None, max_examples=40)
@given(lever=levers, loss=st.floats(1, 200))
def test_the_loss_is_reached_and_no_more(lever, loss):
    limit = {"permissible_loss_HV": loss, **TEMPER}
    found = pass_below_softening(heat=heat_of(), lever=lever, **RANGES[lever], **limit)
    assume(found.notices == ())
    at = softened(heat_of(**{lever.value: found.largest}), austenitising_temperature_C=2000)
    assert at.greatest_loss_HV[0] == pytest.approx(loss, abs=1e-5)


def test_a_range_that_is_all_too_hot_or_all_cool_enough():
    cut = {"heat": heat_of(work_temperature_C=[20.0, 400.0]), "lever": GrindLever.DEPTH_OF_CUT}
    found = pass_below_temperature(**cut, lowest=0.001, highest=0.002, permissible_C=300)
    assert found.largest[0] == 0.002
    assert np.isnan(found.largest[1])
    assert [notice.key for notice in found.notices] == ["grind_limit.none", "grind_limit.all"]
    assert "its least reaches 4" in found.stops[0].text


def test_a_range_that_begins_where_nothing_is_known():
    found = pass_below_temperature(
        heat=heat_of(), lever=GrindLever.SPECIFIC_ENERGY, lowest=2.0, highest=50.0, permissible_C=300
    )
    assert found.largest is None
    assert [notice.key for notice in found.stops] == ["grind_limit.unknown"]


def test_a_range_upside_down_is_refused():
    with pytest.raises(InputError) as refused:
        pass_below_temperature(
            heat=heat_of(), lever=GrindLever.WORK_SPEED, lowest=-1, highest=-2, permissible_C=300
        )
    assert [fault.field for fault in refused.value.faults] == ["lowest", "highest"]
    with pytest.raises(InputError, match="temper_time_h"):
        pass_below_softening(
            heat=heat_of(), lever=GrindLever.WORK_SPEED, lowest=1, highest=2, permissible_loss_HV=20,
            temper_temperature_C=180, temper_time_h=0,
        )  # fmt: skip


def test_all_passes_are_solved_in_one_call():
    heats = heat_of(specific_energy_J_mm3=[25.0, 40.0, 60.0])
    many = pass_below_temperature(
        heat=heats, lever=GrindLever.DEPTH_OF_CUT, lowest=0.001, highest=0.1, permissible_C=[[250], [400]]
    )
    assert many.largest.shape == (2, 3)
    for row, column in np.ndindex(2, 3):
        one = pass_below_temperature(
            heat=heat_of(specific_energy_J_mm3=(25.0, 40.0, 60.0)[column]), lever=GrindLever.DEPTH_OF_CUT,
            lowest=0.001, highest=0.1, permissible_C=(250, 400)[row],
        )  # fmt: skip
        assert many.largest[row, column] == pytest.approx(one.largest)
