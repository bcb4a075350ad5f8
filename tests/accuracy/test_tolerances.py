"""Tolerances: cited values, steps of √2, rounding, scope, and arrays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import rounded, tolerances
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013 as TOLERANCES
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from tests.checks import cases, holds

EDITION = AccuracyEdition.ISO_1328_1_2013
NAMES = ("single_pitch", "cumulative_pitch", "profile_slope", "profile_form", "profile_total")
NAMES += ("helix_slope", "helix_form", "helix_total", "runout", "sector_pitch", "adjacent_pitch")
GEAR = {"reference_diameter_mm": 110.0, "normal_module_mm": 4.0, "face_width_mm": 30.0, "teeth": 27}
gears = st.fixed_dictionaries(
    {
        "reference_diameter_mm": st.floats(5, 15000),
        "normal_module_mm": st.floats(0.5, 70),
        "face_width_mm": st.floats(4, 1200),
        "teeth": st.integers(5, 1000),
    }
)


def of(name, *, exact=False, **given_values):
    found = tolerances(edition=EDITION, **{**GEAR, "tolerance_class": 6, **given_values})
    return getattr(found, f"{name}_exact_um" if exact else f"{name}_um")


@pytest.mark.parametrize("check", cases("accuracy", "gearcheck.accuracy.tolerances:tolerances"), ids=str)
def test_cited_values(check):
    if check.id == "TOL-13-scope":
        holds(check, **{limit.name: [limit.low, limit.high] for limit in TOLERANCES.valid})
        return
    exact = check.id.endswith("-EXACT") or check.id == "TOL-97-2"
    holds(check, **{name: of(name, exact=exact, **check.inputs) for name in check.expected})


@pytest.mark.parametrize("limit", TOLERANCES.valid, ids=lambda limit: limit.name)
def test_the_scope_is_refused_beyond_its_limits_and_exact_on_them(limit):
    found = tolerances(
        edition=EDITION,
        **{**GEAR, "tolerance_class": 5, limit.name: np.array([limit.low, limit.high])},
    )
    assert np.isfinite(found.runout_um).all()
    assert not found.notices
    outside = np.array([np.nextafter(limit.low, -np.inf), np.nextafter(limit.high, np.inf)])
    found = tolerances(edition=EDITION, **{**GEAR, "tolerance_class": 5, limit.name: outside})
    for name in NAMES:
        assert np.isnan(getattr(found, f"{name}_um")).all()
        assert np.isnan(getattr(found, f"{name}_exact_um")).all()
    (stop,) = found.stops
    assert stop.key == f"iso1328_1_2013.tolerances.{limit.name}"
    assert str(limit) in stop.text


def test_one_sample_outside_leaves_the_others():
    found = tolerances(
        edition=EDITION,
        **{**GEAR, "reference_diameter_mm": np.array([110.0, 4.0, 240.0])},
        tolerance_class=6,
    )
    assert np.isnan(found.single_pitch_um).tolist() == [False, True, False]
    assert found.single_pitch_um[0] == 9.5


def test_a_plain_stop_is_none():
    found = tolerances(edition=EDITION, **{**GEAR, "face_width_mm": 3.0}, tolerance_class=6)
    assert found.helix_total_um is None
    assert found.single_pitch_um is None


def test_a_stop_from_before_travels():
    assert tolerances(edition=EDITION, **{**GEAR, "face_width_mm": None}, tolerance_class=6).runout_um is None


def test_another_edition_is_refused():
    with pytest.raises(InputError, match="ISO 1328-1:2013"):
        tolerances(edition="ISO 1328-1:1995", **GEAR, tolerance_class=6)


def test_a_class_between_two_is_cautioned():
    between = tolerances(edition=EDITION, **GEAR, tolerance_class=np.array([5.0, 5.5, 6.0]))
    assert [notice.level for notice in between.notices] == [Level.CAUTION]
    assert (np.diff(between.single_pitch_exact_um) > 0).all()
    assert not tolerances(edition=EDITION, **GEAR, tolerance_class=6).notices


@pytest.mark.parametrize(
    ("exact", "printed"),
    [
        (10.4999, 10),
        (10.5, 11),  # a tie goes up
        (10.0, 10),
        (9.75, 10),
        (9.7499, 9.5),
        (6.25, 6.5),
        (5.0, 5.0),
        (4.95, 5.0),
        (4.9499, 4.9),
        (0.25, 0.3),
        (0.15 + 0.1, 0.3),
        (1.05, 1.1),
    ],
)
def test_rounding(exact, printed):
    assert rounded(exact) == printed


@settings(deadline=None)
@given(gears, st.integers(1, 10))
def test_a_class_is_a_step_of_root_two_and_rounding_is_small(gear, tolerance_class):
    found = tolerances(
        edition=EDITION, **gear, tolerance_class=np.array([tolerance_class, tolerance_class + 1])
    )
    for name in NAMES:
        finer, coarser = getattr(found, f"{name}_exact_um")
        assert coarser / finer == pytest.approx(np.sqrt(2), rel=1e-12)
        printed = getattr(found, f"{name}_um")
        assert 0 < printed[0] < printed[1]
        exact = np.array([finer, coarser])
        step = np.where(exact > 10, 1.0, np.where(exact >= 5, 0.5, 0.1))
        assert (np.abs(printed - exact) <= step / 2 + 1e-6).all()


@settings(deadline=None)
@given(gears, st.sampled_from(sorted(GEAR.keys() - {"teeth"})), st.floats(1.001, 1.5))
def test_no_tolerance_shrinks_with_the_size_of_the_gear(gear, name, factor):
    limit = next(limit for limit in TOLERANCES.valid if limit.name == name)
    bigger = {**gear, name: min(gear[name] * factor, limit.high)}
    for parameter in NAMES:
        grown = of(parameter, exact=True, **bigger)
        assert np.isfinite(grown)
        assert grown >= of(parameter, exact=True, **gear)


def test_everything_broadcasts():
    shape = (3, 1, 1), (4, 1), (11,)
    found = tolerances(
        edition=EDITION,
        reference_diameter_mm=np.linspace(50, 500, 3).reshape(shape[0]),
        normal_module_mm=4.0,
        face_width_mm=np.linspace(10, 80, 4).reshape(shape[1]),
        tolerance_class=np.arange(1, 12),
    )
    assert found.helix_total_um.shape == (3, 4, 11)
    alone = of(
        "helix_total", reference_diameter_mm=275.0, face_width_mm=np.linspace(10, 80, 4)[2], tolerance_class=7
    )
    assert np.broadcast_to(found.helix_total_um, (3, 4, 11))[1, 2, 6] == alone
