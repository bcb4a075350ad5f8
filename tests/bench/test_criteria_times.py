"""How long the case depth by every criterion takes."""

import numpy as np

from gearcheck.hardening.case_depths import case_depths
from gearcheck.hardening.figures import case_depth_figures
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.hardening.residual import ResidualStress
from gearcheck.materials.inputs import Quality
from tests.bench.test_times import within
from tests.stress import pairs


def test_case_depth_by_every_criterion(benchmark):
    """60 points of contact, 200 depths, all three pairs and the bound with inclusions."""
    within(benchmark, 50)
    pair = pairs.spur()
    found = benchmark(
        case_depths,
        half_width_mm=np.linspace(0.2, 0.3, 60),
        pressure_MPa=np.linspace(1500.0, 1300.0, 60),
        friction=np.linspace(-0.06, 0.06, 60),
        surface_hardness_HV=700.0,
        core_hardness_HV=350.0,
        safety=1.2,
        inclusion_root_area_um=30.0,
        residual_model=ResidualStress.BALANCED,
        half_thickness_mm=2.5,
        figures=case_depth_figures(pair=pair, gear=pair.pinion, flank_stress_MPa=1400.0, quality=Quality.MQ),
        rule=CaseDepthRule.ISO_6336_5,
    )
    assert 0 < found.amplitude_mm < found.yielding_mm
