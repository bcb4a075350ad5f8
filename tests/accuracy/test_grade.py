"""Class from measured deviations: cited values, round trip, worse than class 11, arrays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.grade import accuracy_class
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import tolerances
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from tests.accuracy.test_tolerances import GEAR, NAMES, gears
from tests.checks import cases, holds

EDITION = AccuracyEdition.ISO_1328_1_2013


def all_tolerances(gear, tolerance_class):
    found = tolerances(edition=EDITION, **gear, tolerance_class=tolerance_class)
    return {f"{name}_um": getattr(found, f"{name}_um") for name in NAMES}


@pytest.mark.parametrize("check", cases("accuracy", "gearcheck.accuracy.grade:accuracy_class"), ids=str)
def test_cited_values(check):
    found = accuracy_class(edition=EDITION, **check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@settings(deadline=None)
@given(gears, st.integers(1, 11))
def test_a_gear_on_its_tolerances_has_its_class(gear, tolerance_class):
    found = accuracy_class(edition=EDITION, **gear, **all_tolerances(gear, tolerance_class))
    assert [getattr(found, name) for name in NAMES] == [tolerance_class] * len(NAMES)
    assert found.overall == tolerance_class
    assert not found.notices


@settings(deadline=None)
@given(gears, st.integers(1, 11), st.sampled_from([name for name in NAMES if name != "adjacent_pitch"]))
def test_a_hair_more_is_the_next_class(gear, tolerance_class, name):
    on = all_tolerances(gear, tolerance_class)
    found = accuracy_class(edition=EDITION, **gear, **{**on, f"{name}_um": on[f"{name}_um"] * (1 + 1e-9)})
    if tolerance_class == 11:
        assert getattr(found, name) is None
        assert found.overall is None
        (stop,) = found.stops
        assert "worse than class 11" in stop.text
        assert name.replace("_", " ") in stop.text
        assert found.spoiled_by == name.replace("_", " ")
    else:
        assert getattr(found, name) == found.overall == tolerance_class + 1
        assert found.spoiled_by == name.replace("_", " ")


@settings(deadline=None)
@given(gears, st.floats(0, 500), st.floats(0, 500))
def test_a_larger_deviation_is_never_a_finer_class(gear, one, other):
    found = accuracy_class(edition=EDITION, **gear, runout_um=np.sort([one, other])).runout
    finer, coarser = np.nan_to_num(found, nan=12)
    assert 1 <= finer <= coarser


def test_what_is_not_given_is_named_and_none():
    found = accuracy_class(edition=EDITION, **GEAR, single_pitch_um=-6.5)
    assert found.single_pitch == found.overall == 5
    assert found.runout is None
    (note,) = found.notices
    assert note.level is Level.NOTE
    assert "runout" in note.text
    assert "single pitch" not in note.text


def test_arrays_are_judged_sample_by_sample():
    found = accuracy_class(
        edition=EDITION,
        **{**GEAR, "reference_diameter_mm": np.array([[110.0], [4.0]])},
        single_pitch_um=np.array([6.5, 6.6, 100.0]),
        runout_um=19.0,
    )
    np.testing.assert_array_equal(found.single_pitch, [[5, 6, np.nan], [np.nan] * 3])
    np.testing.assert_array_equal(found.overall, [[5, 6, np.nan], [np.nan] * 3])
    assert {stop.key for stop in found.stops} == {
        "iso1328_1_2013.class.reference_diameter_mm",
        "iso1328_1_2013.class.single_pitch",
    }


def test_a_missing_value_is_not_taken_for_a_good_one():
    found = accuracy_class(edition=EDITION, **GEAR, single_pitch_um=np.array([6.5, np.nan]), runout_um=19.0)
    np.testing.assert_array_equal(found.overall, [5, np.nan])


@pytest.mark.parametrize("measured", [{}, {"runout_um": -1.0}, {"profile_form_um": np.array([1.0, -1])}])
def test_what_cannot_be_judged_is_refused(measured):
    with pytest.raises(InputError):
        accuracy_class(edition=EDITION, **GEAR, **measured)
