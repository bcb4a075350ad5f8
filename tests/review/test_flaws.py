"""Flaws that root and flank tolerate, and what the inspection plan is told of them."""

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
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
