"""Traces of one flank: which one is bold, where the limits lie, what is left out."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.figures import tones
from gearcheck.figures.traces import FlankTraces, TraceLine, reach_of_traces, traces_drawing

PLACE = np.linspace(10, 26, 161)
INSIDE = (PLACE >= 11.5) & (PLACE <= 25)


def line(name, slope_um, offset_um=0.0, left_out=None):
    rest = slope_um * (PLACE - 18.25) / 13.5
    return TraceLine(
        name=name,
        place_mm=PLACE,
        deviation_um=rest + offset_um,
        mean_line_um=np.where(INSIDE, rest + offset_um, np.nan),
        left_out=np.zeros_like(PLACE, dtype=bool) if left_out is None else left_out,
    )


def flank(limit_um=9.0, **more):
    lines = (line("tooth 1", 1.0, 30.0), line("tooth 9", 6.0, -12.0))
    given = {"kind": "profile", "flank": "left", "over": "roll length, mm", "lines": lines, "worst": 1}
    given |= {"worst_words": "tooth 9: slope 6.0 µm", "is_over": False}
    given |= {"start_mm": 11.5, "end_mm": 25.0, "limit_um": limit_um, "limit_words": "class 5"}
    return FlankTraces(**(given | more))


def test_traces_are_laid_over_one_another_without_their_offset():
    drawing = traces_drawing(flank())
    worst, others = drawing.rows["worst"], drawing.rows["others"]
    assert np.interp(18.25, worst["place"], worst["um"]) == pytest.approx(0.0, abs=0.05)
    assert np.interp(18.25, others["place"], others["um"]) == pytest.approx(0.0, abs=0.05)
    assert drawing.rows["named"]["label"].tolist() == ["tooth 1", "tooth 9: slope 6.0 µm"]


def test_the_limits_lie_as_far_apart_as_the_total_allows_about_the_worst_trace():
    drawing = traces_drawing(flank())
    limits, worst = drawing.rows["limits"], drawing.rows["worst"]
    assert limits["um"].tolist() == pytest.approx([-4.5, 4.5])
    assert (limits["place"].tolist(), limits["end"].tolist()) == ([11.5, 11.5], [25.0, 25.0])
    # 6 µm of slope in 9 µm: equal room on both sides
    assert np.interp(11.5, worst["place"], worst["um"]) == pytest.approx(-3.0)
    assert np.interp(25.0, worst["place"], worst["um"]) == pytest.approx(3.0)


def test_what_is_worst_is_said_and_toned():
    drawing = traces_drawing(flank())
    assert "worst tooth 9: slope 6.0 µm; 9.0 µm of total allowed, class 5" in drawing.words
    assert drawing.rows["named"]["tone"].tolist() == [tones.QUIET, tones.INK]
    over = traces_drawing(flank(is_over=True)).rows["named"]
    assert over["tone"].tolist() == [tones.QUIET, tones.WORDS["fails"]]
    assert traces_drawing(flank(None)).rows["limits"].empty


def test_what_is_left_out_is_marked_and_does_not_widen_the_limits():
    spike = np.abs(PLACE - 15) < 0.2
    spoiled = line("tooth 9", 6.0, -12.0, left_out=spike)
    spoiled = replace(spoiled, deviation_um=spoiled.deviation_um + 8.0 * spike)
    drawing = traces_drawing(flank(lines=(line("tooth 1", 1.0), spoiled)))
    assert len(drawing.rows["left_out"]) == int(spike.sum())
    limits = drawing.rows["limits"]
    assert limits["um"].tolist() == pytest.approx([-4.5, 4.5])


def test_flanks_share_a_scale_that_holds_all_of_them():
    low, high = reach_of_traces([flank(), flank(30.0)])
    assert low < -15
    assert high > 15
