"""Rim, grinding notch, deep teeth and the editions of the root stress."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.stress.inputs import Blank, GrindingNotch, Member, StressEdition
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_factors import deep_tooth_factor, root_helix_factor
from gearcheck.stress.root_form import LoadPoint
from gearcheck.stress.root_notch import notched_stress_correction
from gearcheck.stress.root_rim import rim_factor
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.stress.pairs import factors_of, helical, internal, spur

OLD = StressEdition.ISO_6336_2006


def of(name):
    return pytest.mark.parametrize("check", cases("stress", f"gearcheck.stress.{name}"), ids=str)


def stress_of(pair, member=Member.PINION, factors=None, **given):
    return root_stress(pair=pair, member=member, factors=factors or factors_of(pair), **given)


@of("root_rim:rim_factor")
def test_rim_factor(check):
    holds(
        check,
        external=rim_factor(rim_ratio=check.inputs["external"]),
        internal=rim_factor(rim_ratio=check.inputs["internal"], internal=True),
    )


@of("root_factors:deep_tooth_factor")
def test_deep_tooth_factor(check):
    holds(check, Y_DT=deep_tooth_factor(**check.inputs))


@of("root_notch:notched_stress_correction")
def test_notched_stress_correction(check):
    holds(check, Y_Sg=notched_stress_correction(**check.inputs))


@pytest.mark.parametrize(("internal", "thick", "least"), [(False, 1.2, 0.5), (True, 3.5, 1.75)])
def test_a_thinner_rim_is_never_better(internal, thick, least):
    ratio = np.linspace(least, 2 * thick, 4001)
    found = rim_factor(rim_ratio=ratio, internal=internal)
    assert np.all(np.diff(found) <= 0)
    assert np.max(np.abs(np.diff(found))) < 2e-3
    assert found[-1] == 1
    assert np.isnan(rim_factor(rim_ratio=least - 1e-9, internal=internal))


def test_a_rim_raises_the_stress_and_a_thin_one_stops():
    pair = helical()
    solid = stress_of(pair)
    assert solid.rim is None
    assert solid.rim_factor == 1
    height = (pair.pinion.tip_diameter_mm - pair.pinion.root_diameter_mm) / 2
    rims = stress_of(pair, blank=Blank(rim_thickness_mm=np.array([0.4, 0.8, 1.2, 2]) * height))
    assert rims.stress_MPa[1:] == pytest.approx(rims.rim_factor[1:] * solid.stress_MPa)
    assert np.isnan(rims.stress_MPa).tolist() == [True, False, False, False]
    (stop,) = rims.stops
    assert stop.text == "s_R/h_t = 0.4 lies outside ISO 6336-3:2019, rim thickness factor: s_R/h_t from 0.5."
    alone = stress_of(pair, blank=Blank(rim_thickness_mm=0.4 * height))
    assert alone.stress_MPa is None


def test_the_rim_of_an_internal_gear_counts_in_modules():
    pair = internal()
    given = {"member": Member.WHEEL, "factors": factors_of(pair)}
    solid = stress_of(pair, **given)
    rims = stress_of(pair, blank=Blank(rim_thickness_mm=4 * np.array([1.7, 2.5, 3.5])), **given)
    assert rims.stress_MPa[1:] == pytest.approx(
        [1.15 * np.log(8.324 / 2.5) * solid.stress_MPa, solid.stress_MPa]
    )
    assert np.isnan(rims.stress_MPa[0])
    assert [stop.key for stop in rims.stops] == ["iso6336_3.rim.internal_rim_ratio"]
    assert stress_of(pair, blank=Blank(bore_mm=200.0), **given).rim is None


def test_a_bore_leaves_a_rim():
    pair = helical()
    bore = pair.pinion.root_diameter_mm - 10
    assert stress_of(pair, blank=Blank(bore_mm=bore)).rim.rim_thickness_mm == pytest.approx(5)
    given_rim = stress_of(pair, blank=Blank(bore_mm=bore, rim_thickness_mm=8.0))
    assert given_rim.rim.rim_thickness_mm == 8
    assert stress_of(pair, blank=Blank(bore_mm=200.0)).stops
    assert stress_of(pair, blank=Blank()).rim is None
    with pytest.raises(InputError, match="rim_thickness_mm"):
        stress_of(pair, blank=Blank(rim_thickness_mm=0))


@given(ratio=st.floats(0, 1.99), step=st.floats(1e-6, 0.01), correction=st.floats(1.2, 3))
@settings(max_examples=40)
def test_a_sharper_notch_is_never_better(ratio, step, correction):
    found = notched_stress_correction(
        stress_correction_factor=correction, notch_ratio=[0, ratio, min(ratio + step, 2)]
    )
    assert found[0] == correction
    assert found[0] <= found[1] <= found[2]


def test_a_notch_of_no_depth_changes_nothing():
    pair = helical()
    plain = stress_of(pair)
    found = stress_of(pair, notch=GrindingNotch(depth_mm=0.0, radius_mm=0.5))
    assert found.stress_MPa == pytest.approx(plain.stress_MPa, rel=1e-12)
    assert found.notched_parameter == pytest.approx(plain.notch_parameter, rel=1e-12)
    assert found.notices == plain.notices


def test_a_notch_takes_the_place_of_its_stop():
    pair = helical(stock_max_mm=0.3)
    assert stress_of(pair).stress_MPa is None
    notch = GrindingNotch(depth_mm=np.array([0.05, 0.1, 2.0]), radius_mm=0.4)
    found = stress_of(pair, notch=notch)
    assert found.stress_MPa[0] < found.stress_MPa[1]
    assert found.notched_parameter[0] > found.notch_parameter
    assert np.isnan(found.stress_MPa[2])
    assert [notice.level for notice in found.notices] == [Level.STOP, Level.CAUTION]
    with pytest.raises(InputError, match=r"depth_mm.*\n.*radius_mm"):
        stress_of(pair, notch=GrindingNotch(depth_mm=-1, radius_mm=0))


def test_editions_differ_by_helix_factor_and_load_distribution():
    pair = helical()
    new, old = stress_of(pair), stress_of(pair, edition=OLD)
    assert old.form.load_distribution_factor == 1
    assert old.form_factor == pytest.approx(new.form_factor / new.form.load_distribution_factor)
    cosine = np.cos(np.radians(pair.helix_angle_deg))
    assert old.helix_factor == pytest.approx(new.helix_factor * cosine**3)
    assert old.method.cite.startswith("ISO 6336-3:2006")
    assert old.form.method.cite.startswith("ISO 6336-3:2006")
    assert disagreements(old)[0] == disagreements(old.form)[0] == []
    straight = spur()
    assert stress_of(straight, edition=OLD).stress_MPa == stress_of(straight).stress_MPa


@given(angle=st.floats(0, 45), overlap=st.floats(0, 3), edition=st.sampled_from(StressEdition))
@settings(max_examples=60)
def test_helix_factor_over_its_range(angle, overlap, edition):
    angles, overlaps = angle + np.array([0, 1e-7]), overlap + np.array([0, 1e-7])
    found = root_helix_factor(helix_angle_deg=angles, overlap_ratio=overlap, edition=edition)
    assert found[0] == pytest.approx(found[1], abs=1e-6)
    assert 0.75 <= found[0] <= 1 / np.cos(np.pi / 6) ** 3 + 1e-12
    more = root_helix_factor(helix_angle_deg=angle, overlap_ratio=overlaps, edition=edition)
    assert more[1] <= more[0]


def test_deep_tooth_factor_is_nearly_continuous_and_falls():
    ratio = np.linspace(1, 3, 20001)
    found = deep_tooth_factor(virtual_contact_ratio=ratio, tolerance_class=4)
    assert np.all(np.diff(found) <= 0)
    assert np.max(-np.diff(found)) < 1.1e-3  # the standard's own step at 2.5: 0.701 to 0.7


def deep_pair():
    return spur(
        teeth=(40, 60), centre_distance_mm=200, tips=(170.4, 250.4), rack_dedendum=1.6, rack_root_radius=0.2
    )


def test_deep_teeth_stop_until_the_point_of_load_is_chosen():
    pair = deep_pair()
    assert 2.05 < pair.transverse_contact_ratio < 2.5
    fine = factors_of(pair, tolerance_class=4)
    for edition in StressEdition:
        assert [stop.key for stop in stress_of(pair, edition=edition).stops] == ["iso6336_3.single_contact"]
    double = {"load_point": LoadPoint.OUTER_DOUBLE_CONTACT, "factors": fine}
    new, old = stress_of(pair, **double), stress_of(pair, edition=OLD, **double)
    assert new.form.load_distribution_factor == 0.7
    assert new.deep_tooth_factor == 1
    assert old.form.load_distribution_factor == 1
    assert old.deep_tooth_factor == pytest.approx(2.366 - 0.666 * pair.transverse_contact_ratio)
    assert [notice.key for notice in old.notices] == ["iso6336_3.deep_tooth"]
    coarse = stress_of(pair, edition=OLD, load_point=LoadPoint.OUTER_DOUBLE_CONTACT)
    assert coarse.deep_tooth_factor == 1


def test_outer_point_of_double_contact_is_the_tip_below_two_and_moves_down_from_there():
    pair = deep_pair()
    tip = stress_of(pair, load_point=LoadPoint.TIP)
    double = stress_of(pair, load_point=LoadPoint.OUTER_DOUBLE_CONTACT)
    assert double.form_factor < tip.form_factor
    below = helical()
    tip = stress_of(below, load_point=LoadPoint.TIP)
    assert stress_of(below, load_point=LoadPoint.OUTER_DOUBLE_CONTACT).stress_MPa == tip.stress_MPa
