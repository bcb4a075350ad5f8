"""The geometry of a pair: cited values, identities over the whole range, and what stops it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.results import terms
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.gear.shift import centre_distance
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import closed_pair, equal_pair, keys, stop_keys, tooth

PAIR = "gearcheck.gear.pair:pair_geometry"
CASES = {check.id: check for check in cases("gear", PAIR)}
DEEP = tooth(30, 0.0, 128.0, rack_dedendum=1.75, rack_root_radius=0.2)


def handbook_pair(inputs):
    shared = {name: inputs[name] for name in ("normal_module_mm", "pressure_angle_deg", "helix_angle_deg")}
    x_1, x_2 = inputs["pinion_shift"], inputs["wheel_shift"]
    teeth = (inputs["pinion_teeth"], inputs["wheel_teeth"])
    distance = centre_distance(
        **shared, pinion_teeth=teeth[0], wheel_teeth=teeth[1], profile_shift_sum=x_1 + x_2
    )
    y, module = distance.distance_modification, inputs["normal_module_mm"]
    d = [z * module / np.cos(np.radians(inputs["helix_angle_deg"])) for z in teeth]
    pair = pair_geometry(
        **shared,
        centre_distance_mm=distance.centre_distance_mm,
        pinion=tooth(teeth[0], x_1, d[0] + 2 * module * (1 + y - x_2)),
        wheel=tooth(teeth[1], x_2, d[1] + 2 * module * (1 + y - x_1)),
    )
    return pair, y


@pytest.mark.parametrize("check", [CASES["GEO-01"]], ids=str)
def test_the_helical_pair_of_the_handbook(check):
    pair, _ = handbook_pair(check.inputs)
    assert not pair.stops
    holds(
        check,
        a_mm=pair.centre_distance_mm,
        alpha_t_deg=pair.transverse_pressure_angle_deg,
        alpha_wt_deg=pair.working_pressure_angle_deg,
        mt_mm=pair.transverse_module_mm,
        da1_mm=pair.pinion.tip_diameter_mm,
        da2_mm=pair.wheel.tip_diameter_mm,
        db1_mm=pair.pinion.base_diameter_mm,
        db2_mm=pair.wheel.base_diameter_mm,
        eps_alpha=pair.transverse_contact_ratio,
    )


@pytest.mark.parametrize("check", [CASES["GEO-02"]], ids=str)
def test_its_further_dimensions(check):
    pair, y = handbook_pair(check.inputs)
    angle = np.radians(pair.working_pressure_angle_deg)
    holds(
        check,
        inv_awt=np.tan(angle) - angle,
        y=y,
        d1_mm=pair.pinion.reference_diameter_mm,
        d2_mm=pair.wheel.reference_diameter_mm,
        dw1_mm=pair.pinion.working_pitch_diameter_mm,
        dw2_mm=pair.wheel.working_pitch_diameter_mm,
        df1_mm=pair.pinion.root_diameter_mm,
        df2_mm=pair.wheel.root_diameter_mm,
    )


@pytest.mark.parametrize("check", [CASES["GEO-17"]], ids=str)
def test_undercut_limits(check):
    teeth = np.array(check.inputs["teeth"])
    rack = {name: check.inputs[name] for name in ("rack_dedendum", "rack_root_radius")}
    pair = equal_pair(pinion=tooth(teeth, 0.0, teeth * 4.0 + 8.0, **rack))
    holds(check, z_min=pair.pinion.undercut_teeth, x_min=pair.pinion.undercut_shift)
    assert "gear.undercut" in keys(pair.pinion)


@pytest.mark.parametrize("check", [CASES["GEO-19"]], ids=str)
def test_root_form_diameter_and_tip_thickness(check):
    inputs = check.inputs
    gear = tooth(inputs["teeth"], inputs["profile_shift"], inputs["tip_diameter_mm"])
    assert gear.rack_dedendum == inputs["rack_dedendum"]
    assert gear.rack_root_radius == inputs["rack_root_radius"]
    pair = equal_pair(normal_module_mm=1.0, centre_distance_mm=20.0, pinion=gear, wheel=gear)
    holds(
        check,
        form_height_mm=pair.pinion.rack_form_height_mm,
        dFf_mm=pair.pinion.root_form_diameter_mm,
        sa_mm=pair.pinion.tip_thickness_mm,
    )


ratios = st.tuples(st.integers(14, 60), st.integers(14, 150))
shifts = st.tuples(st.floats(-0.2, 0.7), st.floats(-0.2, 0.7))
pairs = {
    "module": st.floats(0.8, 20.0),
    "helix": st.floats(0.0, 35.0),
    "teeth": ratios,
    "shifts": shifts,
    "alpha": st.floats(17.5, 25.0),
}


@given(**pairs)
def test_identities_hold_over_the_range(**given_pair):
    pair = closed_pair(**given_pair)
    for gear in (pair.pinion, pair.wheel):
        alpha_t = np.radians(pair.transverse_pressure_angle_deg)
        assert gear.base_diameter_mm == pytest.approx(gear.reference_diameter_mm * np.cos(alpha_t))
        assert gear.root_diameter_mm < gear.root_form_diameter_mm
        assert gear.root_form_diameter_mm >= gear.base_diameter_mm * (1 - 1e-12)
        assert gear.start_of_active_profile_mm >= gear.base_diameter_mm
    sum_of_pitch_radii = (pair.pinion.working_pitch_diameter_mm + pair.wheel.working_pitch_diameter_mm) / 2
    assert sum_of_pitch_radii == pytest.approx(pair.centre_distance_mm)
    assert abs(pair.normal_backlash_mm) < 1e-9 * pair.normal_module_mm
    assert pair.gear_ratio >= 1
    if not pair.stops:
        assert 1 <= pair.transverse_contact_ratio < 2.5
        assert pair.total_contact_ratio == pair.transverse_contact_ratio + pair.overlap_ratio
        assert pair.pinion.start_sliding < 0 < pair.pinion.tip_sliding < 1


@given(**pairs)
def test_the_printed_formulas_are_those_of_the_code(**given_pair):
    pair = closed_pair(**given_pair)
    for result in (pair, pair.pinion, pair.wheel):
        assert disagreements(result)[0] == []


def same_number(one, other):
    if one is None or other is None:
        return one is other
    return one == pytest.approx(other, rel=1e-6, abs=1e-6)


@given(**pairs)
def test_changing_the_names_changes_nothing_else(**given_pair):
    pair = closed_pair(**given_pair)
    swapped = closed_pair(
        **{**given_pair, "teeth": given_pair["teeth"][::-1], "shifts": given_pair["shifts"][::-1]}
    )
    for name in ("transverse_contact_ratio", "overlap_ratio", "gear_ratio", "reduced_radius_mm"):
        assert same_number(getattr(swapped, name), getattr(pair, name)), name
    for gear, same in ((pair.pinion, swapped.wheel), (pair.wheel, swapped.pinion)):
        for (name, _, value), (_, _, other) in zip(terms(gear), terms(same), strict=True):
            assert same_number(other, value), name


@settings(max_examples=25)
@given(data=st.data())
def test_arrays_give_what_scalars_give(data):
    size = 5
    column = {
        name: data.draw(st.lists(kind, min_size=size, max_size=size))
        for name, kind in (
            ("z", st.integers(9, 50)),
            ("x", st.floats(-0.3, 0.8)),
            ("d", st.floats(2.0, 2.4)),
            ("beta", st.floats(0.0, 30.0)),
            ("a", st.floats(0.95, 1.1)),
        )
    }

    def pair_of(z, x, d, beta, a):
        module = 3.0 / np.cos(np.radians(beta))
        return pair_geometry(
            normal_module_mm=3.0,
            pressure_angle_deg=20.0,
            helix_angle_deg=beta,
            centre_distance_mm=a * module * (z + 40) / 2,
            pinion=tooth(z, x, z * module + 3.0 * d),
            wheel=tooth(40, 0.1, 40 * module + 6.6),
        )

    together = pair_of(**{name: np.array(values) for name, values in column.items()})
    for i in range(size):
        alone = pair_of(**{name: values[i] for name, values in column.items()})
        for whole, one in ((together, alone), (together.pinion, alone.pinion), (together.wheel, alone.wheel)):
            for (name, _, value), (_, _, single) in zip(terms(whole), terms(one), strict=True):
                sample = np.broadcast_to(value, size)[i]
                expected = np.nan if single is None else single
                assert sample == pytest.approx(expected, rel=1e-9, abs=1e-9, nan_ok=True), name


def test_inputs_are_left_alone_and_an_array_of_teeth_broadcasts_against_another():
    teeth, width = np.array([20, 25, 30]), np.array([[10.0], [40.0]])
    kept = teeth.copy()
    pair = equal_pair(
        centre_distance_mm=2.0 * (teeth + 30),
        pinion=tooth(teeth, 0.0, 4.0 * teeth + 8.0, face_width_mm=width),
        helix_angle_deg=0.0,
    )
    assert np.shape(pair.pinion.reference_diameter_mm) == (3,)
    assert np.shape(pair.common_face_width_mm) == (2, 1)
    assert np.shape(pair.total_contact_ratio) == (2, 3)
    assert (teeth == kept).all()


@given(rise=st.floats(0.001, 0.5))
def test_moving_apart_lowers_contact_and_gives_backlash(rise):
    close, apart = equal_pair(), equal_pair(centre_distance_mm=120.0 + rise)
    assert apart.transverse_contact_ratio < close.transverse_contact_ratio
    assert apart.normal_backlash_mm > close.normal_backlash_mm
    assert apart.working_pressure_angle_deg > close.working_pressure_angle_deg
    first_order = 2.0 * rise * np.sin(np.radians(20.0))
    assert apart.normal_backlash_mm - close.normal_backlash_mm == pytest.approx(first_order, rel=0.02)


def test_the_root_form_diameter_is_continuous_where_undercut_begins():
    z_min = equal_pair().pinion.undercut_teeth
    x_min = 0.0 + (1.25 - 0.38 * (1 - np.sin(np.radians(20)))) * (1 - 14 / z_min)
    shift = x_min + np.array([-1e-4, -1e-6, 0.0, 1e-6])
    form = equal_pair(pinion=tooth(14, shift, 66.0)).pinion.root_form_diameter_mm
    assert np.ptp(form) < 1e-4
    assert (form >= 56 * np.cos(np.radians(20))).all()


def test_more_undercut_ends_the_involute_higher():
    shift = np.linspace(-0.6, 0.2, 30)
    form = equal_pair(pinion=tooth(12, shift, 58.0)).pinion.root_form_diameter_mm
    deep = shift < equal_pair(pinion=tooth(12, 0.0, 58.0)).pinion.undercut_shift - 0.02
    assert (np.diff(form[deep]) < 0).all()


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"centre_distance_mm": 110.0}, "pair.centre_distance"),
        ({"centre_distance_mm": 126.5}, "pair.contact_ratio"),
        ({"centre_distance_mm": 119.8}, "pair.backlash"),
        ({"pinion": tooth(30, 0.0, 144.0)}, "gear.pointed"),
        ({"pinion": tooth(30, 0.0, 112.0)}, "gear.tip_diameter"),
        ({"pinion": tooth(30, 0.0, 128.0, rack_root_radius=0.6)}, "gear.rack_round"),
        ({"pinion": tooth(30, 0.0, 128.0, rack_dedendum=0.9)}, "gear.bottoming"),
        ({"pinion": tooth(30, 0.0, 128.0, rack_dedendum=1.05)}, "gear.interference"),
    ],
)
def test_what_cannot_work_stops_with_its_number_and_keeps_the_diameters(change, key):
    pair = equal_pair(**change)
    assert key in stop_keys(pair)
    text = next(notice.text for notice in pair.stops if notice.key == key)
    assert any(sign.isdigit() for sign in text)
    assert text.endswith(".")
    assert pair.transverse_contact_ratio is None
    assert pair.total_contact_ratio is None
    assert pair.overlap_ratio == 0.0
    assert pair.pinion.reference_diameter_mm == 120.0
    assert pair.pinion.base_diameter_mm == pytest.approx(120.0 * np.cos(np.radians(20.0)))
    for result in (pair, pair.pinion, pair.wheel):
        assert disagreements(result)[0] == []


def test_interference_keeps_the_two_diameters_that_show_it():
    gear = equal_pair(pinion=tooth(30, 0.0, 128.0, rack_dedendum=1.05)).pinion
    assert gear.start_of_active_profile_mm < gear.root_form_diameter_mm
    assert gear.start_sliding is None


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"pinion": tooth(30, 0.0, 132.5), "wheel": DEEP}, "gear.tip_thickness"),
        ({"wheel": tooth(30, 0.0, 128.0, rack_dedendum=1.08, rack_root_radius=0.3)}, "gear.root_clearance"),
        ({"pinion": tooth(14, 0.0, 62.0), "centre_distance_mm": 88.0}, "gear.undercut"),
        ({"centre_distance_mm": 119.99}, "pair.overlap"),
        ({"pinion": tooth(31, 0.0, 132.0), "centre_distance_mm": 122.0}, "pair.names"),
    ],
)
def test_what_is_built_with_care_is_named(change, key):
    pair = equal_pair(**change)
    assert key in keys(pair)
    assert key not in stop_keys(pair)


def test_a_sound_pair_says_nothing():
    assert equal_pair(pinion=tooth(30, 0.0, 128.0, rack_dedendum=1.4, rack_root_radius=0.35)).notices == ()


def test_one_bad_sample_leaves_the_others_their_value():
    pair = equal_pair(centre_distance_mm=np.array([119.8, 120.0, 130.0]))
    assert list(np.isnan(pair.transverse_contact_ratio)) == [True, False, True]
    assert {"pair.backlash", "pair.contact_ratio"} <= stop_keys(pair)


def test_the_limit_of_contact_ratio_itself_is_allowed():
    apart = equal_pair(centre_distance_mm=np.linspace(122.0, 123.0, 2000)).transverse_contact_ratio
    assert 1.0 <= np.nanmin(apart) < 1.001
    assert np.isnan(apart[-1])


def test_every_fault_shows_at_once():
    wrong = Tooth(
        teeth=0,
        face_width_mm=-3.0,
        profile_shift=float("nan"),
        tip_diameter_mm=0.0,
        rack_dedendum=-1.0,
        rack_root_radius=-0.1,
        protuberance_mm=-0.1,
        stock_min_mm=0.3,
        stock_max_mm=0.2,
    )
    with pytest.raises(InputError) as caught:
        equal_pair(
            normal_module_mm=-1.0, helix_angle_deg=90.0, pinion=wrong, wheel=replace(wrong, teeth=12.5)
        )
    fields = [fault.field for fault in caught.value.faults]
    assert {"normal_module_mm", "helix_angle_deg", "pinion.teeth", "wheel.teeth"} <= set(fields)
    assert len(fields) == len(set(fields)) == 18
    assert all(fault.needed for fault in caught.value.faults)


@pytest.mark.parametrize("value", [None, float("inf"), np.array([4.0, np.nan])])
def test_a_missing_module_is_a_fault(value):
    with pytest.raises(InputError, match="normal_module_mm"):
        equal_pair(normal_module_mm=value)


@given(beta=st.floats(0.01, 35.0), teeth=st.integers(20, 60))
def test_virtual_teeth_lie_between_the_two_plain_rules(beta, teeth):
    assume(beta > 0.5)
    pair = closed_pair(module=3.0, helix=beta, teeth=(teeth, 60), shifts=(0.2, 0.1))
    assert teeth < pair.pinion.virtual_teeth < teeth / np.cos(np.radians(beta)) ** 3
