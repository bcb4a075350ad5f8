"""Radial composite, the superseded standard and the table of all classes: cited values, scope, refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.composite import (
    COMPOSITE_1997,
    COMPOSITE_2020,
    CompositeEdition,
    composite_tolerances,
)
from gearcheck.accuracy.composite_class import composite_class
from gearcheck.accuracy.grade import class_range
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.older import older_pitch_tolerances
from gearcheck.accuracy.tolerance_table import tolerance_table
from gearcheck.basics.errors import InputError
from tests.checks import cases, holds

OLD, NEW = CompositeEdition.ISO_1328_2_1997, CompositeEdition.ISO_1328_2_2020
SIZE = {"reference_diameter_mm": 100.0, "normal_module_mm": 2.0}


def of(module, name):
    return pytest.mark.parametrize(
        "check", cases("accuracy_editions", f"gearcheck.accuracy.{module}:{name}"), ids=str
    )


@of("composite", "composite_tolerances")
def test_cited_tolerances(check):
    if check.id == "TOL-20-scope":
        teeth, diameter = COMPOSITE_2020.valid
        holds(check, teeth=teeth.low, reference_diameter_mm=diameter.high)
        return
    found = composite_tolerances(edition=OLD, **check.inputs)
    holds(check, **{name: getattr(found, f"{name}_um") for name in check.expected})


@of("composite_class", "composite_class")
def test_cited_grades(check):
    found = composite_class(edition=OLD, **check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@of("older", "older_pitch_tolerances")
def test_cited_older_tolerances(check):
    found = older_pitch_tolerances(**check.inputs)
    holds(check, **{name: getattr(found, f"{name}_um") for name in check.expected})


@of("tolerance_table", "tolerance_table")
def test_cited_columns(check):
    found = tolerance_table(edition=AccuracyEdition.ISO_1328_1_2013, **check.inputs)
    holds(check, **{name: getattr(found.limits, f"{name}_um")[4:6] for name in check.expected})


@pytest.mark.parametrize("limit", COMPOSITE_1997.valid, ids=lambda limit: limit.name)
def test_the_scope_is_refused_beyond_its_limits_and_exact_on_them(limit):
    given_values = {**SIZE, "tolerance_class": 6}
    on = composite_tolerances(**{**given_values, limit.name: np.array([limit.low, limit.high])}, edition=OLD)
    assert np.isfinite(on.total_um).all()
    assert not on.notices
    beyond = np.array([np.nextafter(limit.low, -np.inf), np.nextafter(limit.high, np.inf)])
    outside = composite_tolerances(**{**given_values, limit.name: beyond}, edition=OLD)
    assert np.isnan(outside.total_um).all()
    assert np.isnan(outside.tooth_um).all()
    assert [stop.key for stop in outside.stops] == [f"iso1328_2_1997.composite.{limit.name}"]


@pytest.mark.parametrize(
    ("given_values", "key", "words"),
    [
        ({}, "not_built", "are not at hand"),
        ({"teeth": 2}, "teeth", "z = 2 lies outside"),
        ({"reference_diameter_mm": 601.0}, "reference_diameter_mm", "d = 601 mm lies outside"),
    ],
)
def test_the_edition_of_2020_is_refused_outside_its_scope_first(given_values, key, words):
    found = composite_tolerances(**{**SIZE, "teeth": 27, **given_values}, tolerance_class=40, edition=NEW)
    assert found.total_um is None
    assert found.tooth_um is None
    assert found.method is COMPOSITE_2020
    (stop,) = found.stops
    assert stop.key == f"iso1328_2_2020.composite.{key}"
    assert words in stop.text


@settings(deadline=None)
@given(st.floats(5, 1000), st.floats(0.2, 10), st.integers(4, 12))
def test_a_gear_on_its_tolerances_has_its_grade(d, m, grade):
    size = {"reference_diameter_mm": d, "normal_module_mm": m, "edition": OLD}
    limits = composite_tolerances(**size, tolerance_class=grade)
    found = composite_class(**size, total_um=limits.total_um, tooth_um=limits.tooth_um)
    assert (found.total, found.tooth, found.overall) == (grade, grade, grade)
    above = composite_class(**size, total_um=limits.total_um + 0.01)
    assert above.overall == (None if grade == 12 else grade + 1)
    assert bool(above.stops) is (grade == 12)


@pytest.mark.parametrize("wrong", [{}, {"total_um": -1.0}, {"total_um": 5.0, "edition": NEW}])
def test_what_cannot_be_graded_is_refused(wrong):
    with pytest.raises(InputError):
        composite_class(**{**SIZE, "edition": OLD, **wrong})


def test_an_edition_that_is_not_known_is_refused():
    with pytest.raises(InputError, match="ISO 1328-2:1997 or ISO 1328-2:2020"):
        composite_tolerances(**SIZE, tolerance_class=6, edition="ISO 1328-2:1984")


def test_other_grades_of_the_superseded_standard_are_refused():
    found = older_pitch_tolerances(reference_diameter_mm=100, module_mm=3, grade=np.array([4, 5]))
    assert np.isnan(found.single_pitch_um).tolist() == [False, True]
    assert [stop.key for stop in found.stops] == ["jis_b1702_1976.pitch.grade"]


@pytest.mark.parametrize("edition", AccuracyEdition)
def test_the_table_has_a_row_for_each_parameter_and_a_column_for_each_class(edition):
    found = tolerance_table(
        reference_diameter_mm=110, normal_module_mm=4, face_width_mm=30, teeth=27, edition=edition
    )
    rows = list(found.rows())
    assert [row[2].shape for row in rows] == [class_range(edition).shape] * len(rows)
    assert all((np.diff(values) > 0).all() for *_, values in rows)
    labels = {label for label, *_ in rows}
    assert ("Tooth to tooth" in labels) is (edition is AccuracyEdition.ISO_1328_1_2013)
    assert {"Sector pitch", "Runout", "Helix form"} <= labels


def test_outside_the_scope_the_table_is_empty_and_says_why():
    found = tolerance_table(
        reference_diameter_mm=110,
        normal_module_mm=4,
        face_width_mm=3,
        edition=AccuracyEdition.ISO_1328_1_2013,
    )
    assert not list(found.rows())
    assert found.limits.stops
