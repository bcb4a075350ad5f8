"""The duty in the review: damage sums that agree with the rating at one load, and the highest torque."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.materials.inputs import Quality, Steel, Treatment
from gearcheck.review.bins import damage_by_bin, life_under_duty, sums_of, torque_that_stands_for_it
from gearcheck.review.chain import calculate
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.moves import with_torque
from gearcheck.review.stations import calculated
from gearcheck.stress.inputs import Bending, StressEdition
from gearcheck.stress.life import Damage


@pytest.fixture(scope="module")
def fan():
    """The fan pinion without application factor, so that its nominal load is a duty of one step."""
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    return replace(record, meshes=(replace(record.meshes[0], application_factor=1.0),))


def on_duty(record, *bins, below_knee=BelowKnee.LONG_LIFE, agreed=1.0, **duty):
    required = replace(record.required, damage_sum=agreed)
    return replace(record, required=required, duty=Duty(bins=bins, below_knee=below_knee, **duty))


def step(record, share=1.0, hours=1.0, *, reverse=False, speed=1.0):
    mesh = record.meshes[0]
    return Bin(
        torque_Nm=mesh.torque_Nm * share, speed_rpm=mesh.speed_rpm * speed, hours=hours, reverse=reverse
    )


def stress(record):
    return {item.key: item for item in judged(record) if item.station == "stress"}


def test_a_duty_of_one_step_turns_at_the_torque_of_the_rating(fan):
    one, many = stress(fan), stress(on_duty(fan, step(fan)))
    assert one.keys() == many.keys()
    for key, item in one.items():
        assert many[key].reserve.factor == pytest.approx(item.reserve.factor, rel=1e-6), key


def test_equal_steps_are_one_step_and_idle_steps_spend_nothing_but_time(fan):
    def damage(*bins):
        return [item.demand for item in stress(on_duty(fan, *bins)).values()]

    whole = damage(step(fan))
    assert damage(step(fan, hours=3), step(fan, hours=5)) == pytest.approx(whole)
    assert damage(step(fan), step(fan, share=0.0)) == pytest.approx([value / 2 for value in whole])
    assert damage(step(fan, hours=7), step(fan, hours=0)) == pytest.approx(whole)


def test_each_direction_has_its_own_damage_and_the_larger_counts(fan):
    record = on_duty(fan, step(fan, hours=3), step(fan, hours=1, reverse=True))
    gear = calculate(record).meshes[0].gear
    forward, reverse = (float(item.damage) for item in gear.flank_damage)
    assert forward == pytest.approx(3 * reverse)
    assert stress(record)["stress.flank.wheel.gear"].demand == pytest.approx(forward)
    assert gear.bending is Bending.REVERSING
    alone = calculate(on_duty(fan, step(fan))).meshes[0].gear
    assert alone.bending is Bending.ONE_WAY
    assert float(gear.root_damage[0].knee_limit_MPa) < float(alone.root_damage[0].knee_limit_MPa)


def test_with_a_duty_the_application_factor_does_not_count(fan):
    hard = replace(fan, meshes=(replace(fan.meshes[0], application_factor=1.75),))
    one, other = (stress(on_duty(record, step(fan))) for record in (fan, hard))
    assert [item.demand for item in one.values()] == pytest.approx([item.demand for item in other.values()])


def test_each_step_has_the_load_factors_of_its_own_load_and_speed(fan):
    record = on_duty(fan, step(fan), step(fan, share=0.3, speed=2.0))
    factors = calculate(record).meshes[0].duty_factors
    for place, (share, speed) in enumerate(((1.0, 1.0), (0.3, 2.0))):
        mesh = replace(
            fan.meshes[0],
            torque_Nm=fan.meshes[0].torque_Nm * share,
            speed_rpm=fan.meshes[0].speed_rpm * speed,
        )
        there = calculate(replace(fan, meshes=(mesh,))).meshes[0].factors
        for name in ("dynamic_factor", "transverse_factor_contact", "face_factor_bending"):
            value = np.broadcast_to(getattr(factors, name), (2,))[place]
            assert value == pytest.approx(getattr(there, name)), name


def test_samples_stay_behind_the_steps(fan):
    record = on_duty(fan, step(fan), step(fan, share=0.5), peak_torque_Nm=fan.meshes[0].torque_Nm * 2)
    factors = np.array([[0.8, 1.0], [1.1, 1.3]])
    lines = {line.key: line for line in calculated(record, calculate(with_torque(record, factors)))}
    demand = lines["stress.root.wheel.mate"].demand
    assert demand.shape == (2, 2)
    alone = calculate(with_torque(record, 1.1)).meshes[0].mate.root_damage[0].damage
    assert demand[1, 0] == pytest.approx(alone)


@pytest.mark.parametrize("treatment", list(BelowKnee))
def test_the_treatment_agreed_governs(fan, treatment):
    record = on_duty(fan, step(fan, share=1.3), step(fan, share=0.9), below_knee=treatment)
    found = calculate(record).meshes[0].gear.root_damage[0]
    assert stress(record)["stress.root.wheel.gear"].demand == pytest.approx(found.by_treatment[treatment])


def test_a_duty_without_load_has_no_answer_and_says_why(fan):
    idle = on_duty(fan, step(fan, share=0.0))
    assert {item.reason for item in stress(idle).values()} == {"no step of the duty carries a load"}


def test_without_a_damage_sum_agreed_there_is_no_answer(fan):
    record = on_duty(fan, step(fan), agreed=None)
    assert {item.reason for item in stress(record).values()} == {"[required] damage_sum missing"}


def test_the_highest_torque_is_rated_where_static_safeties_are_agreed(fan):
    required = replace(fan.required, static_flank_safety=1.2, static_root_safety=1.6)
    record = replace(on_duty(replace(fan, required=required), step(fan)), required=required)
    doubled = replace(record, duty=replace(record.duty, peak_torque_Nm=fan.meshes[0].torque_Nm * 2))
    here, there = (calculate(item).meshes[0].gear for item in (record, doubled))
    # at twice the torque the load factors fall a little
    assert 1.3 < there.flank_static.stress_MPa / here.flank_static.stress_MPa < np.sqrt(2)
    assert 1.8 < there.root_static.stress_MPa / here.root_static.stress_MPa < 2
    assert stress(doubled)["stress.static_root.wheel.gear"].reserve.factor < 20


def test_without_a_duty_the_highest_torque_is_the_nominal_one_with_its_application_factor(fan):
    required = replace(fan.required, static_root_safety=1.6)
    hard = replace(fan, required=required, meshes=(replace(fan.meshes[0], application_factor=1.5),))
    found = calculate(hard).meshes[0].gear
    assert found.root_static.stress_MPa == pytest.approx(found.root.stress_MPa, rel=0.02)
    assert found.flank_static is None


def test_a_reliability_above_the_standard_lowers_the_limits_by_a_named_distribution(fan):
    required = replace(
        fan.required, reliability=0.999, flank_strength_variation=0.04, root_strength_variation=0.06
    )
    here, there = (calculate(item).meshes[0].gear for item in (fan, replace(fan, required=required)))
    assert there.root_safety.safety / here.root_safety.safety == pytest.approx(0.9552, abs=5e-5)
    assert there.flank.safety / here.flank.safety == pytest.approx(0.9699, abs=5e-5)
    assert any("lognormal" in notice.text for notice in there.limits.notices)
    bare = replace(fan, required=replace(fan.required, reliability=0.999))
    assert all("no distribution" in item.reason for item in stress(bare).values())


def test_the_chain_at_another_load_is_that_of_the_record_at_that_load(fan):
    required = replace(
        fan.required,
        reliability=0.999,
        flank_strength_variation=0.04,
        root_strength_variation=0.06,
        static_root_safety=1.6,
    )
    record = on_duty(replace(fan, required=required), step(fan), step(fan, share=0.4, reverse=True))
    heavy = with_torque(record, np.array([0.7, 1.3]))
    again, anew = calculate(heavy, at_other_load=calculate(record)), calculate(heavy)
    for one, other in zip(calculated(heavy, again), calculated(heavy, anew), strict=True):
        assert one.key == other.key
        assert np.array_equal(np.asarray(one.demand, float), np.asarray(other.demand, float), equal_nan=True)
        assert np.array_equal(
            np.asarray(one.capacity, float), np.asarray(other.capacity, float), equal_nan=True
        )


def test_the_older_edition_rates_flank_and_root_otherwise(fan):
    old = replace(fan, methods=replace(fan.methods, stress=StressEdition.ISO_6336_2006))
    here, there = (calculate(record).meshes[0] for record in (fan, old))
    assert there.flank.pinion_stress_MPa < here.flank.pinion_stress_MPa  # no factor of tip relief
    assert there.gear.root.stress_MPa > here.gear.root.stress_MPa  # f_ε shares the load since 2019
    assert {line.method.edition for line in calculated(old, calculate(old)) if line.station == "stress"} == {
        "2006"
    }


def test_a_soft_mate_takes_its_own_knees_and_gains_from_the_hard_pinion(fan):
    steel = Steel(
        grade="42CrMo4",
        quality=Quality.MQ,
        surface_hardness_HV=300.0,
        core_hardness_HV=300.0,
        treatment=Treatment.THROUGH_HARDENED,
    )
    mesh = fan.meshes[0]
    soft = replace(fan, meshes=(replace(mesh, mate=replace(mesh.mate, steel=steel)),))
    mate = calculate(on_duty(soft, step(soft))).meshes[0].mate
    assert mate.flank.work_hardening_factor > 1
    assert mate.root_damage[0].static_cycles == 1e4
    assert (
        mate.flank_damage[0].damage > calculate(on_duty(fan, step(fan))).meshes[0].mate.flank_damage[0].damage
    )
    one, many = stress(soft), stress(on_duty(soft, step(soft)))
    for key, item in one.items():
        assert many[key].reserve.factor == pytest.approx(item.reserve.factor, rel=1e-6), key


def test_each_start_loads_each_tooth_once_at_the_highest_torque(fan):
    few = on_duty(fan, step(fan, share=0.9), step(fan, share=0.5, reverse=True), peak_torque_Nm=4000.0)
    many = replace(few, duty=replace(few.duty, starts=2000))
    none = replace(few, duty=replace(few.duty, peak_torque_Nm=None))
    here, once, there = (calculate(record).meshes[0].gear for record in (none, few, many))
    forward, reverse = there.root_damage
    assert forward.cycles.ravel()[-1] == 2000
    assert once.root_damage[0].cycles.ravel()[-1] == 1
    assert float(reverse.damage) == pytest.approx(float(here.root_damage[1].damage))
    assert float(forward.damage) > float(here.root_damage[0].damage)
    twice = calculate(replace(few, duty=replace(few.duty, starts=4000))).meshes[0].gear.root_damage[0]
    added = [float(one.damage) - float(here.root_damage[0].damage) for one in (forward, twice)]
    assert added[1] == pytest.approx(2 * added[0])
    drawn = damage_by_bin(many, calculate(many).meshes[0], Damage.ROOT)
    assert len(drawn.steps) == drawn.gear.size == 3
    assert drawn.steps[1].startswith("2000 starts")


def test_life_and_torque_that_stand_for_a_duty(fan):
    alone = on_duty(fan, step(fan, share=1.2))
    for damage in Damage:
        (found,) = sums_of(calculate(alone).meshes[0].gear, damage)
        torque = torque_that_stands_for_it(alone, damage, (found,))
        assert torque == pytest.approx(1.2 * fan.meshes[0].torque_Nm)
        life = life_under_duty(alone, (found,))
        assert life == pytest.approx(alone.required.life_h / float(found.damage))
        longer = replace(alone, required=replace(alone.required, life_h=life))
        (spent,) = sums_of(calculate(longer).meshes[0].gear, damage)
        assert float(spent.damage) == pytest.approx(1)
    mixed = on_duty(
        fan, step(fan, hours=1), step(fan, share=0.5, hours=9), step(fan, share=0.9, reverse=True)
    )
    sums = sums_of(calculate(mixed).meshes[0].mate, Damage.ROOT)
    assert 0.5 < torque_that_stands_for_it(mixed, Damage.ROOT, sums) / fan.meshes[0].torque_Nm < 1
    assert life_under_duty(replace(mixed, required=fan.required), sums) is None


def test_the_flanks_of_an_idler_carry_both_directions_of_a_duty(fan):
    first = fan.meshes[0]
    other = Flank.RIGHT if first.loaded_flank is Flank.LEFT else Flank.LEFT
    idler = replace(fan, meshes=(first, replace(first, name="second", loaded_flank=other)))
    both = on_duty(idler, step(fan, share=1.2), step(fan, share=1.2, reverse=True))
    one = on_duty(idler, step(fan, share=1.2))
    here, there = (calculate(record).meshes[0].gear for record in (one, both))
    for damage in Damage:
        (alone,), (together,) = sums_of(here, damage), sums_of(there, damage)
        # forward one mesh loads a flank half the time, in reverse the other the rest
        assert float(together.damage) == pytest.approx(float(alone.damage))
        torque = torque_that_stands_for_it(both, damage, (together,))
        assert torque == pytest.approx(1.2 * first.torque_Nm)
    planet = replace(fan, meshes=(replace(first, mate_idler=True),))
    mate = calculate(on_duty(planet, step(fan), step(fan, reverse=True))).meshes[0].mate
    assert len(mate.flank_damage) == 1


def test_starts_of_a_duty_in_reverse_are_in_reverse(fan):
    back = on_duty(fan, step(fan, reverse=True), peak_torque_Nm=4000.0, starts=2000)
    ahead = on_duty(fan, step(fan), peak_torque_Nm=4000.0, starts=2000)
    drawn = [damage_by_bin(record, calculate(record).meshes[0], Damage.ROOT) for record in (back, ahead)]
    assert drawn[0].gear == pytest.approx(drawn[1].gear)
    for record in (back, ahead):
        (found,) = calculate(record).meshes[0].gear.root_damage
        assert found.cycles.size == 2


def test_what_a_step_finds_outside_a_range_is_said(fan):
    fast = on_duty(fan, step(fan, speed=100.0))
    gear = calculate(fast).meshes[0].gear
    for found in (*gear.flank_damage, *gear.root_damage):
        assert any("N_L" in notice.text for notice in found.notices)


def test_the_static_strength_too_needs_a_distribution_for_a_higher_reliability(fan):
    required = replace(fan.required, reliability=0.999, static_flank_safety=1.0, static_root_safety=1.6)
    found = stress(replace(fan, required=required))
    assert all("no distribution" in item.reason for item in found.values())
    assert "stress.static_root.wheel.gear" in found
