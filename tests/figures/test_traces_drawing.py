"""Traces of one flank: which one is bold, where the limits lie, what is left out."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.figures.traces import FlankTraces, TraceLine, reach_of_traces, traces_drawing

PLACE = np.linspace(10, 26, 161)
INSIDE = (PLACE >= 11.5) & (PLACE <= 25)


def line(name, slope_um, offset_um=0.0, left_out=None):
    design = -20 * np.clip((PLACE - 22) / 4, 0, 1)
    rest = slope_um * (PLACE - 18.25) / 13.5
    return TraceLine(
        name=name,
        place_mm=PLACE,
        deviation_um=rest + design + offset_um,
        design_um=design,
        mean_line_um=np.where(INSIDE, rest + design + offset_um, np.nan),
        left_out=np.zeros_like(PLACE, dtype=bool) if left_out is None else left_out,
    )


def flank(limit_um=9.0, **more):
    lines = (line("tooth 1", 1.0, 30.0), line("tooth 9", 6.0, -12.0))
    given = {"kind": "profile", "flank": "left", "over": "roll length, mm", "lines": lines, "worst": 1}
    given |= {"start_mm": 11.5, "end_mm": 25.0, "limit_um": limit_um, "limit_words": "class 5"}
    return FlankTraces(**(given | more))


def test_traces_are_laid_over_one_another_without_their_offset():
    drawing = traces_drawing(flank())
    worst, others = drawing.rows["worst"], drawing.rows["others"]
    assert np.interp(18.25, worst["place"], worst["um"]) == pytest.approx(0.0, abs=0.05)
    assert np.interp(18.25, others["place"], others["um"]) == pytest.approx(0.0, abs=0.05)
    assert drawing.rows["named"]["label"].tolist() == ["tooth 1", "tooth 9"]


def test_the_limits_follow_the_design_as_far_apart_as_the_total_allows():
    limits = traces_drawing(flank()).rows["limits"]
    low, high = (limits[limits["side"] == side].reset_index() for side in ("low", "high"))
    assert (high["um"] - low["um"]).to_numpy() == pytest.approx(9.0)
    assert low["place"].min() >= 11.5
    assert low["place"].max() <= 25.0
    # 6 µm of slope in 9 µm: equal room on both sides
    worst = traces_drawing(flank()).rows["worst"]
    assert low["um"].iloc[0] == pytest.approx(
        np.interp(low["place"].iloc[0], worst["place"], worst["um"]) - 1.5
    )


def test_it_is_said_whether_the_total_is_kept():
    assert "tooth 9 deviates most, within the 9.0 µm of class 5" in traces_drawing(flank()).words
    assert "over the 5.0 µm of class 5" in traces_drawing(flank(5.0)).words
    assert "deviates most" in traces_drawing(flank(None)).words
    assert traces_drawing(flank(None)).rows["limits"].empty


def test_what_is_left_out_is_marked_and_does_not_widen_the_limits():
    spike = np.abs(PLACE - 15) < 0.2
    spoiled = line("tooth 9", 6.0, -12.0, left_out=spike)
    spoiled = replace(spoiled, deviation_um=spoiled.deviation_um + 8.0 * spike)
    drawing = traces_drawing(flank(lines=(line("tooth 1", 1.0), spoiled)))
    assert len(drawing.rows["left_out"]) == int(spike.sum())
    assert "within" in drawing.words


def test_flanks_share_a_scale_that_holds_all_of_them():
    low, high = reach_of_traces([flank(), flank(30.0)])
    assert low < -26
    assert high > 15
