"""Tempering, and a bake held against it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.hardening.temper_share import temper_share
from gearcheck.hardening.tempering import (
    bake_against_temper,
    equivalent_temper,
    tempered_hardness,
    tempering_parameter,
)
from gearcheck.materials.hardness import HV_from_HRC
from tests.checks import cases, holds

TEMPERING = "gearcheck.hardening.tempering:"
BAKE = "case.tempered_hardness.bake"
temperatures, times = st.floats(100, 300), st.floats(0.5, 20)


@pytest.mark.parametrize("check", cases("quenched", TEMPERING + "tempering_parameter"), ids=str)
def test_the_parameter_in_hours(check):
    holds(check, parameter=tempering_parameter(**check.inputs).parameter)


@pytest.mark.parametrize("check", cases("quenched", TEMPERING + "equivalent_temper"), ids=str)
def test_the_time_at_another_temperature(check):
    holds(check, at_time_h=equivalent_temper(**check.inputs).at_time_h)


@pytest.mark.parametrize("check", cases("quenched", "gearcheck.hardening.temper_share:temper_share"), ids=str)
def test_temper_share(check):
    holds(check, carbon_share=temper_share(**check.inputs))


def test_a_core_as_rich_as_the_case_loses_as_much():
    assert temper_share(carbon_percent=[0.6, 0.8], core_carbon_percent=0.6).tolist() == [1.0, 1.0]


def test_a_share_is_that_of_a_low_temper():
    found = tempered_hardness(hardness_HV=400, parameter=[9600, 11000], before_parameter=0, carbon_share=0.2)
    (notice,) = found.notices
    assert notice.level is Level.CAUTION
    assert "P = 11000 is beyond the low tempers" in notice.text
    assert not tempered_hardness(hardness_HV=700, parameter=11000, before_parameter=0).notices


def test_nothing_tempers_below_the_softest_steel():
    found = tempered_hardness(hardness_HV=[100, 250, 700], parameter=13000, before_parameter=0)
    assert np.asarray(found.softest_HV)[:2].tolist() == [100, 150]
    assert 150 < found.softest_HV[2] < found.hardest_HV[2]


@given(share=st.floats(0, 1))
def test_less_carbon_loses_its_share(share):
    whole, part = (
        tempered_hardness(hardness_HV=700, parameter=9200, before_parameter=0, carbon_share=one)
        for one in (1.0, share)
    )
    assert part.greatest_loss_HV == pytest.approx(share * whole.greatest_loss_HV)
    assert part.softest_HV >= whole.softest_HV


@pytest.mark.parametrize("check", cases("quenched", TEMPERING + "tempered_hardness"), ids=str)
def test_the_hardness_that_a_temper_costs(check):
    if "usual_HRC" in check.inputs:
        hold = {name: check.inputs[name] for name in ("temperature_C", "time_h")}
        found = tempered_hardness(
            hardness_HV=check.inputs["hardness_HV"],
            parameter=tempering_parameter(**hold).parameter,
            before_parameter=0,
        )
        usual = HV_from_HRC(hardness_HRC=check.inputs["usual_HRC"]).hardness_HV
        inside = (found.softest_HV <= usual) & (usual <= found.hardest_HV)
        holds(check, usual_within=np.where(inside, "yes", "no"))
    else:
        found = tempered_hardness(**check.inputs)
        holds(check, least_loss_HV=found.least_loss_HV, greatest_loss_HV=found.greatest_loss_HV)


@pytest.mark.parametrize("check", cases("quenched", TEMPERING + "bake_against_temper"), ids=str)
def test_a_bake_against_the_temper(check):
    found = bake_against_temper(**check.inputs)
    if "governs" in check.expected:
        holds(check, governs=np.where(found.bake_parameter > found.temper_parameter, "yes", "no"))
    else:
        holds(check, **{name: getattr(found, name) for name in check.expected})


@given(temperature=temperatures, time=times, other=temperatures)
def test_there_and_back(temperature, time, other):
    there = equivalent_temper(temperature_C=temperature, time_h=time, at_temperature_C=other).at_time_h
    back = equivalent_temper(temperature_C=other, time_h=there, at_temperature_C=temperature).at_time_h
    assert back == pytest.approx(time, rel=1e-9)
    if abs(other - temperature) > 1e-6:
        assert (there < time) == (other > temperature)


@given(temperature=temperatures, time=times, bake=temperatures, hours=times)
def test_a_bake_costs_something_and_more_where_it_governs(temperature, time, bake, hours):
    found = bake_against_temper(
        temper_temperature_C=temperature, temper_time_h=time, bake_temperature_C=bake, bake_time_h=hours
    )
    assert found.both_parameter >= max(found.temper_parameter, found.bake_parameter) - 1e-6
    assert 0 <= found.least_loss_HV <= found.greatest_loss_HV < 500
    governs = found.bake_parameter > found.temper_parameter
    assert [notice.key for notice in found.notices if notice.key == BAKE] == [BAKE] * governs


def test_a_bake_that_governs_names_both():
    found = bake_against_temper(
        temper_temperature_C=[200, 177], temper_time_h=4, bake_temperature_C=191, bake_time_h=4
    )
    (notice,) = found.notices
    assert notice.level is Level.CAUTION
    assert notice.text == (
        "The bake of 4 h at 191 °C (P = 9562) tempers more than the case temper of 4 h at 177 °C (P = 9274): "
        "it governs and may cost 13 to 27 HV."
    )


def test_the_time_of_a_grinding_pass_is_extrapolation():
    found = tempering_parameter(temperature_C=475, time_h=0.02 / 3600)
    (notice,) = found.notices
    assert notice.level is Level.CAUTION
    assert "t = 5.556e-06 h lies outside" in notice.text
    assert not tempering_parameter(temperature_C=180, time_h=2).notices


def test_what_is_no_low_temper_any_more():
    found = tempered_hardness(hardness_HV=700, parameter=[11999, 12001, 14001], before_parameter=9000)
    assert np.isnan(found.softest_HV).tolist() == [False, False, True]
    assert [notice.level for notice in found.notices] == [Level.CAUTION, Level.STOP]


@given(parameter=st.floats(0, 14000), before=st.floats(0, 14000), step=st.floats(0, 100))
def test_a_stronger_temper_never_hardens(parameter, before, step):
    after, more = (
        tempered_hardness(hardness_HV=800, parameter=P, before_parameter=before)
        for P in (parameter, min(parameter + step, 14000))
    )
    assert more.softest_HV <= after.softest_HV <= after.hardest_HV <= 800
    assert after.softest_HV - more.softest_HV <= 0.08 * step + 1e-9


def test_what_is_no_hold_is_refused():
    with pytest.raises(InputError, match=r"temperature_C.*\n.*time_h"):
        tempering_parameter(temperature_C=-300, time_h=0)
    with pytest.raises(InputError, match="bake_time_h"):
        bake_against_temper(
            temper_temperature_C=180, temper_time_h=2, bake_temperature_C=150, bake_time_h=[4, 0]
        )
    with pytest.raises(InputError, match="hardness_HV"):
        tempered_hardness(hardness_HV=-1, parameter=9000, before_parameter=0)
