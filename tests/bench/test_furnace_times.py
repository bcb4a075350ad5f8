"""How long a furnace cycle takes, beside FiPy on the same cycle to the same 0.001 %."""

import numpy as np
import pytest

from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion
from gearcheck.hardening.masking import mask_creep
from gearcheck.hardening.times import carburising_times
from tests.bench.test_times import within
from tests.hardening.furnaces import gas, steel
from tests.reference.fipy_cycle import fipy_cycle

CYCLE = [gas(5.5, 1.05), gas(2.5, 0.80)]
GIVEN = {"steel": steel(0.11), "criterion": CarbonCriterion.EN_10052}
COARSE = {"cells": 150, "steps_to_an_hour": 20, "sweeps": 2}
"""The coarsest that was found to hold 0.001 %."""


def test_boost_and_diffuse_of_eight_hours(benchmark):
    within(benchmark, 100)
    found = benchmark(carbon_profile, cycle=CYCLE, **GIVEN, depth_mm=np.linspace(0, 2, 50))
    assert found.case_depth_mm > 0.9


def test_the_same_by_fipy(benchmark):
    pytest.importorskip("fipy")
    if not benchmark.enabled:
        pytest.skip("takes long: it runs where it is measured")
    benchmark.group = "budget 100 ms"
    rounds = 3 if benchmark.enabled else 1
    depth, carbon = benchmark.pedantic(fipy_cycle, (CYCLE,), {"core": 0.11, **COARSE}, rounds=rounds)
    inside = depth < 2.5
    found = carbon_profile(cycle=CYCLE, **GIVEN, depth_mm=depth[inside])
    np.testing.assert_allclose(found.carbon_wt, carbon[inside], atol=1.5e-3)


def test_a_hundred_cores_in_one_call(benchmark):
    within(benchmark, 1000)
    many = steel(np.linspace(0.08, 0.2, 100))
    found = benchmark(carbon_profile, cycle=CYCLE, **{**GIVEN, "steel": many}, depth_mm=0.5)
    assert found.carbon_wt.shape == (100,)


def test_times_for_a_wanted_case(benchmark):
    within(benchmark, 1000)
    found = benchmark(
        carburising_times,
        boost=CYCLE[0],
        diffuse=CYCLE[1],
        after=[],
        **GIVEN,
        depth_mm=1.0,
        surface_carbon_wt=0.8,
        longest_h=20.0,
    )
    assert found.total_hours > 0


def test_creep_below_a_mask(benchmark):
    within(benchmark, 1000)
    found = benchmark(mask_creep, cycle=CYCLE, steel=steel(0.11), carbon_wt=0.35, edge_tolerance_mm=0.5)
    assert found.creep_mm > 0.3
