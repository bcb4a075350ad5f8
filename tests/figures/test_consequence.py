"""Drawings of the consequences of a class, and of the transmission error: what stands in them."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.accuracy.transmission import geometric_transmission_error
from gearcheck.basics.places import scenarios
from gearcheck.figures.consequence import MOST, drawn_margins, factor_drawing, reserve_drawing
from gearcheck.figures.transmission import transmission_drawing
from gearcheck.review.consequence import consequences
from gearcheck.review.gear_file import read_gear_file


@pytest.fixture(scope="module")
def found():
    return consequences(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))


def test_factors_stand_at_every_class(found):
    drawing = factor_drawing(found)
    lines = drawing.rows["lines"]
    for symbol in ("K_V", "K_Hα", "K_Hβ"):
        own = lines[lines["line"] == symbol]
        (factor,) = (one for one in found.meshes[0].factors if one.symbol == symbol)
        np.testing.assert_allclose(own["value"], factor.values)
    assert any("K_Hβ, no class moves it" in label for label in drawing.rows["names"]["label"])
    assert "K_V 1.05 at class 6" in drawing.words


def test_the_class_drawn_and_agreed_are_named_lines(found):
    assert list(factor_drawing(found).rows["rules"]["label"]) == ["drawn and agreed 6"]
    moved = replace(found, drawn=8.0)
    rules = reserve_drawing(moved, ghost=6.0)
    assert list(rules.rows["rules"]["label"]) == ["drawn 8", "agreed 6"]
    assert rules.rows["rules"]["row"].nunique() == 2  # they would run into one another
    assert list(rules.rows["ghost"]["at"]) == [6.0]
    alone = replace(found, agreed=None)
    assert list(factor_drawing(alone).rows["rules"]["label"]) == ["drawn 6"]


def test_reserves_are_those_that_a_class_moves(found):
    shown = drawn_margins(found)
    assert 0 < len(shown) <= MOST
    here = [one.turns.factor[found.place] for one in shown]
    assert here == sorted(here)
    drawing = reserve_drawing(found)
    lines = drawing.rows["lines"]
    for one in shown:
        own = lines[lines["line"] == one.key]
        inside = one.turns.factor[one.turns.factor <= 5]
        np.testing.assert_allclose(own["value"], np.maximum(inside, 0.3))


def test_nothing_is_drawn_where_nothing_is_known(found):
    bare = replace(found, margins=(), meshes=(replace(found.meshes[0], factors=()),))
    assert factor_drawing(bare) is None
    assert reserve_drawing(bare) is None


def error(index):
    return geometric_transmission_error(
        index_um=index,
        flank=Flank.LEFT,
        measuring_pressure_angle_deg=20,
        base_diameter_mm=90,
        start_roll_mm=8,
        end_roll_mm=26,
        face_width_mm=20,
    )


def test_the_curve_keeps_its_highest_and_lowest_points():
    rng = np.random.default_rng(4)
    found = error(rng.normal(0, 5, 200))
    drawing = transmission_drawing(found)
    curve = drawing.rows["curve"]
    assert len(curve) < 2000
    assert np.ptp(curve["error"]) == pytest.approx(found.peak_to_peak_um)
    assert f"{found.peak_to_peak_um:.1f} µm from peak to peak" in drawing.words
    assert np.ptp(drawing.rows["once"]["error"]) == pytest.approx(found.turn_peak_to_peak_um, rel=0.01)


def test_without_a_value_there_is_no_curve():
    assert transmission_drawing(error([0.0, np.nan, 0, 0, 0, 0])) is None


def test_every_drawing_is_vega_lite(found):
    for drawing in (
        factor_drawing(found),
        reserve_drawing(found),
        transmission_drawing(error(np.arange(24.0))),
    ):
        spec = drawing.to_dict()
        named = {layer["data"]["name"] for layer in spec["layer"]}
        assert named <= set(spec["datasets"])
