"""What is left for the tooth: against the parts that it is made of."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.window import window_html
from gearcheck.hardening.case_window import case_window
from gearcheck.hardening.criteria import Criterion
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.tooth_places import TIP, place_ratios
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


@pytest.fixture(scope="module")
def whole(tram):
    return review(tram)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def test_the_window_is_that_of_what_is_needed_and_allowed(whole):
    window = whole.balance.window
    figures, limits = whole.chain.meshes[0].figures, whole.chain.case_limits
    alone = case_window(
        finished_min_mm=figures.crushing_mm,
        finished_max_mm=limits.largest_mm,
        stock_min_mm=0.08,
        stock_max_mm=0.14,
        furnace_tolerance_mm=0.08,
        tip_limit_mm=limits.tip_limit_mm,
        tip_ratio=place_ratios(whole.predicted.places)[TIP],
    )
    assert window.least_mm == pytest.approx(alone.least_mm)
    assert window.spare_mm == pytest.approx(alone.spare_mm)
    assert f"{window.least_mm:.2f} to {window.largest_mm:.2f} mm as treated" in words(window_html(whole))


def test_the_case_left_lies_about_the_middle_less_the_middle_of_the_stock(whole):
    left = whole.balance.left
    assert left.mean_mm == pytest.approx((0.95 + 1.25) / 2 - (0.08 + 0.14) / 2)
    low, middle, high = np.ravel(left.quantile_mm)
    assert middle == pytest.approx(left.mean_mm, abs=1e-3)
    assert low < middle < high


def test_a_case_that_is_drawn_too_shallow_leaves_part_of_the_flank_under_it(tram):
    deep = replace(tram.gear.case, finished_min_mm=0.98)
    found = review(replace(tram, gear=replace(tram.gear, case=deep))).balance.left
    assert 0.2 < found.share_below < 0.6


def test_the_exposure_of_the_drawn_case_turns_where_the_solved_depth_does(tram, whole):
    drawn = whole.balance.held[0]
    assert drawn.profile == "as drawn, shallowest"
    needed = whole.settled[0].required.depth_mm
    for share, over in ((0.95, True), (1.05, False)):
        case = replace(tram.gear.case, finished_min_mm=share * needed)
        held = review(replace(tram, gear=replace(tram.gear, case=case))).balance.held[0]
        assert (held.largest(Criterion.YIELDING)[0] > 1) is over


def test_a_burnt_skin_raises_the_exposure(tram):
    def held(energy):
        found = review(changed(tram, {"grind_energy": energy})).balance.held
        return {one.profile: one.largest(Criterion.YIELDING)[0] for one in found}

    cool, hot = held(35.0), held(90.0)
    assert cool["as predicted, after the grind"] == pytest.approx(cool["as predicted, softest"])
    assert hot["as predicted, after the grind"] > hot["as predicted, softest"]


def test_what_the_gear_file_does_not_say_is_left_out_and_told(tram):
    bare = review(replace(tram, furnace=None, grinding=None, subsurface=None))
    assert bare.balance.window is None
    assert bare.balance.held == ()
    assert "[gear.furnace] with its depth_scatter" in words(window_html(bare))
    assert review(tram, with_settled=False).balance is None
    tight = replace(tram, furnace=replace(tram.furnace, depth_scatter_mm=0.9))
    said = words(window_html(review(tight)))
    assert "to spare" not in said


def test_it_stands_among_the_workings(whole):
    titles = [step.title for step in whole.workings]
    assert "Window of the drawing" in titles
    assert "Exposure of the case as drawn, shallowest, against wheel" in titles
