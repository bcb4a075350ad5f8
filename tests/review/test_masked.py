"""The mask of a record against its furnace: what it demands, when it turns, what cannot be said."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.hardening.inputs import StepKind
from gearcheck.hardening.masking import mask_creep
from gearcheck.hardening.stop_off import StopOff
from gearcheck.record.affected import why_stale
from gearcheck.requirements.types import Calculation
from gearcheck.review.callouts import callouts
from gearcheck.review.carburised import carbon_steel, furnace_cycle
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.leaves import leaf_of, leaves
from gearcheck.review.masked import masked
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review

DISTANCE, PLATE = "case.mask.distance", "case.mask.plate"


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def masks(record):
    return {item.key: item for item in judged(record) if item.key in (DISTANCE, PLATE)}


def with_mask(record, **values):
    return replace(record, mask=replace(record.mask, **values))


def test_the_demand_is_the_creep_of_this_furnace_and_the_tolerance_of_the_edge(tram):
    alone = mask_creep(
        cycle=furnace_cycle(tram.furnace),
        steel=carbon_steel(tram.furnace, tram.gear.steel.grade),
        carbon_wt=0.30,
        edge_tolerance_mm=0.4,
    )
    found = masks(tram)
    assert found[DISTANCE].demand == pytest.approx(alone.creep_mm + 0.4)
    assert found[DISTANCE].capacity == 1.5
    assert found[PLATE].demand == 22.86
    assert {item.by_calculation for item in found.values()} == {Calculation.MEETS}


def test_each_turns_at_its_limit(tram):
    needed = masks(tram)[DISTANCE].demand
    for key, name, limit in ((DISTANCE, "distance_mm", needed), (PLATE, "plate_um", 22.86)):
        above, below = (masks(with_mask(tram, **{name: share * limit}))[key] for share in (1.001, 0.999))
        assert above.by_calculation is Calculation.MEETS
        assert below.by_calculation is Calculation.FAILS
    thin = masks(with_mask(tram, practice=StopOff.AEROSPACE, plate_um=25.0))[PLATE]
    assert thin.by_calculation is Calculation.FAILS


def test_the_furnace_moves_the_creep_and_samples_of_it_give_the_same_as_one_by_one(tram):
    longer = masks(changed(tram, {"furnace_time": 12.0}))[DISTANCE]
    assert longer.demand > masks(tram)[DISTANCE].demand
    spread = with_mask(tram, edge_tolerance_mm=np.array([[0.2], [0.4]]))
    least = masked(spread).creep.least_distance_mm
    assert np.ravel(least)[1] == pytest.approx(masks(tram)[DISTANCE].demand)
    assert np.ravel(least)[1] - np.ravel(least)[0] == pytest.approx(0.2)


def test_what_cannot_be_assessed_says_why(tram):
    bare = masks(replace(tram, furnace=None))
    assert bare[DISTANCE].reason == "[gear.furnace] missing"
    assert bare[PLATE].by_calculation is Calculation.MEETS
    soft = masks(with_mask(tram, soft_carbon_wt=0.1))[DISTANCE]
    assert soft.by_calculation is Calculation.NOT_ASSESSED
    assert "not above the core" in soft.reason
    boost = replace(
        tram.furnace.steps[0], kind=StepKind.SATURATED, carbon_potential_wt=None, transfer_m_s=None, hours=0.3
    )
    low = masks(replace(tram, furnace=replace(tram.furnace, steps=(boost, *tram.furnace.steps[1:]))))
    assert "at low pressure" in low[PLATE].reason
    assert low[DISTANCE].demand > 0
    assert masks(replace(tram, mask=None)) == {}


def test_the_plan_inspects_it_and_the_drawing_calls_it_out(tram):
    whole = review(tram)
    plan = whole.inspected.plan
    assert [item.key for item in plan.serving(DISTANCE)] == ["mask.coverage"]
    (thickness,) = plan.serving(PLATE)
    assert (thickness.key, thickness.limit.least, thickness.unit) == ("mask.thickness", 30.0, "µm")
    (callout,) = (one for one in callouts(whole) if one.key == "mask")
    assert {PLATE, DISTANCE} < {item.key for item in callout.set_by}
    assert "at least 30 µm" in callout.lines[1].replace("\xa0", " ")
    assert {"Carbon below the mask", "Plate of the mask"} <= {step.title for step in whole.workings}


def test_where_the_mask_lies_makes_another_part_how_thick_it_has_to_be_does_not(tram):
    moved = with_mask(tram, distance_mm=2.0)
    assert "distance of the mask" in why_stale(tram, moved, "result", "mask.coverage")
    assert why_stale(tram, moved, "result", "case.as_treated") == ""
    thicker = with_mask(tram, plate_um=40.0)
    assert why_stale(tram, thicker, "result", "mask.thickness") == ""


def test_it_goes_through_the_gear_file_and_its_writer(tram):
    again = carried_record(rewritten(tram, {"temper": 190.0}), evidence_texts(tram))
    assert again.mask == tram.mask
    assert leaf_of(("mask", "plate_um")).key == ("gear", "mask", "plate")
    assert leaves(tram)["mask", "practice"] == "gas"
    with pytest.raises(InputError, match="practice"):
        text = tram.source_text.replace('practice = "gas"', 'practice = "paint"')
        carried_record(text, evidence_texts(tram))
