"""Measured flanks of one part: what is taken from where, both flanks, design, case, words."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, FlankModification, TraceKind
from gearcheck.accuracy.pitch import pitch_deviations
from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.gear.inputs import Hand
from gearcheck.review.evidence_inputs import Exclusion, TraceEvidence
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.measured_flanks import measured_corrections, measured_errors, measured_traces
from gearcheck.review.measured_words import error_words, measured_correction_words
from gearcheck.review.traced import evaluation_span
from gearcheck.review.whole import review

ROLL, FACE = np.linspace(12.5, 35.5, 461), np.linspace(0.0, 58.0, 581)


def read(name):
    return read_gear_file(scenarios() / name / "gear.toml")


def traced(record, kind, deviation, tooth=(1, 9), flank=Flank.LEFT, excluded=()):
    place = ROLL if kind is TraceKind.PROFILE else FACE
    item = TraceEvidence(
        head=record.pitch[0].head,
        kind=kind,
        tooth=np.array(tooth),
        flank=(flank,) * len(tooth),
        across_mm=None,
        place_mm=np.tile(place, (len(tooth), 1)),
        deviation_um=np.stack([deviation(place)] * len(tooth)),
        excluded=excluded,
    )
    name = "profile" if kind is TraceKind.PROFILE else "helix"
    return replace(record, **{name: (*getattr(record, name), item)})


def looked_at(record):
    return review(record, with_settled=False)


def flat(record):
    """Without pitch deviations: what is left comes from the traces."""
    (item,) = record.pitch
    zero = np.zeros_like(item.left_um)
    return replace(record, pitch=(replace(item, left_um=zero, right_um=zero),))


def of_flank(found, flank):
    (item,) = (one for one in found if one.flank is flank)
    return item


def test_the_loaded_flank_comes_first_and_pitch_alone_is_said_to_be_alone():
    whole = looked_at(read("tunnel_fan"))
    found = measured_errors(whole)
    assert [item.is_loaded for item in found] == [True, False]
    assert found[0].flank == whole.record.meshes[0].loaded_flank
    words = error_words(found[0])
    assert "No profile is known: it counts as true" in words
    assert f"{found[0].error.peak_to_peak_um:.1f} µm from peak to peak" in words.replace("\u00a0", " ")
    # never more than the pitch holds
    pitch = whole.pitch[0]
    assert found[0].error.peak_to_peak_um <= getattr(pitch, f"{found[0].flank}_cumulative_pitch_um")


def test_the_path_of_contact_is_that_of_the_gear():
    whole = looked_at(read("tunnel_fan"))
    error = measured_errors(whole)[0].error
    mesh = whole.chain.meshes[0]
    length = array(mesh.pair.path_length_mm)
    assert error.end_roll_mm - error.start_roll_mm == pytest.approx(length)
    tip, base = (array(getattr(mesh.gear.geometry, name)) for name in ("tip_diameter_mm", "base_diameter_mm"))
    assert error.end_roll_mm == pytest.approx(np.sqrt(tip**2 - base**2) / 2)


def test_a_profile_slope_of_one_flank_moves_that_flank_alone():
    record = flat(read("tunnel_fan"))
    sloped = looked_at(traced(record, TraceKind.PROFILE, lambda x: 0.6 * x))
    errors, stocks = measured_errors(sloped), measured_corrections(sloped)
    assert of_flank(errors, Flank.RIGHT).error.peak_to_peak_um == pytest.approx(0, abs=1e-9)
    assert of_flank(errors, Flank.LEFT).error.mesh_peak_to_peak_um > 0
    span = sloped.traces[0].span
    expected = 0.6 * (span.end_mm - span.start_mm)
    helix = np.cos(np.radians(sloped.chain.meshes[0].pair.base_helix_angle_deg))
    assert of_flank(stocks, Flank.LEFT).stock.stock_um == pytest.approx(expected * helix, rel=0.01)
    assert of_flank(stocks, Flank.RIGHT).stock.stock_um == pytest.approx(0, abs=1e-9)


def test_what_is_drawn_makes_transmission_error_but_needs_no_correction():
    record = flat(read("tunnel_fan"))
    drawn = replace(
        record,
        gear=replace(record.gear, tip_relief_um=0.0, modification=FlankModification(profile_slope_um=-12.0)),
    )
    whole = looked_at(drawn)
    assert measured_traces(whole, "trial gear 1", TraceKind.PROFILE, Flank.LEFT) is None
    as_drawn = of_flank(measured_errors(whole), Flank.LEFT).error
    assert as_drawn.peak_to_peak_um > 0.5
    assert not any("No profile" in notice.text for notice in as_drawn.notices)
    start, tip = (float(getattr(_span(whole), name)) for name in ("start_mm", "tip_mm"))
    cut = looked_at(traced(drawn, TraceKind.PROFILE, lambda x: -12.0 * (x - start) / (tip - start)))
    measured = of_flank(measured_errors(cut), Flank.LEFT).error
    assert measured.peak_to_peak_um == pytest.approx(as_drawn.peak_to_peak_um, rel=0.02)
    assert of_flank(measured_corrections(cut), Flank.LEFT).stock.stock_um == pytest.approx(0, abs=0.05)


def _span(whole):
    return evaluation_span(whole.record, whole.chain, TraceKind.PROFILE)


def test_an_excluded_stretch_does_not_count():
    record = flat(read("tunnel_fan"))

    def dented(x):
        return np.where((x > 22) & (x < 23), -9.0, 0.0)

    plain = looked_at(traced(record, TraceKind.PROFILE, dented, tooth=(1,)))
    left_out = Exclusion(tooth=1, flank=Flank.LEFT, from_mm=21.5, to_mm=23.5, reason="a chip on the stylus")
    kept = looked_at(traced(record, TraceKind.PROFILE, dented, tooth=(1,), excluded=(left_out,)))
    assert of_flank(measured_corrections(plain), Flank.LEFT).stock.stock_um > 5
    assert of_flank(measured_corrections(kept), Flank.LEFT).stock.stock_um == pytest.approx(0, abs=0.05)


def test_a_trace_that_stopped_makes_no_transmission_error_and_is_told():
    """It would go on flat with its last value; the trace of another tooth counts as before."""
    record = flat(read("tunnel_fan"))
    good = traced(record, TraceKind.PROFILE, lambda x: 0.6 * x, tooth=(1,))
    short = traced(good, TraceKind.PROFILE, lambda x: np.where(x < 25, 2.0 * x, np.nan), tooth=(9,))
    both, alone = looked_at(short), looked_at(good)
    taken = measured_traces(both, "trial gear 1", TraceKind.PROFILE, Flank.LEFT)
    assert taken is not None and taken.tooth.tolist() == [1]
    found, as_before = (of_flank(measured_errors(one), Flank.LEFT) for one in (both, alone))
    np.testing.assert_array_equal(found.error.curve_um, as_before.error.curve_um)
    assert "1 profile trace that could not be evaluated does not count." in error_words(found)
    assert "does not count" not in error_words(as_before)
    stock = of_flank(measured_corrections(both), Flank.LEFT)
    assert stock.stock.stock_um == of_flank(measured_corrections(alone), Flank.LEFT).stock.stock_um
    assert "1 profile trace that could not be evaluated" in measured_correction_words(stock)
    assert "does not count" not in error_words(of_flank(measured_errors(both), Flank.RIGHT))


def test_where_all_traces_stopped_the_flank_is_as_drawn_and_that_is_told():
    record = flat(read("tunnel_fan"))
    none = traced(record, TraceKind.PROFILE, lambda x: np.where(x < 25, 2.0 * x, np.nan))
    whole = looked_at(none)
    assert measured_traces(whole, "trial gear 1", TraceKind.PROFILE, Flank.LEFT) is None
    found = of_flank(measured_errors(whole), Flank.LEFT)
    plain = of_flank(measured_errors(looked_at(record)), Flank.LEFT)
    np.testing.assert_array_equal(found.error.curve_um, plain.error.curve_um)
    assert "2 profile traces that could not be evaluated do not count." in error_words(found)


def test_traces_of_another_gear_do_not_count():
    record = traced(flat(read("tunnel_fan")), TraceKind.PROFILE, lambda x: 0.6 * x)
    (item,) = record.profile
    other = replace(item, head=replace(item.head, applies_to="serial number 99"))
    whole = looked_at(replace(record, profile=(other,)))
    assert measured_traces(whole, "trial gear 1", TraceKind.PROFILE, Flank.LEFT) is None
    assert of_flank(measured_corrections(whole), Flank.LEFT).stock.stock_um == pytest.approx(0, abs=1e-9)


def test_the_hand_of_a_helix_is_told_where_it_matters():
    record = traced(flat(read("tunnel_fan")), TraceKind.PROFILE, lambda x: 1.2 * x)
    both = looked_at(traced(record, TraceKind.HELIX, lambda x: -0.5 * x))
    item = of_flank(measured_errors(both), Flank.LEFT)
    assert item.other_hand_um is not None
    assert abs(item.other_hand_um - item.error.peak_to_peak_um) > 0.5
    assert "right-hand is taken, left-hand gives" in error_words(item)
    assert of_flank(measured_errors(both), Flank.RIGHT).other_hand_um is None
    for hand, value in ((Hand.RIGHT, item.error.peak_to_peak_um), (Hand.LEFT, item.other_hand_um)):
        known = replace(both, record=replace(both.record, hand=hand))
        said = of_flank(measured_errors(known), Flank.LEFT)
        assert (said.error.peak_to_peak_um, said.other_hand_um) == (value, None)


def test_the_case_is_that_measured_on_the_same_gear():
    whole = looked_at(read("ship_lift"))
    left, right = measured_corrections(whole)
    assert (left.is_measured, right.is_measured) == (True, True)
    assert (left.case_mm, right.case_mm) == pytest.approx((1.55, 1.81))
    assert left.left_mm == pytest.approx(1.55 - left.stock.stock_um / 1000)
    assert "Of the case measured there, 1.55 mm" in measured_correction_words(left).replace("\u00a0", " ")
    (drawn, _) = measured_corrections(looked_at(read("tunnel_fan")))
    assert not drawn.is_measured
    assert "Of the least case drawn" in measured_correction_words(drawn)
    short = measured_correction_words(replace(left, case_mm=1.0))
    assert "short" in short


def test_without_pitch_there_is_nothing_to_say():
    whole = looked_at(replace(read("tunnel_fan"), pitch=()))
    assert measured_errors(whole) == ()
    assert measured_corrections(whole) == ()


def test_a_missing_pitch_stops_both_and_says_so():
    record = read("tunnel_fan")
    (item,) = record.pitch
    left = np.where(np.arange(item.left_um.size) == 3, np.nan, item.left_um)
    lost = pitch_deviations(left_um=left, right_um=item.right_um, transverse_pressure_angle_deg=20.0)
    whole = replace(looked_at(record), pitch=(lost,))
    error = of_flank(measured_errors(whole), Flank.LEFT)
    assert error.error.peak_to_peak_um is None
    assert "No transmission error" in error_words(error)
    stock = of_flank(measured_corrections(whole), Flank.LEFT)
    assert stock.left_mm is None
    assert "No stock for correction" in measured_correction_words(stock)


def test_what_was_taken_on_another_revision_makes_nothing():
    lift = read("ship_lift")
    (profile,), (pitch,) = lift.profile, lift.pitch
    older = replace(profile, head=replace(profile.head, revision="D"))
    part = profile.head.applies_to
    assert measured_traces(looked_at(lift), part, TraceKind.PROFILE, Flank.LEFT) is not None
    moved = looked_at(replace(lift, profile=(older,)))
    assert measured_traces(moved, part, TraceKind.PROFILE, Flank.LEFT) is None
    older = replace(pitch, head=replace(pitch.head, revision="D"))
    moved = looked_at(replace(lift, pitch=(older,)))
    assert not measured_errors(moved) and not measured_corrections(moved)
