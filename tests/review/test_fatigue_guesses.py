"""The questions of the fatigue sheet: their answers are those of the calculation."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.fatigue.weakest import gear_failed_share
from gearcheck.review.fatigue_guesses import FATIGUE_QUESTIONS
from gearcheck.review.gear_file import read_gear_file

QUESTION = {one.key: one for one in FATIGUE_QUESTIONS}


@pytest.fixture(scope="module")
def harvester():
    return read_gear_file(scenarios() / "harvester" / "gear.toml")


def test_run_outs_called_failures_take_strength_away(harvester):
    answer = QUESTION["run_outs"].work(harvester)
    before, after = (float(one.said.split()[-2]) for one in answer.tried[:2])
    assert after < before
    assert answer.right == 0


def test_six_nines_need_three_million_specimens_by_counting_and_forms_part_there(harvester):
    answer = QUESTION["six_nines"].work(harvester)
    assert answer.right == 2
    assert answer.said.startswith("2\u202f995\u202f731 without a failure")
    strengths = [float(one.said.split()[0]) for one in answer.tried]
    assert max(strengths) > 1.1 * min(strengths)


def test_many_teeth_lie_between_alike_and_apart(harvester):
    answer = QUESTION["many_teeth"].work(harvester)
    found, apart, alike = (float(one.said.split()[0]) for one in answer.tried)
    assert apart < found < alike
    assert answer.right == 2
    share = gear_failed_share(tooth_failed_share=0.01, teeth=17, within_share=0.7)
    assert found == pytest.approx(100 * (1 - float(share)), abs=0.05)


def test_a_record_without_tests_has_no_answer(harvester):
    bare = replace(harvester, fatigue=None)
    assert all(one.work(bare) is None for one in FATIGUE_QUESTIONS)
    tests = harvester.fatigue.tests[0]
    sound = replace(tests.table, failed=np.full(tests.table.failed.size, False))
    all_out = replace(harvester.fatigue, tests=(replace(tests, table=sound),))
    assert all(one.work(replace(harvester, fatigue=all_out)) is None for one in FATIGUE_QUESTIONS)
