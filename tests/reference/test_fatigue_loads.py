"""Cycle counts, damage sums, shifted curves and a large set of specimens through rainflow and pyLife."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from gearcheck.duty.counting import rainflow_count
from gearcheck.duty.damage import BelowKnee, damage_sum
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.scatter_convert import log_deviation, shifted_median
from gearcheck.fatigue.staircase_likelihood import staircase_likelihood
from tests.reference.test_fatigue_lines import by_random_limit

pytestmark = pytest.mark.reference
KNEE, KNEE_CYCLES, SLOPE = 500.0, 3e6, 8.738
BINS = np.array([900.0, 750.0, 600.0, 480.0, 350.0]), np.array([2e3, 2e4, 3e5, 1e7, 1e8])


def counted(load):
    found = rainflow_count(load=load)
    sums: Counter[float] = Counter()
    for size, cycles in zip(np.atleast_1d(found.load_range), np.atleast_1d(found.cycles), strict=True):
        sums[round(float(size), 9)] += float(cycles)
    return dict(sums)


@pytest.mark.parametrize("seed", range(5))
def test_cycles_of_a_history_by_rainflow(seed):
    """Three points at a time and halves of what is left, as ASTM E1049 has it: the same count."""
    library = pytest.importorskip("rainflow")
    load = np.random.default_rng(seed).normal(size=500).cumsum() if seed else [-2, 1, -3, 5, -1, 3, -4, 4, -2]
    found: Counter[float] = Counter()
    for size, cycles in library.count_cycles(load):
        found[round(float(size), 9)] += cycles
    assert counted(load) == pytest.approx(dict(found))


@pytest.mark.parametrize("seed", range(1, 5))
def test_closed_loops_of_a_history_by_pylife(seed):
    """pyLife gives closed loops and leaves the rest apart: ours are those, and halves of its residue."""
    stress = pytest.importorskip("pylife.stress.rainflow")
    load = np.random.default_rng(seed).normal(size=500).cumsum()
    found = stress.FourPointDetector(stress.FullRecorder()).process(load)
    loops = np.abs(np.array(found.recorder.values_from) - np.array(found.recorder.values_to))
    ours = rainflow_count(load=load)
    whole = np.sort(np.asarray(ours.load_range)[np.asarray(ours.cycles) == 1.0])
    # what holds the beginning counts as half in ours: pyLife may close it later as a whole loop
    assert whole.size <= loops.size
    assert {*np.round(whole, 9)} <= {*np.round(loops, 9)}


def damages(below_knee):
    stress, cycles = BINS
    found = damage_sum(
        stress_MPa=stress,
        cycles=cycles,
        static_limit_MPa=KNEE * (KNEE_CYCLES / 1e3) ** (1.0 / SLOPE),
        static_cycles=1e3,
        knee_limit_MPa=KNEE,
        knee_cycles=KNEE_CYCLES,
        long_limit_MPa=0.85 * KNEE,
        long_cycles=1e10,
        below_knee=below_knee,
    )
    return float(found.damage)


@pytest.mark.parametrize(
    ("below_knee", "by"),
    [
        (BelowKnee.NO_DAMAGE, "miner_original"),
        (BelowKnee.SAME_SLOPE, "miner_elementary"),
        (BelowKnee.FLATTER_SLOPE, "miner_haibach"),
    ],
)
def test_damage_sums_by_pylife(below_knee, by):
    """Closed forms: to nine digits."""
    pytest.importorskip("pylife.strength.fatigue")
    pytest.importorskip("pylife.stress.collective")
    import pandas as pd

    stress, cycles = BINS
    curve = getattr(pd.Series({"SD": KNEE, "ND": KNEE_CYCLES, "k_1": SLOPE}).fatigue, by)()
    load = pd.DataFrame({"range": 2.0 * stress, "mean": 0.0, "cycles": cycles}).load_collective
    assert damages(below_knee) == pytest.approx(float(curve.damage(load).sum()), rel=1e-9)


@pytest.mark.parametrize("share", [0.1, 0.01, 0.001, 1e-6])
def test_a_curve_of_another_share_by_pylife(share):
    pytest.importorskip("pylife.materiallaws")
    import pandas as pd

    ratio = 1.25
    given = {"SD": KNEE, "ND": KNEE_CYCLES, "k_1": SLOPE, "TS": ratio, "TN": ratio**SLOPE}
    curve = pd.Series(given | {"failure_probability": 0.5})
    found = curve.woehler.transform_to_failure_probability(share).to_pandas()
    deviation = float(log_deviation(scatter_ratio=ratio))
    ours = shifted_median(median=KNEE, log_deviation=deviation, failed_share=share)
    assert float(ours) == pytest.approx(found["SD"], rel=1e-9)


@pytest.fixture(scope="module")
def many():
    """452 points, run-outs at 1e7: a table that pyLife brings along without saying where it is from."""
    library = pytest.importorskip("pylife")
    import pandas as pd

    table = pd.read_excel(Path(library.__file__).parent / "materialdata" / "data" / "Test_dat.xlsx")
    stress, cycles = (table.iloc[:, place].to_numpy(float) for place in (0, 1))
    return FatigueData(stress_MPa=stress, cycles=cycles, failed=cycles < 1e7)


def test_the_limit_of_many_specimens_by_pylife(many):
    """Who failed before 1e7 at which stress, normal in the logarithm: strength to 1e-5, scatter to 1e-3."""
    woehler = pytest.importorskip("pylife.materialdata.woehler")
    import pandas as pd

    rows = pd.DataFrame({"load": many.stress_MPa, "cycles": many.cycles, "fracture": many.failed})
    found = woehler.MaxLikeInf(woehler.determine_fractures(rows, 1e7).fatigue_data).analyze()
    ours = staircase_likelihood(stress_MPa=np.log10(many.stress_MPa), failed=many.failed, confidence=0.95)
    assert 10.0 ** float(ours.mean_MPa) == pytest.approx(found["SD"], rel=1e-5)
    theirs = float(log_deviation(scatter_ratio=found["TS"]))
    assert float(ours.deviation_MPa) == pytest.approx(theirs, rel=1e-3)


def test_the_random_limit_of_many_specimens(many):
    """Likelihood at the summit by another integral; its limit beside that of who failed alone."""
    fit = fatigue_fit(data=many, curve=Curve.RANDOM_LIMIT)
    assert fit.converged
    other = by_random_limit(fit.parameters, many, fit.model.centre)
    assert other == pytest.approx(fit.log_likelihood, abs=1e-3)
    alone = staircase_likelihood(stress_MPa=np.log10(many.stress_MPa), failed=many.failed, confidence=0.95)
    strength = float(fit.strength_MPa(cycles=1e7, failed_share=0.5))
    assert strength == pytest.approx(10.0 ** float(alone.mean_MPa), rel=0.01)
