"""The solved case depth in the review: what it rests on is said with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearcheck.basics.methods import Level
from gearcheck.basics.places import scenarios
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def ship_lift():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


def of_class(record, number):
    """The record with another class drawn for the mate alone."""
    mesh = record.meshes[0]
    mate = replace(mesh.mate, accuracy=replace(mesh.mate.accuracy, tolerance_class=number))
    return replace(record, meshes=(replace(mesh, mate=mate),))


def cautions(result, key):
    return [item.text for item in result.notices if item.level is Level.CAUTION and item.key == key]


@pytest.mark.parametrize("write", [of_class, lambda record, number: changed(record, {"class": number})])
def test_a_class_coarser_than_7_is_said_with_the_solved_depth(ship_lift, write):
    key = "iso_ts6336_20.load_sharing.tolerance_class"
    fine = review(write(ship_lift, 7)).settled[0].required
    coarse = review(write(ship_lift, 8))
    assert cautions(fine, key) == []
    (text,) = cautions(coarse.settled[0].required, key)
    assert "tolerance class = 8" in text
    assert "up to 7" in text
    assert text in [notice.text for notice in coarse.notices]
