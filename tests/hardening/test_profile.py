"""Hardness over depth."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.contact.field import axis_shear
from gearcheck.hardening.profile import hardness_profile, model_depth
from tests.checks import cases, holds


def smallest_case(*, half_width_mm, pressure_MPa, surface_hardness_HV, core_hardness_HV, share):
    """The smallest case depth with τ_max at most `share` of HV at every depth, by scanning the profile."""
    z = np.linspace(1e-4, 8 * half_width_mm, 4001)
    shear = pressure_MPa * axis_shear(z_over_b=z / half_width_mm)
    cases_mm = np.arange(0.001, 3, 0.001)
    profile = hardness_profile(
        depth_mm=z, surface_hardness_HV=surface_hardness_HV, core_hardness_HV=core_hardness_HV,
        case_depth_mm=cases_mm,
    )  # fmt: skip
    enough = (shear <= share * profile.hardness_HV).all(axis=-1)
    return cases_mm[enough.argmax()] if enough.any() else None


@pytest.mark.parametrize("check", cases("hardening", "gearcheck.hardening.profile:hardness_profile"), ids=str)
def test_cited_profiles(check):
    if check.id != "PROFILE-K":
        holds(check, hardness_HV=hardness_profile(**check.inputs).hardness_HV)
        return
    inputs = dict(check.inputs)
    shares = inputs.pop("share_of_hardness")
    holds(check, case_depth_mm=[smallest_case(share=share, **inputs) for share in shares])


@pytest.mark.parametrize("check", cases("hardening", "gearcheck.hardening.profile:model_depth"), ids=str)
def test_the_model_before_it_is_scaled(check):
    hardness, surface, core = check.inputs.values()
    holds(check, depth=model_depth(np.array((hardness - core) / (surface - core))))


HARDNESSES = {"surface": st.floats(551, 900), "core": st.floats(130, 549), "case": st.floats(0.05, 5)}


@given(**HARDNESSES)
def test_550_stands_at_the_case_depth(surface, core, case):
    profile = hardness_profile(
        depth_mm=[0.0, case], surface_hardness_HV=surface, core_hardness_HV=core, case_depth_mm=case
    )
    assert profile.hardness_HV == pytest.approx([surface, 550], rel=1e-9)


@given(**HARDNESSES)
def test_it_falls_from_surface_to_core(surface, core, case):
    depth = np.linspace(0, 12 * case, 200)
    profile = hardness_profile(
        depth_mm=depth, surface_hardness_HV=surface, core_hardness_HV=core, case_depth_mm=case
    )
    assert (np.diff(profile.hardness_HV) <= 0).all()
    assert (profile.hardness_HV >= core).all()
    deeper = hardness_profile(
        depth_mm=depth, surface_hardness_HV=surface, core_hardness_HV=core, case_depth_mm=1.01 * case
    )
    assert (deeper.hardness_HV >= profile.hardness_HV).all()


@pytest.mark.parametrize(("surface", "core", "key"), [(550, 400, "surface"), (700, 550, "core")])
def test_no_case_depth_at_550_stops(surface, core, key):
    profile = hardness_profile(
        depth_mm=0.5, surface_hardness_HV=surface, core_hardness_HV=core, case_depth_mm=1
    )
    assert profile.hardness_HV is None
    assert [notice.key for notice in profile.stops] == [f"lang.hardness_profile.{key}"]
    assert "550 HV" in profile.stops[0].text


def test_lengths_below_0_stop():
    profile = hardness_profile(
        depth_mm=[-0.1, 0.1], surface_hardness_HV=700, core_hardness_HV=400, case_depth_mm=[1.0, 0.0, -1.0]
    )
    assert np.isnan(profile.hardness_HV).tolist() == [[True, False], [True, True], [True, True]]
    assert len(profile.stops) == 3


def test_samples_come_before_depths():
    profile = hardness_profile(
        depth_mm=[0.2, 0.9, 1.7],
        surface_hardness_HV=[700, 680],
        core_hardness_HV=[400, 320],
        case_depth_mm=[0.8, 1.2],
    )
    assert profile.hardness_HV.shape == (2, 3)
    for row, column in np.ndindex(2, 3):
        one = hardness_profile(
            depth_mm=(0.2, 0.9, 1.7)[column],
            surface_hardness_HV=(700, 680)[row],
            core_hardness_HV=(400, 320)[row],
            case_depth_mm=(0.8, 1.2)[row],
        )
        assert profile.hardness_HV[row, column] == pytest.approx(one.hardness_HV, rel=1e-14)
