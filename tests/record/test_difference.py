"""What changed between two revisions: each input that did, and each margin that moved, and nothing else."""

from dataclasses import fields, replace
from enum import Enum

import pytest

from gearcheck.accuracy.inputs import FlankModification
from gearcheck.basics.places import scenarios
from gearcheck.record.affected import RESTS_ON, why_stale
from gearcheck.record.difference import difference, input_changes
from gearcheck.requirements.types import Calculation, Evidence, Finding, Requirement, Reserve
from gearcheck.review.carried import carried_record, with_stale
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.file_digest import with_keys
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.leaves import alike, leaf_of, leaves
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review
from tests.record.results import write_row

RECORDS = {
    name: read_gear_file(scenarios() / name / "gear.toml")
    for name in ("tunnel_fan", "ship_lift", "harvester")
}
CASES = [
    (name, change)
    for name, record in RECORDS.items()
    for change in open_changes(record)
    if change.key != "teeth" or not record.pitch  # measured teeth keep their number
]


def adopted(record, values):
    return carried_record(rewritten(record, values), evidence_texts(record))


@pytest.fixture(scope="module")
def reviewed():
    return {name: review(record) for name, record in RECORDS.items()}


@pytest.mark.parametrize(("name", "change"), CASES, ids=lambda value: getattr(value, "key", value))
def test_every_margin_that_moved_is_said_and_no_other(name, change, reviewed):
    before = reviewed[name]
    after = review(adopted(before.record, {change.key: change.stepped(before.record)}))
    found = difference(before, after)
    said = {item.key for item in found.moved if not item.key.startswith("solved.")}
    assert said == moved_keys(before, after)
    assert found.inputs
    assert_each_says_something(found)
    worse = [item.worse for item in found.moved]
    assert worse == sorted(worse, reverse=True)


def moved_keys(before, after):
    """What differs in anything that a requirement says, in another way than the one that is tested."""
    old = {item.key: item for item in before.requirements}
    new = {item.key: item for item in after.requirements}
    return {key for key in old.keys() | new.keys() if not same(old.get(key), new.get(key))}


def same(was, now):
    if isinstance(was, tuple) and isinstance(now, tuple):
        return len(was) == len(now) and all(map(same, was, now))
    if type(was) is type(now) and isinstance(was, Requirement | Reserve | Finding):
        # what inspects a requirement is said by the plan, whose route is an input of its own
        said = (item.name for item in fields(was) if item.name != "kind_of_evidence")
        return all(same(getattr(was, name), getattr(now, name)) for name in said)
    return alike(was, now)


def assert_each_says_something(found):
    for item in (*found.inputs, *found.moved):
        assert item.before != item.after, item
        assert item.before
        assert item.after
    assert all(item.place for item in found.inputs)
    for item in found.moved:
        assert not item.by or any(digit in item.by for digit in "123456789"), item


def another(place, value):
    """Other values of an input, one of them a change that no sheet shows."""
    if place[-1] == "measure":  # another one wants numbers of its own
        return []
    if isinstance(value, Enum):
        return [item for item in type(value) if item is not value]
    if place[-1] == "grade":
        return ["20MnCr5"]
    if isinstance(value, str):
        return [f"{value} b"]
    return [value + 1] if isinstance(value, int) else [value * 1.01 or 0.01, value * (1 + 1e-7) or 1e-7]


def inputs_of(record):
    for place in leaves(record):
        value = record
        for step in place:
            value = value[step] if isinstance(step, int) else getattr(value, step)
        for other in another(place, value):
            yield place, other


@pytest.mark.slow
@pytest.mark.parametrize("name", RECORDS)
def test_nothing_that_any_input_moves_is_left_out(name, reviewed):
    before, count, moved = reviewed[name], 0, 0
    for place, value in inputs_of(before.record):
        after = review(written(before.record, place, value))
        found = difference(before, after)
        said = {item.key for item in found.moved if not item.key.startswith("solved.")}
        assert said == moved_keys(before, after), place
        assert_each_says_something(found)
        # stock of both flanks follows from that of each, where it is given
        follows = not leaf_of(place).key and before.record.gear.case is not None
        assert bool(found.inputs) != follows, place
        count, moved = count + 1, moved + len(said)
    what = f"each input of {name} changed, by a step and by less than is shown"
    write_row(what, count, f"{moved} requirements moved, each said, and no other")


def test_the_same_says_nothing(reviewed):
    for whole in reviewed.values():
        assert difference(whole, whole).inputs == difference(whole, whole).moved == ()


def test_a_torque_says_by_how_much(reviewed):
    found = difference(reviewed["ship_lift"], review(adopted(RECORDS["ship_lift"], {"torque": 14_400.0})))
    (torque,) = found.inputs
    assert str(torque) == "torque: 15200\u00a0N·m to 14400\u00a0N·m"
    assert torque.place == "mesh[1].torque"
    root = next(item for item in found.moved if item.key == "stress.root.drum.gear")
    assert root.before.startswith("fails by calculation")
    assert root.after.startswith("meets by calculation")
    assert root.by == "+5.56 % of torque"  # 15200/14400 = 1.0556
    assert not root.worse
    assert not any(item.worse for item in found.moved)


def test_a_change_smaller_than_is_printed_is_told_apart(reviewed):
    before = reviewed["ship_lift"]
    found = difference(before, review(written(before.record, ("helix_angle_deg",), 8.0000008)))
    assert [str(item) for item in found.inputs] == ["helix angle: 8° to 8.0000008°"]
    assert "accuracy.runout" in {item.key for item in found.moved}  # only what was measured moved with it
    assert_each_says_something(found)


def test_stock_has_a_place_where_no_case_is_given():
    """Without a case only the stock of both flanks together is read: it must not go unsaid."""
    lift, other = RECORDS["ship_lift"], RECORDS["harvester"]
    mate = replace(lift.meshes[0].mate, case=None)
    bare = replace(lift, meshes=(replace(lift.meshes[0], mate=mate),))
    place = ("meshes", 0, "mate", "tooth", "stock_max_mm")
    assert [str(item) for item in input_changes(bare, written(bare, place, 0.3))] == [
        "largest stock of both flanks of mate 1: 0.25\u00a0mm to 0.3\u00a0mm"
    ]
    own = input_changes(other, written(other, ("gear", "tooth", "stock_max_mm"), 0.2))
    assert [item.place for item in own] == ["gear.stock"]
    both = written(written(lift, place, 0.3), ("meshes", 0, "mate", "case", "left_stock_max_mm"), 0.3)
    assert [item.place for item in input_changes(lift, both)] == ["mesh[1].mate.stock.left[2]"]


def test_what_an_answer_lost_is_worse_whatever_the_other_won(reviewed):
    before = reviewed["ship_lift"]
    key = "accuracy.single.right"
    won = [
        replace(item, by_calculation=Calculation.FAILS, by_evidence=Evidence.SHOWN)
        if item.key == key
        else item
        for item in before.requirements
    ]
    lost = [
        replace(item, by_calculation=Calculation.MEETS, by_evidence=Evidence.STALE)
        if item.key == key
        else item
        for item in before.requirements
    ]
    there, back = (replace(before, requirements=tuple(items)) for items in (won, lost))
    assert [item.worse for item in difference(there, back).moved] == [True]


def test_other_evidence_for_the_same_answer_is_told(reviewed):
    before = reviewed["ship_lift"]
    after = review(with_keys(written(before.record, ("hardness", 0, "hardness_HV"), 713.0)))
    found = difference(before, after)
    # the flank stress rests on the hardness of the flank too
    assert {item.key for item in found.moved} == {"hardness.surface", "stress.flank.drum.gear"}
    for moved in found.moved:
        assert "712 HV measured" in moved.before
        assert "713 HV measured" in moved.after
        assert moved.by == ""
    assert [item.place for item in found.inputs] == ["evidence.hardness"]


def test_a_solved_depth_that_went_is_said(reviewed):
    before = reviewed["ship_lift"]
    assert before.settled
    (gone,) = difference(before, replace(before, settled=())).moved
    assert (gone.key, gone.after, gone.by) == ("solved.drum", "no value", "")
    assert gone.worse
    (come,) = difference(replace(before, settled=()), before).moved
    assert (come.before, come.after) == ("no value", gone.before)
    assert not come.worse


def test_what_came_and_went_is_said():
    lift = RECORDS["ship_lift"]
    bare = replace(lift, hardness=lift.hardness[:1], required=None)
    found = input_changes(lift, bare)
    gone = [item for item in found if item.place == "evidence.hardness"]
    assert [item.label for item in gone] == ["measured hardness"]
    assert "furnace load 3117" in str(gone[0])
    assert {item.after for item in found if item.place.startswith("required.")} == {"nothing"}
    back = input_changes(bare, lift)
    assert len(back) == len(found)
    moved = difference(review(lift), review(bare)).moved
    assert any(item.key == "stress.root.drum.gear" and "not assessed" in item.after for item in moved)


PARTS = {
    "teeth": [("normal_module_mm",), ("pressure_angle_deg",), ("helix_angle_deg",), ("gear", "tooth")],
    "steel": [("gear", "steel")],
    "treated": [("gear", "case", f"as_treated_{end}_mm") for end in ("min", "max")],
    "ground": [
        ("gear", "case", f"{flank}_stock_{end}_mm") for flank in ("left", "right") for end in ("min", "max")
    ],
    "modified": [
        ("gear", "tip_relief_um"),
        *(
            ("gear", "modification", item.name)
            for item in fields(FlankModification)
            if "control" not in item.name
        ),
    ],
    "measure": [("gear", "size", name) for name in ("measure", "span_teeth", "body_diameter_mm")],
    "mated": [
        ("hand",),
        *(("meshes", name) for name in ("centre_distance_mm", "loaded_flank", "contact")),
        *(("meshes", "mate", name) for name in ("tooth", "tip_relief_um", "modification")),
    ],
    "torque": [("meshes", name) for name in ("torque_Nm", "mates", "mesh_load_factor")],
}
"""What each part is made of, written down here once more."""


@pytest.mark.parametrize("kind", RESTS_ON)
def test_evidence_ages_with_what_it_rests_on_and_with_nothing_else(kind):
    record = RECORDS["ship_lift"]
    for place, value in leaves(record).items():
        if not isinstance(value, float):
            continue
        other = written(record, place, value * 1.01 + 0.01)
        starts = [start for part in RESTS_ON[kind] for start in PARTS[part]]
        rests = any(place[: len(start)] == start for start in starts)
        said = why_stale(record, other, kind)
        assert bool(said) == rests, place
        if leaf_of(place).key and rests:
            assert said.startswith(leaf_of(place).label)
            assert said.endswith("after this was measured")


ALL = tuple(RESTS_ON)
OF_THE_CASE = ("case_depth", "traverse", "hardness", "residual_stress")


def written(value, place, number):
    """A record with one input moved, whatever it may be."""
    if not place:
        return number
    first, *rest = place
    if isinstance(value, tuple):
        return tuple(written(item, rest, number) if at == first else item for at, item in enumerate(value))
    return replace(value, **{first: written(getattr(value, first), rest, number)})


@pytest.mark.parametrize(
    ("place", "kinds"),
    [
        (("normal_module_mm",), ALL),
        (("gear", "tooth", "profile_shift"), ALL),
        (("gear", "tooth", "face_width_mm"), ALL),
        (("gear", "case", "right_stock_min_mm"), ALL),
        (("gear", "case", "as_treated_max_mm"), OF_THE_CASE),
        (("gear", "steel", "core_hardness_HV"), OF_THE_CASE),
        (("gear", "case", "finished_min_mm"), ()),
        (("gear", "finish", "flank_roughness_um"), ()),
        (("required", "root_safety"), ()),
        (("meshes", 0, "mate", "tooth", "profile_shift"), ()),
    ],
    ids=lambda value: ".".join(map(str, value)) or "none",
)
def test_which_evidence_an_input_takes_away(place, kinds):
    record = RECORDS["ship_lift"]
    moved = written(record, place, leaves(record)[place] + 0.03)
    assert tuple(kind for kind in RESTS_ON if why_stale(record, moved, kind)) == kinds


def test_the_sentence_names_what_moved():
    record = RECORDS["ship_lift"]
    shifted = written(record, ("gear", "tooth", "profile_shift"), 0.45)
    assert why_stale(record, shifted, "pitch") == (
        "profile shift of the gear changed from 0.4 to 0.45, after this was measured"
    )
    both = why_stale(record, changed(record, {"profile_shift": 0.45}), "pitch")
    assert both.endswith("from 0.4 to 0.45, and 1 more input, after this was measured")  # the tip circle


def test_a_load_or_a_limit_takes_no_evidence_away():
    record = RECORDS["ship_lift"]
    for values in ({"torque": 14_400.0}, {"class": 7.0}):
        moved = changed(record, values)
        assert not any(why_stale(record, moved, kind) for kind in RESTS_ON)


def test_rounding_takes_no_evidence_away():
    record = RECORDS["ship_lift"]
    nearly = written(record, ("gear", "tooth", "profile_shift"), 0.1 + 0.3)
    assert why_stale(record, nearly, "pitch") == ""


def test_stale_evidence_neither_shows_nor_contradicts():
    record = RECORDS["ship_lift"]
    key = record.pitch[0].head.key
    marked = with_stale(record, {key: "the profile shift changed"})
    assert marked.digest == record.digest
    items = {item.key: item for item in review(marked, with_settled=False).requirements}
    pitch = items["accuracy.single.right"]
    assert pitch.by_evidence == "stale"
    assert pitch.findings[0].why_stale == "the profile shift changed"
    assert items["hardness.surface"].by_evidence == "shown"
