"""One example of every result between specimen and gear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import gearcheck
from gearcheck.fatigue.inputs import Aspect, Difference


def examples() -> Iterator[Any]:
    """A pulsator test of single teeth and the gear that it stands for."""
    yield gearcheck.size_shift(teeth=24, within_share=[1.0, 0.6], failed_share=0.01, log_deviation=0.05)
    flat = gearcheck.pulsator_to_running(variation=0.05)
    yield gearcheck.transferred(transfers=[flat])
    told = [Difference(what=Aspect.STRESS_RATIO, specimen="0.05", part="0")]
    yield gearcheck.pedigree(differences=told, transfers=[flat])
