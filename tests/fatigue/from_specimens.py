"""One example of every result between specimen and gear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import gearcheck


def examples() -> Iterator[Any]:
    """A pulsator test of single teeth and the gear that it stands for."""
    yield gearcheck.size_shift(teeth=24, within_share=[1.0, 0.6], failed_share=0.01, log_deviation=0.05)
    yield gearcheck.stress_ratio_factor(
        test_ratio=0.05, part_ratio=[0.0, -1.2], sensitivity=0.45, sensitivity_deviation=0.1
    )
