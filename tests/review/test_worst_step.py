"""Under a duty: scuffing, micropitting and case depth are those of the step that is worst for each."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.places import scenarios
from gearcheck.duty.inputs import Bin
from gearcheck.review.bins import damage_by_bin, step_words
from gearcheck.review.chain import calculate
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.moves import with_torque
from gearcheck.review.pressure import pressure_along
from gearcheck.review.settled import settled
from gearcheck.review.stations import calculated
from gearcheck.stress.inputs import ScuffingMethod
from gearcheck.stress.life import Damage


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def on(record, *bins, starts=0, peak=None):
    return replace(record, duty=replace(record.duty, bins=bins, starts=starts, peak_torque_Nm=peak))


def each_alone(record):
    """A record for each loaded step of a duty, and last one for its starts as a step."""
    duty = record.duty
    peak = Bin(torque_Nm=duty.highest_torque_Nm, speed_rpm=record.meshes[0].speed_rpm, hours=1.0)
    return [on(record, item) for item in (*duty.loaded, peak)]


def mesh_of(record):
    return calculate(record).meshes[0]


def lines(record):
    return {line.key: line for line in calculated(record, calculate(record))}


def test_a_duty_of_the_nominal_load_alone_gives_what_the_nominal_load_gives(tram):
    first = replace(tram.meshes[0], application_factor=1.0)
    plain = replace(tram, meshes=(first,), duty=None)
    load = Bin(torque_Nm=first.torque_Nm, speed_rpm=first.speed_rpm, hours=1.0)
    one, other = mesh_of(plain), mesh_of(on(tram, load))
    assert other.flash.highest_contact_C == pytest.approx(one.flash.highest_contact_C, rel=1e-12)
    assert other.integral.safety == pytest.approx(one.integral.safety, rel=1e-12)
    assert other.micropitting.specific_film == pytest.approx(one.micropitting.specific_film, rel=1e-12)
    assert other.figures.crushing_mm == pytest.approx(one.figures.crushing_mm, rel=1e-12)
    assert pressure_along(other).pressure_MPa == pytest.approx(pressure_along(one).pressure_MPa, rel=1e-12)


def test_each_result_is_that_of_its_worst_step_alone(tram):
    whole, alone = mesh_of(tram), [mesh_of(record) for record in each_alone(tram)]
    hottest = [one.flash.highest_contact_C for one in alone]
    thinnest = [one.micropitting.least_film for one in alone[:-1]]
    depths = [one.figures.crushing_mm for one in alone]
    pressed = [pressure_along(one).pressure_MPa.max() for one in alone]
    assert len({round(value, 6) for value in hottest}) > 3
    assert whole.flash.highest_contact_C == pytest.approx(max(hottest), rel=1e-9)
    assert whole.micropitting.least_film == pytest.approx(min(thinnest), rel=1e-9)
    assert whole.figures.crushing_mm == pytest.approx(max(depths), rel=1e-9)
    assert pressure_along(whole).pressure_MPa.max() == pytest.approx(max(pressed), rel=1e-9)
    assert (int(whole.hottest_step), int(whole.thinnest_step)) == (np.argmax(hottest), np.argmin(thinnest))
    (deepest,) = settled(tram, calculate(tram))
    (last,) = settled(each_alone(tram)[-1], calculate(each_alone(tram)[-1]))
    assert deepest.required.depth_mm == pytest.approx(last.required.depth_mm, rel=1e-9)


def test_by_the_integral_temperature_its_own_hottest_step_governs(tram):
    integral = replace(tram, methods=replace(tram.methods, scuffing=ScuffingMethod.INTEGRAL))
    alone = [mesh_of(record).integral.safety for record in each_alone(integral)]
    assert mesh_of(integral).integral.safety == pytest.approx(min(alone), rel=1e-9)
    line = lines(integral)["stress.scuffing.wheel"]
    assert line.native == ("S_intS", pytest.approx(min(alone)), 1.5)


def test_a_slow_step_that_the_nominal_load_hides_fails_micropitting(tram):
    hidden = replace(tram, duty=None)
    for record, met in ((hidden, True), (tram, False)):
        line = lines(record)["stress.micropitting.wheel"]
        assert (line.capacity >= line.demand) is met
    assert "every step of the duty" in lines(tram)["stress.micropitting.wheel"].sentence


def test_starts_heat_and_press_but_do_not_thin_the_film(tram):
    duty = tram.duty
    still = on(tram, *duty.bins)
    started = on(tram, *duty.bins, starts=1, peak=6000.0)
    before, after = mesh_of(still), mesh_of(started)
    assert after.micropitting.least_film == before.micropitting.least_film
    assert after.flash.highest_contact_C > before.flash.highest_contact_C
    assert after.figures.crushing_mm > before.figures.crushing_mm
    assert step_words(started, after.hottest_step).startswith("the starts of the duty, 6000")
    notes = [notice.text for notice in after.micropitting.notices if notice.key == "duty.step"]
    assert notes == ["Oil film, wheel: worked out at step 1 of the duty, 2500\xa0N·m, 420\xa0rpm."]


def test_samples_of_torque_each_have_their_own_worst_step(tram):
    factors = np.array([0.05, 0.5, 1.0, 1.3])
    fast = on(tram, *tram.duty.bins, Bin(torque_Nm=900.0, speed_rpm=9000.0, hours=10.0))
    many = mesh_of(with_torque(fast, factors))
    for place, factor in enumerate(factors):
        one = mesh_of(with_torque(fast, factor))
        assert many.flash.highest_contact_C[place] == pytest.approx(one.flash.highest_contact_C, rel=1e-12)
        assert many.micropitting.least_film[place] == pytest.approx(one.micropitting.least_film, rel=1e-12)
        assert many.figures.crushing_mm[place] == pytest.approx(one.figures.crushing_mm, rel=1e-12)
        assert pressure_along(many).pressure_MPa[place] == pytest.approx(pressure_along(one).pressure_MPa)


@pytest.mark.parametrize("name", ["oil_temperature_C", "viscosity_100C_mm2_s", "density_15C_kg_m3"])
def test_samples_of_the_oil_stand_behind_the_steps(tram, name):
    values = float(getattr(tram.lubricant, name)) * np.array([0.9, 1.0, 1.05])

    def oiled(value):
        return mesh_of(replace(tram, lubricant=replace(tram.lubricant, **{name: value})))

    many = oiled(values)
    for place, value in enumerate(values):
        one = oiled(float(value))
        assert many.micropitting.least_film[place] == pytest.approx(one.micropitting.least_film, rel=1e-12)
        assert many.flash.highest_contact_C[place] == pytest.approx(one.flash.highest_contact_C, rel=1e-12)


def test_a_highest_torque_without_starts_comes_once(tram):
    bins = tram.duty.bins
    free, jammed, started = (
        on(tram, *bins, **more) for more in ({}, {"peak": 6e3}, {"peak": 6e3, "starts": 1})
    )
    before, jam, start = mesh_of(free), mesh_of(jammed), mesh_of(started)
    assert jam.flash.highest_contact_C == start.flash.highest_contact_C > before.flash.highest_contact_C
    assert jam.figures.crushing_mm == start.figures.crushing_mm > before.figures.crushing_mm
    assert settled(free, calculate(free))[0].required.depth_mm < 0.5
    assert settled(jammed, calculate(jammed))[0].required.depth_mm is None
    assert jam.gear.root_damage[0].damage == start.gear.root_damage[0].damage
    assert jam.micropitting.least_film == before.micropitting.least_film
    assert step_words(jammed, jam.hottest_step).startswith("the highest torque of the duty, 6000")
    shown = damage_by_bin(jammed, jam, Damage.FLANK)
    assert len(shown.steps) == len(shown.gear)
    assert [step for step in shown.steps if "once" in step] == ["highest torque, once: 6000\xa0N·m"]


def test_the_nominal_load_does_not_stand_for_a_duty_without_load(tram):
    idle = on(tram, Bin(torque_Nm=0.0, speed_rpm=1800.0, hours=10.0), starts=1000, peak=20000.0)
    for key in ("stress.scuffing.wheel", "stress.micropitting.wheel", "case.needed.wheel"):
        assert lines(idle)[key].reason == "no step of the duty carries a load"
    (solved,) = settled(idle, calculate(idle))
    assert solved.reason == "no step of the duty carries a load"


def test_a_shaft_with_several_meshes_is_a_caution(tram):
    (mesh,) = tram.meshes
    two = replace(mesh, name="second", loaded_flank=Flank.RIGHT)
    given = replace(mesh, mates=3, face_load_factor=1.2, shaft=None)
    for meshes, number in (((mesh,), 1), ((mesh, two), 2), ((replace(mesh, mates=3),), 3), ((given,), 1)):
        record = replace(tram, meshes=meshes)
        for factors in (mesh_of(record).factors, mesh_of(record).duty_factors):
            said = [item.text for item in factors.notices if item.key == "iso6336_1.face_load.several_meshes"]
            assert [f"this one has {number}" in text for text in said] == [True] * (number > 1)


def test_a_step_above_static_strength_has_no_life_where_no_static_safety_is_agreed(tram):
    alone = replace(tram, required=replace(tram.required, static_flank_safety=None, static_root_safety=None))
    for peak, above in ((6000.0, False), (12000.0, True)):
        record = on(alone, *tram.duty.bins, starts=1, peak=peak)
        line = lines(record)["stress.root.wheel.gear"]
        assert line.capacity >= line.demand
        assert bool(line.reason) is above
        agreed = replace(record, required=tram.required)
        assert lines(agreed)["stress.root.wheel.gear"].reason == ""
        static = lines(agreed)["stress.static_root.wheel.gear"]
        assert (static.capacity < static.demand) >= above
    assert line.reason == "a step exceeds the static strength, and [required] static_root_safety is missing"


def test_the_starts_run_at_the_speed_of_each_sample(tram):
    (mesh,) = tram.meshes
    speeds = np.array([900.0, 1800.0, 3600.0])

    def at(speed):
        return mesh_of(replace(tram, meshes=(replace(mesh, speed_rpm=speed),)))

    many = at(speeds)
    assert many.duty_factors.speed_rpm[-1] == pytest.approx(speeds)
    alone = [at(float(speed)).flash.highest_contact_C for speed in speeds]
    assert many.flash.highest_contact_C == pytest.approx(alone, rel=1e-12)


def test_a_step_outside_a_range_is_said_though_another_is_the_worst(tram):
    fast = on(tram, tram.duty.bins[0], Bin(torque_Nm=50.0, speed_rpm=15000.0, hours=5.0))
    whole = mesh_of(fast)
    assert int(whole.thinnest_step) == 0
    assert any("78" in notice.text for notice in whole.micropitting.notices)
