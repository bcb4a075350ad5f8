"""Each factor of ANSI/AGMA 2101 over its range: right direction, continuous, and stopped outside."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.results import terms
from gearcheck.stress.agma_differences import agma_differences
from gearcheck.stress.agma_factors import (
    accuracy_number,
    bending_cycle_factor,
    counted_accuracy_number,
    dynamic_factor,
    pitting_cycle_factor,
    reliability_factor,
    rim_factor,
)
from gearcheck.stress.agma_inputs import AgmaGrade, AgmaHardening, AgmaService, Enclosure, ReliabilityFit
from gearcheck.stress.agma_limits import hard_pinion_hardness_ratio_factor
from gearcheck.stress.agma_load import load_distribution
from gearcheck.stress.inputs import (
    PRIMARY,
    Bending,
    DynamicAccuracyNumber,
    HelicalRootFactor,
    PittingPoint,
)
from tests.stress import pairs
from tests.stress.agma import rated, soft, standard_pair, steel

FEW = settings(max_examples=15, deadline=None)
CYCLES = np.geomspace(1e2, 1e11, 300)


def falls(values):
    return bool((np.diff(values) <= 1e-12).all())


def rises(values):
    return falls(-np.asarray(values))


def distribution(**changed):
    whole = {"face_width_mm": 50.0, "working_pitch_diameter_mm": 80.0, "enclosure": Enclosure.COMMERCIAL}
    return load_distribution(
        **{**whole, "offset_ratio": 0.0, "modified_lead": False, "adjusted": False, **changed}
    )


def test_dynamic_factor_grows_with_velocity_and_coarser_teeth():
    velocity, number = np.linspace(0, 40, 200), np.arange(5.0, 13.0)[:, None]
    found = dynamic_factor(accuracy_number=number, pitch_line_velocity_m_s=velocity)
    assert (found[0] == 1).all()
    assert (found[:, 0] == 1).all()
    assert all(rises(row) for row in found)
    assert all(rises(column) for column in found.T)


def test_accuracy_number_is_near_the_class_and_the_reading_holds_it():
    # class 6, with m_n 4 mm and d 80 mm: 9.39 µm before rounding
    assert accuracy_number(pitch_tolerance_um=9.2, normal_module_mm=4, reference_diameter_mm=80) == 6
    fine = {"accuracy_number": np.array([4.0, 5.0, 6.0, 9.0])}
    held = counted_accuracy_number(**fine, reading=DynamicAccuracyNumber.NOT_BELOW_6)
    assert held.tolist() == [6, 6, 6, 9]
    assert counted_accuracy_number(**fine, reading=DynamicAccuracyNumber.AS_IS).tolist() == [5, 5, 6, 9]


@pytest.mark.parametrize("edge", [25.4, 431.8])
def test_load_distribution_is_continuous_where_the_formula_changes(edge):
    found = distribution(face_width_mm=edge * np.array([1 - 1e-9, 1 + 1e-9]), working_pitch_diameter_mm=edge)
    below, above = found.load_distribution_factor
    assert above == pytest.approx(below, abs=2e-4)  # the printed coefficients of both sides differ by 1e-4


def test_load_distribution_grows_with_width_and_falls_with_care():
    width = np.linspace(5, 150, 200)
    kinds = [distribution(face_width_mm=width, enclosure=kind).load_distribution_factor for kind in Enclosure]
    assert all(rises(row) for row in kinds)
    assert all(falls(column) for column in np.array(kinds).T)
    plain = distribution().load_distribution_factor
    assert distribution(modified_lead=True).load_distribution_factor < plain
    assert distribution(adjusted=True).load_distribution_factor < plain
    assert distribution(offset_ratio=0.2).load_distribution_factor > plain
    assert not distribution().notices
    assert distribution(face_width_mm=200.0).notices


def test_rim_factor_grows_as_the_rim_thins():
    found = rim_factor(rim_thickness_mm=np.linspace(0.4, 3, 400), whole_depth_mm=1.0)
    assert falls(found)
    assert found[-1] == 1
    assert rim_factor(rim_thickness_mm=None, whole_depth_mm=1.0) == 1


@pytest.mark.parametrize("service", AgmaService)
def test_cycle_factors_fall_without_a_jump(service):
    found = [pitting_cycle_factor(load_cycles=CYCLES, service=service)]
    for hardening, hardness in (
        (AgmaHardening.CARBURISED, None),
        *((AgmaHardening.THROUGH_HARDENED, hardness) for hardness in (180.0, 250.0, 330.0, 400.0)),
    ):
        given = {"hardening": hardening, "hardness_HB": hardness, "service": service}
        found.append(bending_cycle_factor(load_cycles=CYCLES, **given))
        assert bending_cycle_factor(load_cycles=3e6, **given) == pytest.approx(1.04, abs=2e-3)
    for row in found:
        assert falls(row)
        assert np.abs(np.diff(np.log(row))).max() < 0.012
    assert pitting_cycle_factor(load_cycles=1e7, service=service) == pytest.approx(1.0, abs=1e-3)


def test_reliability_factor_grows_and_both_fits_are_near():
    shares = 1 - np.geomspace(0.1, 1.0001e-4, 200)
    table, formula = (reliability_factor(reliability=shares, fit=fit) for fit in ReliabilityFit)
    assert rises(table)
    assert np.abs(table - formula).max() < 0.035
    with pytest.raises(InputError, match=r"reliability: given 0\.99999; needed"):
        reliability_factor(reliability=0.99999, fit=ReliabilityFit.TABLE)


def test_a_hard_smooth_pinion_helps_a_soft_wheel():
    rough = hard_pinion_hardness_ratio_factor(roughness_Ra_um=np.linspace(0, 4, 50), hardness_HB=250.0)
    assert falls(rough)
    hard = hard_pinion_hardness_ratio_factor(roughness_Ra_um=0.4, hardness_HB=np.linspace(180, 460, 50))
    assert falls(hard)
    assert hard[-1] == 1
    pinion = steel(flank_roughness_Ra_um=0.4)
    helped = rated(pairs.helical(), pinion=pinion, wheel=soft(300.0))
    assert helped.wheel.hardness_ratio_factor > 1
    assert helped.pinion.hardness_ratio_factor == 1
    assert rated(pairs.helical(), wheel=soft(300.0)).wheel.hardness_ratio_factor == 1
    alike = rated(pairs.helical(), pinion=soft(350.0), wheel=soft(230.0))
    assert 1 < alike.wheel.hardness_ratio_factor < 1.01


def test_pitting_factor_is_continuous_where_the_overlap_passes_1():
    width = np.pi * 4 / np.sin(np.radians(12)) * np.array([1 - 1e-7, 1 + 1e-7])
    for point in PittingPoint:
        readings = replace(PRIMARY, pitting_point=point)
        below, above = rated(pairs.helical(widths=(width, width)), readings=readings).pitting.geometry_factor
        assert above == pytest.approx(below, rel=1e-5)


def test_a_small_helix_angle_leads_back_to_the_spur_pair():
    spur, slanted = (rated(standard_pair((21, 55), helix_angle_deg=angle)) for angle in (0.0, 1e-5))
    for name in ("contact_stress_MPa", "bending_stress_MPa"):
        assert getattr(slanted.wheel, name) == pytest.approx(getattr(spur.wheel, name), rel=1e-4)


@FEW
@given(
    teeth=st.tuples(st.integers(18, 60), st.integers(60, 150)),
    helix=st.floats(0, 30),
    module=st.floats(0.5, 20),
)
def test_geometry_factors_do_not_depend_on_the_size(teeth, helix, module):
    one = rated(standard_pair(teeth, helix_angle_deg=helix))
    other = rated(
        standard_pair(teeth, helix_angle_deg=helix, normal_module_mm=module, face_width_mm=10 * module)
    )
    assert 0.05 < one.pitting.geometry_factor < 0.35
    assert other.pitting.geometry_factor == pytest.approx(one.pitting.geometry_factor)
    for gear in ("pinion", "wheel"):
        first, second = (getattr(rating, gear).bending_geometry_factor for rating in (one, other))
        assert 0.2 < first < 0.9
        assert second == pytest.approx(first)


def test_twins_are_alike_and_a_larger_edge_radius_helps():
    twin = rated(standard_pair((35, 35)))
    assert twin.pinion.bending_geometry_factor == pytest.approx(twin.wheel.bending_geometry_factor)
    radius = np.linspace(0.1, 0.38, 30)
    rounded = rated(standard_pair((35, 35), rack_root_radius=radius))
    assert rises(rounded.pinion.bending_geometry_factor)
    cut = rated(standard_pair((35, 35), protuberance_mm=np.linspace(0, 0.08, 30)))
    assert falls(cut.pinion.bending_geometry_factor)


def test_stress_and_torque():
    one, four = (rated(pairs.helical(), torque_Nm=torque) for torque in (100.0, 400.0))
    assert four.pinion.contact_stress_MPa == pytest.approx(2 * one.pinion.contact_stress_MPa)
    assert four.pinion.bending_stress_MPa == pytest.approx(4 * one.pinion.bending_stress_MPa)
    both_ways = rated(pairs.helical(), pinion=steel(bending=Bending.IDLER))
    assert both_ways.pinion.bending_safety == pytest.approx(0.7 * four.pinion.bending_safety)
    better = rated(pairs.helical(), pinion=steel(grade=AgmaGrade.GRADE_3))
    assert better.pinion.contact_safety > four.pinion.contact_safety


@pytest.mark.parametrize(
    ("changed", "given"),
    [
        ({"dynamic_accuracy_number": DynamicAccuracyNumber.AS_IS}, {"accuracy_number": 5.0}),
        ({"pitting_point": PittingPoint.PITCH_POINT}, {}),
        ({"helical_root_factor": HelicalRootFactor.CONTACT_LINE}, {}),
    ],
)
def test_each_reading_reaches_a_safety(changed, given):
    wide = pairs.helical(widths=(80, 80)) if "helical_root_factor" in changed else pairs.spur()
    primary, other = rated(wide, **given), rated(wide, **given, readings=replace(PRIMARY, **changed))
    assert (primary.pinion.contact_safety, primary.pinion.bending_safety) != (
        other.pinion.contact_safety,
        other.pinion.bending_safety,
    )


def test_an_array_equals_its_samples():
    samples = {"torque_Nm": [100.0, 700.0], "speed_rpm": [100.0, 6000.0], "reliability": [0.9, 0.999]}
    whole = rated(pairs.helical(), **{name: np.array(pair) for name, pair in samples.items()})
    for place in (0, 1):
        one = rated(pairs.helical(), **{name: pair[place] for name, pair in samples.items()})
        for many, single in ((whole, one), (whole.wheel, one.wheel), (whole.pitting, one.pitting)):
            for (field, _, values), (_, _, value) in zip(terms(many), terms(single), strict=True):
                found = values[place] if np.ndim(values) else values
                assert found == pytest.approx(value, rel=1e-12), field


def test_all_faults_show_at_once():
    with pytest.raises(InputError) as caught:
        rated(
            pairs.helical(),
            torque_Nm=-1.0,
            pinion=steel(surface_hardness_HRC=None),
            wheel=soft(300.0, grade=AgmaGrade.GRADE_3, load_cycles=0.0, rim_thickness_mm=0.0),
        )
    assert [fault.field for fault in caught.value.faults] == [
        "torque_Nm",
        "pinion.surface_hardness_HRC",
        "wheel.load_cycles",
        "wheel.rim_thickness_mm",
        "wheel.grade",
    ]
    with pytest.raises(InputError, match=r"wheel\.tooth_thinning"):
        rated(pairs.helical(), wheel=steel(tooth_thinning=-0.01))


def test_what_the_method_leaves_out_is_a_stop():
    deep = rated(pairs.spur(teeth=(60, 90), centre_distance_mm=300, tips=(252.8, 372.8)))
    assert deep.pitting.transverse_contact_ratio > 2
    assert deep.pinion.contact_safety is None
    assert deep.pinion.bending_safety is None
    assert [notice.key for notice in deep.stops] == ["agma908.pitting.contact_ratio"]
    internal = rated(pairs.internal())
    assert internal.wheel.contact_safety is None
    assert [notice.key for notice in internal.stops] == ["agma908.pitting.internal"]


def test_a_geometry_that_stopped_gives_no_numbers():
    stopped = rated(pairs.helical(centre_distance_mm=np.array([124.0, 100.0])))
    assert np.isnan(stopped.pinion.contact_safety).tolist() == [False, True]
    assert np.isnan(stopped.wheel.bending_safety).tolist() == [False, True]


def test_cautions_name_what_lies_outside():
    found = rated(
        pairs.helical(), accuracy_number=13.0, pinion=steel(surface_hardness_HRC=50.0), wheel=soft(420.0)
    )
    keys = {notice.key for notice in found.notices}
    assert {"agma2101.hardness.pinion", "agma2101.hardness.wheel", "agma2101.rating.accuracy_number"} <= keys


def test_the_differences_are_whole_sentences_of_both():
    rows = agma_differences()
    assert len({row.quantity for row in rows}) == len(rows) > 8
    assert all(row.iso and row.agma and row.effect for row in rows)
