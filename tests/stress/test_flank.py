from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.gear.pair import PairGeometry
from gearcheck.stress.film import film_factors
from gearcheck.stress.flank import flank_stress
from gearcheck.stress.flank_factors import (
    contact_ratio_factor,
    elasticity_factor,
    helix_factor,
    nominal_flank_stress,
    zone_factor,
)
from gearcheck.stress.flank_limit import flank_size_factor
from gearcheck.stress.inputs import (
    PRIMARY,
    HelixFactor,
    LifeAt1e10,
    LimitedLife,
    Member,
    ReliefFactor,
    StressEdition,
)
from gearcheck.stress.work_hardening import (
    static_work_hardening_factor,
    work_hardening,
    work_hardening_factor,
)
from tests.checks import cases, holds
from tests.stress.pairs import LIMITS, SOFT, factors_of, from_sheet, helical, rated, spur
from tests.stress.treated import by_treatment


def of(name):
    return pytest.mark.parametrize("check", cases("stress", f"gearcheck.stress.{name}"), ids=str)


@of("flank_factors:elasticity_factor")
def test_elasticity_factor(check):
    E, nu = check.inputs["modulus_MPa"], check.inputs["poisson_ratio"]
    found = elasticity_factor(
        pinion_modulus_MPa=E, wheel_modulus_MPa=E, pinion_poisson_ratio=nu, wheel_poisson_ratio=nu
    )
    holds(check, Z_E=found)


@of("flank_factors:zone_factor")
def test_zone_factor(check):
    angle = check.inputs["pressure_angle_deg"]
    found = zone_factor(
        base_helix_angle_deg=0, transverse_pressure_angle_deg=angle, working_pressure_angle_deg=angle
    )
    holds(check, Z_H=found)


@of("flank_factors:contact_ratio_factor")
def test_contact_ratio_factor(check):
    holds(check, Z_e=contact_ratio_factor(**check.inputs))


@of("flank_factors:helix_factor")
def test_helix_factor(check):
    given = {**check.inputs, "reading": HelixFactor(check.inputs["reading"])}
    holds(check, Z_b=helix_factor(**given))


@of("flank_factors:nominal_flank_stress")
def test_pitch_point_pressure(check):
    given, (z1, z2) = check.inputs, check.inputs["teeth"]
    alpha = np.radians(given["pressure_angle_deg"])
    reference = z1 * given["normal_module_mm"]
    working = np.arccos(
        (z1 + z2) * given["normal_module_mm"] / 2 * np.cos(alpha) / given["centre_distance_mm"]
    )
    zone = zone_factor(
        base_helix_angle_deg=0,
        transverse_pressure_angle_deg=given["pressure_angle_deg"],
        working_pressure_angle_deg=np.degrees(working),
    )
    steel = elasticity_factor(
        pinion_modulus_MPa=206000, wheel_modulus_MPa=206000, pinion_poisson_ratio=0.3, wheel_poisson_ratio=0.3
    )
    found = nominal_flank_stress(
        stress_factor=zone * steel,
        tangential_force_N=2000 * np.array(given["torque_Nm"]) / reference,
        reference_diameter_mm=reference,
        common_face_width_mm=given["face_width_mm"],
        gear_ratio=z2 / z1,
    )
    holds(check, p_C=found)


@of("flank:flank_stress")
def test_flank_stress(check):
    old = check.id.endswith("2006")
    edition = StressEdition.ISO_6336_2006 if old else StressEdition.ISO_6336_2019
    found = from_sheet(check.inputs["pair"], edition=edition).flank
    computed = {
        "Z_H": found.zone_factor,
        "Z_e": found.contact_ratio_factor,
        "M_1": found.pinion_point_ratio,
        "M_2": found.wheel_point_ratio,
        "f_ZCa": found.relief_factor,
        "Z_B": found.pinion_contact_factor,
        "Z_D": found.wheel_contact_factor,
        "s_H0": found.nominal_stress_MPa,
        "s_H1": found.pinion_stress_MPa,
        "s_H2": found.wheel_stress_MPa,
    }
    holds(check, **{name: computed[name] for name in check.expected})
    assert found.method.edition == ("2006" if old else "2019")


@of("flank_limit:flank_safety")
def test_flank_safety(check):
    given = dict(check.inputs)
    soft = SOFT if check.id.startswith("ISO2-SOFT") else None
    if soft:
        given["load_cycles"] = np.array(given["load_cycles"])
    found = from_sheet(given.pop("pair"), changed=soft, **given).flank_limit
    computed = {
        "Z_L": found.lubricant_factor,
        "Z_v": found.velocity_factor,
        "Z_R": found.roughness_factor,
        "Z_W": found.work_hardening_factor,
        "Z_NT": found.life_factor,
        "s_HG": found.limit_MPa,
        "S_H": found.safety,
    }
    holds(check, **{name: computed[name] for name in check.expected})


@of("film:film_factors")
def test_neutral_points(check):
    given = dict(check.inputs)
    rough = given.pop("roughness_um")
    found = film_factors(**given, pinion_roughness_um=rough, wheel_roughness_um=rough)
    holds(
        check,
        Z_L=found.lubricant_factor,
        Z_v=found.velocity_factor,
        Z_R=found.roughness_factor + 0 * found.lubricant_factor,
    )


@of("work_hardening:work_hardening_factor")
def test_work_hardening(check):
    holds(check, Z_W=work_hardening_factor(**check.inputs))


@of("work_hardening:static_work_hardening_factor")
def test_static_work_hardening(check):
    holds(check, Z_W=static_work_hardening_factor(**check.inputs))


@of("work_hardening:work_hardening")
def test_work_hardening_of_a_pair(check):
    found = work_hardening(**check.inputs)
    holds(check, Z_W=found.factor, Z_Wstat=found.static_factor + 0 * found.factor)


@of("flank_limit:flank_size_factor")
def test_size_factor(check):
    holds(check, Z_X=by_treatment(flank_size_factor, **check.inputs))


def test_work_hardening_is_held_beyond_its_ends():
    assert work_hardening_factor(wheel_hardness_HB=[100, 600], equivalent_roughness_um=3).tolist() == [
        1.2,
        1.0,
    ]
    assert static_work_hardening_factor(wheel_hardness_HB=[100, 600]).tolist() == [1.05, 1.0]
    assert work_hardening_factor(wheel_hardness_HB=300, equivalent_roughness_um=12) < 1.1


def test_size_factor_is_continuous_at_both_ends():
    found = flank_size_factor(normal_module_mm=[10, 10.0001, 29.9999, 30, 40])
    assert found == pytest.approx([1, 1, 0.9, 0.9, 0.9], abs=1e-5)


@given(ratio=st.floats(1.05, 2.4), below=st.floats(0.9, 0.9999999))
def test_contact_ratio_factor_is_continuous_at_a_whole_overlap(ratio, below):
    at = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=[1, 3])
    assert at.tolist() == pytest.approx([ratio**-0.5] * 2)
    near = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=1 - 1e-10)
    assert near == pytest.approx(ratio**-0.5)
    between = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=below)
    spur_like = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=0)
    assert min(at[0], spur_like) <= between <= max(at[0], spur_like)


@pytest.mark.parametrize(
    ("reading", "whole"),
    [(ReliefFactor.SQUARE_ROOT, 1.2**0.5), (ReliefFactor.FULL, 1.2), (ReliefFactor.NONE, 1)],
)
def test_single_pair_factor_fades_to_the_relief_factor_at_a_whole_overlap(reading, whole):
    widths = np.array([20.0, 40.0, 60.4, 60.5, 90.0])
    found = rated(helical(widths=(widths, widths)), readings=replace(PRIMARY, relief_factor=reading)).flank
    overlap, stress = found.overlap_ratio, found.nominal_stress_MPa
    assert overlap[-1] > 1
    for ratio, factor in (
        (found.pinion_point_ratio, found.pinion_contact_factor),
        (found.wheel_point_ratio, found.wheel_contact_factor),
    ):
        expected = np.where(overlap < 1, ratio - overlap * (ratio - whole), whole)
        assert factor == pytest.approx(np.maximum(expected, 1))
    assert found.pinion_stress_MPa / stress / found.pinion_contact_factor == pytest.approx(
        found.wheel_stress_MPa / stress / found.wheel_contact_factor
    )


def test_tip_relief_lowers_the_stress_of_helical_gears_only():
    relief = np.array([0.0, 1e-9, 60.0, np.nan])
    found = rated(helical(), tip_relief_um=relief, tolerance_class=7).flank
    assert found.relief_factor.tolist()[:3] == [1.2, 1.07, 1.07]
    assert found.pinion_stress_MPa[0] > found.pinion_stress_MPa[1] == found.pinion_stress_MPa[2]
    assert np.isnan(found.pinion_stress_MPa[3])
    straight = rated(spur(), tip_relief_um=relief[:3], tolerance_class=7).flank
    assert straight.relief_factor.tolist() == [1, 1, 1]
    assert len(set(straight.pinion_stress_MPa)) == 1


def test_spur_pair_takes_the_whole_single_pair_factor():
    found = rated(spur()).flank
    assert found.pinion_contact_factor == found.pinion_point_ratio > 1
    assert found.wheel_contact_factor == max(found.wheel_point_ratio, 1)
    assert found.stress_MPa(Member.PINION) == found.pinion_stress_MPa
    assert found.stress_MPa(Member.WHEEL) == found.wheel_stress_MPa


def test_equal_gears_have_equal_stress():
    found = rated(spur(teeth=(30, 30), tips=(128, 128))).flank
    assert found.pinion_stress_MPa == pytest.approx(found.wheel_stress_MPa)


@given(torque=st.floats(150, 2500), more=st.floats(1.001, 1.5), speed=st.floats(50, 12000))
def test_safety_falls_with_torque(torque, more, speed):
    found = rated(helical(), torque_Nm=np.array([torque, torque * more]), speed_rpm=speed)
    assert np.diff(found.flank_limit.safety) < 0
    assert np.diff(found.root_limit.safety) < 0


@given(shorter=st.floats(1.01, 100), cycles=st.floats(1e3, 1e10))
def test_safety_falls_with_life(shorter, cycles):
    found = rated(helical(), load_cycles=np.array([cycles / shorter, cycles])).flank_limit.safety
    assert found[1] <= found[0]


def test_readings_of_the_life():
    primary = rated(helical(), load_cycles=1e6).flank_limit.limit_MPa
    other = replace(PRIMARY, limited_life=LimitedLife.FACTORS)
    assert rated(helical(), load_cycles=1e6, readings=other).flank_limit.limit_MPa > primary
    optimum = replace(PRIMARY, life_at_1e10=LifeAt1e10.OPTIMUM)
    long = rated(helical(), load_cycles=1e10).flank_limit.limit_MPa
    assert rated(helical(), load_cycles=1e10, readings=optimum).flank_limit.limit_MPa == pytest.approx(
        long / 0.85
    )


def test_more_than_1e10_cycles_are_a_caution():
    assert rated(helical(), load_cycles=1e10).flank_limit.notices == ()
    (notice,) = rated(helical(), load_cycles=2e10).flank_limit.notices
    assert notice.level is Level.CAUTION


def stress_at(**changed):
    """The stress of a spur pair in which geometry says something else."""
    pair = spur()
    changed_pair = object.__new__(PairGeometry)
    changed_pair.__dict__.update({**pair.__dict__, **changed})
    return flank_stress(
        pair=changed_pair, factors=factors_of(pair), pinion_limits=LIMITS, wheel_limits=LIMITS
    )


def test_beyond_the_contact_ratio_of_the_method_there_is_no_stress():
    assert stress_at(transverse_contact_ratio=2.51).pinion_stress_MPa is None
    assert len(stress_at(transverse_contact_ratio=2.51, overlap_ratio=1.0).stops) == 1
    assert len(stress_at(transverse_contact_ratio=0.99).stops) == 1
    assert stress_at(transverse_contact_ratio=1.0).stops == ()
    both = stress_at(transverse_contact_ratio=np.array([1.6, 2.6])).pinion_stress_MPa
    assert np.isnan(both).tolist() == [False, True]


def test_no_inner_point_of_single_contact_below_a_whole_overlap_stops():
    found = stress_at(transverse_contact_ratio=np.array([2.0, 2.0001]))
    assert [notice.key for notice in found.stops] == ["iso6336_2.single_contact"]
    for stress in (found.nominal_stress_MPa, found.pinion_stress_MPa, found.wheel_stress_MPa):
        assert np.isnan(stress).tolist() == [False, True]
    helical_like = {"transverse_contact_ratio": 2.2, "helix_angle_deg": 12.0}
    whole, nearly = (stress_at(overlap_ratio=overlap, **helical_like) for overlap in (1.0, 0.9999))
    assert whole.notices == ()
    assert whole.pinion_stress_MPa > 0
    assert nearly.pinion_stress_MPa is None


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("pressure_angle_deg", [15.0, 25.0], [14.99, 25.01]),
        ("working_pressure_angle_deg", [15.0, 25.0], [14.99, 25.01]),
        ("helix_angle_deg", [0.0, 30.0], [30.01]),
    ],
)
def test_angles_outside_the_range_of_the_method_are_cautions(name, inside, outside):
    assert stress_at(**{name: np.array(inside)}).notices == ()
    for angle in outside:
        (notice,) = stress_at(**{name: angle}).notices
        assert (notice.level, notice.key) == (Level.CAUTION, f"iso6336_2.flank_stress.{name}")


def test_bad_surfaces_and_oils_show_at_once():
    with pytest.raises(InputError) as raised:
        film_factors(
            flank_limit_MPa=1500,
            viscosity_40C_mm2_s=0,
            pitch_line_velocity_m_s=5,
            pinion_roughness_um=-1,
            wheel_roughness_um=3,
            reduced_radius_mm=10,
        )
    assert len(raised.value.faults) == 2


def test_no_agreed_safety_leaves_only_the_permissible_stress_open():
    found = rated(helical()).flank_limit
    assert found.permissible_stress_MPa == pytest.approx(found.limit_MPa / 1.1)
