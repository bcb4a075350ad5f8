"""A concession holds as long as its requirement stands as it stood, to the digits that are numbers at all."""

import json
from dataclasses import replace

import pytest

from gearcheck.record.book import Concession, Written
from gearcheck.record.decisions import concede, withdraw
from gearcheck.record.standing import State, conceded, plain_concession, standing, state_of, why_moved
from gearcheck.record.steps import adopt_draft
from gearcheck.requirements.types import Calculation, Evidence
from tests.record.opened import AT, CASE_LEFT, FERN, ROOT, opened

ABOUT = {"number": 3, "by": FERN, "at": AT, "revision": 1, "reason": "agreed", "limit": "one set"}


@pytest.fixture(scope="module")
def lift(tmp_path_factory):
    return opened(tmp_path_factory.mktemp("standing"))


def granted(item):
    kept = json.loads(json.dumps(standing(item)))  # as it comes back from a file
    return Concession(**ABOUT, about=item.key, title=item.title, standing=kept)


def with_item(whole, key, **changes):
    items = tuple(replace(one, **changes) if one.key == key else one for one in whole.requirements)
    return replace(whole, requirements=items)


def test_a_concession_of_every_requirement_holds_as_long_as_nothing_moves(lift):
    for item in lift.whole.requirements:
        assert why_moved(granted(item), lift.whole) == ""
        assert state_of(granted(item), lift.whole) is State.HOLDS


@pytest.mark.parametrize("name", ["demand", "capacity"])
@pytest.mark.parametrize(
    ("by", "state"), [(2e-10, State.HOLDS), (-2e-10, State.HOLDS), (3e-9, State.STALE), (-3e-9, State.STALE)]
)
def test_rounding_of_another_machine_moves_nothing(lift, name, by, state):
    item = lift.requirement(ROOT)
    moved = with_item(lift.whole, ROOT, **{name: getattr(item, name) * (1 + by)})
    assert state_of(granted(item), moved) is state
    if state is State.STALE:
        assert "moved in the digits not shown" in why_moved(granted(item), moved)


def test_what_moved_is_said_with_both_values(lift):
    item = lift.requirement(ROOT)
    moved = with_item(lift.whole, ROOT, capacity=450.0, native="S_F = 1.97, at least 2.00")
    assert why_moved(granted(item), moved) == (
        "Root stress, the gear against drum stood at S_F = 1.91, at least 2.00; "
        "it is now S_F = 1.97, at least 2.00"
    )


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"by_calculation": Calculation.MEETS}, "stood at 'fails' by calculation; it is now 'meets'"),
        ({"by_evidence": Evidence.OPEN}, "stood at 'shown' by evidence; it is now 'open'"),
        ({"unit": "N/mm²"}, "stood at S_F = 1.91"),
        ({"demand": None}, "stood at"),
    ],
    ids=["calculation", "evidence", "unit", "no number"],
)
def test_every_side_of_a_requirement_counts(lift, changes, said):
    found = why_moved(granted(lift.requirement(ROOT)), with_item(lift.whole, ROOT, **changes))
    assert said in found


def test_other_evidence_is_another_standing(lift):
    item = lift.requirement(CASE_LEFT)
    wrong = next(one for one in item.findings if "1.55" in one.text)
    other = replace(wrong, text=wrong.text.replace("1.55", "1.54"))
    assert other.text != wrong.text
    for findings in ((other,), (), (*item.findings, other)):
        moved = with_item(lift.whole, CASE_LEFT, findings=findings)
        assert why_moved(granted(item), moved) == f"the evidence of {item.title} changed"


def test_another_reason_for_no_answer_is_another_standing(tmp_path):
    harvester = opened(tmp_path, "harvester")
    item = harvester.requirement("case.tip")
    assert item.by_calculation is Calculation.NOT_ASSESSED
    moved = with_item(harvester.whole, "case.tip", reason="the tip is pointed")
    assert why_moved(granted(item), moved) == (
        f"{item.title} stood at: [gear.case] missing; it is now: the tip is pointed"
    )


def test_a_requirement_that_is_gone_needs_no_concession(lift):
    rest = tuple(item for item in lift.whole.requirements if item.key != ROOT)
    found = why_moved(granted(lift.requirement(ROOT)), replace(lift.whole, requirements=rest))
    assert found == "Root stress, the gear against drum is no longer required"


def test_what_was_withdrawn_stays_so(lift):
    back = replace(
        granted(lift.requirement(ROOT)),
        withdrawn=Written(number=4, by=FERN, at=AT, revision=1),
        why_withdrawn="taken back",
    )
    assert state_of(back, lift.whole) is State.WITHDRAWN
    assert plain_concession(back, lift.whole)["why"] == "taken back"


def test_a_concession_holds_again_where_its_requirement_comes_back(tmp_path):
    lift = opened(tmp_path)
    lift.do(concede, lift.whole, about=ROOT, reason="agreed with the owner", limit="one set")
    assert conceded(lift.whole, lift.book) == {ROOT}
    lift.do(adopt_draft, {"torque": 14600.0}, reason="the trough is lighter")
    assert conceded(lift.whole, lift.book) == frozenset()
    said = plain_concession(lift.book.concessions[0], lift.whole)
    assert (said["state"], said["by"]) == ("stale", "A. Fern, design")
    assert "1.91" in said["why"]
    assert "1.99" in said["why"]
    lift.do(adopt_draft, {"torque": 15200.0}, reason="it is not")
    assert conceded(lift.whole, lift.book) == {ROOT}
    lift.do(withdraw, number=3, reason="taken back")
    assert conceded(lift.whole, lift.book) == frozenset()
