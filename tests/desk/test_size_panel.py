"""The panel of tooth size and backlash: what is allowed, what was measured, and what is missing."""

import re
from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.size import NO_SIZE, size_html
from gearcheck.desk.words import text
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.size import SIZE
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")


def shown(record=LIFT):
    return review(record, with_settled=False)


def plain(html):
    return re.sub(r"<[^>]+>", " ", html).replace("\N{NO-BREAK SPACE}", " ").replace("\N{MINUS SIGN}", "-")


def test_it_says_limits_chord_measurement_and_backlash():
    said = plain(size_html(shown()))
    whole = shown()
    size, mesh = whole.chain.meshes[0].gear.size, whole.chain.meshes[0]
    assert "The gear, dimension over balls of 20 mm" in said
    assert "Drum, span over 8 teeth" in said
    for number in (*size.limits_mm, *(one.chord_mm for one in size.chords)):
        assert f"{float(number):.3f}" in said
    assert "Serial number 0007 measures 229.121 mm: a normal thickness of 18.443 mm" in said
    for state in mesh.backlash.states:
        least, most = (getattr(state, end).normal_backlash_mm for end in ("least", "greatest"))
        assert f"{least:.2f} to {most:.2f}" in said
    assert "cold" in said and "warm" in said and "radial" in said


@pytest.mark.parametrize("value", [120.0, 400.0])
def test_a_size_of_another_measure_gets_no_thickness(value):
    (result,) = [one for one in LIFT.result if one.characteristic == SIZE]
    said = plain(size_html(shown(replace(LIFT, result=(replace(result, value=value),)))))
    assert (
        f"measures {value:.3f} mm, which cannot be the dimension over balls of 20 mm of these teeth" in said
    )
    assert "a normal thickness of" not in said


def test_it_says_what_is_missing():
    bare = replace(LIFT, gear=replace(LIFT.gear, size=None))
    mate = replace(LIFT.meshes[0].mate, size=None)
    alone = replace(bare, meshes=(replace(LIFT.meshes[0], mate=mate),), result=())
    assert text(NO_SIZE) in size_html(shown(alone))
    assert "[gear.size] missing" in plain(size_html(shown(bare)))


@pytest.mark.parametrize(
    ("diameter", "words"), [(16.0, "would touch in the middle"), (12.0, "larger body is needed")]
)
def test_a_poor_ball_is_told(diameter, words):
    size = replace(LIFT.gear.size, body_diameter_mm=diameter)
    assert words in plain(size_html(shown(replace(LIFT, gear=replace(LIFT.gear, size=size)))))
