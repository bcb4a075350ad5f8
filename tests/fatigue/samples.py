"""The samples of specimens that tests share, and an example of each result of their statistics."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.rank_regression import LeastSquares, rank_regression
from gearcheck.fatigue.ranks import median_ranks
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
