"""The tolerance budget: the full review agrees at the class found and at the next; turns that come back."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import AccuracyEdition, Group
from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.requirements.types import Calculation
from gearcheck.review import budget
from gearcheck.review.budget import ALL, GROUPS, budget_words, tolerance_budget
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

SCENARIOS = sorted(path.parent.name for path in scenarios().glob("*/gear.toml"))


def read(name):
    return read_gear_file(scenarios() / name / "gear.toml")


def by_1995(record):
    def drawn(data):
        return replace(data, accuracy=replace(data.accuracy, edition=AccuracyEdition.ISO_1328_1_1995))

    meshes = tuple(replace(mesh, mate=drawn(mesh.mate)) for mesh in record.meshes)
    return replace(record, gear=drawn(record.gear), meshes=meshes)


@pytest.fixture(scope="module", params=[*SCENARIOS, "1995"])
def record(request):
    return by_1995(read("tunnel_fan")) if request.param == "1995" else read(request.param)


def with_class(record, group, number):
    names = [f"{one}_class" for one in Group] if group == ALL else [f"{group}_class"]
    drawn = replace(record.gear.accuracy, **dict.fromkeys(names, number))
    return replace(record, gear=replace(record.gear, accuracy=drawn))


def failing(record, known=None):
    """The titles of what does not meet in a full review, but the contract and what nobody can assess."""
    return {
        item.title
        for item in review(record, with_settled=False).requirements
        if item.by_calculation is not Calculation.MEETS
        and not item.key.startswith("accuracy.")
        and (item.by_calculation is Calculation.FAILS if known is None else item.title in known)
    }


def assessed(record):
    found = review(record, with_settled=False).requirements
    return {item.title for item in found if item.by_calculation is not Calculation.NOT_ASSESSED}


def test_the_full_review_agrees_at_the_class_found_and_at_the_next(record):
    found = tolerance_budget(record)
    assert tuple(item.group for item in found) == GROUPS
    now, known, turned = failing(record), assessed(record), 0
    for item in found:
        assert item.confirmed, item.group
        assert set(item.always) <= now
        if not item.moved or item.coarsest is None:
            continue
        assert not failing(with_class(record, item.group, item.coarsest), known) - set(item.always), (
            item.group
        )
        if item.next_class is not None:
            new = failing(with_class(record, item.group, item.next_class), known) - set(item.always)
            assert new == set(item.first), item.group
            turned += 1
    assert turned, "no group turns within the scope: the scenario shows nothing"


def test_the_four_in_one_carry_no_more_than_each_alone(record):
    *single, together = tolerance_budget(record)
    assert together.group == ALL
    assert together.coarsest <= min(item.coarsest for item in single)


def test_runout_moves_no_rating_and_says_so():
    *_, runout, _ = tolerance_budget(read("tunnel_fan"))
    assert runout.group == "runout"
    assert "no requirement that was calculated depends on it: the ratings do not use it" in budget_words(
        runout
    )


def test_given_face_load_factors_and_a_shaft_are_told_apart():
    given, solved = (
        next(item for item in tolerance_budget(read(name)) if item.group == "helix")
        for name in ("tunnel_fan", "tram_bogie")
    )
    assert not given.moved
    assert budget_words(given).endswith(
        "the face load factors are given, not worked out from a shaft, so no class shows in them."
    )
    assert solved.moved


def test_the_contract_is_kept_apart():
    record = read("tunnel_fan")
    item = tolerance_budget(record)[0]
    assert (item.drawn, item.agreed) == (6, 6)
    assert not any(key.startswith("accuracy.") for key in item.moved)
    words = budget_words(item)
    assert words.startswith(
        "Pitch: the class agreed holds it at 6; the calculation alone would carry 10; at 11 "
    )
    finer = replace(record, required=replace(record.required, pitch_class=5))
    assert "the class agreed holds it at 5, 6 is drawn" in budget_words(tolerance_budget(finer)[0])


def test_without_a_class_there_is_no_budget():
    record = read("tunnel_fan")
    assert tolerance_budget(replace(record, gear=replace(record.gear, accuracy=None))) == ()


def test_without_a_rating_nothing_depends_on_it_and_no_reason_is_made_up():
    record = replace(read("tunnel_fan"), methods=None)
    for item in tolerance_budget(record):
        assert not item.moved
        assert budget_words(item).endswith("no requirement that was calculated depends on it.")


def turning_at(monkeypatch, key, capacity):
    """Put a capacity of our own, by the class of pitch, in place of that of one requirement."""
    real = budget.lines

    def lines(record, chain):
        number = array(record.gear.accuracy.class_of(Group.PITCH))
        for line in real(record, chain):
            own = line.key == key
            yield replace(line, demand=1.0, capacity=capacity(number), reason="") if own else line

    monkeypatch.setattr(budget, "lines", lines)


@pytest.mark.parametrize(
    ("meeting", "coarsest", "again"),
    [
        ({1, 2, 3, 4, 5, 6, 7, 9, 10}, 7, (9, 10)),
        ({1, 2, 3, 4, 5, 6}, 6, ()),
        ({1, 2, 3}, 3, ()),
        ({3, 4}, 4, ()),
        ({6}, 6, ()),
        ({4, 6, 8}, 6, (8,)),
    ],
)
def test_a_class_that_meets_again_is_told_and_not_counted(monkeypatch, meeting, coarsest, again):
    key = "case.largest"  # no class moves it
    turning_at(monkeypatch, key, lambda number: np.where(np.isin(number, list(meeting)), 2.0, 0.5))
    item = tolerance_budget(read("tunnel_fan"))[0]
    assert item.coarsest == coarsest
    assert item.again == again
    assert item.confirmed
    assert key in item.moved
    if again:
        assert f"{', '.join(str(one) for one in again)} would meet again" in budget_words(item)
    if coarsest < 6:
        assert f"the calculation asks for {coarsest} or finer" in budget_words(item)


def test_what_fails_at_every_class_is_told_apart(monkeypatch):
    turning_at(monkeypatch, "case.largest", lambda number: 0.5 - 0.01 * number)
    item = tolerance_budget(read("tunnel_fan"))[0]
    assert item.always == ("Case not too deep, flank",)
    assert item.coarsest == 10  # what else turns


def test_a_class_without_a_value_is_no_class_that_meets(monkeypatch):
    turning_at(monkeypatch, "case.largest", lambda number: np.where(number > 8, np.nan, 2.0))
    item = tolerance_budget(read("tunnel_fan"))[0]
    assert (item.coarsest, item.has_value) == (8, False)
    assert "no longer has a value" in budget_words(item)
