"""What changed between two revisions: each input that did, and each margin that moved, and nothing else."""

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.record.affected import RESTS_ON, why_stale
from gearcheck.record.difference import difference, input_changes
from gearcheck.review.carried import KINDS, carried_record, evidence_key, with_stale
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.leaves import alike, leaf_of, leaves
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review

RECORDS = {
    name: read_gear_file(scenarios() / name / "gear.toml")
    for name in ("tunnel_fan", "ship_lift", "harvester")
}
CASES = [(name, change) for name, record in RECORDS.items() for change in open_changes(record)]


def adopted(record, values):
    return carried_record(rewritten(record, values), evidence_texts(record))


def numbers(item):
    reserve = item.reserve.factor if item.reserve else None
    return item.demand, item.capacity, item.share, reserve


@pytest.fixture(scope="module")
def reviewed():
    return {name: review(record) for name, record in RECORDS.items()}


@pytest.mark.parametrize(("name", "change"), CASES, ids=lambda value: getattr(value, "key", value))
def test_every_margin_that_moved_is_said_and_no_other(name, change, reviewed):
    before = reviewed[name]
    after = review(adopted(before.record, {change.key: change.stepped(before.record)}))
    found = difference(before, after)
    said = {item.key for item in found.moved if not item.key.startswith("solved.")}
    pairs = zip(before.requirements, after.requirements, strict=True)
    wanted = {
        was.key
        for was, now in pairs
        if not all(alike(a, b) for a, b in zip(numbers(was), numbers(now), strict=True))
        or (was.by_calculation, was.by_evidence) != (now.by_calculation, now.by_evidence)
        or [one.text for one in was.findings] != [one.text for one in now.findings]
    }
    assert said == wanted
    assert found.inputs
    assert all(item.before != item.after for item in (*found.inputs, *found.moved))
    worse = [item.worse for item in found.moved]
    assert worse == sorted(worse, reverse=True)


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


@pytest.mark.parametrize("kind", KINDS)
def test_evidence_ages_with_what_it_rests_on_and_with_nothing_else(kind):
    record = RECORDS["ship_lift"]
    for place, value in leaves(record).items():
        if not isinstance(value, float):
            continue
        other = written(record, place, value * 1.01 + 0.01)
        rests = any(place[: len(start)] == start for start in RESTS_ON[kind])
        said = why_stale(record, other, kind)
        assert bool(said) == rests, place
        if leaf_of(place).key and rests:
            assert said.startswith(leaf_of(place).label)
            assert said.endswith("after this was measured")


def written(value, place, number):
    """A record with one input moved, whatever it may be."""
    if not place:
        return number
    first, *rest = place
    if isinstance(value, tuple):
        return tuple(written(item, rest, number) if at == first else item for at, item in enumerate(value))
    return replace(value, **{first: written(getattr(value, first), rest, number)})


def test_a_load_or_a_limit_takes_no_evidence_away():
    record = RECORDS["ship_lift"]
    for values in ({"torque": 14_400.0}, {"class": 7.0}):
        moved = changed(record, values)
        assert [why_stale(record, moved, kind) for kind in KINDS] == ["", "", ""]


def test_rounding_takes_no_evidence_away():
    record = RECORDS["ship_lift"]
    nearly = written(record, ("gear", "tooth", "profile_shift"), 0.1 + 0.3)
    assert why_stale(record, nearly, "pitch") == ""


def test_stale_evidence_neither_shows_nor_contradicts():
    record = RECORDS["ship_lift"]
    key = evidence_key(record.pitch[0])
    marked = with_stale(record, {key: "the profile shift changed"})
    assert marked.digest == record.digest
    items = {item.key: item for item in review(marked, with_settled=False).requirements}
    pitch = items["accuracy.single.right"]
    assert pitch.by_evidence == "stale"
    assert pitch.findings[0].why_stale == "the profile shift changed"
    assert items["hardness.surface"].by_evidence == "shown"
