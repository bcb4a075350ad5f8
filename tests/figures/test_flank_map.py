"""One flank as a map, and what of a record's traces is drawn."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.basics.places import scenarios
from gearcheck.figures.flank_map import FlankMap, map_drawing
from gearcheck.figures.measured_traces import flank_maps, flank_traces, trace_words
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

ACROSS = np.array([36.0, 4.0, 20.0])  # in no order


def flank_map(tilt_um=0.1):
    place = np.tile(np.linspace(10, 26, 161), (3, 1))
    deviation = tilt_um * (ACROSS[:, None] - 20) + 0.0 * place
    return FlankMap(name="tooth 1, left flank", across_mm=ACROSS, place_mm=place, deviation_um=deviation)


@pytest.fixture(scope="module")
def lift():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


@pytest.fixture(scope="module")
def across(lift):
    """One tooth of the ship lift, its left profile put down at three places across the face."""
    item = lift.profile[0]
    first = next(place for place, flank in enumerate(item.flank) if flank is Flank.LEFT)
    rows = np.repeat(item.deviation_um[first : first + 1], 3, axis=0) + np.array([[0.0], [1.0], [2.0]])
    several = replace(
        item,
        tooth=np.repeat(item.tooth[first], 3),
        flank=(Flank.LEFT,) * 3,
        across_mm=np.array([30.0, 90.0, 150.0]),
        place_mm=np.repeat(item.place_mm[first : first + 1], 3, axis=0),
        deviation_um=rows,
        excluded=(),
    )
    return review(replace(lift, profile=(several,)), with_settled=False).traces[0]


def test_cells_cover_the_face_without_gaps_and_carry_their_mean():
    cells = map_drawing(flank_map()).rows["cells"]
    columns = cells[["x", "x2"]].drop_duplicates().sort_values("x").to_numpy()
    assert columns.tolist() == [[-4.0, 12.0], [12.0, 28.0], [28.0, 44.0]]
    assert cells.groupby("x")["um"].mean().tolist() == pytest.approx([-1.6, 0.0, 1.6])
    assert cells["share"].abs().max() == pytest.approx(1.0)


def test_the_highest_and_the_lowest_place_are_named():
    drawing = map_drawing(flank_map())
    assert drawing.rows["named"]["label"].tolist() == ["+1.6 µm", "−1.6 µm"]
    assert "from −1.6 µm to +1.6 µm" in drawing.words


def test_missing_points_leave_cells_out_and_a_true_flank_can_be_drawn():
    gap = flank_map(0.0)
    gap.deviation_um[:, :40] = np.nan
    drawing = map_drawing(gap)
    assert drawing.rows["cells"]["y"].min() > 13.5
    assert np.isfinite(drawing.rows["cells"]["share"]).all()


def test_a_tooth_with_several_profiles_becomes_a_map_and_its_traces_say_where_they_lie(across):
    (found,) = flank_maps(across)
    assert found.name.startswith("tooth ") and found.name.endswith(", left flank")
    assert found.across_mm.tolist() == [30.0, 90.0, 150.0]
    assert trace_words(across, 1).endswith(" at 90.0")


def test_single_profiles_and_helices_make_no_map(lift):
    whole = review(lift, with_settled=False)
    assert not [one for read in whole.traces for one in flank_maps(read)]


def test_the_bold_trace_is_the_one_that_uses_most_of_a_tolerance(lift):
    whole = review(lift, with_settled=False)
    helix = next(read for read in whole.traces if read.item.kind is TraceKind.HELIX)
    found = flank_traces(helix, Flank.LEFT, whole.chain.drawn, "class 6")
    shares = {
        name: abs(helix.worst(Flank.LEFT, name)[0]) / getattr(whole.chain.drawn, f"helix_{name}_um")
        for name in ("total", "form", "slope")
    }
    assert max(shares, key=shares.get) == "slope"
    tooth = helix.spoiling_tooth(Flank.LEFT, "slope")
    assert found.worst_words == f"tooth {tooth}: slope 8.1 µm"
    assert found.lines[found.worst].name == f"tooth {tooth}"
    assert not found.is_over
    assert flank_traces(helix, Flank.LEFT, None, "").worst_words.endswith("total 8.5 µm")
