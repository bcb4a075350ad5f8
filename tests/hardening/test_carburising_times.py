"""Boost and diffuse times, and the creep below a mask."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.hardening import masking
from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion, FluxBoost, SaturatedBoost, lasting
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel
from gearcheck.hardening.masking import mask_creep
from gearcheck.hardening.times import carburising_times, false_position
from tests.checks import cases, holds
from tests.hardening.furnaces import BOOST, DIFFUSE, DROP, gas, sealed, steel, written


def times(depth=1.0, surface=0.8, *, boost=BOOST, diffuse=DIFFUSE, after=(), longest=20.0, **more):
    return carburising_times(
        boost=boost,
        diffuse=diffuse,
        after=after,
        steel=more.pop("steel", steel()),
        criterion=CarbonCriterion.EN_10052,
        depth_mm=depth,
        surface_carbon_wt=surface,
        longest_h=longest,
        **more,
    )


@pytest.mark.parametrize(
    "check", cases("carburising", "gearcheck.hardening.times:carburising_times"), ids=str
)
def test_cited_times(check):
    inputs = check.inputs
    boost, diffuse = (gas(0, potential) for potential in inputs["potentials_wt"])
    found = times(
        inputs["depth_mm"], inputs["surface_carbon_wt"], boost=boost, diffuse=diffuse,
        longest=inputs["longest_h"],
    )  # fmt: skip
    known = {"boost_hours": found.boost_hours, "diffuse_hours": found.diffuse_hours}
    if found.stops:
        known = {"boost_hours": found.boost_hours, "notice": found.stops[0].key}
    holds(check, **known)


@pytest.mark.parametrize(
    "boost",
    [
        gas(0, 1.1, temperature=940.0),
        SaturatedBoost(hours=0, temperature_C=950.0),
        FluxBoost(hours=0, temperature_C=950.0, flux_g_m2_h=80.0),
    ],
    ids=lambda step: type(step).__name__,
)
def test_the_cycle_with_these_times_gives_what_was_wanted(boost):
    core = np.array([0.11, 0.18])
    found = times(0.9, 0.75, boost=boost, diffuse=sealed(0), after=(DROP,), steel=steel(core))
    cycle = [lasting(boost, found.boost_hours), lasting(sealed(0), found.diffuse_hours), DROP]
    profile = carbon_profile(cycle=cycle, steel=steel(core), criterion=CarbonCriterion.EN_10052, depth_mm=0.0)
    assert profile.case_depth_mm == pytest.approx(0.9, abs=2e-3)
    assert profile.surface_carbon_wt == pytest.approx(0.75, abs=1e-3)
    assert found.profile is not None


def test_samples_are_solved_at_once_and_keep_what_has_no_answer_apart():
    found = times(np.array([0.6, 1.0, 5.0]), 0.8)
    assert np.isfinite(found.boost_hours).tolist() == [True, True, False]
    assert found.boost_hours[1] == pytest.approx(times(1.0).boost_hours, abs=0.01)
    assert found.total_hours[0] < found.total_hours[1]
    assert [notice.key for notice in found.stops] == ["carburising.times.too_deep"]


def test_a_tip_takes_less_time_than_a_root():
    found = times(1.0, 0.8, radius_mm=np.array([2.0, np.inf, -3.0]))
    assert (np.diff(found.total_hours) > 0).all()


def test_each_limit_is_named():
    assert times(1.0, 0.6).stops[0].key.endswith("rich_diffuse")
    weak = times(1.0, 1.06, longest=40.0)
    assert weak.stops[0].key.endswith("weak_boost")
    assert weak.most_surface_carbon_wt < 1.05
    assert weak.boost_hours is None
    assert times(4.0, 0.8).stops[0].key.endswith("too_deep")


def test_bad_input_is_named_all_at_once():
    with pytest.raises(InputError) as raised:
        times(0.0, -1.0, longest=0.0, boost=gas(0, 1.0, transfer=0.0))
    fields = [fault.field for fault in raised.value.faults]
    assert fields == ["cycle[0].transfer_m_s", "depth_mm", "surface_carbon_wt", "longest_h"]


def test_the_search_finds_a_root_and_stays_between_its_ends():
    goal = np.array([0.5, 2.0, -1.0, 9.0])
    found = false_position(lambda x: x**3 - goal, np.zeros(4), np.full(4, 2.0))
    np.testing.assert_allclose(found, [0.5 ** (1 / 3), 2.0 ** (1 / 3), 0.0, 2.0], atol=2e-3)


@pytest.mark.parametrize("check", cases("carburising", "gearcheck.hardening.masking:mask_creep"), ids=str)
def test_cited_creep(check):
    inputs = check.inputs
    found = mask_creep(
        cycle=[written(step) for step in inputs["steps"]],
        steel=steel(inputs["core_carbon_wt"]),
        carbon_wt=inputs["carbon_wt"],
        edge_tolerance_mm=0.0,
    )
    holds(check, creep_mm=found.creep_mm, depth_mm=found.depth_mm)


def creep(cycle, level=0.3, core=0.11, tolerance=0.5):
    return mask_creep(cycle=cycle, steel=steel(core), carbon_wt=level, edge_tolerance_mm=tolerance)


def test_far_from_the_edge_the_depth_is_that_of_one_dimension():
    flat = carbon_profile(
        cycle=[BOOST, DIFFUSE], steel=steel(), criterion=CarbonCriterion.EN_10052, depth_mm=0.0
    )
    assert creep([BOOST, DIFFUSE], 0.35).depth_mm == pytest.approx(flat.case_depth_mm, abs=2e-3)


def test_creep_grows_with_time_and_falls_with_the_level():
    found = creep([gas(np.array([1.0, 3.0, 9.0]), 1.0)])
    assert (np.diff(found.creep_mm) > 0).all()
    assert found.creep_mm[1] == pytest.approx(creep([gas(3.0, 1.0)]).creep_mm, abs=1e-4)
    levels = creep([BOOST], np.array([0.2, 0.3, 0.5]))
    assert (np.diff(levels.creep_mm) < 0).all()
    assert (levels.creep_mm < levels.depth_mm).all()


def test_a_level_that_nothing_reaches_asks_for_no_distance():
    found = creep([gas(2.0, 0.8)], 0.9)
    assert (found.creep_mm, found.least_distance_mm, found.depth_mm) == (0.0, 0.5, None)
    assert found.notices[0].key.endswith("poor")


def test_a_level_of_the_core_has_no_distance():
    found = creep([BOOST], 0.10)
    assert found.least_distance_mm is None
    assert found.stops[0].key.endswith("core")
    with pytest.raises(InputError, match="edge_tolerance_mm"):
        creep([BOOST], tolerance=-0.1)


def test_a_sealed_plane_keeps_its_carbon():
    plane, before = masking._spread([gas(2.0, 1.0)], steel())
    after = masking._implicit(before, np.array(3600.0), sealed(1.0), 1.0, steel(), plane, before)
    assert (after * plane.volumes).sum() == pytest.approx((before * plane.volumes).sum(), rel=1e-12)
    assert after[0, 0] < before[0, 0] - 0.1
    assert after[-1, 0] == pytest.approx(0.11, abs=1e-4)


def test_the_composition_goes_through_times_and_mask():
    nickel = Alloy(
        manganese_wt=0.55,
        silicon_wt=0.25,
        nickel_wt=3.25,
        chromium_wt=np.array([0.3, 1.2]),
        molybdenum_wt=0.11,
    )
    made_of = steel(model=DiffusivityModel.LEE, alloy=nickel)
    found = times(0.8, 0.75, steel=made_of, diffuse=sealed(0))
    assert found.total_hours[1] > found.total_hours[0]
    masked = mask_creep(cycle=[BOOST], steel=made_of, carbon_wt=0.25, edge_tolerance_mm=0.0)
    assert masked.creep_mm[1] < masked.creep_mm[0]
