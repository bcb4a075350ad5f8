"""Load sharing and pressure along the path of contact."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.methods import Level
from gearcheck.contact.loaded_pressure import loaded_path_pressure
from gearcheck.contact.sharing import load_sharing, path_pressure
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.gear.path import contact_path
from tests.checks import cases, holds
from tests.stress.pairs import internal


def pair_of(*, helix_angle_deg=0.0, face_width_mm=32.0, addendum=1.0, teeth=(20, 40)):
    """An unshifted pair of module 4."""
    module = 4 / np.cos(np.radians(helix_angle_deg))

    def tooth(number):
        return Tooth(
            teeth=number, face_width_mm=face_width_mm, profile_shift=0.0,
            tip_diameter_mm=number * module + 8 * np.asarray(addendum), rack_dedendum=1.5 * np.max(addendum),
            rack_root_radius=0.1, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0,
        )  # fmt: skip

    return pair_geometry(
        normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=helix_angle_deg,
        centre_distance_mm=sum(teeth) / 2 * module, pinion=tooth(teeth[0]), wheel=tooth(teeth[1]),
    )  # fmt: skip


def sharing_of(pair, points=41, tolerance_class=6):
    path = contact_path(pair=pair, points=points)
    return load_sharing(path=path, pair=pair, tolerance_class=tolerance_class)


def pressure_of(pair, points=41, force=10000, factor=1.0, tolerance_class=6):
    return path_pressure(
        path=contact_path(pair=pair, points=points), pair=pair, tangential_force_N=force, load_factor=factor,
        tolerance_class=tolerance_class,
    )  # fmt: skip


def _marks(pair):
    path = contact_path(pair=pair, points=2001)
    shares = load_sharing(path=path, pair=pair, tolerance_class=6).factor
    position = path.position_mm
    before, after = position < path.mark_B_mm, position > path.mark_D_mm
    return {
        "start": shares[0],
        # the ramp carried on to the mark itself
        "before_B": shares[before][-1] + _rest(path, shares, before),
        "single": shares[~before & ~after].mean(),
        "after_D": shares[after][0] + _rest(path, shares, after),
        "end": shares[-1],
    }


def _rest(path, shares, part):
    """What the ramp still rises between its last point and the mark."""
    position = path.position_mm[part]
    inner = position[-1] if part[0] else position[0]
    mark = path.mark_B_mm if part[0] else path.mark_D_mm
    slope = np.ptp(shares[part]) / np.ptp(position)
    return slope * abs(mark - inner)


def _sum(pair):
    path = contact_path(pair=pair, points=2001)
    shares = load_sharing(path=path, pair=pair, tolerance_class=6).factor
    early = path.position_mm < path.mark_B_mm
    other = np.interp(path.position_mm[early] + path.base_pitch_mm, path.position_mm, shares)
    return shares[early] + other


@pytest.mark.parametrize("check", cases("contact", "gearcheck.contact.sharing:load_sharing"), ids=str)
def test_cited_shares(check):
    pair = pair_of(**check.inputs)
    if check.id == "SHARE-MARKS":
        holds(check, **_marks(pair))
    elif check.id == "SHARE-SUM":
        totals = _sum(pair)
        # the step at D lies between two points, so the one next to it is left out
        holds(check, sum=totals[1:].mean())
        assert totals[1:] == pytest.approx(np.ones(totals.size - 1), abs=1e-9)
    else:
        assert np.ptp(sharing_of(pair).factor) == 0
        holds(check, share_times_contact_ratio=sharing_of(pair).factor[7] * pair.transverse_contact_ratio)


@pytest.mark.parametrize("check", cases("contact", "gearcheck.contact.sharing:path_pressure"), ids=str)
def test_the_pitch_point_has_the_contact_stress_of_the_rating(check):
    inputs = dict(check.inputs)
    force = inputs.pop("tangential_force_N")
    pair = pair_of(**inputs)
    path = contact_path(pair=pair, points=4001)
    along = pressure_of(pair, points=4001, force=force)
    holds(check, pressure_MPa=np.interp(path.mark_C_mm, along.position_mm, along.pressure_MPa))


@pytest.mark.parametrize(
    "check", cases("contact", "gearcheck.contact.loaded_pressure:loaded_path_pressure"), ids=str
)
def test_a_pressure_that_is_given_has_its_load_and_width(check):
    pair = pair_of()
    along = loaded_path_pressure(
        path=contact_path(pair=pair, points=2), pair=pair, tangential_force_N=10000, load_factor=1.0,
        tolerance_class=6, **{name: [value] for name, value in check.inputs.items()},
    )  # fmt: skip
    holds(check, line_load_N_mm=along.line_load_N_mm[0], half_width_mm=along.half_width_mm[0])


def test_the_pressure_of_load_sharing_given_back_has_the_same_share():
    pair = pair_of(helix_angle_deg=15)
    once = pressure_of(pair, factor=1.3)
    again = loaded_path_pressure(
        path=contact_path(pair=pair), pair=pair, position_mm=once.position_mm, pressure_MPa=once.pressure_MPa,
        tangential_force_N=10000, load_factor=1.3, tolerance_class=6,
    )  # fmt: skip
    assert again.load_sharing == pytest.approx(once.load_sharing)
    assert again.half_width_mm == pytest.approx(once.half_width_mm)


def test_the_load_factors_come_in_under_the_root():
    pair = pair_of()
    once, twice = pressure_of(pair), pressure_of(pair, factor=2.0)
    assert twice.pressure_MPa == pytest.approx(np.sqrt(2) * once.pressure_MPa)
    assert np.pi / 2 * once.half_width_mm * once.pressure_MPa == pytest.approx(once.line_load_N_mm)


def test_the_marks_of_single_contact_stand_among_the_points():
    pair = pair_of()
    path = contact_path(pair=pair, points=11)
    along = pressure_of(pair, points=11)
    assert along.pressure_MPa.shape == (13,)
    assert (np.diff(along.position_mm) >= 0).all()
    worst = along.position_mm[along.pressure_MPa.argmax()]
    assert worst == path.mark_B_mm
    finer = pressure_of(pair, points=1001)
    assert finer.pressure_MPa.max() == pytest.approx(along.pressure_MPa.max(), rel=1e-12)
    on_path = np.isin(along.position_mm, path.position_mm)
    assert along.reduced_radius_mm[on_path] == pytest.approx(path.reduced_radius_mm, rel=1e-12)


@settings(deadline=None)
@given(helix=st.floats(0, 30), face=st.floats(5, 120))
def test_shares_stay_between_those_of_spur_and_helical(helix, face):
    pair = pair_of(helix_angle_deg=helix, face_width_mm=face)
    shares = sharing_of(pair)
    assert (shares.factor >= 1 / 3 - 1e-12).all()
    assert (shares.factor <= 1 + 1e-12).all()
    if pair.overlap_ratio >= 1:
        assert shares.factor == pytest.approx(np.full(41, 1 / pair.transverse_contact_ratio))


def test_from_spur_to_helical_without_a_jump():
    # the overlap ratio is 1 at this face width
    whole = np.pi * 4 / np.sin(np.radians(15))
    faces = (whole * (1 - 1e-9), whole)
    near, at = (sharing_of(pair_of(helix_angle_deg=15, face_width_mm=face)) for face in faces)
    assert near.factor == pytest.approx(at.factor, abs=1e-8)
    spur = sharing_of(pair_of(helix_angle_deg=0))
    nearly = sharing_of(pair_of(helix_angle_deg=1e-7))
    assert nearly.factor == pytest.approx(spur.factor, abs=1e-6)


def test_contact_ratios_it_does_not_know_stop():
    high = pair_of(addendum=1.3, teeth=(40, 60))
    assert high.transverse_contact_ratio > 2
    shares = sharing_of(high)
    assert np.isnan(shares.factor).all()
    assert shares.stops[0].key == "iso_ts6336_20.load_sharing.transverse_contact_ratio"
    assert np.isnan(pressure_of(high).pressure_MPa).all()
    assert pressure_of(high).stops == shares.stops


def test_samples_equal_scalars():
    helix, force = np.array([0.0, 8.0, 20.0]), np.array([5000.0, 9000.0, 20000.0])
    pair = pair_of(helix_angle_deg=helix)
    whole = pressure_of(pair, force=force, factor=np.array([1.2, 1.4, 1.6]))
    assert whole.pressure_MPa.shape == (3, 43)
    for row in range(3):
        one = pressure_of(pair_of(helix_angle_deg=helix[row]), force=force[row], factor=(1.2, 1.4, 1.6)[row])
        assert whole.pressure_MPa[row] == pytest.approx(one.pressure_MPa, rel=1e-12)
        assert whole.half_width_mm[row] == pytest.approx(one.half_width_mm, rel=1e-12)


SAMPLED = {
    "pinion.tip_diameter_mm": (87.0, 88.5),
    "wheel.tip_diameter_mm": (166.0, 168.5),
    "pinion.profile_shift": (-0.2, 0.0),
    "wheel.profile_shift": (-0.2, 0.0),
    "pinion.face_width_mm": (25.0, 32.0),
    "wheel.face_width_mm": (25.0, 32.0),
    "pinion.rack_dedendum": (1.3, 1.5),
    "wheel.rack_dedendum": (1.3, 1.5),
    "pinion.rack_root_radius": (0.1, 0.3),
    "pinion.protuberance_mm": (0.1, 0.2),
    "pinion.stock_min_mm": (0.0, 0.1),
    "wheel.stock_max_mm": (0.2, 0.3),
    "pinion.teeth": (19, 20),
    "centre_distance_mm": (120.0, 120.3),
    "normal_module_mm": (3.98, 4.0),
    "pressure_angle_deg": (19.5, 20.0),
    "helix_angle_deg": (0.0, 1.0),
}


def pair_with(name, value):
    """The unshifted pair with one of its inputs moved."""
    tooth = dict(
        face_width_mm=32.0, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.2,
        protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.2,
    )  # fmt: skip
    pinion, wheel = (
        tooth | {"teeth": 20, "tip_diameter_mm": 88},
        tooth | {"teeth": 40, "tip_diameter_mm": 168},
    )
    whole = dict(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120)
    owner, _, field = name.rpartition(".")
    {"": whole, "pinion": pinion, "wheel": wheel}[owner][field] = value
    return pair_geometry(**whole, pinion=Tooth(**pinion), wheel=Tooth(**wheel))


@pytest.mark.parametrize("name", SAMPLED)
def test_samples_of_one_input_and_of_torque_equal_one_by_one(name):
    low, high = SAMPLED[name]
    # whole numbers of teeth stay whole
    rows = np.round(np.linspace(low, high, 7)) if name.endswith("teeth") else np.linspace(low, high, 7)
    force = np.array([5000.0, 9000.0, 20000.0])
    whole = pressure_of(pair_with(name, rows[:, None]), force=force, factor=1.3)
    pressure = np.broadcast_to(whole.pressure_MPa, (7, 3, 43))
    position = np.broadcast_to(whole.position_mm, (7, 3, 43))
    assert not np.isnan(pressure).any()
    for row, column in np.ndindex(7, 3):
        one = pressure_of(pair_with(name, rows[row]), force=force[column], factor=1.3)
        assert pressure[row, column] == pytest.approx(one.pressure_MPa, rel=1e-12)
        assert position[row, column] == pytest.approx(one.position_mm, rel=1e-12, abs=1e-12)


def test_a_class_it_does_not_know_is_a_caution():
    pair = pair_of()
    assert sharing_of(pair, tolerance_class=7).notices == ()
    for found in (sharing_of(pair, tolerance_class=8), pressure_of(pair, tolerance_class=[6, 8])):
        assert [notice.level for notice in found.notices] == [Level.CAUTION]
        assert "tolerance class = 8" in found.notices[0].text
        assert "tolerance class up to 7" in found.notices[0].text


def test_a_negative_force_stops():
    assert np.isnan(pressure_of(pair_of(), force=-1.0).pressure_MPa).all()
    assert "F_t = -1 N" in pressure_of(pair_of(), force=-1.0).stops[0].text


@pytest.mark.parametrize("helix_angle_deg", [0, 15])
@pytest.mark.parametrize("wheel", [30, 70])
def test_the_radii_under_the_pressure_are_those_of_the_path_with_an_internal_gear_too(helix_angle_deg, wheel):
    pair = internal(helix_angle_deg=helix_angle_deg, teeth=(20, wheel), shifts=(0.3, -0.3))
    path, along = contact_path(pair=pair, points=41), pressure_of(pair)
    at_marks = np.interp(along.position_mm, path.position_mm, path.reduced_radius_mm)
    assert along.reduced_radius_mm == pytest.approx(at_marks, rel=2e-3)
    at_pitch = np.interp(path.mark_C_mm, along.position_mm, along.reduced_radius_mm)
    assert at_pitch == pytest.approx(pair.reduced_radius_mm, rel=2e-3)
