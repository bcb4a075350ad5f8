"""Tolerances by edition: cited values, ranges and their borders, classes by group, sector pitch."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.inputs import AccuracyEdition, AccuracySpecification, Group
from gearcheck.accuracy.tolerances import tolerances
from gearcheck.accuracy.tolerances_1995 import TOLERANCES_1995, Tolerances1995
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013
from gearcheck.basics.errors import InputError
from tests.accuracy.test_tolerances import GEAR, NAMES
from tests.checks import cases, holds

NEW, OLD = AccuracyEdition.ISO_1328_1_2013, AccuracyEdition.ISO_1328_1_1995
OF_GROUP = {
    "pitch": ("single_pitch", "cumulative_pitch", "sector_pitch"),
    "profile": ("profile_slope", "profile_form", "profile_total"),
    "helix": ("helix_slope", "helix_form", "helix_total"),
    "runout": ("runout",),
}


@pytest.mark.parametrize(
    "check", cases("accuracy_editions", "gearcheck.accuracy.tolerances:tolerances"), ids=str
)
def test_cited_values(check):
    inputs = dict(check.inputs)
    edition = AccuracyEdition(inputs.pop("edition", NEW))
    if check.id == "TOL-95-scope":
        holds(check, **{limit.name: [limit.low, limit.high] for limit in TOLERANCES_1995.valid})
        return
    found = tolerances(edition=edition, **inputs)
    holds(check, **{name: getattr(found, f"{name}_um") for name in check.expected})


@pytest.mark.parametrize("edition", AccuracyEdition)
@pytest.mark.parametrize("group", Group)
def test_a_group_of_parameters_has_its_own_class(edition, group):
    size = {**GEAR, "edition": edition}
    plain, own, six = (
        tolerances(**size, tolerance_class=7),
        tolerances(**size, tolerance_class=7, **{f"{group}_class": 6}),
        tolerances(**size, tolerance_class=6),
    )
    for other, names in OF_GROUP.items():
        like = six if other == group else plain
        for name in names:
            assert getattr(own, f"{name}_um") == getattr(like, f"{name}_um")


@pytest.mark.parametrize("edition", AccuracyEdition)
def test_a_class_outside_stops_its_group_alone(edition):
    found = tolerances(**GEAR, tolerance_class=6, profile_class=13, edition=edition)
    assert found.profile_total_um is None
    assert found.helix_total_um is not None
    (stop,) = found.stops
    assert "= 13 lies outside" in stop.text


def test_the_specification_falls_back_to_the_class_of_the_gear():
    drawn = AccuracySpecification(tolerance_class=7, edition=NEW, helix_class=5)
    assert drawn.classes == {"pitch_class": 7, "profile_class": 7, "helix_class": 5, "runout_class": 7}


@pytest.mark.parametrize(
    ("size", "border"),
    [("reference_diameter_mm", 125), ("normal_module_mm", 3.5), ("face_width_mm", 40)],
)
def test_a_size_on_a_border_belongs_to_the_lower_range(size, border):
    sizes = np.array([border * 0.999, border, np.nextafter(border, np.inf)])
    found = tolerances(**{**GEAR, size: sizes}, tolerance_class=6, edition=OLD)
    lower, on, upper = np.broadcast_to(found.helix_total_exact_um + found.profile_total_exact_um, 3)
    assert lower == on < upper


def test_the_ends_of_the_oldest_ranges_are_inside_and_beyond_them_nothing_is():
    for limit in TOLERANCES_1995.valid:
        sizes = {**GEAR, "tolerance_class": 5}
        on = tolerances(**{**sizes, limit.name: np.array([limit.low, limit.high])}, edition=OLD)
        assert np.isfinite(on.runout_um).all()
        assert not on.notices
        beyond = np.array([np.nextafter(limit.low, -np.inf), np.nextafter(limit.high, np.inf)])
        outside = tolerances(**{**sizes, limit.name: beyond}, edition=OLD)
        assert all(np.isnan(getattr(outside, f"{name}_um")).all() for name in NAMES)
        assert [stop.key for stop in outside.stops] == [f"iso1328_1_1995.tolerances.{limit.name}"]


def test_the_result_names_the_method_of_its_edition():
    old = tolerances(**GEAR, tolerance_class=6, edition=OLD)
    assert isinstance(old, Tolerances1995)
    assert old.method is TOLERANCES_1995
    assert tolerances(**GEAR, tolerance_class=6, edition=NEW).method is TOLERANCES_2013


@settings(deadline=None)
@given(st.integers(5, 1000), st.integers(1, 500))
def test_a_sector_is_allowed_no_less_than_one_pitch_and_no_more_than_all(teeth, sector):
    found = tolerances(**{**GEAR, "teeth": teeth}, tolerance_class=6, sector_teeth=sector, edition=NEW)
    assert (
        found.single_pitch_exact_um
        < found.sector_pitch_exact_um
        <= found.cumulative_pitch_exact_um * (1 + 1e-12)
    )


@pytest.mark.parametrize("sector", [0, 2.5])
def test_a_sector_is_a_whole_number_of_pitches(sector):
    with pytest.raises(InputError, match="sector_teeth"):
        tolerances(**GEAR, tolerance_class=6, sector_teeth=sector, edition=NEW)
