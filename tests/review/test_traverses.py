"""Traverses as a laboratory brings them, good and bad: each says what is wrong and what still holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.methods import Level
from gearcheck.basics.places import scenarios
from gearcheck.hardening.criteria import Criterion
from gearcheck.inspection.decide import DecisionRule
from gearcheck.requirements.types import Calculation, Evidence
from gearcheck.review.chain import calculate
from gearcheck.review.evidence import held
from gearcheck.review.findings import End
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import State
from gearcheck.review.traverses import read_traverse, stock_off
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
"""Drawn: 1.90 to 2.40 mm as treated, 0.15 to 0.25 mm stock, 1.60 to 2.30 mm finished."""
TRAM = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
DEPTHS = [0.1, 0.5, 1.0, 1.5, 1.7, 1.9, 2.1, 2.4, 3.0, 6.0]
GOOD = [700, 690, 670, 630, 600, 570, 530, 480, 420, 400]


def traverse(depth_mm=DEPTHS, hardness_HV=GOOD, place="pitch line", stated=0.03, **values):
    item = next(one for one in LIFT.traverse if one.place == place)
    points = {"depth_mm": np.array(depth_mm, float), "hardness_HV": np.array(hardness_HV, float)}
    return replace(item, head=replace(item.head, uncertainty=stated), **points, **values)


def lift(*items, **values):
    return replace(LIFT, traverse=items, pitch=(), case_depth=(), result=(), **values)


def findings(record):
    """The finding of each characteristic against its own limit."""
    found = {}
    for one in held(record, calculate(record), ()):
        if one.about in ("", one.characteristic):
            found[one.characteristic] = one.finding
    return found


def test_a_good_traverse_is_read_without_a_word():
    found = read_traverse(traverse())
    assert (found.depth_mm, found.end, found.words) == (pytest.approx(2.0), End.CROSSES, "")
    assert [one.key for one in found.case.notices] == ["iso18203.indents.no_force"]
    assert found.case.notices[0].level is Level.NOTE


@pytest.mark.parametrize(
    ("depth_mm", "hardness_HV", "wrong", "still"),
    [
        ([1.8, 2.0], [580, 520], "2 indents alone, at least 5 are usual", "1.90 mm at 550 HV"),
        (DEPTHS, [600, 690, *GOOD[2:]], "a soft skin: 600 HV at 0.10 mm, 690 HV at 0.50 mm", "2.00 mm"),
        (
            DEPTHS,
            [500, 690, *GOOD[2:]],
            "the first indent is softer, 500 HV at 0.10 mm",
            "the skin is soft to 0.21 mm and the case goes on below it to 2.00 mm",
        ),
        (
            [0.1, 0.5, 1.0, 1.5, 2.5, 3.0, 6.0],
            [700, 690, 670, 630, 470, 420, 400],
            "no indent between 1.50 and 2.50 mm: it lies somewhere between them",
            "2.00 mm at 550 HV",
        ),
        (
            DEPTHS,
            [540, 538, 530, 520, 505, 480, 460, 440, 420, 400],
            "it never reaches 550 HV: 540 HV at 0.10 mm is its hardest",
            "50 HRC (513 HV) goes to 1.59 mm, its last indent has 400 HV at 6.00 mm",
        ),
        (
            DEPTHS,
            [500, 490, 480, 470, 465, 460, 450, 440, 420, 400],
            "it never reaches 550 HV: 500 HV at 0.10 mm is its hardest",
            "its last indent has 400 HV at 6.00 mm",
        ),
        (
            DEPTHS,
            [*GOOD[:7], 520, 500, 490],
            "490 HV at three times that depth, where under 450 HV are needed: agree another limit hardness",
            "it gives 1.87 mm at 575 HV and 1.70 mm at 600 HV",
        ),
        (
            DEPTHS[:8],
            [*GOOD[:7], 500],
            "500 HV at its end, 2.40 mm, where under 450 HV are needed: agree another limit hardness",
            "it gives",
        ),
        (
            DEPTHS[:4],
            GOOD[:4],
            "the traverse ends harder: the case is deeper",
            "its last indent has 630 HV at 1.50 mm",
        ),
    ],
    ids=[
        "few",
        "rises",
        "soft skin",
        "gap",
        "never, but 50 HRC",
        "never",
        "hard core",
        "hard end",
        "ends in the case",
    ],
)
def test_what_is_wrong_is_said_with_what_can_still_be_said(depth_mm, hardness_HV, wrong, still):
    text = findings(lift(traverse(depth_mm, hardness_HV)))["case.as_treated"].text
    assert wrong in text
    assert still in text


def test_what_the_method_says_stands_among_the_workings_and_notices():
    gap = traverse([0.1, 0.5, 1.0, 1.5, 2.5, 6.0], [700, 690, 670, 630, 470, 400], test_force_kgf=1.0)
    whole = review(lift(gap))
    titles = [step.title for step in whole.workings]
    assert "Measured traverse, right flank at the pitch line, as treated" in titles
    assert "Spacing of the indents, right flank at the pitch line, as treated" in titles
    keys = {one.key for one in whole.notices}
    assert {"iso18203.traverse.gap", "iso18203.indents.edge"} <= keys
    assert "iso18203.indents.no_force" not in keys
    assert {"iso18203.indents.no_force"} <= {one.key for one in review(lift(traverse())).notices}


def test_spacing_is_said_behind_the_depth_with_its_numbers():
    near = read_traverse(traverse(DEPTHS, GOOD, test_force_kgf=1.0))
    assert near.words == ", first indent too near the surface: 1.9 of the 2.5 diagonals"
    row = [0.2, *np.arange(1.8, 2.2, 0.06)], [700, *np.linspace(590, 510, 7)]
    straight = read_traverse(traverse(*row, test_force_kgf=0.5))
    assert "indents too near one another: 1.4 of the 2.5 diagonals" in straight.words
    zigzag = read_traverse(traverse(*row, test_force_kgf=0.5, sideways_offset_mm=0.2))
    assert "too near" not in zigzag.words


def test_a_gap_widens_the_uncertainty_that_the_decision_rule_sees():
    """1.90 mm are drawn; a coarse traverse reads 1.95 mm, which its straight line does not make sure."""
    fine = [0.1, 0.5, 1.0, 1.5, 1.7, 1.9, 2.0, 2.4, 6.0], [700, 690, 670, 640, 610, 560, 540, 480, 400]
    coarse = [0.1, 0.5, 1.0, 1.5, 2.4, 6.0], [700, 690, 670, 640, 460, 400]
    sure, unsure = (findings(lift(traverse(*one)))["case.as_treated"] for one in (fine, coarse))
    assert sure.value == unsure.value == pytest.approx(1.95)
    assert sure.ok
    assert not unsure.ok
    assert unsure.within
    assert unsure.undecided == "within its uncertainty of the limit"


def test_the_uncertainty_joins_what_is_stated_with_the_straight_line():
    # slopes -140, -333.3, -66.7 HV/mm; second differences 241.7 and 296.3; 296.3·0.15·0.15·0.3/100 = 0.02 mm
    coarse = [0.1, 0.5, 1.0, 1.5, 1.8, 2.4], [700, 690, 670, 600, 500, 460]
    found = read_traverse(traverse(*coarse))
    assert found.of_line_mm == pytest.approx(2 * 0.02 / 3**0.5)
    assert found.uncertainty_mm == pytest.approx(np.hypot(0.03, 2 * 0.02 / 3**0.5), abs=5e-4)
    assert read_traverse(traverse(*coarse, stated=None)).uncertainty_mm == pytest.approx(0.023)
    assert read_traverse(traverse(DEPTHS, np.interp(DEPTHS, [0, 6], [700, 300]))).uncertainty_mm == 0.03


def test_a_gap_shows_no_more_than_its_ends():
    """All indents on a straight line, and yet the case may end anywhere between 1.20 and 2.60 mm."""
    gap = traverse(
        [0.1, 0.5, 1.0, 1.2, 2.6, 3.0, 6.0], [780, 740, 690, 670, 530, 490, 400], state=State.FINISHED
    )
    assert read_traverse(gap).depth_mm == pytest.approx(2.4)
    found = findings(lift(gap))["case.left.right"]  # 1.60 mm at least
    assert not found.ok
    assert found.within
    most = findings(lift(gap))["case.most.right"]  # 2.30 mm at most
    assert not most.contradicts


@pytest.mark.parametrize("rule", DecisionRule)
def test_the_edition_of_the_rule_counts_for_a_traverse(rule):
    """2.00 mm as treated with U 0.11: sure of 1.90 mm by the 2017 guard band of 0.825 U alone."""
    record = lift(traverse(stated=0.11))
    record = replace(record, inspection=replace(record.inspection, decision_rule=rule))
    assert findings(record)["case.as_treated"].ok == (rule is DecisionRule.PROBABLE)


def test_pitch_line_root_and_tip_are_held_each_against_its_own():
    tip = traverse([0.2, 1.0, 2.2, 2.6, 5.0], [700, 690, 570, 530, 400], place="tip")
    root = traverse([0.2, 0.8, 1.0, 1.2, 5.0], [700, 600, 560, 540, 400], place="root")
    record = lift(traverse(), tip, root)
    found = findings(record)
    chain = calculate(record)
    assert found["case.as_treated"].limit == pytest.approx(1.90)
    assert found["case.tip"].limit == pytest.approx(float(chain.case_limits.tip_limit_mm))
    assert found["case.root"].limit == pytest.approx(0.1 * record.normal_module_mm)
    assert found["case.tip"].value == pytest.approx(2.4)
    assert found["case.root"].value == pytest.approx(1.1)
    assert "at the tip: 2.40 mm at 550 HV" in found["case.tip"].text
    assert "at the root: 1.10 mm at 550 HV" in found["case.root"].text


def test_a_soft_skin_that_was_ground_off_does_not_end_the_case():
    soft = traverse(DEPTHS, [500, 690, *GOOD[2:]], stock_removed_mm=0.3)
    found = findings(lift(soft))
    assert found["case.left.right"].ok
    assert found["case.left.right"].value == pytest.approx(1.7)
    assert not found["case.as_treated"].ok
    thin = findings(lift(replace(soft, stock_removed_mm=0.2)))["case.left.right"]
    assert not thin.ok
    assert thin.value == 0
    finished = findings(lift(replace(soft, stock_removed_mm=None, state=State.FINISHED)))
    assert finished["case.left.right"].contradicts


def test_converted_hardness_is_said():
    assert read_traverse(traverse(scale="HRC")).words == ", converted from HRC by ASTM E140"


def measured(*items, **values):
    record = replace(lift(*items), subsurface=TRAM.subsurface, **values)
    return {one.profile: one for one in review(record).balance.held if one.profile.startswith("measured")}


def test_the_measured_case_has_an_exposure_by_every_criterion():
    (one,) = measured(traverse(stock_removed_mm=0.2)).values()
    assert one.profile == "measured, right flank, less the 0.20 mm ground off"
    hardness = np.interp(np.array(one.exposure.depth_mm) + 0.2, DEPTHS, GOOD)
    assert np.allclose(one.exposure.hardness_HV, hardness)
    assert all(one.largest(criterion)[0] > 0 for criterion in (*Criterion,)[:3])
    harder = [value + 60 for value in GOOD]
    (other,) = measured(traverse(DEPTHS, harder, stock_removed_mm=0.2)).values()
    assert other.largest(Criterion.YIELDING)[0] < one.largest(Criterion.YIELDING)[0]


def test_without_stock_the_largest_that_is_drawn_comes_off():
    assert [*measured(traverse())] == ["measured, right flank, less the largest stock drawn, 0.25 mm"]
    assert [*measured(traverse(state=State.FINISHED))] == ["measured, right flank"]
    assert measured(traverse(place="tip"), traverse(place="root")) == {}
    assert stock_off(LIFT, traverse(place="tip")) is None


def test_a_traverse_that_ends_early_says_how_deep_it_was_assessed():
    (cut,) = measured(traverse(DEPTHS[:8], GOOD[:8], state=State.FINISHED)).values()
    assert cut.limits == "assessed to 2.40 mm alone, where the traverse ends above the core"
    assert np.max(cut.exposure.depth_mm) == pytest.approx(2.4)
    flat = [*DEPTHS[:8], 2.9], [*GOOD[:8], 470]
    (core,) = measured(traverse(*flat, state=State.FINISHED)).values()
    assert core.limits == "below 2.90 mm the 470 HV of its last indent, at core"
    assert np.max(core.exposure.depth_mm) == pytest.approx(2.5 * 2.3)
    assert np.array(core.exposure.hardness_HV)[-1] == 470
    (whole,) = measured(traverse(state=State.FINISHED)).values()
    assert whole.limits == ""
    # below the surface a case is level too: what lies deeper is not known
    short = [0.1, 0.5, 1.0, 1.7, 1.9], [710, 705, 703, 702, 701]
    (level,) = measured(traverse(*short, state=State.FINISHED)).values()
    assert level.limits == "assessed to 1.90 mm alone, where the traverse ends above the core"
    assert np.max(level.exposure.depth_mm) == pytest.approx(1.9)


def test_bad_traverses_never_fail_a_requirement_by_calculation():
    """A measurement moves the answer by evidence alone."""
    record = lift(traverse(DEPTHS, [500] * 10))
    answers = review(record).requirements
    plain = {one.key: one.by_calculation for one in review(lift()).requirements}
    assert {one.key: one.by_calculation for one in answers} == plain
    assert Calculation.MEETS in plain.values()
    assert any(one.by_evidence is Evidence.CONTRADICTED for one in answers)
