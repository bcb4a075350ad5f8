"""Working angle, contact ratio and backlash of a pair, worked out again with 40 digits (mpmath)."""

from __future__ import annotations

import pytest

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry

pytestmark = pytest.mark.reference

PAIRS = (
    # teeth, teeth, module, helix, shift, shift, centre distance, tip, tip
    (23, 71, 5.0, 12.0, 0.35, 0.18, 243.0, 130.8, 374.5),
    (19, 64, 4.0, 0.0, 0.40, 0.10, 167.9, 87.0, 264.6),
    (17, 17, 2.0, 25.0, 0.0, 0.0, 37.6, 41.5, 41.5),
)


@pytest.mark.parametrize("case", PAIRS, ids=lambda case: f"{case[0]}/{case[1]}")
def test_the_pair_to_forty_digits(case):
    mp = pytest.importorskip("mpmath")
    mp.mp.dps = 40
    z1, z2, m_n, beta_deg, x1, x2, a, da1, da2 = case
    found = pair_geometry(
        normal_module_mm=m_n, pressure_angle_deg=20.0, helix_angle_deg=beta_deg, centre_distance_mm=a,
        pinion=tooth(z1, x1, da1), wheel=tooth(z2, x2, da2),
    )  # fmt: skip
    alpha_n, beta = mp.radians(20), mp.radians(mp.mpf(beta_deg))
    alpha_t = mp.atan(mp.tan(alpha_n) / mp.cos(beta))
    m_t = mp.mpf(m_n) / mp.cos(beta)
    alpha_wt = mp.acos((z1 + z2) * m_t * mp.cos(alpha_t) / (2 * mp.mpf(a)))
    assert found.working_pressure_angle_deg == pytest.approx(float(mp.degrees(alpha_wt)), abs=1e-10)
    base = [z * m_t * mp.cos(alpha_t) for z in (z1, z2)]
    arcs = [mp.sqrt(mp.mpf(tip) ** 2 - d**2) / 2 for tip, d in zip((da1, da2), base, strict=True)]
    length = arcs[0] + arcs[1] - mp.mpf(a) * mp.sin(alpha_wt)
    ratio = length / (mp.pi * m_t * mp.cos(alpha_t))
    assert found.transverse_contact_ratio == pytest.approx(float(ratio), abs=1e-10)
    beta_b = mp.asin(mp.sin(beta) * mp.cos(alpha_n))
    opened = (
        2 * mp.mpf(a) * mp.cos(alpha_wt) * (involute(mp, alpha_wt) - involute(mp, alpha_t)) * mp.cos(beta_b)
    )
    filled = 2 * (mp.mpf(x1) + mp.mpf(x2)) * mp.mpf(m_n) * mp.sin(alpha_n)
    assert found.normal_backlash_mm == pytest.approx(float(opened - filled), abs=1e-9)


def involute(mp, angle):
    return mp.tan(angle) - angle


def tooth(teeth, shift, tip):
    return Tooth(
        teeth=teeth, face_width_mm=40.0, profile_shift=shift, tip_diameter_mm=tip, rack_dedendum=1.25,
        rack_root_radius=0.3, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0,
    )  # fmt: skip
