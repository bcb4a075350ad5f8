import re

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.report.sections import requirements
from gearcheck.report.text import text_report
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review
from gearcheck.review.words import answers_text, evidence_word, share_text


@pytest.fixture(scope="module")
def whole():
    return review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"), with_settled=False)


def test_a_requirement_that_never_takes_evidence_says_nothing_of_it(whole):
    never = [item for item in whole.requirements if not item.kind_of_evidence]
    assert never
    assert {evidence_word(item) for item in never} == {""}
    assert all(answers_text(item) == f"{item.by_calculation} by calculation" for item in never)
    assert "not needed yet" not in text_report(whole)
    assert not re.search(r'class="answer[^>]*>not needed yet', requirements(whole).html)


def test_a_requirement_that_takes_evidence_says_its_answer(whole):
    asked = [item for item in whole.requirements if item.kind_of_evidence]
    assert asked
    assert all(answers_text(item).endswith(f", {item.by_evidence} by evidence") for item in asked)


def test_only_a_tolerance_is_called_a_tolerance(whole):
    shares = {item.key: share_text(item) for item in whole.requirements if item.share is not None}
    of_tolerance = {key for key, said in shares.items() if said.endswith("% of the tolerance used")}
    of_limit = {key for key, said in shares.items() if said.endswith("% of the limit used")}
    assert {key.split(".")[0] for key in of_tolerance} == {"case", "accuracy"}
    assert of_limit == {"case.largest", "case.tip", "hardness.surface", "hardness.core"} | {
        "geometry.backlash.drum",
        "geometry.backlash.drum.most",
    }
    assert of_tolerance | of_limit == set(shares)
