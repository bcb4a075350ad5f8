"""Measures of scatter turned into one another, and what margins by deviations are worth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr, ndtri

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.scatter_convert import (
    log_deviation,
    normal_strength_ratio,
    shifted_median,
    weibull_slope,
)
from gearcheck.fatigue.scatter_margin import life_factor, touching_index
from tests.checks import cases, holds

CONVERT = "gearcheck.fatigue.scatter_convert"
MARGIN = "gearcheck.fatigue.scatter_margin"


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{CONVERT}:log_deviation"), ids=str)
def test_deviation_from_the_ratio_of_two_quantiles(check):
    holds(check, s=log_deviation(**check.inputs))


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{CONVERT}:shifted_median"), ids=str)
def test_a_curve_moved_to_other_failed_shares(check):
    given = check.inputs
    share, slope, over = given["failed_share"], given["slope"], given["stress_MPa"] / given["median_MPa"]
    of_stress = log_deviation(scatter_ratio=given["ratio"])
    of_life = log_deviation(scatter_ratio=given["ratio"] ** slope)
    lives = {"median": given["knee_cycles"] * over**-slope, "log_deviation": of_life}
    holds(
        check,
        S_p=shifted_median(median=given["median_MPa"], log_deviation=of_stress, failed_share=share),
        N_p=shifted_median(**lives, failed_share=share),
    )


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{CONVERT}:normal_strength_ratio"), ids=str)
def test_strength_at_other_failed_shares(check):
    holds(check, f=normal_strength_ratio(**check.inputs))


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{CONVERT}:weibull_slope"), ids=str)
def test_slope_from_two_lives(check):
    holds(check, slope=weibull_slope(**check.inputs))


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{MARGIN}:touching_index"), ids=str)
def test_touching_bands(check):
    index = touching_index(**check.inputs)
    holds(check, index=index, failed_share=ndtr(-index))
    assert (index < -ndtri(1e-6)).all()


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{MARGIN}:life_factor"), ids=str)
def test_life_factor(check):
    holds(check, f=life_factor(**check.inputs))


@given(slope=st.floats(0.5, 10), early=st.floats(0.01, 0.4), late=st.floats(0.5, 0.99))
def test_the_slope_of_a_weibull_line_comes_back(slope, early, late):
    lives = (-np.log1p(-np.array([early, late]))) ** (1 / slope)
    found = weibull_slope(early_cycles=lives[0], late_cycles=lives[1], early_share=early, late_share=late)
    assert found == pytest.approx(slope)


@given(ratio=st.floats(1, 50))
def test_the_ratio_of_the_quantiles_comes_back(ratio):
    deviation = log_deviation(scatter_ratio=ratio)
    low, high = shifted_median(median=3.0, log_deviation=deviation, failed_share=[0.1, 0.9])
    assert high / low == pytest.approx(ratio)


def test_a_normal_strength_that_is_used_up_has_no_value():
    assert np.isnan(normal_strength_ratio(variation=0.3, from_share=0.5, to_share=1e-6))


@pytest.mark.parametrize(
    ("call", "wrong", "fields"),
    [
        (log_deviation, {"scatter_ratio": 0.8}, ["scatter_ratio"]),
        (
            shifted_median,
            {"median": -5, "log_deviation": -1, "failed_share": 0},
            ["median", "log_deviation", "failed_share"],
        ),
        (
            normal_strength_ratio,
            {"variation": -0.1, "from_share": 1, "to_share": 50},
            ["variation", "from_share", "to_share"],
        ),
        (
            weibull_slope,
            {"early_cycles": 5, "late_cycles": 5, "early_share": 0.5, "late_share": 0.1},
            ["late_cycles", "late_share"],
        ),
        (touching_index, {"deviation_ratio": -1, "deviations": -3}, ["deviation_ratio", "deviations"]),
        (
            life_factor,
            {"band_ratio": 0.5, "tests": 0, "confidence": 1},
            ["band_ratio", "tests", "confidence"],
        ),
    ],
)
def test_all_bad_arguments_show_at_once(call, wrong, fields):
    with pytest.raises(InputError) as raised:
        call(**wrong)
    assert [fault.field for fault in raised.value.faults] == fields
