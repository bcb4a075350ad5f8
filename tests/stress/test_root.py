from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.methods import Level
from gearcheck.stress.inputs import PRIMARY, LimitedLife, Member, RootFaceWidth, StressEdition
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_factors import load_distribution_factor, root_helix_factor
from gearcheck.stress.root_form import LoadPoint, root_form
from gearcheck.stress.root_treatment import notch_sensitivity_factor, root_size_factor, root_surface_factor
from tests.checks import cases, holds
from tests.sheets.iso6336_pair import PAIRS
from tests.stress.pairs import factors_of, from_sheet, helical, pair, rated, spur
from tests.stress.treated import by_treatment


def of(name):
    return pytest.mark.parametrize("check", cases("stress", f"gearcheck.stress.{name}"), ids=str)


def form_of(teeth, **changed):
    given = {
        "normal_module_mm": 1.0,
        "pressure_angle_deg": 20,
        "helix_angle_deg": 0,
        "profile_shift": 0,
        "rack_dedendum": 1.25,
        "rack_root_radius": 0.38,
        "residual_undercut_mm": 0,
        "virtual_contact_ratio": 1.6,
        "overlap_ratio": 0,
        "load_point": LoadPoint.TIP,
    }
    given |= changed
    tip = given["normal_module_mm"] * (np.asarray(teeth) + 2 + 2 * np.asarray(given["profile_shift"]))
    return root_form(teeth=teeth, tip_diameter_mm=given.pop("tip_diameter_mm", tip), **given)


@of("root_form:root_form")
def test_root_form(check):
    found = form_of(check.inputs["teeth"], load_point=LoadPoint(check.inputs["load_point"]))
    computed = {
        "theta": found.tangent_angle_deg,
        "s_Fn": found.root_chord_mm,
        "h_Fe": found.bending_arm_mm,
        "rho_F": found.root_radius_mm,
        "q_s": found.notch_parameter,
        "a_Fen": found.load_angle_deg,
        "Y_F": found.form_factor,
        "Y_S": found.stress_correction_factor,
    }
    holds(check, **{name: computed[name] for name in check.expected})


def of_2006(name, member):
    return root_stress(
        pair=pair(**PAIRS[name]["toothing"]),
        member=member,
        factors=from_sheet(name).factors,
        edition=StressEdition.ISO_6336_2006,
    )


@of("root:root_stress")
def test_root_stress(check):
    found = from_sheet(check.inputs["pair"], member=check.inputs["member"]).root
    if check.id.endswith("2006"):
        found = of_2006(check.inputs["pair"], Member(check.inputs["member"]))
    holds(
        check,
        s_Fn=found.root_chord_mm,
        rho_F=found.root_radius_mm,
        h_Fe=found.bending_arm_mm,
        a_Fen=found.load_angle_deg,
        q_s=found.notch_parameter,
        Y_F=found.form_factor,
        Y_S=found.stress_correction_factor,
        Y_b=found.helix_factor,
        s_F0=found.nominal_stress_MPa,
        s_F=found.stress_MPa,
    )


@of("root_limit:root_safety")
def test_root_safety(check):
    given = {**check.inputs, "load_cycles": np.array(check.inputs["load_cycles"])}
    found = from_sheet(given.pop("pair"), **given).root_limit
    holds(
        check,
        Y_d=found.sensitivity_factor,
        Y_R=found.surface_factor,
        s_FG=found.limit_MPa,
        S_F=found.safety,
    )


@of("root_factors:root_helix_factor")
def test_helix_factor(check):
    edition = StressEdition(check.inputs.get("edition", "ISO 6336:2019"))
    holds(check, Y_b=root_helix_factor(**{**check.inputs, "edition": edition}))


@of("root_treatment:notch_sensitivity_factor")
def test_notch_sensitivity(check):
    found = by_treatment(notch_sensitivity_factor, **check.inputs)
    holds(check, Y_d=found)


@of("root_treatment:root_size_factor")
def test_size_factor(check):
    holds(check, Y_X=by_treatment(root_size_factor, **check.inputs))


@of("root_treatment:root_surface_factor")
def test_surface_factor(check):
    given = dict(check.inputs)
    holds(check, Y_R=root_surface_factor(root_roughness_um=given.pop("roughness_um"), **given))


def rolled_fillet(form):
    """The fillet as a rack's tip round rolls it, in points: x across, y along the tooth's centre line."""
    z, m = form.virtual_teeth, form.normal_module_mm
    alpha, radius, pitch = np.radians(form.pressure_angle_deg), form.rack_radius_mm, z * m / 2
    depth = form.dedendum_mm - radius - form.profile_shift * m  # of the round's centre below the rolling line
    half_tip = np.pi / 4 * m - form.dedendum_mm * np.tan(alpha)
    out = half_tip + (form.residual_undercut_mm - radius * (1 - np.sin(alpha))) / np.cos(alpha)
    roll = np.linspace(-1.2, 1.2, 400001)
    # the round's centre in the frame of the gear, the space's centre line standing up
    centre = (out - pitch * roll + 1j * (pitch - depth)) * np.exp(-1j * roll)
    tangent = np.gradient(centre, roll)
    normal = 1j * tangent / np.abs(tangent)
    side = np.where(np.abs(centre + radius * normal) < np.abs(centre - radius * normal), 1, -1)
    fillet = (centre + radius * side * normal) * np.exp(1j * np.pi / z)
    return fillet, roll


@pytest.mark.parametrize(
    ("teeth", "changed"),
    [
        (20, {}),
        (17, {"profile_shift": 0.5}),
        (60, {"profile_shift": -0.3, "rack_dedendum": 1.4, "rack_root_radius": 0.3}),
        (25, {"residual_undercut_mm": 0.06, "rack_dedendum": 1.4, "rack_root_radius": 0.35}),
        (33, {"normal_module_mm": 5.0, "pressure_angle_deg": 22.5, "rack_root_radius": 0.25}),
    ],
)
def test_critical_section_lies_where_a_rolled_rack_puts_it(teeth, changed):
    form = form_of(teeth, **changed)
    fillet, roll = rolled_fillet(form)
    first = np.gradient(fillet, roll)
    second = np.gradient(first, roll)
    steep = np.degrees(np.abs(np.arctan(first.real / first.imag)))
    near = np.argmin(np.abs(np.abs(fillet.real) - form.root_chord_mm / 2) + np.abs(steep - 30))
    curvature = np.abs((np.conj(first) * second).imag) / np.abs(first) ** 3
    assert steep[near] == pytest.approx(30, abs=0.01)
    assert abs(fillet[near].real) == pytest.approx(form.root_chord_mm / 2, rel=1e-4)
    assert 1 / curvature[near] == pytest.approx(form.root_radius_mm, rel=1e-3)
    line_of_force = form.virtual_base_diameter_mm / 2 / np.cos(np.radians(form.load_angle_deg))
    assert line_of_force - fillet[near].imag == pytest.approx(form.bending_arm_mm, rel=1e-4)


def test_load_point_lies_one_base_pitch_from_the_start_of_contact():
    found = root_stress(pair=spur(), member=Member.PINION, factors=factors_of(spur())).form
    base = found.virtual_base_diameter_mm / 2
    pitch = np.pi * 4 * np.cos(np.radians(20))
    tip, load = (
        np.sqrt((d / 2) ** 2 - base**2) for d in (found.virtual_tip_diameter_mm, found.load_diameter_mm)
    )
    assert tip - load == pytest.approx((found.virtual_contact_ratio - 1) * pitch)


def test_load_at_the_tip_raises_the_form_factor():
    factors = factors_of(spur())
    outer = root_stress(pair=spur(), member=Member.PINION, factors=factors)
    tip = root_stress(pair=spur(), member=Member.PINION, factors=factors, load_point=LoadPoint.TIP)
    assert tip.form.load_diameter_mm == tip.form.virtual_tip_diameter_mm
    assert tip.form_factor > 1.3 * outer.form_factor


@pytest.mark.parametrize(
    ("ratio", "overlap", "expected"),
    [
        (1.6, 0, 1.0),
        (2.0, 0, 0.7),
        (1.6, 0.5, (0.5 + 0.5 / 1.6) ** 0.5),
        (2.2, 0.5, (0.25 + 0.5 / 2.2) ** 0.5),
        (1.6, 1, 1.6**-0.5),
        (2.2, 1.4, 2.2**-0.5),
    ],
)
def test_load_distribution_by_its_five_rows(ratio, overlap, expected):
    found = load_distribution_factor(virtual_contact_ratio=ratio, overlap_ratio=overlap)
    assert found == pytest.approx(expected)


def test_high_contact_ratio_without_whole_overlap_stops():
    given = {"tip_diameter_mm": 42.4, "load_point": LoadPoint.OUTER_SINGLE_CONTACT}
    found = form_of(40, virtual_contact_ratio=np.array([1.99, 2.0]), **given)
    assert np.isnan(found.form_factor).tolist() == [False, True]
    assert [notice.level for notice in found.notices] == [Level.STOP]
    whole = form_of(40, virtual_contact_ratio=2.0, overlap_ratio=1.0, **given)
    assert whole.form_factor is not None
    assert [notice.key for notice in whole.notices] == ["iso6336_3.high_contact_ratio"]


def test_no_root_section_stops():
    found = form_of(6, profile_shift=-4.0, tip_diameter_mm=8)
    assert found.form_factor is None
    assert [notice.key for notice in found.stops] == ["iso6336_3.no_section"]


def test_a_sharp_fillet_is_a_caution():
    sharp = form_of(200, rack_root_radius=0.02)
    assert sharp.notch_parameter > 8
    assert [notice.key for notice in sharp.notices] == ["iso6336_3.root_form.notch_parameter"]


def test_protuberance_less_smallest_stock_is_the_undercut():
    pairs = [helical(stock_min_mm=stock) for stock in (0.05, 0.12, 0.18)]
    found = [root_stress(pair=pair, member=Member.PINION, factors=factors_of(pair)) for pair in pairs]
    assert [root.form.residual_undercut_mm for root in found] == pytest.approx([0.15, 0.08, 0.02])
    assert found[0].stress_MPa > found[1].stress_MPa > found[2].stress_MPa


def test_stock_beyond_the_protuberance_stops_at_the_notch():
    pair = helical(protuberance_mm=0.2, stock_max_mm=np.array([0.2, 0.2001]))
    found = root_stress(pair=pair, member=Member.WHEEL, factors=factors_of(pair))
    assert np.isnan(found.nominal_stress_MPa).tolist() == [False, True]
    assert np.isnan(found.stress_MPa).tolist() == [False, True]
    assert [notice.key for notice in found.stops] == ["iso6336_3.grinding_notch"]
    without = rated(helical(protuberance_mm=0.0))
    assert without.root.form.residual_undercut_mm == 0
    assert without.root.stress_MPa is None
    assert without.root_limit.safety is None
    as_cut = rated(helical(protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0))
    assert as_cut.root.notices == ()
    assert as_cut.root_limit.safety > 0


@pytest.mark.parametrize(
    ("reading", "wide", "narrow"),
    [
        (RootFaceWidth.COMMON_PLUS_TWO_MODULES, 38, 30),
        (RootFaceWidth.COMMON, 30, 30),
        (RootFaceWidth.OWN, 50, 30),
    ],
)
def test_face_width_by_its_reading(reading, wide, narrow):
    pair = helical(widths=(50, 30))
    readings = replace(PRIMARY, root_face_width=reading)
    widths = [
        root_stress(pair=pair, member=member, factors=factors_of(pair), readings=readings).face_width_mm
        for member in Member
    ]
    assert widths == [wide, narrow]


@pytest.mark.parametrize(("angle", "count"), [(14.9, 1), (15.0, 0), (25.0, 0), (25.1, 1)])
def test_a_pressure_angle_outside_15_to_25_degrees_is_a_caution(angle, count):
    pair = spur(pressure_angle_deg=angle, rack_dedendum=1.2, rack_root_radius=0.2)
    keys = [
        notice.key
        for notice in root_stress(pair=pair, member=Member.PINION, factors=factors_of(pair)).notices
    ]
    assert keys == ["iso6336_3.root_stress.pressure_angle_deg"] * count


def test_helix_factor_is_held_beyond_30_degrees():
    found = root_helix_factor(helix_angle_deg=[30, 40], overlap_ratio=2)
    assert found[0] == found[1] == pytest.approx(0.75 / np.cos(np.pi / 6) ** 3)
    assert root_helix_factor(helix_angle_deg=0, overlap_ratio=0) == 1


def test_limited_life_of_the_root_by_its_reading():
    cycles = np.geomspace(1e3, 3e6, 7)
    primary = rated(helical(), load_cycles=cycles).root_limit
    other = rated(
        helical(), load_cycles=cycles, readings=replace(PRIMARY, limited_life=LimitedLife.FACTORS)
    ).root_limit
    assert primary.limit_MPa[0] == pytest.approx(primary.static_limit_MPa)
    assert primary.limit_MPa[-1] == pytest.approx(primary.reference_limit_MPa)
    assert other.limit_MPa == pytest.approx(other.life_factor * other.reference_limit_MPa)
    assert not np.allclose(primary.limit_MPa, other.limit_MPa)


def test_static_notch_factor_is_1_for_the_test_gear():
    found = rated(helical()).root_limit
    assert found.static_sensitivity_factor == pytest.approx(0.44 * found.stress_correction_factor + 0.12)


@given(
    teeth=st.integers(12, 200),
    shift=st.floats(-0.1, 0.8),
    dedendum=st.floats(1.2, 1.45),
    radius=st.floats(0.2, 0.38),
    ratio=st.floats(1.1, 1.95),
    point=st.sampled_from(LoadPoint),
)
@settings(max_examples=200)
def test_root_form_over_its_range(teeth, shift, dedendum, radius, ratio, point):
    found = form_of(
        teeth,
        profile_shift=shift,
        rack_dedendum=dedendum,
        rack_root_radius=radius,
        virtual_contact_ratio=ratio,
        load_point=point,
    )
    if found.stops:
        assert found.form_factor is None
        return
    assert 0.3 < found.form_factor < 5
    assert 1 < found.stress_correction_factor < 8  # a stubby tooth loaded low on its flank
    theta = np.radians(found.tangent_angle_deg)
    assert theta == pytest.approx(
        2 * found.rack_depth / found.virtual_teeth * np.tan(theta) - found.rack_angle
    )
