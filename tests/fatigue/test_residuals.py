"""How specimens lie about a curve that was fitted."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.residuals import fit_residuals
from tests.checks import cases, holds


def one_level(lives, failed=None):
    lives = np.array(lives, float)
    failed = np.full(lives.size, True) if failed is None else np.array(failed, bool)
    data = FatigueData(stress_MPa=np.full(lives.size, 900.0), cycles=lives, failed=failed)
    return fatigue_fit(data=data, curve=Curve.ONE_LEVEL)


@pytest.mark.parametrize("check", cases("fatigue_fit", "gearcheck.fatigue.residuals:fit_residuals"), ids=str)
def test_residuals(check):
    holds(check, residual=fit_residuals(fit=one_level(check.inputs["cycles"])).residual)


def test_a_run_out_has_a_residual_and_no_plotting_position():
    found = fit_residuals(fit=one_level([2e5, 3e5, 6e5, 6e5], [1, 1, 1, 0]))
    assert np.isfinite(found.residual).all()
    assert np.isnan(found.position).tolist() == [False, False, False, True]
    assert np.isnan(found.place).tolist() == [False, False, False, True]


def test_a_fit_that_stopped_has_no_residuals():
    with pytest.raises(InputError, match="a fit that did not stop"):
        fit_residuals(fit=one_level([6e6, 6e6], [0, 0]))
