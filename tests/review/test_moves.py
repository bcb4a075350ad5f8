"""What-ifs of the toothing: the pair still meshes, and what is said to be held is held."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.review.chain import calculate
from gearcheck.review.changes import CHANGES, changed, open_changes
from gearcheck.review.gear_file import read_gear_file

RECORDS = {
    name: read_gear_file(scenarios() / name / "gear.toml")
    for name in ("tunnel_fan", "ship_lift", "harvester")
}
OF_TEETH = ("teeth", "module", "helix", "shift_sum")


@pytest.mark.parametrize("key", OF_TEETH)
@pytest.mark.parametrize("name", RECORDS)
def test_a_moved_pair_still_meshes(name, key):
    record = RECORDS[name]
    change = next(one for one in CHANGES if one.key == key)
    before = calculate(record).meshes[0].pair
    for value in (change.stepped(record), *change.bounds(record)):
        pair = calculate(changed(record, {key: value})).meshes[0].pair
        assert not [one.text for one in pair.stops if value == change.stepped(record)]
        scale = float(pair.normal_module_mm) / float(before.normal_module_mm) if key == "module" else 1.0
        assert pair.normal_backlash_mm == pytest.approx(before.normal_backlash_mm * scale, rel=0.1)


@pytest.mark.parametrize("name", RECORDS)
def test_fewer_teeth_hold_the_centre_distance_and_the_shift_in_mm(name):
    record = RECORDS[name]
    moved = changed(record, {"teeth": float(record.gear.tooth.teeth) - 3})
    for old, new in zip(record.meshes[:1], moved.meshes[:1], strict=True):
        assert float(new.centre_distance_mm) == pytest.approx(old.centre_distance_mm, abs=1e-9)
        assert float(new.mate.tooth.teeth) == round(float(new.mate.tooth.teeth))
    shifts = [float(one.gear.tooth.profile_shift) * float(one.normal_module_mm) for one in (record, moved)]
    assert shifts[0] == pytest.approx(shifts[1])
    pair = [calculate(one).meshes[0].pair for one in (record, moved)]
    assert pair[1].working_pressure_angle_deg == pytest.approx(pair[0].working_pressure_angle_deg, abs=1e-6)


def test_the_gap_at_the_tip_stays_in_modules():
    record = RECORDS["tunnel_fan"]
    moved = changed(record, {"teeth": 20.0})
    gaps = [
        float(one.normal_module_mm) * float(calculate(other).meshes[0].gear.geometry.root_clearance_mm)
        for one, other in ((moved, record), (record, moved))
    ]
    assert gaps[0] == pytest.approx(gaps[1], rel=0.01)  # the tip shortening stays in mm


def test_the_tip_of_an_internal_mate_moves_away_as_it_gives_back_shift():
    record = RECORDS["tunnel_fan"]
    mesh = record.meshes[0]
    ring = replace(mesh.mate, tooth=replace(mesh.mate.tooth, internal=True))
    inside = replace(record, meshes=(replace(mesh, mate=ring),))
    more = {"profile_shift": record.gear.tooth.profile_shift + 0.1}
    tips = [float(changed(one, more).meshes[0].mate.tooth.tip_diameter_mm) for one in (record, inside)]
    assert tips == pytest.approx([374.5 - 1.0, 374.5 + 1.0])
    assert {"teeth", "module", "helix", "shift_sum"}.isdisjoint(one.key for one in open_changes(inside))


def test_relief_is_never_negative_and_speed_carries_all_meshes():
    record = RECORDS["harvester"]
    bare = changed(record, {"relief": 0.0})
    assert all(
        float(one) >= 0 for one in (bare.gear.tip_relief_um, *(m.mate.tip_relief_um for m in bare.meshes))
    )
    fast = changed(record, {"speed": 2 * float(record.meshes[0].speed_rpm)})
    for old, new in zip(record.meshes, fast.meshes, strict=True):
        assert float(new.speed_rpm) == pytest.approx(2 * float(old.speed_rpm))


def test_one_pass_moves_as_many_as_are_asked():
    record = RECORDS["tunnel_fan"]
    for change in open_changes(record):
        if change.traded or change.key == "teeth":  # they say which gear is the pinion
            continue
        low, high = change.bounds(record)
        values = array([low, high])
        both = calculate(changed(record, {change.key: values})).meshes[0].gear.root_safety.safety
        alone = [
            calculate(changed(record, {change.key: one})).meshes[0].gear.root_safety.safety for one in values
        ]
        np.testing.assert_allclose(np.broadcast_to(both, 2), alone, rtol=1e-12, err_msg=change.key)


def test_a_finer_flank_a_thicker_and_a_cooler_oil_each_thicken_the_film_over_the_roughness():
    tram = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
    here = calculate(tram).meshes[0].micropitting.least_film
    for key, value in (("roughness", 2.0), ("viscosity", 220.0), ("oil_temperature", 75.0)):
        moved = changed(tram, {key: value})
        assert calculate(moved).meshes[0].micropitting.least_film > 1.05 * here
    finer = changed(tram, {"roughness": 2.0})
    assert float(finer.meshes[0].mate.finish.flank_roughness_um) == pytest.approx(2.0)
    thicker = changed(tram, {"viscosity": 220.0}).lubricant
    # from memory: mineral oils of ISO VG 150 and 220 have about 15.0 and 19.4 mm²/s at 100 °C
    assert float(thicker.viscosity_100C_mm2_s) == pytest.approx(19.4, rel=0.02)
