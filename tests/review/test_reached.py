"""The class of each measured part: pitch and traces together, the tooth that spoils it, the uncertainty."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.places import scenarios
from gearcheck.inspection.decide import DecisionRule
from gearcheck.review.chain import calculate
from gearcheck.review.evidence import evaluated_pitch
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.reached import reached_by_part
from gearcheck.review.traced import read_all_traces
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def lift():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


def reached(record):
    chain = calculate(record)
    return reached_by_part(record, evaluated_pitch(record, chain), read_all_traces(record, chain))


def test_the_worst_of_all_that_was_measured_makes_the_class(lift):
    (found,) = {item.part: item for item in reached(lift)}.values()
    whole = review(lift, with_settled=False)
    (pitch,) = whole.pitch
    assert found.part == lift.pitch[0].head.applies_to
    classes = [found.as_measured.left_class, found.as_measured.right_class, found.as_measured.both_class]
    assert found.as_measured.overall == max(classes) == 7
    (spoiling,) = found.spoiled_by
    assert (spoiling.flank, spoiling.parameter) == (Flank.RIGHT, "single_pitch")
    assert spoiling.tooth == pitch.right_spoiling_tooth
    assert spoiling.value_um == pitch.right_single_pitch_um
    assert spoiling.words in found.sentence
    assert whole.reached[0].sentence == found.sentence


def test_each_parameter_of_each_flank_has_a_class(lift):
    (found,) = reached(lift)
    for flank in Flank:
        of = getattr(found.as_measured, flank)
        for name in ("single_pitch", "cumulative_pitch", "profile_total", "helix_slope"):
            assert getattr(of, name) is not None


def test_the_uncertainty_widens_the_class_and_the_rule_says_by_how_much(lift):
    (pitch,) = lift.pitch
    wide = replace(lift, pitch=(replace(pitch, head=replace(pitch.head, uncertainty=4.0)),))
    (found,) = reached(wide)
    guards = {item.guard_um for item in found.deviations if item.parameter == "single_pitch"}
    rule = lift.inspection.decision_rule
    assert guards == {4.0 if rule is DecisionRule.WHOLE else 3.3}
    orders = (found.no_finer_than.overall, found.as_measured.overall, found.surely_kept.overall)
    assert orders == tuple(sorted(orders)) and orders[0] < orders[2]
    assert f"surely keeps class {orders[2]:g} and can be class {orders[0]:g} at best" in found.sentence


def test_what_no_longer_holds_does_not_count(lift):
    (pitch,) = lift.pitch
    stale = replace(lift, pitch=(replace(pitch, head=replace(pitch.head, revision="Z")),))
    assert {item.parameter for found in reached(stale) for item in found.deviations} & {
        "single_pitch"
    } == set()
    undrawn = replace(lift, gear=replace(lift.gear, accuracy=None))
    assert reached(undrawn) == ()


def test_worse_than_all_classes_is_said_and_named(lift):
    (pitch,) = lift.pitch
    left = np.array(pitch.left_um, copy=True)
    left[3] += 900.0
    (found,) = reached(replace(lift, pitch=(replace(pitch, left_um=left),)))
    assert found.as_measured.overall is None
    assert "worse than all classes" in found.sentence
    assert ("single_pitch", 4) in {(item.parameter, item.tooth) for item in found.spoiled_by}


def test_one_gear_is_one_part_whatever_else_its_sheets_name(lift):
    (pitch,) = lift.pitch
    head = replace(pitch.head, applies_to=f"furnace load 3117, {pitch.head.applies_to}")
    (found,) = reached(replace(lift, pitch=(replace(pitch, head=head),)))
    assert found.as_measured.overall == 7


def test_what_was_not_measured_is_told_beside_the_class(lift):
    (whole,) = reached(lift)
    assert "Not measured" not in whole.sentence
    (alone,) = reached(replace(lift, pitch=(), helix=()))
    assert "for its" in alone.sentence and "Not measured: pitch, helix." in alone.sentence
    (helix,) = lift.helix
    rows = [place for place, flank in enumerate(helix.flank) if flank is Flank.LEFT]
    half = replace(
        helix,
        tooth=helix.tooth[rows],
        flank=(Flank.LEFT,) * len(rows),
        place_mm=helix.place_mm[rows],
        deviation_um=helix.deviation_um[rows],
    )
    (found,) = reached(replace(lift, helix=(half,)))
    assert "Not measured: helix of the right flanks." in found.sentence


def test_a_smaller_value_that_is_less_sure_does_not_hide_a_larger_one(lift):
    (pitch,) = lift.pitch
    unsure = replace(pitch.head, source="again.csv", uncertainty=9.0)
    again = replace(pitch, head=unsure, left_um=0.6 * pitch.left_um, right_um=0.6 * pitch.right_um)
    (alone,) = reached(lift)
    (both,) = reached(replace(lift, pitch=(pitch, again)))
    assert both.as_measured.overall == alone.as_measured.overall == 7
    assert [item.value_um for item in both.spoiled_by] == [item.value_um for item in alone.spoiled_by]
    assert both.surely_kept.overall >= alone.surely_kept.overall
