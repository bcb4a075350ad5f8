"""The factors of the flank over their whole ranges: finite, without a step, in the right direction."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.contact.hertz import hertz_line
from gearcheck.materials.inputs import Quality, Steel, Treatment
from gearcheck.materials.strength import strength_limits
from gearcheck.stress.film import film_factors
from gearcheck.stress.flank_factors import contact_ratio_factor, helix_factor, zone_factor
from gearcheck.stress.flank_limit import flank_size_factor
from gearcheck.stress.flank_static import flank_static_safety
from gearcheck.stress.inputs import PRIMARY, HelixFactor, Member, ReliefFactor, StressEdition
from gearcheck.stress.work_hardening import work_hardening
from tests.formula import disagreements
from tests.stress.pairs import LIMITS, helical, pair, rated, spur

EDITIONS = tuple(StressEdition)
HARD = tuple(treatment for treatment in Treatment if treatment.hard_surface)


def steel(treatment, hardness_HV=300.0, grade="42CrMo4", quality=Quality.MQ):
    return strength_limits(
        steel=Steel(
            grade="18CrNiMo7-6" if treatment is Treatment.CASE_CARBURISED else grade,
            quality=quality,
            surface_hardness_HV=hardness_HV,
            core_hardness_HV=320,
            treatment=treatment,
        )
    )


def soft(hardness_HV=300.0):
    return steel(Treatment.THROUGH_HARDENED, hardness_HV)


def smooth(values, most):
    """No step larger than `most`, and nothing without a number."""
    assert np.all(np.isfinite(values))
    return np.max(np.abs(np.diff(values))) < most


@settings(max_examples=15)
@given(
    teeth=st.tuples(st.integers(20, 40), st.integers(41, 120)),
    module=st.floats(1, 20),
    helix=st.floats(0, 30),
    angle=st.floats(20, 22.5),
    wider=st.floats(0, 0.006),
    face=st.floats(4, 14),
    edition=st.sampled_from(EDITIONS),
)
def test_the_nominal_stress_is_the_hertz_pressure_at_the_pitch_point(
    teeth, module, helix, angle, wider, face, edition
):
    """Line load along the contact line and curvatures in the normal section, from the involutes alone."""
    turned, tilt = np.radians(helix), np.radians(angle)
    reference = np.array(teeth) * module / np.cos(turned)
    centre = reference.sum() / 2 * (1 + wider)
    toothed = pair(
        teeth=teeth,
        normal_module_mm=module,
        pressure_angle_deg=angle,
        helix_angle_deg=helix,
        centre_distance_mm=centre,
        tips=tuple(reference + 2 * module),
        widths=(face * module, face * module),
        protuberance_mm=0,
        stock_min_mm=0,
        stock_max_mm=0,
        rack_dedendum=1.25,
        rack_root_radius=0.25,
    )
    found = rated(toothed, torque_Nm=10 * module**3, speed_rpm=100, edition=edition).flank
    transverse = np.arctan(np.tan(tilt) / np.cos(turned))
    base = reference * np.cos(transverse)
    working = np.arccos(base.sum() / 2 / centre)
    base_helix = np.arcsin(np.sin(turned) * np.cos(tilt))
    radii = base / 2 * np.tan(working) / np.cos(base_helix)
    force = 2000 * 10 * module**3 / base[0] / np.cos(base_helix)
    contact = hertz_line(
        line_load_N_mm=force / (face * module / np.cos(base_helix)),
        reduced_radius_mm=1 / (1 / radii).sum(),
        modulus_1_MPa=LIMITS.elastic_modulus_MPa,
        modulus_2_MPa=LIMITS.elastic_modulus_MPa,
        poisson_1=LIMITS.poisson_ratio,
        poisson_2=LIMITS.poisson_ratio,
    )
    bare = found.nominal_stress_MPa / found.contact_ratio_factor / found.helix_factor
    assert bare == pytest.approx(contact.pressure_MPa, rel=1e-9)


def test_factors_of_geometry_run_smoothly_and_in_their_direction():
    angles = np.linspace(15, 25, 2001)
    zone = zone_factor(
        base_helix_angle_deg=0, transverse_pressure_angle_deg=20, working_pressure_angle_deg=angles
    )
    assert smooth(zone, 1e-3)
    assert np.all(np.diff(zone) < 0)
    tilted = zone_factor(
        base_helix_angle_deg=np.linspace(0, 30, 2001),
        transverse_pressure_angle_deg=20,
        working_pressure_angle_deg=20,
    )
    assert smooth(tilted, 1e-3)
    assert np.all(np.diff(tilted) < 0)
    helix = np.linspace(0, 30, 2001)
    for reading, sign in ((HelixFactor.RECIPROCAL_ROOT, 1), (HelixFactor.ROOT, -1)):
        along = helix_factor(helix_angle_deg=helix, reading=reading)
        assert smooth(along, 1e-3)
        assert np.all(sign * np.diff(along) > 0)


@pytest.mark.parametrize("overlap", [0.0, 0.4, 0.999, 1.0, 2.5])
def test_the_contact_ratio_factor_falls_with_both_ratios(overlap):
    ratios = np.linspace(1, 2.5, 1501)
    along = contact_ratio_factor(transverse_contact_ratio=ratios, overlap_ratio=overlap)
    assert smooth(along, 1e-3)
    assert np.all(np.diff(along) < 0)
    across = contact_ratio_factor(
        transverse_contact_ratio=1 + ratios / 2.5, overlap_ratio=np.linspace(0, 2, 2001)[:, None]
    )
    assert np.all(np.diff(across, axis=0) <= 1e-15)
    assert np.max(np.abs(np.diff(across, axis=0))) < 1e-3


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("reading", ReliefFactor)
def test_single_pair_factors_run_smoothly_into_a_whole_overlap(edition, reading):
    widths = np.linspace(10, 140, 2001)
    found = rated(
        helical(widths=(widths, widths)), edition=edition, readings=replace(PRIMARY, relief_factor=reading)
    ).flank
    for factor in (found.pinion_contact_factor, found.wheel_contact_factor):
        assert smooth(factor, 1e-3)
        assert np.all(factor >= 1)
    if edition is StressEdition.ISO_6336_2006:
        assert found.pinion_contact_factor[-1] == found.wheel_contact_factor[-1] == found.relief_factor == 1


def test_the_2006_edition_leaves_out_the_tip_relief_factor_alone():
    new, old = (rated(helical(), edition=edition) for edition in EDITIONS)
    assert old.flank.pinion_stress_MPa < new.flank.pinion_stress_MPa
    assert old.flank.nominal_stress_MPa == new.flank.nominal_stress_MPa
    straight = [rated(spur(), edition=edition).flank.pinion_stress_MPa for edition in EDITIONS]
    assert straight[0] == straight[1]
    assert old.flank_limit.limit_MPa == new.flank_limit.limit_MPa
    assert {old.flank.method.edition, old.flank_limit.method.edition} == {"2006"}
    assert old.flank.method.key != new.flank.method.key


def film(**changed):
    given = {
        "flank_limit_MPa": 1500,
        "viscosity_40C_mm2_s": 220,
        "pitch_line_velocity_m_s": 8,
        "pinion_roughness_um": 3,
        "wheel_roughness_um": 3,
        "reduced_radius_mm": 12,
    }
    return film_factors(**{**given, **changed})


@pytest.mark.parametrize("strength", [500, 850, 1000, 1200, 1650])
def test_film_factors_run_smoothly_and_in_their_direction(strength):
    thick = film(flank_limit_MPa=strength, viscosity_40C_mm2_s=np.geomspace(5, 1000, 2001)).lubricant_factor
    fast = film(flank_limit_MPa=strength, pitch_line_velocity_m_s=np.geomspace(0.01, 300, 2001))
    rough = film(flank_limit_MPa=strength, pinion_roughness_um=np.geomspace(0.2, 40, 2001)).roughness_factor
    assert smooth(thick, 2e-3)
    assert np.all(np.diff(thick) > 0)
    assert smooth(fast.velocity_factor, 2e-3)
    assert np.all(np.diff(fast.velocity_factor) > 0)
    assert smooth(rough, 2e-3)
    assert np.all(np.diff(rough) < 0)


def test_film_factors_run_smoothly_over_strength():
    found = film(flank_limit_MPa=np.linspace(400, 1700, 2601), pinion_roughness_um=9, viscosity_40C_mm2_s=46)
    for factor in (found.lubricant_factor, found.velocity_factor, found.roughness_factor):
        assert smooth(factor, 1e-3)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"viscosity_40C_mm2_s": 680}, "ν_40 = 680 mm²/s lies outside ISO 6336-2:2019"),
        ({"pinion_roughness_um": 60, "wheel_roughness_um": 60}, "Rz_10 up to|Rz_10 from 1 to 20 µm"),
        ({"pinion_roughness_um": 0.3, "wheel_roughness_um": 0.3}, "Rz_10 from 1 to 20 µm"),
    ],
)
def test_a_film_outside_the_charts_is_a_caution_with_range_and_source(changed, words):
    (notice,) = film(**changed).notices
    assert notice.level is Level.CAUTION
    assert any(one in notice.text for one in words.split("|"))
    assert film().notices == ()


@pytest.mark.parametrize("name", ["pitch_line_velocity_m_s", "viscosity_40C_mm2_s"])
def test_a_film_without_speed_or_oil_is_refused(name):
    with pytest.raises(InputError, match=name):
        film(**{name: 0})


def hardened(**changed):
    given = {
        "wheel_hardness_HV": 300,
        "pinion_roughness_um": 3,
        "wheel_roughness_um": 6,
        "reduced_radius_mm": 12,
        "viscosity_40C_mm2_s": 220,
        "pitch_line_velocity_m_s": 8,
    }
    return work_hardening(**{**given, **changed})


def test_work_hardening_runs_smoothly_and_in_its_direction():
    by_hardness = hardened(wheel_hardness_HV=np.linspace(80, 600, 5201))
    for factor in (by_hardness.factor, by_hardness.static_factor):
        assert smooth(factor, 1e-3)
        assert np.all(np.diff(factor) <= 0)
    by_roughness = hardened(pinion_roughness_um=np.geomspace(0.5, 60, 4001), pitch_line_velocity_m_s=0.5)
    assert smooth(by_roughness.factor, 1e-3)
    assert np.all(np.diff(by_roughness.factor) <= 0)
    assert by_roughness.equivalent_roughness_um[[0, -1]].tolist() == [3, 16]
    assert not disagreements(hardened(pinion_roughness_um=7))[0]


def test_work_hardening_outside_its_range_says_so():
    (notice,) = hardened(wheel_hardness_HV=520).notices
    assert "HB = 494 HB lies outside ISO 6336-2:2019" in notice.text
    assert "from 130 to 470 HB" in notice.text


@pytest.mark.parametrize("treatment", Treatment)
def test_the_size_factor_never_rises_and_has_no_step(treatment):
    sizes = flank_size_factor(normal_module_mm=np.linspace(0.5, 60, 5951), treatment=treatment)
    assert smooth(sizes, 1.2e-4 + 1e-3 * (treatment in (Treatment.GAS_NITRIDED, Treatment.NITROCARBURISED)))
    assert np.all(np.diff(sizes) <= 0)
    assert sizes[0] == 1


def test_a_soft_wheel_is_hardened_by_a_hard_pinion_alone():
    cycles = np.geomspace(10, 1e11, 2001)
    wheel = rated(helical(), limits=(LIMITS, soft()), member=Member.WHEEL, load_cycles=cycles).flank_limit
    assert wheel.work_hardening_factor > wheel.static_work_hardening_factor > 1
    assert wheel.work_hardening is not None
    assert smooth(np.log(wheel.limit_MPa), 0.01)
    assert np.all(np.diff(wheel.limit_MPa) <= 0)
    assert not disagreements(wheel)[0]
    both = rated(helical(), limits=(soft(), soft()), member=Member.WHEEL).flank_limit
    assert (both.work_hardening_factor, both.notices) == (1, ())
    pinion = rated(helical(), limits=(soft(), LIMITS), member=Member.PINION).flank_limit
    assert pinion.work_hardening_factor == 1
    assert [notice.key for notice in pinion.notices] == ["iso6336_2.no_work_hardening"]


def test_the_softer_gear_governs_the_film_of_both():
    pinion = rated(helical(), limits=(LIMITS, soft()), member=Member.PINION).flank_limit
    assert pinion.film.flank_limit_MPa == pytest.approx(soft().flank_limit_MPa)
    assert pinion.flank_limit_MPa == LIMITS.flank_limit_MPa
    assert pinion.work_hardening_factor == 1
    hard = rated(helical()).flank_limit
    assert hard.film.flank_limit_MPa == LIMITS.flank_limit_MPa


@pytest.mark.parametrize("treatment", Treatment)
def test_a_treatment_goes_through_the_whole_rating_of_a_wheel(treatment):
    hardness = {
        Treatment.CASE_CARBURISED: 690,
        Treatment.INDUCTION_HARDENED: 550,
        Treatment.THROUGH_HARDENED: 300,
        Treatment.GAS_NITRIDED: 550,
        Treatment.NITROCARBURISED: 500,
    }[treatment]
    limits = steel(treatment, hardness)
    cycles = np.geomspace(10, 1e10, 101)
    found = rated(helical(), limits=(LIMITS, limits), member=Member.WHEEL, load_cycles=cycles)
    for result in (found.flank_limit, found.root_limit):
        assert result.treatment is treatment
        assert np.all(np.isfinite(result.safety))
        assert result.safety[0] > result.safety[-1]
        assert not [one for one in result.notices if one.level is Level.STOP]
    assert found.flank_limit.safety[-1] <= rated(helical(), member=Member.WHEEL).flank_limit.safety


@pytest.mark.parametrize("treatment", HARD)
def test_static_strength_counts_work_hardening_of_a_soft_wheel(treatment):
    given = {"stress_MPa": 1000, "required_safety": 1, "mate_limits": steel(treatment, 550)}
    wheel = flank_static_safety(limits=soft(), member=Member.WHEEL, **given)
    assert wheel.static_work_hardening_factor == pytest.approx(1.05 - (285 - 130) / 6800)
    assert wheel.safety == pytest.approx(0.7669 * 1.6 * wheel.static_work_hardening_factor)
    pinion = flank_static_safety(limits=soft(), member=Member.PINION, **given)
    assert pinion.safety == pytest.approx(0.7669 * 1.6)
    assert pinion.notices
    old = flank_static_safety(
        limits=soft(), member=Member.WHEEL, edition=StressEdition.ISO_6336_2006, **given
    )
    assert (old.method.edition, old.safety) == ("2006", wheel.safety)
    assert not disagreements(wheel)[0]


def test_hardness_is_sampled_like_everything_else():
    hardness = np.array([250.0, 300.0, 350.0])
    limits = soft(hardness)
    found = rated(helical(), limits=(LIMITS, limits), member=Member.WHEEL)
    assert found.flank_limit.safety.shape == (3,)
    assert np.all(np.diff(found.flank_limit.flank_limit_MPa) > 0)
    one = rated(helical(), limits=(LIMITS, soft(300.0)), member=Member.WHEEL)
    assert found.flank_limit.safety[1] == pytest.approx(one.flank_limit.safety)
    torque = rated(
        helical(), limits=(LIMITS, limits), member=Member.WHEEL, torque_Nm=np.array([[200.0], [500.0]])
    )
    assert torque.flank_limit.safety.shape == (2, 3)
