"""Unloaded transmission error: closed forms of single causes, gaps, samples, bad input."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.accuracy.sampled import clean
from gearcheck.accuracy.transmission import geometric_transmission_error
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from tests.accuracy.eccentric import eccentric_pitch, involute
from tests.checks import cases, holds

HOME = "gearcheck.accuracy.transmission:geometric_transmission_error"
CHECKS = {check.id: check for check in cases("accuracy", HOME)}
TEETH, PITCH, START, PATH = 24, 10.0, 12.0, 16.0
FINE = 500


def error(index=None, flank=Flank.LEFT, **given):
    usual = {
        "measuring_pressure_angle_deg": 20.0,
        "base_diameter_mm": TEETH * PITCH / np.pi,
        "start_roll_mm": START,
        "end_roll_mm": START + PATH,
        "face_width_mm": 20.0,
    }
    index = np.zeros(TEETH) if index is None else index
    return geometric_transmission_error(index_um=index, flank=flank, **(usual | given))


def one_trace(function, places=481):
    roll = np.linspace(START, START + PATH, places)
    return ToothTraces(tooth=[1], place_mm=roll, deviation_um=function(roll - START)[None])


def test_the_checks_are_those_tested_here():
    assert set(CHECKS) == {"TE-01", "TE-02", "TE-03", "TE-04"}


def eccentric_flanks(flank, roll, base, eccentricity, half, teeth):
    """Deviations of the flanks of a true gear off its axis: what of the shift lies normal to each."""
    tooth = -2 * np.pi * np.arange(teeth)[:, None] / teeth
    side = -1.0 if flank is Flank.RIGHT else 1.0
    touching = tooth + side * (half - roll / (base / 2))
    normal = 1j * side * np.exp(1j * touching)
    return 1000 * eccentricity * np.real(np.conj(np.exp(-1j * np.pi / teeth)) * normal)


@pytest.mark.parametrize("flank", list(Flank))
def test_a_gear_off_its_axis_gives_a_sine(flank):
    check = CHECKS["TE-01"]
    left, right, angle = eccentric_pitch(**check.inputs)
    base = 24 * 4 * np.cos(np.radians(20))
    half = np.pi / 48 + involute(np.radians(20))
    roll = np.linspace(6, 30, 480)
    deviation = eccentric_flanks(flank, roll, base, check.inputs["eccentricity_mm"], half, 24)
    found = error(
        np.cumsum(right if flank is Flank.RIGHT else left),
        flank,
        measuring_pressure_angle_deg=angle,
        base_diameter_mm=base,
        start_roll_mm=8.0,
        end_roll_mm=26.0,
        profile=ToothTraces(tooth=np.arange(1, 25), place_mm=roll, deviation_um=deviation),
    )
    holds(check, turn_amplitude=found.turn_amplitude_um, peak_to_peak=found.peak_to_peak_um)
    assert found.mesh_peak_to_peak_um < 0.01


@pytest.mark.parametrize("flank", list(Flank))
def test_one_tooth_out_of_place(flank):
    check = CHECKS["TE-02"]
    index = np.zeros((2, TEETH))
    proud = 1 if flank is Flank.RIGHT else -1
    index[:, 6] = [proud * check.inputs["out_um"], -proud * check.inputs["out_um"]]
    found = error(index, flank, places=FINE)
    holds(
        check,
        step=found.peak_to_peak_um[0],
        share_out=(found.curve_um[0] > 1).mean(),
        share_back=(found.curve_um[1] < -1).mean(),
    )
    # tooth 7 comes into contact at 6 pitches: the step lies there
    at = found.angle_deg[found.curve_um[0] > 1] / (360 / TEETH)
    low, high = (6.0, 7.6) if flank is Flank.LEFT else (4.4, 6.0)
    assert at.min() == pytest.approx(low, abs=0.01)
    assert at.max() == pytest.approx(high, abs=0.01)


def test_tip_relief_alone_dips_where_the_next_tooth_takes_over():
    check = CHECKS["TE-03"]
    peaks = []
    for begin in check.inputs["relief_from_mm"]:
        relief = one_trace(lambda x, begin=begin: -20 * np.clip(x - begin, 0, None) / (PATH - begin))
        found = error(profile=relief, places=FINE)
        peaks.append(found.mesh_peak_to_peak_um)
        assert found.peak_to_peak_um == pytest.approx(found.mesh_peak_to_peak_um, abs=1e-9)
    holds(check, mesh_peak_to_peak=peaks)


def test_a_profile_slope_is_a_saw_tooth_and_vanishes_with_overlap():
    check = CHECKS["TE-04"]
    slope = one_trace(lambda x: 8 * x / PATH)
    helix = np.degrees(np.arctan(np.array(check.inputs["overlap_pitches"]) * PITCH / 20.0))
    found = error(profile=slope, places=FINE, base_helix_angle_deg=helix)
    holds(check, mesh_peak_to_peak=found.mesh_peak_to_peak_um)
    other_hand = error(profile=slope, places=FINE, base_helix_angle_deg=-helix)
    np.testing.assert_allclose(other_hand.mesh_peak_to_peak_um, found.mesh_peak_to_peak_um, atol=1e-9)


def test_a_helix_deviation_of_a_spur_gear_lifts_the_whole_curve():
    face = np.linspace(0, 20, 101)
    crowned = ToothTraces(tooth=[1], place_mm=face, deviation_um=-12 * ((face - 10) / 10) ** 2)
    found = error(helix=crowned)
    assert found.peak_to_peak_um == pytest.approx(0, abs=1e-9)


def test_a_bias_of_both_is_seen_with_its_hand():
    """On a helical gear a profile slope and a helix slope cancel along a line of contact, or add up."""
    face, slope = np.linspace(0, 20, 101), one_trace(lambda x: 8 * x / PATH)
    angle = np.degrees(np.arctan(PITCH / 20.0))
    # along the line the roll grows by 10 mm over 20 mm of face: 5 µm of profile
    tilted = ToothTraces(tooth=[1], place_mm=face, deviation_um=-5 * face / 20)
    level = error(profile=slope, helix=tilted, base_helix_angle_deg=angle, places=FINE)
    other = error(profile=slope, helix=tilted, base_helix_angle_deg=-angle, places=FINE)
    assert level.mesh_peak_to_peak_um == pytest.approx(5.0, abs=0.05)  # as a spur gear
    assert abs(level.mesh_peak_to_peak_um - other.mesh_peak_to_peak_um) > 1.0


def test_a_tooth_with_a_trace_of_its_own_is_told_from_the_others():
    roll = np.linspace(START, START + PATH, 161)
    bump = np.where(np.abs(roll - START - 12) < 1.5, 6.0, 0.0)
    both = ToothTraces(tooth=[3, 9], place_mm=roll, deviation_um=np.stack([bump, 0 * bump]))
    found = error(profile=both, places=FINE)
    by_tooth = found.curve_um.reshape(TEETH, FINE).max(axis=-1)
    # 12 mm after its start is the next pitch
    assert by_tooth[3] == pytest.approx(6.0)
    assert by_tooth[9] == pytest.approx(0.0)
    np.testing.assert_allclose(np.delete(by_tooth, [3, 9]), 3.0)
    assert any("mean of these" in notice.text for notice in found.notices)


def test_the_scale_in_arc_seconds():
    index = np.zeros(TEETH)
    index[0] = -10.0
    found = error(index)
    micro_radian = 1e3 * found.peak_to_peak_um / (TEETH * PITCH / np.pi / 2)
    assert found.peak_to_peak_arcsec == pytest.approx(micro_radian * 0.2062648)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.floats(-30, 30), min_size=TEETH, max_size=TEETH).map(np.array), st.sampled_from(list(Flank))
)
def test_pitch_alone_never_gives_more_than_its_range_and_moves_with_the_teeth(index, flank):
    found = error(index, flank, places=16)
    assert found.peak_to_peak_um <= np.ptp(index) * np.cos(np.radians(20)) + 1e-9
    turned = error(np.roll(index, 5), flank, places=16)
    np.testing.assert_allclose(turned.curve_um, np.roll(found.curve_um, 5 * 16), atol=1e-9)


def test_samples_ride_in_front():
    rng = np.random.default_rng(3)
    index, ends = rng.normal(0, 5, (4, TEETH)), START + np.array([14.0, 16.0, 18.0, 21.0])
    roll = np.linspace(START, START + 25, 120)
    deviation = rng.normal(0, 2, (4, 2, 120))
    helix = np.array([0.0, 10.0, 20.0, -20.0])

    def traces(number):
        return ToothTraces(tooth=[2, 7], place_mm=roll, deviation_um=deviation[number])

    together = error(index, end_roll_mm=ends, profile=traces(slice(None)), base_helix_angle_deg=helix)
    for one in range(4):
        alone = error(index[one], end_roll_mm=ends[one], profile=traces(one), base_helix_angle_deg=helix[one])
        np.testing.assert_allclose(together.curve_um[one], alone.curve_um, atol=1e-9)
        assert together.peak_to_peak_um[one] == pytest.approx(alone.peak_to_peak_um)


def test_missing_values():
    index = np.zeros(TEETH)
    index[4] = np.nan
    found = error(index)
    assert found.peak_to_peak_um is None
    assert [notice.level for notice in found.stops] == [Level.STOP]
    roll = np.linspace(START, START + PATH, 9)
    gap = ToothTraces(tooth=[1], place_mm=roll, deviation_um=[[0, 1, 2, np.nan, 4, 5, 6, 7, 8]])
    full = ToothTraces(tooth=[1], place_mm=roll, deviation_um=np.arange(9.0)[None])
    bridged = error(profile=gap)
    assert bridged.peak_to_peak_um == pytest.approx(error(profile=full).peak_to_peak_um)
    assert any("bridges" in notice.text for notice in bridged.notices)
    lost = error(profile=ToothTraces(tooth=[1], place_mm=roll, deviation_um=np.full((1, 9), np.nan)))
    assert lost.peak_to_peak_um is None
    assert lost.stops


def test_a_shorter_trace_that_is_filled_up_counts_as_it_is():
    roll = np.linspace(START, START + PATH, 33)
    long = 0.3 * np.abs(roll - START - 7)
    short = np.where(np.arange(33) < 20, long, np.nan)
    filled = ToothTraces(
        tooth=[1, 2],
        place_mm=np.stack([roll, np.where(np.isnan(short), np.nan, roll)]),
        deviation_um=np.stack([long, short]),
    )
    ends = ToothTraces(
        tooth=[1, 2],
        place_mm=roll,
        deviation_um=np.stack([long, np.where(np.isnan(short), long[19], short)]),
    )
    np.testing.assert_allclose(error(profile=filled).curve_um, error(profile=ends).curve_um)


def test_a_path_shorter_than_a_pitch_hands_nothing_over():
    found = error(end_roll_mm=START + 8.0)
    assert found.peak_to_peak_um is None
    assert "hand over" in found.stops[0].text


def test_bad_input_is_said_all_at_once():
    with pytest.raises(InputError) as caught:
        error(
            end_roll_mm=START - 1, profile=ToothTraces(tooth=[25], place_mm=[1.0, 2.0], deviation_um=[[0, 1]])
        )
    assert "roll length beyond the start" in str(caught.value)
    assert "tooth from 1 to 24" in str(caught.value)


def test_gaps_are_bridged_between_the_places_that_are_there():
    found = clean([0.0, np.nan, 8.0, np.nan], [0.0, 1.0, 4.0, 5.0])
    np.testing.assert_allclose(found.values, [0.0, 2.0, 8.0, 8.0])
    assert found.any_missing
    assert not clean([np.nan, 1.0, 2.0]).any_missing


def by_brute_force(index, flank, helix_deg, profile, helix, places):
    """Every tooth at every place, point by point along its line of contact, without any array of teeth."""
    side = 1.0 if flank is Flank.RIGHT else -1.0
    slope, width = np.tan(np.radians(helix_deg)), 20.0
    at = TEETH * PITCH / np.pi / 2 * np.tan(np.radians(20))
    face = np.linspace(0, width, 801)
    first = min(-slope * width, 0.0)
    curve = np.full(TEETH * places, -np.inf)
    for tooth in range(TEETH):
        trace = profile.deviation_um[tooth] - np.interp(at, profile.place_mm, profile.deviation_um[tooth])
        lead = helix.deviation_um[tooth] - np.interp(width / 2, helix.place_mm, helix.deviation_um[tooth])
        for number in range(TEETH * places):
            # on right flanks the next tooth has rolled a pitch further, on left flanks a pitch less
            turn = number / places - tooth if flank is Flank.LEFT else tooth - number / places
            turn = (turn + TEETH / 2) % TEETH - TEETH / 2 if turn > TEETH / 2 or turn < -TEETH / 2 else turn
            for whole in (0.0, TEETH):
                roll = START + first + (turn + whole) * PITCH + face * slope
                touching = (roll >= START - 1e-9) & (roll <= START + PATH + 1e-9)
                if touching.any():
                    found = np.interp(roll, profile.place_mm, trace) + np.interp(face, helix.place_mm, lead)
                    standing = side * index[tooth] * np.cos(np.radians(20)) + found[touching].max()
                    curve[number] = max(curve[number], standing)
    return curve


@pytest.mark.parametrize("flank", list(Flank))
@pytest.mark.parametrize("helix_deg", [0.0, 12.0, -25.0])
def test_it_agrees_with_brute_force(flank, helix_deg):
    rng = np.random.default_rng(11)
    teeth = np.arange(1, TEETH + 1)
    roll, face = np.linspace(START - 1, START + PATH + 1, 37), np.linspace(0, 20, 21)
    index = rng.normal(0, 4, TEETH)
    # smooth enough that the places of both ways of counting do not matter
    profile = ToothTraces(
        tooth=teeth,
        place_mm=roll,
        deviation_um=rng.normal(0, 2, (TEETH, 1)) * np.sin(roll / 3 + rng.normal(0, 3, (TEETH, 1))),
    )
    helix = ToothTraces(
        tooth=teeth,
        place_mm=face,
        deviation_um=rng.normal(0, 2, (TEETH, 1)) * np.cos(face / 5 + rng.normal(0, 3, (TEETH, 1))),
    )
    found = error(
        index,
        flank,
        base_helix_angle_deg=helix_deg,
        profile=profile,
        helix=helix,
        places=8,
        slices=201,
    )
    expected = by_brute_force(index, flank, helix_deg, profile, helix, 8)
    np.testing.assert_allclose(found.curve_um, expected, atol=0.04)
