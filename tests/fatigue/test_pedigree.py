"""Specimen against part: what is answered and what stays open."""

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.inputs import Aspect, Difference
from gearcheck.fatigue.pedigree import State, pedigree
from tests.checks import cases, holds
from tests.fatigue.test_transfers import FINISH, FLAT, WEAKEST


def difference(what, specimen="shot-peened", part="not peened", reason=""):
    return Difference(what=Aspect(what), specimen=specimen, part=part, reason=reason)


@pytest.mark.parametrize("check", cases("fatigue_transfer", "gearcheck.fatigue.pedigree:pedigree"), ids=str)
def test_lines_are_counted_by_what_answers_them(check):
    told = [difference(*line) for line in check.inputs["told"]]
    found = pedigree(differences=told, transfers=[FLAT])
    holds(check, **{name: getattr(found, name) for name in check.expected})
    assert len(found.notices) == found.open
    assert [line.what for line in found.lines] == list(Aspect)
    assert pedigree(differences=told[::-1], transfers=[FLAT]) == found


def test_what_nobody_speaks_of_is_open():
    found = pedigree(differences=[], transfers=[])
    assert {line.state for line in found.lines} == {State.OPEN}
    assert found.notices[0].text == (
        "Open between specimen and part: heat of steel (specimen not told, part not told); "
        "nothing answers for it."
    )


def test_empty_words_are_not_alike_and_no_reason():
    found = pedigree(differences=[difference("case", " ", "", " ")], transfers=[])
    assert found.open == found.count


def test_all_transfers_of_a_line_stand_beside_it():
    found = pedigree(
        differences=[difference("number of teeth", "1", "24", "and this")], transfers=[FLAT, WEAKEST]
    )
    assert found.lines[-1].answer == "pulsator to running gears and all teeth"


def test_a_transfer_for_what_is_alike_is_told():
    found = pedigree(differences=[difference("finish", "ground", "Ground")], transfers=[FINISH, FLAT])
    assert [notice.text for notice in found.notices if notice.key == "pedigree.unneeded"] == [
        "ground root covers finish, in which specimen and part are alike."
    ]


def test_one_line_for_each_aspect():
    with pytest.raises(InputError, match="differences, case: given twice"):
        pedigree(differences=[difference("case"), difference("case", reason="thin")], transfers=[])


def ratio_line(told, transfers=(), **ratios):
    found = pedigree(differences=told, transfers=list(transfers), **ratios)
    keys = [notice.key.removeprefix("pedigree.") for notice in found.notices]
    return next(line for line in found.lines if line.what is Aspect.STRESS_RATIO), keys


def test_stress_ratios_that_are_known_stand_for_what_is_told():
    same = [difference("stress ratio", "0.05", "0.05", "as tested")]
    line, keys = ratio_line(same, test_ratio=0.05, part_ratio=-1.2)
    assert (line.specimen, line.part, line.state) == ("0.05", "−1.2", State.OPEN)
    assert "told_otherwise" in keys
    near = [difference("stress ratio", "0.05", "nearly 0", "as good as nothing")]
    line, keys = ratio_line(near, test_ratio=0.05, part_ratio=0.0)
    assert (line.part, line.state, line.answer) == ("0", State.REASONED, "as good as nothing")
    assert "told_otherwise" not in keys
    assert ratio_line([], test_ratio=0.05, part_ratio=0.0)[0].state is State.OPEN
    assert ratio_line(same, [FLAT], test_ratio=0.05, part_ratio=-1.2)[0].state is State.TRANSFERRED
    assert ratio_line(same)[0].state is State.ALIKE
