"""Carbon over depth: cited values, closed forms, conservation, directions, bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.hardening import diffusion
from gearcheck.hardening.carbon import carbon_profile, mass_gain_g_m2
from gearcheck.hardening.closed_form import saturated_hours, transfer_profile
from gearcheck.hardening.cycle import (
    CarbonCriterion,
    FluxBoost,
    SaturatedBoost,
    criterion_carbon,
    saturation_carbon,
)
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel, arrhenius_diffusivity, carbon_diffusivity
from gearcheck.hardening.harris import harris_depth
from gearcheck.hardening.stop_off import StopOff, stop_off_plating
from tests.checks import cases, holds
from tests.hardening.furnaces import BOOST, DIFFUSE, DROP, gas, sealed, steel, written

ROOM = "gearcheck.hardening"


def profile(cycle, core=0.11, *, criterion="0.35 %", depth_mm=0.0, **more):
    known = {name: more.pop(name) for name in ("radius_mm", "half_section_mm") if name in more}
    return carbon_profile(
        cycle=cycle,
        steel=core if not isinstance(core, float) else steel(core, **more),
        criterion=CarbonCriterion(criterion),
        depth_mm=depth_mm,
        **known,
    )


def of_check(check):
    inputs = check.inputs
    criteria = inputs["criterion"]
    each = [
        profile(
            [written(step) for step in inputs["steps"]],
            inputs["core_carbon_wt"],
            criterion=criterion,
            depth_mm=inputs.get("depth_mm", 0.0),
            constant=inputs.get("constant_m2_s"),
        )
        for criterion in ([criteria] if isinstance(criteria, str) else criteria)
    ]
    return each[0] if isinstance(criteria, str) else each


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.carbon:carbon_profile"), ids=str)
def test_cited_profiles(check):
    found = of_check(check)
    one = found[0] if isinstance(found, list) else found
    made_of_it = ("relative_change", "effective_over_total")
    computed = {name: getattr(one, name) for name in check.expected if name not in made_of_it}
    if "effective_over_total" in check.expected:
        effective, total = (each.case_depth_mm for each in found)
        computed["effective_over_total"] = effective / total
    elif isinstance(found, list):
        computed["case_depth_mm"] = [each.case_depth_mm for each in found]
    if "relative_change" in check.expected:
        before, after = one.uptake_after_wt_mm
        computed["relative_change"] = after / before - 1
    holds(check, **computed)


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.cycle:criterion_carbon"), ids=str)
def test_cited_criteria(check):
    holds(check, carbon_wt=criterion_carbon(**check.inputs))


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.diffusivity:carbon_diffusivity"), ids=str)
def test_cited_diffusivities(check):
    inputs = {**check.inputs, "model": DiffusivityModel(check.inputs["model"]), "alloy_factor": 1.0}
    if "alloy" in inputs:
        inputs["alloy"] = Alloy(**inputs["alloy"])
    holds(check, diffusivity_m2_s=carbon_diffusivity(**inputs).diffusivity_m2_s)


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.diffusivity:arrhenius_diffusivity"), ids=str)
def test_cited_constants(check):
    holds(check, diffusivity_m2_s=arrhenius_diffusivity(**check.inputs).diffusivity_m2_s)


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.harris:harris_depth"), ids=str)
def test_harris(check):
    hours = np.array(check.inputs["hours"])
    celsius = check.inputs.get("temperature_C")
    celsius = (np.array(check.inputs["temperature_F"]) - 32) / 1.8 if celsius is None else celsius
    found = harris_depth(hours=hours[:, None] if np.ndim(celsius) else hours, temperature_C=celsius)
    known = {"inch_form_in": found.inch_form_mm / 25.4} | vars(found)
    holds(check, **{name: known[name] for name in check.expected})


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.closed_form:saturated_hours"), ids=str)
def test_cited_hours(check):
    found = saturated_hours(**check.inputs)
    holds(check, hours=found.hours, ratio=found.ratio)


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.closed_form:transfer_profile"), ids=str)
def test_cited_transfer(check):
    found = transfer_profile(**check.inputs)
    holds(check, carbon_wt=found.carbon_wt, uptake_wt_mm=found.uptake_wt_mm)


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.carbon:mass_gain_g_m2"), ids=str)
def test_cited_mass(check):
    holds(check, mass_gain_g_m2=mass_gain_g_m2(**check.inputs))


@pytest.mark.parametrize("check", cases("carburising", f"{ROOM}.stop_off:stop_off_plating"), ids=str)
def test_cited_plates(check):
    holds(check, least_um=stop_off_plating(**check.inputs, thickness_um=30.0).least_um)


def test_a_thin_plate_is_noted():
    assert stop_off_plating(process=StopOff.GAS, thickness_um=22.0).notices[0].level is Level.CAUTION
    assert not stop_off_plating(process=StopOff.GAS, thickness_um=23.0).notices
    with pytest.raises(InputError, match="thickness_um"):
        stop_off_plating(process=StopOff.GAS, thickness_um=-1)


@settings(max_examples=15, deadline=None)
@given(potential=st.floats(0.6, 1.2), transfer=st.floats(5e-8, 1e-6), hours=st.floats(0.05, 20))
def test_the_solver_meets_the_closed_form(potential, transfer, hours):
    z = np.linspace(0, 1.5, 16)
    solved = profile([gas(hours, potential, transfer=transfer)], 0.2, constant=1.6e-11, depth_mm=z)
    known = transfer_profile(
        core_carbon_wt=0.2, carbon_potential_wt=potential, diffusivity_m2_s=1.6e-11, transfer_m_s=transfer,
        hours=hours, depth_mm=z,
    )  # fmt: skip
    np.testing.assert_allclose(solved.carbon_wt, known.carbon_wt, atol=5e-4)
    assert solved.uptake_wt_mm == pytest.approx(known.uptake_wt_mm, abs=3e-4)


@settings(max_examples=15, deadline=None)
@given(
    radius=st.one_of(st.just(np.inf), st.floats(0.8, 20), st.floats(-20, -0.8)),
    hours=st.floats(0.1, 10),
    rest=st.floats(0.1, 30),
)
def test_a_sealed_section_keeps_its_carbon(radius, hours, rest):
    found = profile([gas(hours, 1.0), sealed(rest)], radius_mm=radius)
    before, after = found.uptake_after_wt_mm
    assert after == pytest.approx(before, rel=1e-9)
    assert found.surface_after_wt[1] <= found.surface_after_wt[0] + 1e-9


@settings(max_examples=15, deadline=None)
@given(hours=st.floats(0.1, 20), more=st.floats(1.05, 3), potential=st.floats(0.7, 1.2))
def test_more_time_potential_or_diffusivity_brings_more_carbon(hours, more, potential):
    found = profile([gas(np.array([hours, hours * more]), potential)], criterion="core + 0.07 %")
    richer = profile([gas(hours, np.array([potential, potential + 0.1]))], criterion="core + 0.07 %")
    slower = profile(
        [gas(hours, potential)], steel(0.11, diffusivity=np.array([0.8, 1.0])), criterion="core + 0.07 %"
    )
    for each in (found, richer, slower):
        assert (np.diff(each.uptake_wt_mm) > 0).all()
        assert (np.diff(each.case_depth_mm) > 0).all()
        assert np.isfinite(each.nodes_carbon_wt).all()
    assert (found.surface_carbon_wt < potential).all()


def test_the_surface_curves_the_case():
    """A tip is carburised deeper than a flank, a root less; a large radius is flat."""
    tip, outward, flank, inward, root = profile(
        [BOOST, DIFFUSE], radius_mm=np.array([3.0, 1e6, np.inf, -1e6, -3.0])
    ).case_depth_mm
    assert tip > flank + 0.05
    assert root < flank - 0.03
    np.testing.assert_allclose([outward, inward], flank, atol=1e-5)


def test_a_cylinder_meets_its_series():
    """Surface held, one diffusivity, solid bar: the mean carbon by the zeros of the Bessel function J_0."""
    from scipy.special import jn_zeros

    radius, D, hours = 1.0, 1.6e-11, 3.0
    found = profile([gas(hours, 1.0, transfer=np.inf)], 0.2, constant=D, radius_mm=radius)
    zeros = jn_zeros(0, 60)
    mean = 1 - 4 * np.sum(np.exp(-(zeros**2) * D * 1e6 * 3600 * hours / radius**2) / zeros**2)
    # the section of a bar to its surface is R/2
    assert found.uptake_wt_mm == pytest.approx(0.8 * mean * radius / 2, abs=1e-4)


def test_a_thin_section_fills_up():
    found = profile([gas(300.0, 0.9)], half_section_mm=0.5, depth_mm=[0.0, 0.5, 0.6])
    assert found.carbon_wt[1] == pytest.approx(0.9, abs=1e-3)
    assert np.isnan(found.carbon_wt[2])
    keys = {notice.key for notice in found.stops}
    assert {key.rpartition(".")[2] for key in keys} == {"beyond", "rich"}


def test_deeper_than_carbon_comes_there_is_the_core():
    assert profile([gas(0.1, 0.9)], depth_mm=20.0).carbon_wt == pytest.approx(0.11)


PULSE = [SaturatedBoost(hours=0.05, temperature_C=950.0), sealed(0.2, temperature=950.0)]
CYCLES = {
    "gas": [BOOST, DIFFUSE, DROP],
    "pulses": PULSE * 6,
    "flux": [FluxBoost(hours=2, temperature_C=950.0, flux_g_m2_h=60.0), sealed(1.0)],
}


@pytest.mark.parametrize("name", CYCLES)
def test_a_finer_solver_says_the_same(name, monkeypatch):
    z = np.linspace(0, 2, 41)
    usual = profile(CYCLES[name], depth_mm=z)
    monkeypatch.setattr(diffusion, "CELLS", 500)
    monkeypatch.setattr(diffusion, "TIMES", 80)
    fine = profile(CYCLES[name], depth_mm=z)
    np.testing.assert_allclose(usual.carbon_wt, fine.carbon_wt, atol=3e-4)
    np.testing.assert_allclose(usual.surface_after_wt, fine.surface_after_wt, atol=4e-4)


def test_samples_equal_scalars():
    hours, core, radius = np.array([[2.0], [6.0]]), np.array([0.11, 0.18, 0.2]), np.array([np.inf, 2.0, -3.0])
    z = np.array([0.0, 0.3, 0.9])
    whole = profile([gas(hours, 1.0), sealed(1.0)], steel(core), radius_mm=radius, depth_mm=z)
    assert whole.carbon_wt.shape == (2, 3, 3)
    assert whole.surface_after_wt.shape == (2, 3, 2)
    for i in range(2):
        for j in range(3):
            one = profile(
                [gas(hours[i, 0], 1.0), sealed(1.0)], core[j].item(), radius_mm=radius[j], depth_mm=z
            )
            np.testing.assert_allclose(one.carbon_wt, whole.carbon_wt[i, j], atol=2e-6)
            assert one.case_depth_mm == pytest.approx(whole.case_depth_mm[i, j], abs=1e-5)


def test_a_ramp_lies_between_its_ends():
    ends = [profile([gas(4, 1.0, temperature=t)]).uptake_wt_mm for t in (880.0, 930.0)]
    ramp = profile([gas(4, 1.0, temperature=880.0, end=930.0)]).uptake_wt_mm
    assert ends[0] < ramp < ends[1]
    steps = [gas(4 / 40, 1.0, temperature=880 + 50 * (i + 0.5) / 40) for i in range(40)]
    assert ramp == pytest.approx(profile(steps).uptake_wt_mm, abs=2e-4)


def test_low_pressure_by_flux_and_by_saturation():
    boost = {"hours": 0.5, "temperature_C": 950.0}
    weak, strong = (profile([FluxBoost(**boost, flux_g_m2_h=flux)]) for flux in (20.0, 5000.0))
    held = profile([SaturatedBoost(**boost)])
    # unlimited by saturation, the flux times the time is what goes in
    assert weak.mass_gain_g_m2 == pytest.approx(10.0, rel=1e-3)
    assert strong.uptake_wt_mm == pytest.approx(held.uptake_wt_mm, rel=2e-3)
    assert held.surface_carbon_wt == pytest.approx(1.35, abs=1e-6)
    assert {notice.key.rpartition(".")[2] for notice in held.notices} == {"low_pressure", "poor"} - {"poor"}


def test_carbides_and_ranges_are_cautions():
    rich = profile([gas(1, 1.4)])
    assert [notice.key.rpartition(".")[2] for notice in rich.notices] == ["potential"]
    cooled = profile([gas(8, 1.2), sealed(0.01, temperature=800.0)])
    assert "surface" in {notice.key.rpartition(".")[2] for notice in cooled.notices}
    assert profile([gas(1, 1.0, temperature=790.0)]).notices[0].key.endswith("temperature_C")
    assert profile([gas(1, 1.0, transfer=1e-6)]).notices[0].key.endswith("transfer_m_s")
    assert profile([BOOST, DIFFUSE, DROP]).notices == ()


def test_alloy_that_lowers_saturation_is_told_sooner():
    assert profile([BOOST], steel(0.11, saturation=0.8)).notices
    assert not profile([BOOST], steel(0.11)).notices


def test_alloy_slows_the_carbon():
    nickel = Alloy(
        manganese_wt=0.55,
        silicon_wt=0.25,
        nickel_wt=3.25,
        chromium_wt=np.array([0.0, 1.2]),
        molybdenum_wt=0.11,
    )
    plain = Alloy(manganese_wt=0.0, silicon_wt=0.0, nickel_wt=0.0, chromium_wt=0.0, molybdenum_wt=0.0)
    lee = DiffusivityModel.LEE
    pure = profile([BOOST, DIFFUSE], steel(model=lee, alloy=plain)).case_depth_mm
    found = profile([BOOST, DIFFUSE], steel(model=lee, alloy=nickel)).case_depth_mm
    assert found[1] < found[0]
    assert found[1] < pure - 0.1
    # the fits for plain iron-carbon say much the same
    for model in (DiffusivityModel.COLLIN, DiffusivityModel.AGREN):
        assert profile([BOOST, DIFFUSE], steel(model=model)).case_depth_mm == pytest.approx(pure, rel=0.05)
    with pytest.raises(InputError, match=r"steel\.alloy"):
        profile([BOOST], steel(model=lee))
    with pytest.raises(InputError, match=r"steel\.alloy"):
        profile([BOOST], steel(alloy=plain))


def test_a_skin_that_lost_carbon_is_told():
    found = profile([gas(6, 1.0), gas(1, 0.0)])
    assert found.surface_carbon_wt < 0.35
    assert found.case_depth_mm > 0.5
    assert "skin" in found.notices[0].key


@pytest.mark.parametrize(
    ("cycle", "field"),
    [
        ([], "cycle"),
        ([gas(-1, 1.0)], "cycle[0].hours"),
        ([BOOST, gas(1, 1.0, temperature=600.0)], "cycle[1].temperature_C"),
        ([gas(1, 1.0, end=1300.0)], "cycle[0].end_temperature_C"),
        ([gas(1, -0.1)], "cycle[0].carbon_potential_wt"),
        ([gas(1, 1.0, transfer=0.0)], "cycle[0].transfer_m_s"),
        ([FluxBoost(hours=1, temperature_C=950, flux_g_m2_h=np.nan)], "cycle[0].flux_g_m2_h"),
    ],
)
def test_what_no_furnace_does_is_refused(cycle, field):
    with pytest.raises(InputError) as raised:
        profile(cycle)
    assert [fault.field for fault in raised.value.faults] == [field]


def test_what_no_steel_is_is_refused():
    with pytest.raises(InputError) as raised:
        profile([BOOST], steel(0.9, model=DiffusivityModel.CONSTANT, saturation=0.0), radius_mm=0.0)
    fields = {fault.field for fault in raised.value.faults}
    assert fields == {"steel.core_carbon_wt", "steel.saturation_factor", "steel.constant_m2_s", "radius_mm"}


def test_no_depth_where_the_carbon_never_falls_to_the_criterion():
    rich, poor = profile([BOOST], 0.4), profile([gas(1, 0.3)])
    assert rich.case_depth_mm is None
    assert poor.case_depth_mm is None
    assert [found.stops[0].key.rpartition(".")[2] for found in (rich, poor)] == ["rich", "poor"]


def test_criteria_and_saturation():
    assert criterion_carbon(CarbonCriterion.SAE_J423, 0.2) == pytest.approx(0.24)
    assert criterion_carbon(CarbonCriterion.EN_10052, 0.2) == pytest.approx(0.35)
    assert saturation_carbon(925.0) == pytest.approx(1.275)
    assert np.isnan(saturation_carbon(700.0))


def test_any_depth_can_be_asked_for_later():
    found = profile([BOOST, DIFFUSE])
    depths = found.depth_at_mm([0.35, 0.25, 0.18])
    assert depths[0] == found.case_depth_mm
    assert (np.diff(depths) > 0).all()


def test_the_closed_forms_refuse_and_stop():
    given = {"core_carbon_wt": 0.2, "surface_carbon_wt": 1.0, "depth_mm": 0.5, "diffusivity_m2_s": 1e-11}
    assert saturated_hours(**given, carbon_wt=1.1).hours is None
    with pytest.raises(InputError, match="depth_mm"):
        saturated_hours(**{**given, "depth_mm": 0.0}, carbon_wt=0.5)
    with pytest.raises(InputError, match="alloy_factor"):
        carbon_diffusivity(carbon_wt=0.5, temperature_C=927, model=DiffusivityModel.COLLIN, alloy_factor=0.0)
    with pytest.raises(InputError, match="hours"):
        harris_depth(hours=-1, temperature_C=925)


@given(temperature=st.floats(800, 1100), carbon=st.floats(0, 1.4))
def test_the_two_fits_agree_as_fits_of_the_same_data(temperature, carbon):
    found = carbon_diffusivity(
        carbon_wt=carbon, temperature_C=temperature, model=DiffusivityModel.COLLIN, alloy_factor=1.0
    )
    assert 0.65 < found.agren_m2_s / found.collin_m2_s < 1.15
    assert found.diffusivity_m2_s == found.collin_m2_s
