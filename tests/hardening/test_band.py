"""The band of the needed case depth."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.hardening.band import case_depth_band
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_depth import criterion_case_depth
from gearcheck.hardening.residual import ResidualStress
from tests.checks import cases, holds

CASE = {
    "half_width_mm": [0.2, 0.3],
    "pressure_MPa": [1300.0, 1500.0],
    "friction": [0.05, -0.05],
    "surface_hardness_HV": 700.0,
    "core_hardness_HV": 300.0,
    "safety": 1.2,
    "inclusion_root_area_um": 30.0,
    "residual_model": ResidualStress.BALANCED,
    "half_thickness_mm": 2.5,
}
STILL = {
    "surface_scatter_HV": 0.0,
    "core_scatter_HV": 0.0,
    "load_scatter": 0.0,
    "stock_mm": 0.1,
    "stock_scatter_mm": 0.0,
}


def drawn(**changed):
    return case_depth_band(
        **{**CASE, **STILL, "generator": np.random.default_rng(7), "samples": 100, **changed}
    )


@pytest.mark.parametrize("check", cases("criteria", "gearcheck.hardening.band:case_depth_band"), ids=str)
def test_the_load_moves_the_depth_by_yielding(check):
    found = drawn(**{**check.inputs, "friction": [0.0], "residual_model": ResidualStress.NONE}, samples=1000)
    row = found.criteria.index(Criterion.YIELDING)
    holds(check, finished_mm=found.finished_mm[row], as_treated_mm=found.as_treated_mm[row])


def test_without_scatter_it_is_the_solved_depth():
    found = drawn()
    assert found.finished_mm[:, 0] == pytest.approx(found.finished_mm[:, 2])
    for row, criterion in enumerate(found.criteria):
        solved = criterion_case_depth(criterion=criterion, **CASE).depth_mm
        assert found.finished_mm[row, 1] == pytest.approx(solved, rel=2e-3)
        assert found.as_treated_mm[row, 1] == pytest.approx(solved + 0.1, rel=2e-3)


def test_a_sample_of_the_load_is_the_contact_under_that_load():
    """Half-width and pressure with the root of the load, solved as they stand."""
    factor = 1 + 0.1 * np.random.default_rng(7).standard_normal((4, 100))[2]
    root = np.sqrt(factor)[:, None]
    contact = {
        "half_width_mm": np.array(CASE["half_width_mm"]) * root,
        "pressure_MPa": np.array(CASE["pressure_MPa"]) * root,
    }
    found = drawn(load_scatter=0.1, share=[0.5, 0.9])
    for row, criterion in enumerate(found.criteria):
        depth = criterion_case_depth(criterion=criterion, **{**CASE, **contact}).depth_mm
        worst = np.where(np.isnan(depth), np.inf, depth)
        asked = np.quantile(worst, [0.5, 0.9], method="higher")
        assert found.finished_mm[row] == pytest.approx(
            np.where(np.isinf(asked), np.nan, asked), rel=3e-3, nan_ok=True
        )


@pytest.mark.parametrize(
    "changed",
    [
        {"surface_scatter_HV": 15.0},
        {"core_scatter_HV": 15.0},
        {"load_scatter": 0.05},
        {"stock_scatter_mm": 0.02},
    ],
    ids=str,
)
def test_every_scatter_widens_the_band(changed):
    still, found = drawn(), drawn(**changed)
    row = found.criteria.index(Criterion.INCLUSIONS)
    assert np.ptp(found.as_treated_mm[row]) > np.ptp(still.as_treated_mm[row]) + 1e-4


def test_what_has_no_solution_counts_as_deeper():
    found = drawn(load_scatter=0.1, safety=1.3, share=[0.02, 0.999])
    row = found.criteria.index(Criterion.YIELDING)
    assert 0 < found.unsolved[row] < 1
    assert np.isfinite(found.finished_mm[row, 0])
    assert np.isnan(found.finished_mm[row, 1])


def test_bad_input_is_named():
    with pytest.raises(InputError, match=r"load_scatter.*\n.*share.*\n.*samples"):
        drawn(load_scatter=-0.1, share=1.2, samples=0)
    assert [notice.key for notice in drawn(samples=20).notices] == ["case.band.samples"]


def test_what_is_drawn_too_shallow_is_counted():
    scatter = {**STILL, "surface_scatter_HV": 15.0, "core_scatter_HV": 15.0, "load_scatter": 0.1}
    found = drawn(**scatter)
    assert found.share_short is None
    for row in range(len(found.criteria)):
        # just below and above the median, a half of the gears need more
        middle = found.finished_mm[row, 1]
        counted = [drawn(**scatter, drawn_mm=share * middle).share_short[row] for share in (0.999, 1.0)]
        assert counted[0] >= 0.5 >= counted[1] >= 0.45
    none = drawn(**scatter, core_hardness_HV=160.0, safety=3.0, drawn_mm=10.0)
    assert none.share_short == pytest.approx(none.unsolved)
    assert none.unsolved.max() == 1
