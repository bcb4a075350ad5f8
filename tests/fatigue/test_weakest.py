"""From one tooth to a gear: shares, shifts, the tail, and the way back."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.weakest import gear_failed_share, size_shift, tooth_failed_share
from tests.checks import cases, holds

SHARE = {item.id: item for item in cases("fatigue_transfer", "gearcheck.fatigue.weakest:gear_failed_share")}
SHIFT = {item.id: item for item in cases("fatigue_transfer", "gearcheck.fatigue.weakest:size_shift")}
WITHIN = st.floats(0.0, 1.0)


def test_a_series_of_teeth_and_the_way_back():
    check = SHARE["SIZE-01"]
    holds(
        check,
        gear=gear_failed_share(**check.inputs),
        tooth=tooth_failed_share(gear_failed_share=0.01, teeth=24, within_share=1.0),
    )


def test_teeth_that_share_a_part_of_the_scatter():
    check = SHARE["SIZE-WITHIN"]
    tooth = ndtr(np.array(check.inputs["tooth_quantile"], dtype=float))
    within = np.array(check.inputs["within_share"])[:, None]
    holds(check, gear=gear_failed_share(tooth_failed_share=tooth, teeth=24, within_share=within))


@pytest.mark.parametrize("check", SHIFT.values(), ids=str)
def test_shifts(check):
    inputs = {name: np.array(value) for name, value in check.inputs.items()}
    if check.id == "SIZE-02":
        inputs["failed_share"] = inputs["failed_share"][:, None]
    found = size_shift(**inputs, log_deviation=0.05)
    holds(check, **{name: getattr(found, name) for name in check.expected})
    assert np.allclose(found.factor, np.exp(0.05 * found.shift))


@given(
    within=WITHIN,
    teeth=st.floats(1, 200),
    exponent=st.floats(-12, -0.01),
)
def test_there_and_back(within, teeth, exponent):
    gear = 10.0**exponent
    tooth = tooth_failed_share(gear_failed_share=gear, teeth=teeth, within_share=within)
    back = gear_failed_share(tooth_failed_share=tooth, teeth=teeth, within_share=within)
    assert back == pytest.approx(gear, rel=1e-8)
    assert gear / teeth * (1 - 1e-9) <= tooth <= gear * (1 + 1e-9)


@given(teeth=st.floats(1, 200), tooth=st.floats(1e-12, 0.999))
def test_the_ends_are_closed_forms_and_less_is_shared_the_more_gears_fail(teeth, tooth):
    within = np.linspace(0, 1, 41)
    found = gear_failed_share(tooth_failed_share=tooth, teeth=teeth, within_share=within)
    assert found[0] == pytest.approx(tooth, rel=1e-9)
    assert found[-1] == pytest.approx(-np.expm1(teeth * np.log1p(-tooth)), rel=1e-9)
    assert np.all(np.diff(found) >= -1e-9 * found[1:])


def test_drawn_gears_agree():
    generator = np.random.default_rng(5)
    shared, own = generator.standard_normal((40000, 1)), generator.standard_normal((40000, 18))
    weakest = (np.sqrt(0.45) * shared + np.sqrt(0.55) * own).min(axis=1)
    for tooth in (0.3, 0.02):
        found = gear_failed_share(tooth_failed_share=tooth, teeth=18, within_share=0.55)
        drawn = np.mean(ndtr(weakest) < tooth)
        assert drawn == pytest.approx(float(found), abs=4 * np.sqrt(found * (1 - found) / 40000))


def test_nothing_and_all_fail():
    found = gear_failed_share(tooth_failed_share=[0, 1], teeth=24, within_share=0.6)
    assert found.tolist() == pytest.approx([0, 1])


def test_what_is_not_there_stays_away():
    found = size_shift(teeth=24, within_share=0.7, failed_share=[np.nan, 0.5], log_deviation=0.05)
    assert np.isnan(found.shift[0])
    assert found.shift[1] == pytest.approx(-1.615909, abs=1e-6)


def test_faults_are_named_together():
    with pytest.raises(InputError) as raised:
        size_shift(teeth=0.5, within_share=1.2, failed_share=0.0, log_deviation=-0.1)
    assert [fault.field for fault in raised.value.faults] == [
        "failed_share",
        "log_deviation",
        "teeth",
        "within_share",
    ]
