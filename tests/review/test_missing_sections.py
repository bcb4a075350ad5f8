"""A record that lacks one section: what needs it is not assessed and says so, everything else stays."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.inspection.acceptance import ITEMS
from gearcheck.requirements.types import Calculation
from gearcheck.review.as_json import as_plain
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations import NAMES
from gearcheck.review.trade import trade
from gearcheck.review.whole import outcome, review

STRESS = {f"stress.{damage}.drum.{role}" for damage in ("flank", "root") for role in ("gear", "mate")}
FLANK = {key for key in STRESS if ".flank." in key}
LEFT = {f"case.{side}.{flank}" for side in ("left", "most") for flank in ("left", "right")}
ACCURACY = {
    "accuracy.runout",
    *(
        f"accuracy.{name}.{flank}"
        for name in ("single", "total", "profile", "helix")
        for flank in ("left", "right")
    ),
}
NEEDED = {"case.needed.drum"}
LEAST, MOST = "geometry.backlash.drum", "geometry.backlash.drum.most"
BACKLASH = {LEAST, MOST}  # the runouts of both gears count
HARDNESS = {"hardness.surface", "hardness.core"}
METAL = {f"quality.{item}" for item in ("chemistry", *ITEMS)}


def without(name):
    """Return a function that takes one section out of a record."""

    def of_mate(record):
        mesh = record.meshes[0]
        mate = replace(mesh.mate, **{name.removeprefix("mesh.mate."): None})
        return replace(record, meshes=(replace(mesh, mate=mate),))

    if name.startswith("mesh.mate."):
        return of_mate
    if name.startswith("gear."):
        return lambda record: replace(record, gear=replace(record.gear, **{name.removeprefix("gear."): None}))
    return lambda record: replace(record, **{name: None})


LACKING = {
    "gear.case": NEEDED | LEFT | {"case.largest", "case.tip", "quality.oxidation"},
    "gear.accuracy": STRESS | NEEDED | ACCURACY | BACKLASH,
    "gear.finish": STRESS | NEEDED,
    "gear.steel": STRESS | NEEDED | HARDNESS | METAL,
    "mesh.mate.accuracy": STRESS | NEEDED | BACKLASH,
    "mesh.mate.finish": STRESS | NEEDED,
    "mesh.mate.steel": STRESS | NEEDED,
    "mesh.mate.case": set(),
    "lubricant": FLANK,
    "required": STRESS | ACCURACY,
    "methods": STRESS | NEEDED,
}


@pytest.fixture(scope="module")
def complete():
    return review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"))


@pytest.mark.parametrize("name", LACKING)
def test_what_needs_the_section_says_so_and_the_rest_stays(complete, name):
    whole = review(without(name)(complete.record))
    full = {item.key: item for item in complete.requirements}
    # the greatest backlash is asked only where it was agreed
    assert [item.key for item in whole.requirements] == [
        key for key in full if name != "required" or key != MOST
    ]
    unknown = {item.key for item in whole.requirements if item.by_calculation is Calculation.NOT_ASSESSED}
    assert unknown == LACKING[name]
    for item in whole.requirements:
        if item.key in unknown:
            assert item.reason == f"[{name}] missing", item.key
            continue
        # where no backlash was agreed the teeth must not jam
        agreed = 0.0 if (name, item.key) == ("required", LEAST) else full[item.key].demand
        assert item.demand == agreed, item.key
        assert item.capacity == full[item.key].capacity, item.key
        assert item.by_calculation is full[item.key].by_calculation
    assert ("not assessed" in outcome(whole)) == bool(unknown)


SOLVED_WITHOUT = ("gear.case", "mesh.mate.case", "lubricant")


@pytest.mark.parametrize("name", LACKING)
def test_the_solved_depth_stays_where_it_can(complete, name):
    (solved,) = review(without(name)(complete.record)).settled
    if name in SOLVED_WITHOUT:
        assert solved.required.depth_mm == complete.settled[0].required.depth_mm
        assert (solved.reserve is None) == (name == "gear.case")
    else:
        assert (solved.required, solved.reserve) == (None, None)
        assert solved.reason == f"[{name}] missing"


@pytest.mark.parametrize("name", LACKING)
def test_what_follows_from_the_review_has_an_answer_too(complete, name):
    record = without(name)(complete.record)
    whole = review(record)
    assert as_plain(whole)["outcome"] == outcome(whole)
    assert {step.station for step in whole.workings} <= set(NAMES)
    assert trade(record).reserves.keys() == {
        item.key for item in whole.requirements if item.reserve is not None
    }


def test_two_missing_sections_are_both_named(complete):
    record = without("lubricant")(without("required")(complete.record))
    reasons = {item.key: item.reason for item in review(record).requirements}
    assert reasons["stress.flank.drum.gear"] == "[required] and [lubricant] missing"
    assert reasons["stress.root.drum.gear"] == "[required] missing"
