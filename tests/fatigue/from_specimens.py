"""One example of every result between specimen and gear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

import gearcheck
from gearcheck.fatigue.inputs import Aspect, Difference, FatigueData


def examples() -> Iterator[Any]:
    """A pulsator test of single teeth and the gear that it stands for."""
    data = FatigueData(
        stress_MPa=np.array([900.0, 900.0, 800.0]),
        cycles=np.array([1e5, 6e6, 6e6]),
        failed=np.array([True, False, False]),
    )
    yield gearcheck.level_table(data=data, run_out_cycles=6e6)
    yield gearcheck.pulsator_stress(
        force_N=40e3,
        load_diameter_mm=128.0,
        teeth=24,
        normal_module_mm=5.0,
        pressure_angle_deg=20.0,
        profile_shift=0.0,
        tip_diameter_mm=130.0,
        face_width_mm=30.0,
        rack_dedendum=1.4,
        rack_root_radius=0.3,
    )
    yield gearcheck.size_shift(teeth=24, within_share=[1.0, 0.6], failed_share=0.01, log_deviation=0.05)
    yield gearcheck.few_gears(
        specimens_of_gear=[8, 6, 6], within_share=[0.7, 0.4], log_deviation=0.06, quantile=-3.0
    )
    flat = gearcheck.pulsator_to_running(variation=0.05)
    yield gearcheck.transferred(transfers=[flat])
    told = [Difference(what=Aspect.STRESS_RATIO, specimen="0.05", part="0")]
    yield gearcheck.pedigree(differences=told, transfers=[flat])
    goal = {"reliability": 0.99, "confidence": 0.9, "shape": 2.5}
    yield gearcheck.demonstration_plan(**goal, life_cycles=2e6, specimens=[4, 400], failures=1)
    yield gearcheck.demonstration_plan(**goal, life_cycles=2e6, specimens=6, load_factor=1.2, slope=8.7)
    yield gearcheck.shown_life(**goal, cycles=[1.1e6, 3e6, 3e6], failed=[True, False, False])
