"""Hardness on two scales, and the yield strength from hardness."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.methods import Level, Status
from gearcheck.basics.tables import table
from gearcheck.materials.hardness import (
    YIELD_STRENGTH,
    HB_from_HV,
    HRC_from_HV,
    HV_from_HRC,
    yield_strength_MPa,
)
from tests.checks import cases, holds


@pytest.mark.parametrize("check", cases("hardness", "gearcheck.materials.hardness:HV_from_HRC"), ids=str)
def test_vickers_from_rockwell(check):
    holds(check, hardness_HV=HV_from_HRC(**check.inputs).hardness_HV)


@pytest.mark.parametrize("check", cases("hardness", "gearcheck.materials.hardness:HB_from_HV"), ids=str)
def test_brinell_from_vickers(check):
    holds(check, hardness_HB=HB_from_HV(**check.inputs))


@pytest.mark.parametrize("check", cases("hardness", "gearcheck.materials.hardness:HRC_from_HV"), ids=str)
def test_rockwell_from_vickers(check):
    holds(check, hardness_HRC=HRC_from_HV(**check.inputs).hardness_HRC)


@pytest.mark.parametrize(
    "check", cases("hardness", "gearcheck.materials.hardness:yield_strength_MPa"), ids=str
)
def test_yield_strength(check):
    holds(check, yield_MPa=yield_strength_MPa(**check.inputs))


@given(hardness=st.floats(20, 68))
def test_there_and_back(hardness):
    vickers = HV_from_HRC(hardness_HRC=hardness)
    assert vickers.notices == ()
    assert 238 <= vickers.hardness_HV <= 940
    assert HRC_from_HV(hardness_HV=vickers.hardness_HV).hardness_HRC == pytest.approx(hardness, abs=1e-9)


def test_the_table_rises_with_every_row():
    rows = table("hardness_hrc_hv")
    assert (np.diff(rows.column("HRC")) == 1).all()
    assert (np.diff(rows.column("HV")) > 0).all()
    # the steps grow with hardness but for one unit of rounding
    assert (np.diff(rows.column("HV"), 2) >= -1).all()
    assert {row["status"] for row in rows.rows} == {Status.FROM_MEMORY}


@pytest.mark.parametrize("outside", [19.99, 68.01])
def test_outside_the_table_there_is_no_value(outside):
    result = HV_from_HRC(hardness_HRC=outside)
    assert result.hardness_HV is None
    assert "HRC from 20 to 68" in result.stops[0].text


def test_only_the_sample_outside_is_dropped():
    result = HRC_from_HV(hardness_HV=[237, 238, 940, 941])
    assert np.isnan(result.hardness_HRC).tolist() == [True, False, False, True]
    assert result.hardness_HRC[1:3].tolist() == [20, 68]
    assert result.stops[0].text.startswith("HV = 237 HV")


def test_a_stop_travels_through():
    assert HRC_from_HV(hardness_HV=None).hardness_HRC is None
    assert np.isnan(yield_strength_MPa(hardness_HV=None))


def test_the_line_is_extrapolated_above_650():
    assert not YIELD_STRENGTH.outside(hardness_HV=[130, 650])
    assert YIELD_STRENGTH.outside(hardness_HV=650.1)[0].level is Level.CAUTION
