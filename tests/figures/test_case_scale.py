"""Every case depth on one scale: what stands on it, what is wrong with it, and what is said of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.figures.case_scale import case_answer, case_scale, case_scale_drawing
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import State
from gearcheck.review.whole import review

NAMES = ("ship_lift", "tram_bogie", "tunnel_fan")


@pytest.fixture(scope="module")
def found():
    return {name: review(read_gear_file(scenarios() / name / "gear.toml")) for name in NAMES}


def by_label(whole):
    return {one.label: one for one in case_scale(whole)}


def test_needed_drawn_and_measured_stand_with_place_and_state(found):
    depths = by_label(found["ship_lift"])
    case = found["ship_lift"].record.gear.case
    assert (depths["drawn, finished"].low_mm, depths["drawn, finished"].high_mm) == (
        case.finished_min_mm,
        case.finished_max_mm,
    )
    assert depths["needed, ISO 6336-5:2016"].low_mm == pytest.approx(1.15, abs=0.005)
    assert depths["measured, as treated, right flank, traverse"].value == "1.98 mm"
    assert depths["measured at the tip, as treated; at most 2.97 mm asked"].value == "2.38 mm"
    assert depths["measured at the root, as treated; at least 1.00 mm asked"].value == "1.46 mm"
    assert depths["measured, finished, left flank"].value == "1.55 mm, too shallow"
    assert depths["measured, finished, right flank"].wrong == ""


def test_tip_and_root_are_predicted_beside_what_is_asked_there(found):
    whole = found["tram_bogie"]
    depths, places = by_label(whole), {one.name: one.treated.case_depths_mm for one in whole.predicted.places}
    tip = depths["predicted at the tip, as treated; at most 1.57 mm asked"]
    root = depths["predicted at the root, as treated; at least 0.45 mm asked"]
    assert (tip.low_mm, tip.high_mm) == tuple(places["tip"])
    assert (root.low_mm, root.high_mm) == tuple(places["root"])
    assert (tip.wrong, root.wrong, tip.finished) == ("", "", False)
    deep = replace(whole, record=replace(whole.record, normal_module_mm=1.5 * root.low_mm / 0.15))
    labels = {one.label: one.wrong for one in case_scale(deep) if "at the root" in one.label}
    assert list(labels.values()) == ["partly not as asked"]


def test_what_is_needed_does_not_run_through_a_value(found):
    """On the hoist pinion the solved depth is just short of what is needed: its value stands before it."""
    rows = case_scale_drawing(case_scale(found["ship_lift"])).rows
    assert list(rows["before"]["label"]) == ["0.97 mm"]
    assert "0.97 mm" not in set(rows["values"]["label"])
    for name in ("tram_bogie", "tunnel_fan"):
        assert case_scale_drawing(case_scale(found[name])).rows["before"].empty


def test_the_finished_prediction_is_the_one_as_treated_less_the_stock(found):
    whole = found["tram_bogie"]
    depths, case = by_label(whole), whole.record.gear.case
    treated, finished = depths["predicted, as treated"], depths["predicted, finished"]
    assert treated.low_mm - finished.low_mm == pytest.approx(case.left_stock_max_mm)
    assert treated.high_mm - finished.high_mm == pytest.approx(case.left_stock_min_mm)
    assert finished.wrong == "partly short"


def test_a_traverse_of_the_finished_tooth_is_a_finished_depth(found):
    lift = found["ship_lift"]
    item = next(one for one in lift.record.traverse if one.place == "pitch line")

    def measured(**values):
        record = replace(lift.record, traverse=(replace(item, **values),), case_depth=())
        return by_label(replace(lift, record=record))

    assert measured(state=State.FINISHED)["measured, finished, right flank"].low_mm == pytest.approx(
        1.979, abs=1e-3
    )
    ground = measured(stock_removed_mm=0.5)["measured, finished, right flank"]
    assert ground.low_mm == pytest.approx(1.479, abs=1e-3)
    assert ground.wrong == "too shallow"
    assert "measured, finished, right flank" not in measured()


def test_the_answer_is_one_sentence_with_both_numbers(found):
    assert case_answer(found["ship_lift"]) == (
        "Enough as drawn by ISO 6336-5:2016: 1.60 mm at least where 1.15 mm is needed. But: "
        "measured, finished, left flank 1.55 mm, too shallow."
    )
    case = replace(found["tram_bogie"].record.gear.case, finished_min_mm=0.6)
    tram = found["tram_bogie"]
    thin = review(replace(tram.record, gear=replace(tram.record.gear, case=case)))
    assert case_answer(thin).startswith(
        "Not enough as drawn by ISO 6336-5:2016: 0.60 mm at least where 0.64 mm is needed. But: 0.64 mm "
        "would be needed against yielding; predicted, finished"
    )
    assert by_label(thin)["drawn, finished"].wrong == "too shallow"
    heavy = review(changed(tram.record, {"torque": 1.1 * tram.record.meshes[0].torque_Nm}))
    assert "is needed. But: no depth suffices against yielding; predicted" in case_answer(heavy)


@pytest.mark.parametrize("name", NAMES)
def test_no_name_or_value_lies_on_another(found, name):
    """Each has a line of its own, whatever the width, and values end inside the frame of a narrow column."""
    depths = case_scale(found[name])
    drawing = case_scale_drawing(depths)
    names = drawing.rows["names"]["row"]
    values = [*drawing.rows["values"]["row"], *drawing.rows["before"]["row"]]
    assert np.min(np.diff(np.sort([*names, *values]))) * 50 >= 18
    assert len(names) == len(depths)
    assert all(one.label in drawing.words for one in depths)
    assert (drawing.rows["values"]["low"] <= drawing.rows["frame"]["low"].max()).all()
    if drawing.rows["needed"].size:
        assert float(drawing.rows["needed"]["foot"].iloc[0]) <= sum(one.finished for one in depths)


def test_without_a_case_nothing_is_drawn_or_said(found):
    lift = found["ship_lift"]
    bare = replace(lift, record=replace(lift.record, gear=replace(lift.record.gear, case=None)))
    assert case_scale(bare) == ()
    assert case_answer(bare) == ""
