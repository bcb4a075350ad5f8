"""The class of a gear: editions, flanks, what spoils it, the guard band, class to tolerance to class."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.gear_class import class_with_guard, gear_class
from gearcheck.accuracy.grade import PARAMETERS, accuracy_class, class_range
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import rounded, tolerances
from gearcheck.basics.errors import InputError
from tests.accuracy.test_tolerances import GEAR
from tests.checks import cases, holds

NEW, OLD = AccuracyEdition.ISO_1328_1_2013, AccuracyEdition.ISO_1328_1_1995
OF = {NEW: tuple(PARAMETERS), OLD: tuple(name for name in PARAMETERS if name != "adjacent_pitch")}


def edition_of(inputs):
    return {**inputs, "edition": AccuracyEdition(inputs.get("edition", NEW))}


@pytest.mark.parametrize(
    "check", cases("accuracy_editions", "gearcheck.accuracy.grade:accuracy_class"), ids=str
)
def test_cited_classes(check):
    found = accuracy_class(**edition_of(check.inputs))
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize(
    "check", cases("accuracy_editions", "gearcheck.accuracy.gear_class:gear_class"), ids=str
)
def test_cited_classes_of_both_flanks(check):
    found = gear_class(**edition_of(check.inputs))
    holds(check, **{name: getattr(found, name) for name in check.expected})
    assert found.spoiled_by == "profile form, right flank"


@pytest.mark.parametrize(
    "check", cases("accuracy_editions", "gearcheck.accuracy.gear_class:class_with_guard"), ids=str
)
def test_cited_classes_with_a_guard_band(check):
    found = class_with_guard(**edition_of(check.inputs))
    holds(check, **{name: getattr(found, name).overall for name in check.expected})


@pytest.mark.parametrize("edition", AccuracyEdition)
def test_over_the_whole_scope_a_gear_on_its_tolerances_has_its_class(edition):
    """A grid over the scope, all classes: class to tolerance to class."""
    ends_of, count = ((5, 10000), (0.5, 70), (4, 1000)), 9
    d, m, b = (
        np.geomspace(*ends, count).reshape([-1 if at == axis else 1 for at in range(4)])
        for axis, ends in enumerate(ends_of)
    )
    size = {
        "reference_diameter_mm": d,
        "normal_module_mm": m,
        "face_width_mm": b,
        "teeth": 30,
        "edition": edition,
    }
    classes = class_range(edition)
    limits = tolerances(**size, tolerance_class=classes)
    on = {f"{name}_um": getattr(limits, f"{name}_um") for name in OF[edition]}
    found = accuracy_class(**size, **on)
    expected = np.broadcast_to(classes, (count, count, count, classes.size))
    for name in (*OF[edition], "overall"):
        np.testing.assert_array_equal(np.broadcast_to(getattr(found, name), expected.shape), expected)
    steps = np.diff(np.broadcast_to(limits.single_pitch_um, expected.shape), axis=-1)
    assert (steps > 0).all()


@settings(deadline=None)
@given(
    st.sampled_from(AccuracyEdition),
    st.floats(5, 10000),
    st.floats(0.5, 70),
    st.floats(4, 1000),
    st.integers(5, 1000),
    st.integers(2, 11),
)
def test_a_gear_on_its_tolerances_has_its_class(edition, d, m, b, teeth, number):
    size = {
        "reference_diameter_mm": d,
        "normal_module_mm": m,
        "face_width_mm": b,
        "teeth": teeth,
    }
    limits = tolerances(edition=edition, **size, tolerance_class=number)
    on = {f"{name}_um": getattr(limits, f"{name}_um") for name in OF[edition]}
    found = gear_class(edition=edition, sizes=size, left=on, right={"single_pitch_um": 0.0}, both={})
    assert found.overall == found.left_class == number
    assert found.right_class == class_range(edition)[0]
    assert all(part.endswith(", left flank") for part in found.spoiled_by.split("; "))


def test_what_is_worse_than_all_classes_is_named():
    found = gear_class(
        edition=NEW,
        sizes=GEAR,
        left={"profile_form_um": 500.0, "single_pitch_um": 3.0},
        both={"runout_um": 9.0},
    )
    assert found.overall is None
    assert found.left_class is None
    assert found.spoiled_by == "profile form, left flank"
    assert found.right is None


def test_arrays_are_judged_sample_by_sample():
    found = gear_class(
        edition=NEW,
        sizes=GEAR,
        left={"single_pitch_um": np.array([6.5, 9.5, 500.0, np.nan])},
        right={"helix_total_um": 9.6},
    )
    np.testing.assert_array_equal(found.overall, [6, 6, np.nan, np.nan])
    both = "single pitch, left flank; helix total, right flank"
    assert found.spoiled_by.tolist() == ["helix total, right flank", both, "single pitch, left flank", ""]


def test_what_the_older_edition_does_not_know_is_said():
    found = accuracy_class(**GEAR, edition=OLD, adjacent_pitch_um=6.0, single_pitch_um=6.0)
    assert found.adjacent_pitch is None
    assert found.overall is not None
    assert [note.key for note in found.notices if "adjacent" in note.key] == [
        "iso1328_1_1995.class.adjacent_pitch"
    ]


def test_a_sector_pitch_needs_the_number_of_teeth():
    size = {name: value for name, value in GEAR.items() if name != "teeth"}
    with pytest.raises(InputError, match="teeth"):
        accuracy_class(**size, edition=NEW, sector_pitch_um=10.0)


@pytest.mark.parametrize("given_values", [{}, {"left": {}}, {"left": {"single_pitch_um": None}}])
def test_no_deviation_at_all_is_refused(given_values):
    with pytest.raises(InputError, match="deviation"):
        gear_class(edition=NEW, sizes=GEAR, **given_values)


@settings(deadline=None)
@given(st.floats(0.1, 40), st.floats(0, 10))
def test_the_guard_band_never_makes_a_class_surer_than_it_is(deviation, guard):
    found = class_with_guard(
        edition=NEW, sizes=GEAR, guard_um=guard, deviations={"single_pitch_um": -deviation}
    )
    kept, measured, finest = (
        np.nan_to_num(item.overall or 12.0)
        for item in (found.surely_kept, found.as_measured, found.no_finer_than)
    )
    assert finest <= measured <= kept
    if guard == 0:
        assert finest == kept


def test_a_guard_band_may_differ_by_deviation():
    guard = {"single_pitch_um": 0.0, "runout_um": 5.0}
    of = {"edition": NEW, "sizes": GEAR, "deviations": {"single_pitch_um": 6.5, "runout_um": 18.0}}
    found = class_with_guard(**of, guard_um=guard)
    assert (found.surely_kept.single_pitch, found.surely_kept.runout) == (5, 6)
    with pytest.raises(InputError, match="guard_um of runout_um"):
        class_with_guard(**of, guard_um={"single_pitch_um": 0.0})


@pytest.mark.parametrize("exact", [0.05, 0.15, 4.95, 5.25, 9.75, 10.5, 11.5, 4.85])
def test_a_tie_goes_up_whatever_binary_fractions_say(exact):
    step = 1.0 if exact > 10 else 0.5 if exact >= 5 else 0.1
    assert rounded(exact) == pytest.approx(exact + step / 2, abs=1e-12)
    assert rounded(exact - 1e-6) == pytest.approx(exact - step / 2, abs=1e-12)
