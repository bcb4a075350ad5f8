"""What is left for the tooth: against the parts that it is made of."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.window import exposure_html, stock, window_html
from gearcheck.hardening.case_window import case_window
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.residual import ResidualStress
from gearcheck.inspection.route import OperationEdit, RouteName
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.tooth_places import TIP, place_ratios
from gearcheck.review.whole import review
from tests.figures.drawn import written


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


def ground_with(tram, **given):
    return replace(tram, grinding=replace(tram.grinding, **given))


NOTHING_SAID = dict.fromkeys(("runout_mm", "centring_mm", "indexing_mm", "shift_mm"))


def test_the_case_left_lies_about_the_middle_less_the_middle_of_the_stock(tram):
    whole = review(ground_with(tram, **NOTHING_SAID))
    left = whole.balance.left
    assert left.mean_mm == pytest.approx((0.95 + 1.25) / 2 - (0.08 + 0.14) / 2)
    assert left.deviation_mm == pytest.approx(np.sqrt(0.04**2 + 0.03**2 / 3))
    low, high = np.ravel(left.quantile_mm)
    assert low < left.mean_mm < high
    assert whole.balance.teeth is None
    assert "Runout, holding and indexing are not said" in words(window_html(whole))


def test_runout_holding_and_indexing_widen_the_case_left_and_a_shift_moves_it(tram):
    plain = review(ground_with(tram, **NOTHING_SAID)).balance
    set_up = {"runout_mm": 0.06, "centring_mm": 0.01, "indexing_mm": 0.01}
    found = review(ground_with(tram, **{**NOTHING_SAID, **set_up})).balance
    wider = plain.left.deviation_mm**2 + 0.04**2 / 2 + 0.01**2
    assert found.left.deviation_mm == pytest.approx(np.sqrt(wider))
    assert found.left.mean_mm == pytest.approx(plain.left.mean_mm)
    moved = review(ground_with(tram, **{**NOTHING_SAID, "shift_mm": 0.02}))
    cos_beta = np.cos(np.radians(moved.chain.meshes[0].pair.base_helix_angle_deg))
    assert moved.balance.left.mean_mm == pytest.approx(plain.left.mean_mm - 0.02 * cos_beta)
    assert moved.balance.right.mean_mm == pytest.approx(plain.right.mean_mm + 0.02 * cos_beta)
    said = words(window_html(moved))
    assert "shift of the wheel towards the left flank 0.020 mm" in said


def test_superfinishing_comes_off_both_flanks(tram):
    taken = {"superfinish_min_mm": 0.002, "superfinish_max_mm": 0.006}
    whole = review(ground_with(tram, **NOTHING_SAID, **taken))
    assert whole.balance.right.mean_mm == pytest.approx(0.99 - 0.004)
    assert "Superfinishing takes 2.0 to 6.0 µm more" in words(window_html(whole))


def test_an_etch_is_counted_where_the_part_itself_is_etched_after_the_grind(tram):
    bare = ground_with(tram, **NOTHING_SAID)

    def told(inspection):
        whole = review(replace(bare, inspection=inspection))
        return float(whole.balance.left.mean_mm), " ".join(whole.balance.counted)

    given = tram.inspection
    assert told(given)[0] == pytest.approx(0.99)
    assert "off the gears of the sample alone, which is not counted" in told(given)[1]
    each = OperationEdit(key="etch", reason="order", of_sample=False)
    mean, said = told(replace(given, operations=(each,)))
    assert mean == pytest.approx(0.99 - (0.0025 + 0.0127) / 2)
    assert "takes 2.5 to 12.7 µm more off each gear, which is counted" in said
    for edit in (replace(each, number=65), replace(each, leave_out=True), replace(each, changes=())):
        mean, said = told(replace(given, operations=(edit,)))
        assert mean == pytest.approx(0.99)
        assert "no etch that takes anything off the ground flank" in said
    assert told(replace(given, route=RouteName.AEROSPACE))[0] < 0.985
    assert "No route says" in told(None)[1]


def test_a_wheel_far_from_the_middle_leaves_a_flank_that_is_not_cleaned_up(tram):
    whole = review(ground_with(tram, runout_mm=0.06, shift_mm=-0.12))
    assert whole.balance.left.share_uncut > 0.5
    assert whole.balance.right.share_uncut < 0.001
    assert any(notice.key == "stock.uncut" for notice in whole.notices)
    assert stock(whole, whole.predicted, None).rows["frame"]["stock"].min() < 0


def test_the_picture_of_the_stock_shows_every_tooth_between_the_ends_of_the_drawing(tram, whole):
    teeth = whole.balance.teeth
    drawing = stock(whole, whole.predicted, None)
    assert len(drawing.rows["lines"]) == 2 * 21
    assert sorted(drawing.rows["limits"]["stock"]) == [0.08, 0.14]
    said = written(drawing)
    assert {"left flanks", "right flanks", "least drawn 0.080 mm", "largest drawn 0.140 mm"} <= set(said)
    assert f"{np.min(teeth.left_mm):.3f} to {np.max(teeth.left_mm):.3f} mm on the left" in drawing.words
    assert np.mean(teeth.left_mm) > np.mean(teeth.right_mm)  # the wheel stands towards the left flank
    apart = replace(tram.gear.case, right_stock_max_mm=0.16)
    other = review(replace(tram, gear=replace(tram.gear, case=apart)))
    assert "largest drawn, right 0.160 mm" in written(stock(other, other.predicted, None))


def test_the_root_form_clearance_stands_below_with_its_stock(tram, whole):
    clearance = whole.chain.meshes[0].gear.clearance
    said = words(window_html(whole))
    assert f"{clearance.clearance_mm:.3f} mm on the diameter, at the smallest stock of 0.080 mm" in said
    assert "grinding leaves no step" in said
    short = replace(tram.gear.tooth, protuberance_mm=0.1)
    stepped = words(window_html(review(replace(tram, gear=replace(tram.gear, tooth=short)))))
    assert "leaves a grinding step of up to 0.040 mm" in stepped


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


def test_what_is_counted_of_the_skin_is_said(tram):
    tram = replace(tram, residual_stress=())
    plain = words(exposure_html(review(tram)))
    assert "of a model, from the hardness of the case; it counts in Dang Van alone" in plain
    assert "peens" not in plain
    assert "superfinishing" not in plain
    steps = replace(tram.inspection, route=RouteName.AEROSPACE)
    below = replace(tram.subsurface, residual_stress=ResidualStress.NONE)
    other = ground_with(
        replace(tram, inspection=steps, subsurface=below), superfinish_min_mm=0.002, superfinish_max_mm=0.004
    )
    said = words(exposure_html(review(other)))
    assert "The exposures take no residual stress" in said
    assert "The route peens: the compression that this puts into the skin is not credited" in said
    assert "Of superfinishing nothing is credited but what it takes off" in said
    assert exposure_html(review(tram, with_settled=False)) == ""
