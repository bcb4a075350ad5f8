"""The samples of specimens that tests share, and an example of each result of their statistics."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gearcheck.fatigue.design_line import line_band, owen_line
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.predictive import new_specimens_survive, tolerance_life
from gearcheck.fatigue.rank_regression import LeastSquares, rank_regression
from gearcheck.fatigue.ranks import median_ranks
from gearcheck.fatigue.staircase import staircase
from gearcheck.fatigue.straight_line import LoadScale, straight_line
from gearcheck.fatigue.tolerance_factor import tolerance_factor

SETS = tomllib.loads((Path(__file__).parent / "sets.toml").read_text(encoding="utf-8"))


def examples() -> Iterator[Any]:
    """Each result of the statistics of specimens."""
    yield tolerance_factor(specimens=[5, 20], reliability=0.99, confidence=0.9)
    yield median_ranks(order=[1, 2.25, 4.125], specimens=5)
    yield rank_regression(
        cycles=[16, 34, 53, 75, 93, 120],
        failed=[1, 1, 0, 1, 1, 1],
        distribution=Distribution.WEIBULL,
        least_squares=LeastSquares.OF_LIVES,
    )
    load, cycles = [500, 500, 600, 600, 700, 700], [9e5, 6e5, 2e5, 3e5, 8e4, 6e4]
    line = straight_line(load=load, cycles=cycles, scale=LoadScale.LOGARITHM, confidence=0.9)
    yield line
    yield line_band(line=line, load=[550, 650])
    yield owen_line(line=line, load=[550, 650], reliability=0.99, confidence=0.9)
    for name in ("staircase", "one_mixed_level"):
        sample = {key: SETS[name][key] for key in ("stress_MPa", "failed")}
        yield staircase(**sample, step_MPa=20, confidence=0.9)
    yield new_specimens_survive(lives_cycles=SETS["bearings"]["cycles"], cycles=[20, 30], new=4)
    yield tolerance_life(lives_cycles=SETS["bearings"]["cycles"], reliability=[0.9, 0.99], confidence=0.9)
