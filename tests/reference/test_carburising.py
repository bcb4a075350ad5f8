"""The carbon of a furnace cycle, worked out again with a solver of partial differential equations (FiPy)."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion
from tests.hardening.furnaces import BOOST, DIFFUSE, DROP, sealed, steel
from tests.reference.fipy_cycle import fipy_cycle

pytestmark = pytest.mark.reference

CYCLES = {
    "boost, diffuse, drop": [BOOST, DIFFUSE, DROP],
    "boost, sealed": [BOOST, sealed(3.0)],
}


@pytest.mark.parametrize("radius_mm", [np.inf, 4.0, -4.0], ids=["flat", "tip", "root"])
@pytest.mark.parametrize("name", CYCLES)
def test_the_same_cycle_by_fipy(name, radius_mm):
    pytest.importorskip("fipy")
    depth, carbon = fipy_cycle(CYCLES[name], core=0.11, radius_mm=radius_mm)
    inside = depth < 3.0
    found = carbon_profile(
        cycle=CYCLES[name],
        steel=steel(0.11),
        criterion=CarbonCriterion.EN_10052,
        depth_mm=depth[inside],
        radius_mm=radius_mm,
    )
    np.testing.assert_allclose(found.carbon_wt, carbon[inside], atol=1e-3)
