"""Every factor of the root over its whole range: no step, the right way, and no gap without a stop."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.methods import Level
from gearcheck.stress.inputs import Bending, Blank, GrindingNotch, Member, StressEdition
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_factors import load_distribution_factor
from gearcheck.stress.root_form import LoadPoint, root_form
from gearcheck.stress.root_limit import root_safety
from gearcheck.stress.root_static import root_static_safety
from tests.stress.pairs import LIMITS, factors_of, helical, pair
from tests.stress.treated import treated

GEAR = {
    "teeth": 25,
    "normal_module_mm": 1.0,
    "pressure_angle_deg": 20,
    "helix_angle_deg": 0,
    "profile_shift": 0.2,
    "tip_diameter_mm": 27.4,
    "rack_dedendum": 1.25,
    "rack_root_radius": 0.3,
    "residual_undercut_mm": 0.0,
    "virtual_contact_ratio": 1.6,
    "overlap_ratio": 0.0,
    "load_point": LoadPoint.OUTER_SINGLE_CONTACT,
}


def swept(**changed):
    found = root_form(**{**GEAR, **changed})
    assert not found.stops
    return found


def steps(values):
    assert np.all(np.isfinite(values))
    assert np.max(np.abs(np.diff(values))) < 5e-3 * np.mean(np.abs(values))
    return np.sign(np.diff(values))


@pytest.mark.parametrize("edition", StressEdition)
def test_form_factor_goes_the_right_way(edition):
    shift = np.linspace(-0.2, 0.8, 2001)
    more_shift = swept(profile_shift=shift, tip_diameter_mm=27 + 2 * shift, edition=edition)
    assert np.all(steps(more_shift.form_factor) < 0)
    teeth = np.linspace(12, 300, 8001)
    at_tip = {"load_point": LoadPoint.TIP, "edition": edition, "tip_diameter_mm": teeth + 2.4}
    assert np.all(steps(swept(teeth=teeth, **at_tip).form_factor) < 0)
    longer = swept(virtual_contact_ratio=np.linspace(1, 1.999, 2001), edition=edition)
    assert np.all(steps(longer.form_factor) < 0)
    taller = swept(tip_diameter_mm=np.linspace(26.5, 27.5, 2001), edition=edition)
    assert np.all(steps(taller.form_factor) > 0)
    overlap = swept(overlap_ratio=np.linspace(1e-9, 2, 4001), edition=edition)
    falls = steps(overlap.form_factor)
    assert np.all(falls <= 0)
    assert np.any(falls < 0) == (edition is StressEdition.ISO_6336_2019)


def test_stress_correction_goes_the_right_way():
    rounder = swept(rack_root_radius=np.linspace(0.1, 0.4, 2001))
    assert np.all(steps(rounder.stress_correction_factor) < 0)
    deeper = swept(residual_undercut_mm=np.linspace(0, 0.06, 1001))
    assert np.all(steps(deeper.form_factor) > 0)
    lower = swept(virtual_contact_ratio=np.linspace(1, 1.999, 2001))
    assert np.all(steps(lower.stress_correction_factor) > 0)


def test_double_contact_moves_down_the_flank_from_the_tip():
    ratio = np.linspace(1.5, 2.5, 4001)
    found = swept(
        teeth=60, tip_diameter_mm=62.8, virtual_contact_ratio=ratio, load_point=LoadPoint.OUTER_DOUBLE_CONTACT
    )
    assert np.all(np.diff(found.load_diameter_mm) <= 1e-12)
    assert np.all(found.load_diameter_mm[ratio < 2] == pytest.approx(62.8))


@given(overlap=st.floats(0.001, 2))
@settings(max_examples=25)
def test_load_distribution_falls_and_is_continuous_below_and_above_two(overlap):
    for low, high in ((1, 1.9999), (2, 3)):
        ratio = np.linspace(low, high, 501)
        found = load_distribution_factor(virtual_contact_ratio=ratio, overlap_ratio=overlap)
        assert np.all(np.diff(found) <= 0)
        assert np.max(-np.diff(found)) < 2e-3
        assert np.all((found > 0.5) & (found <= 1))


def test_a_load_below_the_base_circle_stops():
    found = root_form(**{**GEAR, "virtual_contact_ratio": 3.9, "overlap_ratio": 1.0})
    assert found.form_factor is None
    assert [stop.key for stop in found.stops] == ["iso6336_3.load_below_base"]


@given(
    x=st.floats(-0.5, 0.8),
    rim=st.floats(4, 40),
    depth=st.floats(0, 1),
    radius=st.floats(0.2, 2),
    stock=st.floats(0, 0.4),
    helix=st.floats(0, 40),
    tip=st.floats(-1.5, 0.2),
    point=st.sampled_from(LoadPoint),
    edition=st.sampled_from(StressEdition),
    treatment=st.sampled_from(("case-carburised", "gas-nitrided", "through-hardened")),
    ratio=st.floats(-2, 0.9),
)
@settings(max_examples=60, deadline=None)
def test_a_number_or_a_stop_and_never_neither(
    x, rim, depth, radius, stock, helix, tip, point, edition, treatment, ratio
):
    cosine = np.cos(np.radians(helix))
    toothed = pair(
        helix_angle_deg=helix,
        centre_distance_mm=120 / cosine + 4 * (x + 0.3),
        shifts=(0.2, x),
        tips=(80 / cosine + 9.6 + tip, 160 / cosine + 8 + 8 * x + tip),
        stock_max_mm=np.maximum(stock, 0.12),
    )
    given = {"edition": edition, "load_point": point, "blank": Blank(rim_thickness_mm=rim)}
    if depth > 0.1:
        given["notch"] = GrindingNotch(depth_mm=depth, radius_mm=radius)
    root = root_stress(pair=toothed, member=Member.WHEEL, factors=factors_of(toothed), **given)
    bent = {"bending": Bending.IDLER, "stress_ratio": ratio}
    common = {"root": root, "limits": treated(treatment, core_hardness_HV=300.0), **bent, "edition": edition}
    long = root_safety(**common, load_cycles=1e7, roughness_um=12, required_safety=1.4)
    peak = root_static_safety(**common, required_safety=1.6)
    numbers = np.array([long.safety, peak.safety, root.stress_MPa], dtype=float)
    stopped = any(notice.level is Level.STOP for notice in (*toothed.notices, *root.notices))
    assert stopped or np.all(np.isfinite(numbers))
    assert np.all((numbers > 0) | np.isnan(numbers))


def test_nothing_new_given_changes_nothing():
    plain = root_stress(pair=helical(), member=Member.PINION, factors=factors_of(helical()))
    assert (plain.rim, plain.notch, plain.rim_factor, plain.deep_tooth_factor) == (None, None, 1, 1)
    assert plain.notched_correction_factor == plain.stress_correction_factor
    safety = root_safety(root=plain, limits=LIMITS, load_cycles=1e8, roughness_um=10, required_safety=1.4)
    assert safety.mean_stress is None
