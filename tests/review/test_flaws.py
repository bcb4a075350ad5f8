"""Flaws that root and flank tolerate, and what the inspection plan is told of them."""

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.inspection.coverage import HARMLESS, GapKind
from gearcheck.review.chain import calculate
from gearcheck.review.flaws import flaw_gaps, flaw_needs
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.moves import with_torque
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def sizes(record):
    return [need.result.root_area_um for need in flaw_needs(record, calculate(record))]


def test_root_and_flank_are_looked_at_on_the_surface_and_inside(fan):
    needs = flaw_needs(fan, calculate(fan))
    assert [need.title.removesuffix(" against wheel") for need in needs] == [
        "root surface",
        "root interior",
        "flank surface",
        "flank below the surface",
    ]
    root = needs[0].result
    assert root.amplitude_MPa == pytest.approx(calculate(fan).meshes[0].gear.root.stress_MPa * 1.5 / 2)
    assert root.stress_ratio == pytest.approx(0)


def test_inside_the_hardness_is_the_least_that_there_can_be(fan):
    surface, interior, _, below = (need.result for need in flaw_needs(fan, calculate(fan)))
    assert surface.hardness_HV == fan.gear.steel.surface_hardness_HV
    assert interior.hardness_HV == fan.gear.steel.core_hardness_HV
    assert below.hardness_HV == 550


def test_under_a_duty_the_highest_stress_of_its_steps_counts(fan):
    mesh = fan.meshes[0]
    bins = tuple(
        Bin(torque_Nm=mesh.torque_Nm * share, speed_rpm=mesh.speed_rpm, hours=1, reverse=reverse)
        for share, reverse in ((0.5, False), (1.4, True), (0.9, False))
    )
    worked = calculate(replace(fan, duty=Duty(bins=bins, below_knee=BelowKnee.LONG_LIFE)))
    gear, needs = worked.meshes[0].gear, flaw_needs(fan, worked)
    root, _, flank, _ = (need.result.amplitude_MPa for need in needs)
    assert root == pytest.approx(gear.root_damage[1].stress_MPa.max())
    assert flank == pytest.approx(0.05 * gear.flank_damage[1].stress_MPa.max(), rel=0.5)


def test_more_torque_tolerates_smaller_flaws(fan):
    assert all(more < here for more, here in zip(sizes(with_torque(fan, 1.2)), sizes(fan), strict=True))


def test_what_is_not_sure_to_be_found_is_told_to_the_plan_and_holds_nothing_up(fan):
    told = [gap for gap in review(fan).inspected.gaps if gap.kind is GapKind.NOT_SEEN]
    assert told
    assert GapKind.NOT_SEEN in HARMLESS
    assert all(gap.about == "cracks" and gap.source == "common practice" for gap in told)


def test_under_a_light_load_every_flaw_that_grows_is_found(fan):
    light = with_torque(fan, 0.02)
    assert list(flaw_gaps(flaw_needs(light, calculate(light)))) == []


def test_what_is_missing_leaves_it_out(fan):
    bare = replace(fan, required=None)
    assert flaw_needs(bare, calculate(bare)) == ()
