"""The drawings, from results made by hand: what is written, what moves, and what stays."""

import dataclasses
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.figures import tones
from gearcheck.figures.depth import DepthCurve, DepthLine, depth_curves, depth_drawing
from gearcheck.figures.labels import spread, spread_within
from gearcheck.figures.path import AlongPath, pressure_drawing, sliding_drawing
from gearcheck.figures.pitch import FlankPitch, cumulative_drawing, reach_of, single_drawing
from gearcheck.figures.stress import LifeLine, life_drawing
from gearcheck.figures.tooth import Circle, Tooth, tooth_drawing
from gearcheck.hardening.required import required_case_depth
from gearcheck.stress.life import Damage

from .drawn import svg, written


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12), st.floats(0.1, 10))
def test_labels_are_moved_apart_and_keep_their_order(places, least):
    moved = spread(places, least)
    order = np.argsort(places, kind="stable")
    assert np.all(np.diff(moved[order]) >= least * (1 - 1e-6))
    assert moved.mean() == pytest.approx(np.mean(places), abs=1e-6)


def test_labels_that_have_room_stay():
    np.testing.assert_allclose(spread([5.0, 1.0, 9.0], 2.0), [5.0, 1.0, 9.0])


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12), st.floats(0.1, 10))
def test_labels_stay_between_the_ends_and_never_lie_on_one_another(places, least):
    low, high = -20.0, 30.0
    moved = spread_within(places, least, low, high)
    order = np.argsort(places, kind="stable")
    assert np.all(moved >= low - 1e-9)
    assert np.all(moved <= high + 1e-9)
    room = min(least, (high - low) / max(len(places) - 1, 1))
    assert np.all(np.diff(moved[order]) >= room * (1 - 1e-6))


@pytest.mark.parametrize("width", [240, 640])
def test_a_narrow_drawing_keeps_every_power_of_ten(width):
    drawn = svg(life_drawing([life()], Damage.FLANK), width)
    assert all(f">10{power}<" in drawn for power in ("⁴", "⁶", "⁸", "¹⁰"))


def life(stress=1350.0, **changes):
    cycles = np.geomspace(1e4, 1e11, 20)
    limit = np.linspace(2000, 1200, 20)
    line = LifeLine(
        name="gear",
        load_cycles=cycles,
        permissible_MPa=limit,
        cycles=4e7,
        stress_MPa=stress,
        allowed_MPa=1400.0,
    )
    return dataclasses.replace(line, **changes)


def test_a_stress_over_its_limit_is_said_in_words_and_not_by_tone_alone():
    good, bad = (written(life_drawing([life(stress)], Damage.FLANK)) for stress in (1350.0, 1450.0))
    assert "gear 1350 of 1400 MPa" in good
    assert "gear 1450 of 1400 MPa, fails" in bad
    assert "contact stress, MPa" in good
    assert "load cycles" in good


def test_limits_that_agree_share_one_name_and_others_say_which_line_is_which():
    twin = life(name="drum", cycles=1e7)
    other = life(name="drum", permissible_MPa=np.linspace(1500, 1000, 20))
    assert "permissible, both gears" in written(life_drawing([life(), twin], Damage.ROOT))
    said = written(life_drawing([life(), other], Damage.ROOT))
    assert "full line: permissible, gear" in said
    assert "broken line: permissible, drum" in said


def test_the_record_is_drawn_as_a_ghost_only_where_it_differs():
    assert tones.GHOST in svg(life_drawing([life(ghost_MPa=1200.0)], Damage.FLANK))
    assert len(life_drawing([life()], Damage.FLANK).rows["record"]) == 0


@pytest.fixture(scope="module")
def solved():
    return required_case_depth(
        half_width_mm=[0.5], pressure_MPa=[1500], surface_hardness_HV=700, core_hardness_HV=350, safety=1.2
    )


def test_the_solved_case_touches_what_is_asked_for_and_a_deeper_one_lies_above(solved):
    asked, drawn, least = depth_curves(solved, 1.5 * solved.depth_mm)
    nearest = (least.stress_MPa - asked.stress_MPa).min()
    assert 0 <= nearest < 2  # MPa: the depths stand in steps
    assert np.all(drawn.stress_MPa - asked.stress_MPa > 0)
    assert drawn.above
    assert not least.above


def test_without_a_solved_depth_only_the_lines_stand():
    assert depth_curves(None, 1.0) == ()
    said = written(depth_drawing([DepthLine(label="needed", depth_mm=0.84, tone=tones.DEMAND)], ()))
    assert "needed 0.84 mm" in said
    assert not any("shear stress" in text for text in said)


def test_no_line_of_a_depth_runs_through_the_label_of_another():
    lines = [DepthLine(label=f"number {n}", depth_mm=1 + 0.01 * n, tone=tones.INK) for n in (3, 1, 2)]
    rules = depth_drawing(lines, ()).rows["rules"]
    assert list(rules["label"]) == ["number 1 1.01 mm", "number 2 1.02 mm", "number 3 1.03 mm"]
    assert rules["stress"].is_monotonic_decreasing


def test_a_depth_that_moved_leaves_a_ghost():
    line = DepthLine(label="needed", depth_mm=0.9, tone=tones.DEMAND, ghost_mm=0.8)
    curve = DepthCurve(
        label="asked", depth_mm=np.array([0.0, 2.0]), stress_MPa=np.array([500.0, 100.0]), tone=tones.DEMAND
    )
    assert list(depth_drawing([line], [curve]).rows["record"]["depth"]) == [0.8]


def flank(single):
    single = np.asarray(single, dtype=float)
    return FlankPitch(
        flank="left",
        single_um=single,
        index_um=np.cumsum(single),
        single_tolerance_um=10.0,
        cumulative_tolerance_um=30.0,
    )


@pytest.mark.parametrize(
    ("value", "worst"), [(14.4, "tooth 5: −16.4 µm, over"), (-14.4, "tooth 3: −14.4 µm, over")]
)
def test_a_tooth_over_its_tolerance_is_named(value, worst):
    one = flank([1, -2, value, 3, -2 - value, 0])
    drawing = single_drawing(one, reach_of([one])[0])
    assert worst in written(drawing)
    assert {"+10.0 allowed", "−10.0 allowed"} <= set(written(drawing))
    assert set(drawing.rows["bars"]["tone"]) == {tones.MEASURED, tones.WORDS["fails"]}


def test_a_flank_within_its_tolerance_has_one_tone():
    one = flank([1, -2, 3, -2, 0, 0])
    drawing = single_drawing(one, 16.0)
    assert set(drawing.rows["bars"]["tone"]) == {tones.MEASURED}
    assert "tooth 3: +3.0 µm" in written(drawing)


def test_the_cumulative_tolerance_is_counted_from_the_lowest_tooth():
    one = flank([1, -2, 3, -4, 2, 0])
    limits = cumulative_drawing(one, reach_of([one])[1]).rows["limits"]["um"]
    assert list(limits) == pytest.approx([one.index_um.min() + 30.0, one.index_um.min()])


def along(shift=0.0):
    position = np.linspace(0, 20, 11)
    return AlongPath(
        marks_mm={"A": 0.0, "B": 9.0, "C": 9.1, "D": 12.0, "E": 20.0},
        position_mm=position,
        pinion_sliding=np.linspace(-1, 0.5, 11) + shift,
        wheel_sliding=np.linspace(0.5, -1, 11),
        pressed_mm=position,
        pressure_MPa=np.linspace(1500, 1200, 11) + 100 * shift,
    )


def test_points_of_the_path_that_lie_together_are_written_side_by_side():
    said = written(sliding_drawing(along()))
    assert {"A", "B C", "D", "E", "pinion", "wheel", "specific sliding ζ"} <= set(said)


def test_the_largest_pressure_is_named():
    said = written(pressure_drawing(along()))
    assert "largest 1500 MPa" in said
    assert "along the path of contact from A, mm" in said


def tooth():
    angle = np.linspace(-0.1, 0.1, 40)
    return Tooth(
        x_mm=55 * np.sin(angle),
        y_mm=np.linspace(50, 60, 40),
        circles=(
            Circle(name="tip", diameter_mm=120.0, tone=tones.INK),
            Circle(name="active from", diameter_mm=104.4, tone=tones.CAPACITY),
            Circle(name="involute from", diameter_mm=104.2, tone=tones.LIMIT),
        ),
    )


def test_circles_that_lie_close_have_labels_apart_and_equal_scales():
    drawing = tooth_drawing(tooth(), None, "the gear")
    assert {"active from 104.40 mm", "involute from 104.20 mm"} <= set(written(drawing))
    names = drawing.rows["names"]["y"]
    assert np.diff(np.sort(names)).min() * drawing.layout["height"] > 14 * np.ptp(drawing.rows["frame"]["y"])
    reach = drawing.rows["frame"]
    assert np.ptp(reach["x"]) == pytest.approx(np.ptp(reach["y"]))
    assert drawing.layout["width"] == drawing.layout["height"]


PAIRS = {
    "stress": lambda moved: life_drawing([life(1300.0 + moved)], Damage.FLANK),
    "depth": lambda moved: depth_drawing(
        [DepthLine(label="needed", depth_mm=1 + moved / 100, tone=tones.DEMAND)], ()
    ),
    "single": lambda moved: single_drawing(flank([1, -2 - moved, 3 + moved, -2, 0]), 16.0),
    "cumulative": lambda moved: cumulative_drawing(flank([1, -2 - moved, 3 + moved, -2, 0]), 40.0),
    "sliding": lambda moved: sliding_drawing(along(moved / 10)),
    "pressure": lambda moved: pressure_drawing(along(moved / 10)),
    "tooth": lambda moved: tooth_drawing(
        dataclasses.replace(tooth(), y_mm=np.linspace(50, 60 + moved, 40)), None, "the gear"
    ),
}


@pytest.mark.parametrize("kind", PAIRS)
def test_when_a_slider_moves_only_rows_move(kind):
    one, other = (PAIRS[kind](moved).to_dict() for moved in (0.0, 1.0))
    assert one["datasets"] != other["datasets"]
    assert {**one, "datasets": None} == {**other, "datasets": None}
    assert set(one["datasets"]) == set(re.findall(r"'data': {'name': '(\w+)'}", str(one)))


@pytest.mark.parametrize("kind", PAIRS)
def test_every_drawing_has_words_and_text_that_is_large_enough(kind):
    drawing = PAIRS[kind](0.0)
    assert len(drawing.words) > 20
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)px"', svg(drawing))]
    assert sizes
    assert min(sizes) >= 14
    assert "NaN" not in svg(drawing)
