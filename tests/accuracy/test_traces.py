"""Traces: hand sheets, what is put in comes out, noise, waves, gaps, spikes, both editions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.accuracy.inputs import AccuracyEdition, TraceKind
from gearcheck.accuracy.ranges import helix_range, profile_range
from gearcheck.accuracy.spikes import spikes
from gearcheck.accuracy.traces import trace_evaluation
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.gear.design import design_trace
from gearcheck.gear.inputs import ReliefForm
from tests.checks import cases, holds

NEWER, OLDER = AccuracyEdition.ISO_1328_1_2013, AccuracyEdition.ISO_1328_1_1995
PLACE = np.linspace(0, 20, 401)
U = PLACE / 10 - 1


def evaluated(deviation, *, place=PLACE, kind=TraceKind.PROFILE, edition=NEWER, **given):
    ends = {"start_mm": place[..., 0], "end_mm": place[..., -1]}
    return trace_evaluation(
        kind=kind, edition=edition, place_mm=place, deviation_um=deviation, **{**ends, **given}
    )


def inputs_of(check):
    inputs = dict(check.inputs)
    if "wave_um" in inputs:
        place = np.linspace(0, 1, 20001)
        wave = inputs["slope_um"] * place + inputs["wave_um"] * np.sin(2 * np.pi * place)
        return evaluated(wave, place=place, smoothed=False)
    if "points" in inputs:
        k = np.arange(inputs["points"])
        place = np.linspace(0, 10, inputs["points"])
        return evaluated((7 * k**2 + 3 * k) % 11 - 5 + 0.8 * place, place=place, smoothed=False)
    if "crowning_um" in inputs:
        return evaluated(-inputs["crowning_um"] * U**2, smoothed=False)
    edition = AccuracyEdition(inputs.pop("edition", NEWER))
    return trace_evaluation(kind=TraceKind.PROFILE, edition=edition, **inputs, smoothed=False)


@pytest.mark.parametrize("check", cases("traces", "gearcheck.accuracy.traces:trace_evaluation"), ids=str)
def test_cited_values(check):
    found = inputs_of(check)
    holds(check, **{name: getattr(found, f"{name}_um") for name in check.expected})


@pytest.mark.parametrize("check", cases("traces", "gearcheck.accuracy.ranges:profile_range"), ids=str)
def test_cited_ranges_of_profiles(check):
    both = [profile_range(edition=edition, **check.inputs) for edition in (NEWER, OLDER)]
    holds(check, start=both[0].start_mm, tip=both[0].tip_mm, end=[one.end_mm for one in both])


@pytest.mark.parametrize("check", cases("traces", "gearcheck.accuracy.ranges:helix_range"), ids=str)
def test_cited_ranges_of_helices(check):
    for edition in AccuracyEdition:
        found = helix_range(edition=edition, **check.inputs)
        holds(check, start=found.start_mm, end=found.end_mm)


@pytest.mark.parametrize("check", cases("traces", "gearcheck.gear.design:design_trace"), ids=str)
def test_cited_design_traces(check):
    found = {form: design_trace(**check.inputs, relief_form=form).design_um for form in ReliefForm}
    holds(check, linear=found[ReliefForm.LINEAR], parabolic=found[ReliefForm.PARABOLIC])


@pytest.mark.parametrize("edition", AccuracyEdition)
@pytest.mark.parametrize("kind", TraceKind)
def test_slope_crowning_and_form_come_out_as_they_were_put_in(edition, kind):
    """Orthogonal on the grid: a line, a parabola, and a wave that is even and has no parabola in it."""
    ripple = np.cos(8 * np.pi * U)
    centred = U**2 - (U**2).mean()
    ripple = ripple - ripple.mean() - centred * (centred @ ripple) / (centred @ centred)
    slope, crowning = np.array([-7.0, 0, 11.0])[:, None], np.array([0, 3.0, -2.0])[:, None]
    found = evaluated(
        slope * (U + 1) / 2 - crowning * U**2 + 1.5 * ripple, kind=kind, edition=edition, smoothed=False
    )
    np.testing.assert_allclose(found.slope_um, slope[:, 0], atol=1e-9)
    np.testing.assert_allclose(found.crowning_um, crowning[:, 0], atol=1e-9)
    straight = evaluated(slope * (U + 1) / 2 + 1.5 * ripple, edition=edition, smoothed=False)
    np.testing.assert_allclose(straight.form_um, 1.5 * np.ptp(ripple), atol=1e-9)


def test_the_filter_of_the_newer_edition_leaves_what_it_is_known_to_leave():
    """A wave of 1/30 of the range keeps half its height inside; the older edition has no filter."""
    wave = 4 * np.cos(2 * np.pi * PLACE / (20 / 30))
    inside = slice(40, -40)
    newer, older = evaluated(wave), evaluated(wave, edition=OLDER)
    np.testing.assert_allclose(newer.smoothed_um[inside], wave[inside] / 2, atol=1e-3)
    np.testing.assert_array_equal(older.smoothed_um, wave)
    assert newer.smoothing.cut_off_mm == pytest.approx(20 / 30)
    assert older.smoothing is None
    agreed = evaluated(wave, edition=OLDER, cut_off_mm=20 / 30)
    np.testing.assert_array_equal(agreed.smoothed_um, newer.smoothed_um)
    short = np.linspace(0, 0.5, 401)
    assert evaluated(wave, place=short).smoothing.cut_off_mm == 0.025


def test_a_slope_goes_through_the_filter_unchanged():
    found = evaluated(9.0 * (U + 1) / 2)
    assert found.slope_um == pytest.approx(9.0, abs=1e-9)
    assert found.form_um == pytest.approx(0.0, abs=1e-9)


def test_the_newer_slope_reaches_from_control_to_tip_and_the_older_over_the_range():
    given = {"start_mm": 2.0, "end_mm": 18.0, "slope_from_mm": 2.0, "slope_to_mm": 20.0}
    assert evaluated(PLACE, **given).slope_um == pytest.approx(18.0)
    assert evaluated(PLACE, **given, edition=OLDER).slope_um == pytest.approx(16.0)
    assert evaluated(PLACE, **given).total_um == pytest.approx(16.0)


@given(
    st.floats(-30, 30), st.floats(-10, 10), st.floats(0, 40), st.floats(0, 20), st.sampled_from(ReliefForm)
)
def test_a_trace_that_is_its_design_has_no_deviation(slope, crowning, tip, root, form):
    design = design_trace(
        place_mm=PLACE,
        from_mm=1,
        to_mm=19,
        low_relief_um=root,
        low_relief_end_mm=4,
        high_relief_um=tip,
        high_relief_start_mm=12,
        relief_form=form,
        crowning_um=crowning,
        slope_um=slope,
    ).design_um
    found = evaluated(design + 3.0, design_um=design)
    for value in (found.total_um, found.form_um, found.slope_um, found.crowning_um):
        assert value == pytest.approx(0.0, abs=1e-8)
    np.testing.assert_allclose(found.smoothed_um, design + 3.0, atol=1e-8)


@given(st.integers(0, 2**32 - 1), st.floats(0.05, 2.0))
def test_noise_moves_a_slope_within_its_uncertainty(seed, noise):
    """Six standard deviations of a slope of least squares; the mean of a normal scatter."""
    scatter = np.random.default_rng(seed).normal(0, noise, PLACE.size)
    found = evaluated(8.0 * (U + 1) / 2 + scatter, smoothed=False)
    spread = noise / np.sqrt(((U - U.mean()) ** 2).sum()) * 2
    assert abs(found.slope_um - 8.0) < 6 * spread


def test_points_excluded_or_missing_are_told_and_evaluated_around():
    spiked = 8.0 * (U + 1) / 2 + 0.01 * np.sin(40 * U)
    spiked[200:202] += 40.0
    kept = np.ones(PLACE.size, dtype=bool)
    kept[200:202] = False
    whole = evaluated(spiked, smoothed=False)
    without = evaluated(spiked, kept=kept, smoothed=False)
    missing = evaluated(np.where(kept, spiked, np.nan), smoothed=False)
    assert whole.total_um > 40
    assert without.total_um == missing.total_um == pytest.approx(8.0, abs=0.03)
    assert whole.spike.nonzero()[0].tolist() == [200, 201]
    assert "2 points are standing out" in whole.notices[0].text
    assert "2 points are excluded" in without.notices[0].text
    assert "2 points are missing" in missing.notices[0].text
    assert not (without.spike & without.used).any()


@pytest.mark.parametrize(
    ("change", "key", "said"),
    [
        ({"end_mm": 21.0}, "short", "to 20.000 mm of roll length, its evaluation range from 0.000 to 21.000"),
        (
            {"kept": PLACE > 0.09},
            "end",
            "start of the evaluation range of a profile trace is missing or excl",
        ),
        ({"kept": PLACE < 19.0}, "end", "end of the evaluation range of a profile trace is missing or excl"),
        ({"kept": np.arange(401) > 100}, "end", "from 0.000 to 5.050 mm of roll length"),
        ({"kept": np.arange(401) < 0}, "missing", "100% are missing or excluded"),
        ({"kept": np.arange(401) % 4 > 0}, "missing", "25% are missing or excluded"),
        ({"kept": (PLACE < 9) | (PLACE > 12)}, "gap", "no point that counts on 3.0"),
    ],
)
def test_what_stops_a_trace(change, key, said):
    two = np.stack([PLACE, PLACE])
    found = evaluated(np.stack([U, U]), place=two, **{"smoothed": False, **change})
    assert np.isnan(found.total_um).all() and np.isnan(found.slope_um).all()
    assert [one.key for one in found.stops] == [f"iso1328_1.traces.{key}"]
    assert said in found.stops[0].text


def test_points_lost_at_an_end_stop_a_trace_that_was_measured_beyond_it():
    """The points outside do not stand for those inside; rows that are not there are missing too."""
    ends = {"start_mm": 2.0, "end_mm": 18.0, "smoothed": False}
    lost = (PLACE >= 2.0) & (PLACE < 2.15)
    for found in (
        evaluated(np.where(lost, np.nan, U), **ends),
        evaluated(U[~lost], place=PLACE[~lost], **ends),
        evaluated(-U[::-1][~lost[::-1]], place=20 - PLACE[::-1][~lost[::-1]], **ends),
    ):
        assert [one.key for one in found.stops] == ["iso1328_1.traces.end"]
        assert found.total_um is None


@pytest.mark.parametrize("seed", range(20))
def test_uneven_points_that_are_all_there_stop_no_trace(seed):
    """Even steps of the radius, wide on the roll near the base; and steps that vary by a third."""
    rng = np.random.default_rng(seed)
    rolls = np.sqrt(np.linspace(30.05, 36, 400) ** 2 - 30.0**2)
    shaken = np.cumsum(rng.uniform(0.04, 0.06, 400))
    for place in (rolls, shaken):
        start, end = rng.uniform(place[0], place[40]), rng.uniform(place[-40], place[-1])
        found = evaluated(np.zeros(400), place=place, start_mm=start, end_mm=end)
        assert not found.stops


def test_one_trace_that_stops_leaves_the_others_their_values():
    traces = np.stack([U, np.where(PLACE < 12, np.nan, U)])
    found = evaluated(traces, smoothed=False)
    assert found.slope_um[0] == pytest.approx(2.0)
    assert np.isnan(found.slope_um[1])


def test_too_few_points_for_the_filter_are_told():
    place = np.linspace(0, 20, 60)
    found = evaluated(np.zeros(60), place=place)
    assert [one.level for one in found.notices] == [Level.CAUTION]
    assert "2.0 to a cut-off" in found.notices[0].text


def test_too_few_points_are_told_where_there_is_no_filter():
    """A range of 30 stretches of 5 points each: 150 steps are enough, 149 are not."""
    for steps, said in ((150, []), (149, [Level.CAUTION])):
        found = evaluated(np.zeros(steps + 1), place=np.linspace(0, 20, steps + 1), edition=OLDER)
        assert [one.level for one in found.notices] == said
    assert "5.0 to a thirtieth of the range" in found.notices[0].text


def test_a_trace_filled_up_to_the_length_of_another_is_the_same():
    short = np.linspace(0, 20, 301)
    place = np.stack([PLACE, np.concatenate([short, [np.nan] * 100])])
    deviation = np.sin(place)
    both = evaluated(deviation, place=place, start_mm=1.0, end_mm=19.0)
    alone = evaluated(np.sin(short), place=short, start_mm=1.0, end_mm=19.0)
    for name in ("total_um", "form_um", "slope_um", "crowning_um"):
        assert getattr(both, name)[1] == pytest.approx(getattr(alone, name), abs=1e-12)


def test_spikes_by_a_plain_median_point_by_point():
    rng = np.random.default_rng(5)
    trace = np.sin(PLACE) + rng.normal(0, 0.2, PLACE.size)
    trace[[0, 17, 18, 250, 400]] += [9.0, -8.0, -8.0, 5.0, 7.0]
    trace[100] = np.nan
    distance = np.array([trace[k] - np.nanmedian(trace[max(k - 3, 0) : k + 4]) for k in range(PLACE.size)])
    limit = max(8 * 1.4826 * np.nanmedian(np.abs(distance)), 2.0)
    np.testing.assert_array_equal(spikes(trace), np.abs(np.nan_to_num(distance)) > limit)
    assert set(spikes(trace).nonzero()[0]) >= {0, 17, 18, 250, 400}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"end_mm": 0.0}, "beyond the start of the evaluation range"),
        ({"slope_from_mm": 3.0, "slope_to_mm": 2.0}, "length of the slope"),
        ({"design_um": [1.0, 2.0]}, "401 values a trace"),
        ({"kept": [True]}, "401 values a trace"),
    ],
)
def test_what_is_refused(change, said):
    with pytest.raises(InputError, match=said):
        evaluated(U, **change)


def test_an_infinite_deviation_is_refused():
    with pytest.raises(InputError, match="finite"):
        evaluated(np.where(PLACE == 0, np.inf, U))


def test_a_control_diameter_off_the_flank_leaves_no_range():
    found = profile_range(
        edition=NEWER, base_diameter_mm=30, tip_diameter_mm=50, control_diameter_mm=np.array([29.0, 34.0])
    )
    assert np.isnan(found.start_mm[0]) and found.start_mm[1] == 8.0
    assert "between the base diameter of 30.000 mm" in found.stops[0].text


@pytest.mark.parametrize("place", [None, 25.0, 20.0])
def test_a_relief_needs_the_place_where_it_starts(place):
    with pytest.raises(InputError, match="the place where the relief starts"):
        design_trace(place_mm=PLACE, from_mm=0, to_mm=20, high_relief_um=5, high_relief_start_mm=place)
