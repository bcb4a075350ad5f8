"""Traces in the review: ranges, findings with limit and uncertainty, exclusions, what-ifs, once a turn."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import AccuracyEdition, Flank, FlankModification, TraceKind
from gearcheck.basics.places import scenarios
from gearcheck.gear.inputs import ReliefForm
from gearcheck.requirements.types import Evidence
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.evidence_inputs import EvidenceHead, Exclusion, TraceEvidence
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.traced import PARAMETERS, kept_points, read_all_traces
from gearcheck.review.turned import tooth_at
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
FAN = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
WHOLE = review(LIFT, with_settled=False)
PLACES = {TraceKind.PROFILE: np.linspace(18.0, 63.2, 301), TraceKind.HELIX: np.linspace(0.0, 180.0, 301)}


def head(**given):
    known = {
        "source": "made.csv",
        "sha256": "",
        "revision": LIFT.part.revision,
        "applies_to": "serial number 1",
        "by": "a test",
        "date": "2026-03-02",
        "instrument": "none",
    }
    return EvidenceHead(**{**known, **given})


def made(kind, slopes, teeth=(1, 6, 11, 15), flank=Flank.LEFT, **given):
    """Straight traces with slopes in µm over the whole place."""
    place = PLACES[kind]
    share = (place - place[0]) / np.ptp(place)
    return TraceEvidence(
        head=head(**given),
        kind=kind,
        tooth=np.array(teeth),
        flank=(flank,) * len(teeth),
        across_mm=None,
        place_mm=np.tile(place, (len(teeth), 1)),
        deviation_um=np.array(slopes, dtype=float)[:, None] * share,
    )


def bare(record=LIFT, modification=None, **given):
    """The record with these traces alone, and nothing taken off them."""
    gear = replace(record.gear, tip_relief_um=0.0, modification=modification)
    return replace(record, **{"profile": (), "helix": (), "gear": gear, **given})


def modified(drawn):
    """The ship lift with another modification."""
    return replace(LIFT, gear=replace(LIFT.gear, modification=drawn))


def findings_of(whole, key):
    return {item.key: item for item in whole.requirements}[key]


def test_every_parameter_of_a_flank_is_a_finding_with_its_own_limit():
    plan = WHOLE.inspected.findings
    for kind in TraceKind:
        for flank in Flank:
            read = next(one for one in WHOLE.traces if one.item.kind is kind)
            for parameter in PARAMETERS:
                part = "" if parameter == "total" else f"_{parameter}"
                (found,) = plan[f"accuracy.{kind}{part}.{flank}"]
                value, trace = read.worst(flank, parameter)
                assert found.value == value and found.ok and found.uncertainty == 1.2
                limit = getattr(WHOLE.chain.drawn, f"{kind}_{parameter}_um")
                assert abs(found.limit) == limit
                assert f"tooth {read.item.tooth[trace]}:" in found.text
                assert read.spoiling_tooth(flank, parameter) == read.item.tooth[trace]
            assert findings_of(WHOLE, f"accuracy.{kind}.{flank}").by_evidence is Evidence.SHOWN


@pytest.mark.parametrize(
    ("slope", "answer"),
    [(11.9, "shown"), (12.5, "open"), (14.1, "contradicted"), (-14.1, "contradicted"), (-11.9, "shown")],
)
def test_a_slope_is_held_both_ways_and_within_its_uncertainty_is_open(slope, answer):
    """The helix slope of class 6 is 13 µm; a guard band of 0.83 of the 1.2 µm is kept off it."""
    record = bare(helix=(made(TraceKind.HELIX, [slope] * 4, uncertainty=1.2),))
    whole = review(record, with_settled=False)
    assert whole.inspected.answers["accuracy.helix_slope.left"] == answer
    assert findings_of(whole, "accuracy.helix.left").by_evidence == answer
    (found,) = whole.inspected.findings["accuracy.helix_slope.left"]
    assert found.value == pytest.approx(slope, abs=1e-9)


def test_without_a_plan_a_slope_counts_beside_its_total():
    item = made(TraceKind.HELIX, [14.0, -14.0, 0.0, 0.0], revision=FAN.part.revision)
    place = np.linspace(0, float(FAN.gear.tooth.face_width_mm), 301)
    item = replace(item, place_mm=np.tile(place, (4, 1)))
    record = replace(bare(FAN, helix=(item,)), inspection=None)
    assert (
        findings_of(review(record, with_settled=False), "accuracy.helix.left").by_evidence == "contradicted"
    )


def test_an_exclusion_takes_its_points_out_and_is_counted():
    item = LIFT.profile[0]
    (excluded,) = item.excluded
    assert (~kept_points(item)).sum() == 3
    whole = review(replace(LIFT, profile=(replace(item, excluded=()),)), with_settled=False)
    with_dust, without = (one.traces[0].worst(Flank.LEFT, "form")[0] for one in (whole, WHOLE))
    assert with_dust > 19 > 10 > without
    assert whole.inspected.answers["accuracy.profile_form.left"] == "contradicted"
    assert any("standing out as a spike" in one.text for one in whole.traces[0].evaluation.notices)
    text = WHOLE.inspected.findings["accuracy.profile.left"][0].text
    assert "3 points excluded (Dust: gone when the flank was wiped and probed again)" in text
    assert "excluded" not in WHOLE.inspected.findings["accuracy.profile.right"][0].text
    assert excluded == Exclusion(tooth=6, flank=Flank.LEFT, from_mm=34.0, to_mm=34.5, reason=excluded.reason)


def test_the_range_follows_the_drawing_and_the_edition():
    record = modified(FlankModification(control_diameter_mm=186.0))
    spans = [read_all_traces(one, WHOLE.chain)[0].span for one in (LIFT, record)]
    assert spans[0].control_diameter_mm == pytest.approx(183.8305, abs=1e-4)
    assert spans[1].control_diameter_mm == 186.0
    older = replace(LIFT.gear.accuracy, edition=AccuracyEdition.ISO_1328_1_1995)
    read = read_all_traces(replace(LIFT, gear=replace(LIFT.gear, accuracy=older)), WHOLE.chain)[0]
    assert read.span.share == 0.92 and read.evaluation.smoothing is None
    assert read.evaluation.slope_to_mm == read.span.end_mm


def test_what_is_drawn_is_taken_off_and_what_is_not_is_told():
    read = WHOLE.traces[0]
    assert read.outline is not None and read.design.design_um.min() == pytest.approx(-58.3, abs=0.3)
    without = review(modified(None), with_settled=False).traces[0]
    assert without.worst(Flank.LEFT, "form")[0] > 25
    (said,) = [one.text for one in without.evaluation.notices if "relief" in one.text]
    assert said.startswith("The tip relief of 60 µm drawn is not taken off") and "not given" in said


def test_each_flank_has_its_own_helix_slope_drawn():
    drawn = FlankModification(
        left_helix_slope_um=6.0,
        right_helix_slope_um=-6.0,
        end_relief_um=9.0,
        end_relief_length_mm=12.0,
        relief_form=ReliefForm.PARABOLIC,
    )
    items = tuple(
        made(TraceKind.HELIX, [slope] * 4, flank=flank)
        for flank, slope in zip(Flank, (6.0, -6.0), strict=True)
    )
    place = PLACES[TraceKind.HELIX]
    ends = -9.0 * np.maximum(np.maximum(12 - place, place - 168) / 12, 0) ** 2
    items = tuple(replace(one, deviation_um=one.deviation_um + ends) for one in items)
    for read in review(bare(helix=items, modification=drawn), with_settled=False).traces:
        for parameter in PARAMETERS:
            assert read.worst(read.flanks[0], parameter)[0] == pytest.approx(0, abs=1e-9)
        assert read.classes[read.flanks[0]].overall == 1.0


def test_a_trace_that_is_too_short_leaves_its_flank_open():
    item = made(TraceKind.HELIX, [1.0] * 4)
    short = replace(item, deviation_um=np.where(item.place_mm > 120, np.nan, item.deviation_um))
    whole = review(bare(helix=(short,)), with_settled=False)
    assert whole.traces[0].worst(Flank.LEFT, "total") == (None, None)
    assert whole.inspected.findings["accuracy.helix.left"] == ()
    assert whole.inspected.answers["accuracy.helix.left"] == "open"
    assert any("missing or excluded" in one.text for one in whole.notices)


@pytest.mark.parametrize(
    ("teeth", "said"),
    [((1, 9), "2 teeth: at least 3"), ((1, 2, 3, 4), "teeth 1, 2, 3, 4, on one side"), ((1, 7, 13), "")],
)
def test_teeth_stand_around_the_gear(teeth, said):
    read = review(bare(helix=(made(TraceKind.HELIX, [2.0] * len(teeth), teeth=teeth),))).traces[0]
    told = [one.text for one in read.evaluation.notices]
    assert any(said in one for one in told) if said else not told
    assert bool(read.turns) == (len(teeth) > 2)


def test_places_that_are_no_roll_lengths_are_asked_about():
    item = made(TraceKind.PROFILE, [1.0] * 4)
    diameters = replace(item, place_mm=item.place_mm + 120)
    read = review(bare(profile=(diameters,)), with_settled=False).traces[0]
    assert any(
        "are they roll lengths along the line of action?" in one.text for one in read.evaluation.notices
    )


def test_a_gear_held_askew_shows_once_a_turn():
    teeth = (1, 6, 11, 15)
    slopes = 2.0 + 7.0 * np.cos((np.array(teeth) - 1) * 2 * np.pi / 19 - 1.0)
    read = review(bare(helix=(made(TraceKind.HELIX, slopes, teeth=teeth),)), with_settled=False).traces[0]
    turn = read.turns[Flank.LEFT]
    assert (turn.mean_um, turn.amplitude_um) == pytest.approx((2.0, 7.0), abs=1e-9)
    assert turn.highest_deg == pytest.approx(np.degrees(1.0))
    assert turn.rest_um == pytest.approx(0, abs=1e-9)


def test_a_control_diameter_off_the_flank_stops_in_words_and_nothing_breaks():
    record = modified(FlankModification(control_diameter_mm=300.0))
    whole = review(record, with_settled=False)
    assert any("does not lie between the base diameter" in one.text for one in whole.notices)
    assert whole.inspected.answers["accuracy.profile.left"] == "open"
    assert whole.inspected.answers["accuracy.helix.left"] == "shown"


def test_a_what_if_moves_the_limit_and_not_the_measurement():
    moved = changed(LIFT, {"class": 4})
    whole = review(moved, with_settled=False)
    assert whole.traces[1].evaluation is not None
    assert whole.traces[1].worst(Flank.LEFT, "slope") == WHOLE.traces[1].worst(Flank.LEFT, "slope")
    assert whole.inspected.answers["accuracy.helix_slope.left"] == "contradicted"
    assert np.shares_memory(whole.traces[1].evaluation.smoothed_um, WHOLE.traces[1].evaluation.smoothed_um), (
        "what did not move is not evaluated again"
    )


def test_a_draft_with_fewer_teeth_than_were_traced_is_reviewed():
    whole = review(changed(LIFT, {"teeth": 13.0}), with_settled=False)
    assert all(not read.turns for read in whole.traces)


def test_the_order_of_the_rows_of_a_file_does_not_matter(tmp_path):
    for file in (scenarios() / "ship_lift").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    lines = (tmp_path / "helix.csv").read_text(encoding="utf-8").splitlines()
    (tmp_path / "helix.csv").write_text("\n".join([lines[0], *reversed(lines[1:])]) + "\n", encoding="utf-8")
    read = review(read_gear_file(tmp_path / "gear.toml"), with_settled=False).traces[1]
    np.testing.assert_array_equal(read.evaluation.total_um, WHOLE.traces[1].evaluation.total_um)


def test_pitch_without_its_offset_stands_beside_it():
    (turned,) = WHOLE.turned
    assert turned.harmonics.eccentricity_um == pytest.approx(4.6, abs=0.1)
    assert turned.pitch.left_cumulative_pitch_um < WHOLE.pitch[0].left_cumulative_pitch_um
    assert turned.reached.cumulative_pitch <= WHOLE.classes[0].cumulative_pitch
    assert tooth_at(turned.harmonics.eccentricity_deg, 19) == 9


def answer(*profiles, record=LIFT):
    whole = review(replace(record, profile=tuple(profiles)), with_settled=False)
    return whole.inspected.answers["accuracy.profile.left"]


def as_drawn(item, record=LIFT):
    """Traces of the flank exactly as drawn."""
    (read,) = read_all_traces(replace(record, profile=(item,), helix=()), calculate(record))
    return replace(item, deviation_um=item.deviation_um + read.design.design_um)


def test_traces_that_keep_their_limits_do_not_show_more_than_was_seen():
    good = as_drawn(made(TraceKind.PROFILE, [1.0, 2.0, 1.0, 2.0]))
    assert answer(good) == "shown"
    alone = replace(
        good,
        tooth=good.tooth[:1],
        flank=good.flank[:1],
        place_mm=good.place_mm[:1],
        deviation_um=good.deviation_um[:1],
    )
    assert answer(alone) == "open"
    cut = np.where(good.place_mm > 50.0, np.nan, good.deviation_um)
    assert answer(replace(good, deviation_um=cut), good) == "open"
    straight = made(TraceKind.PROFILE, [1.0, 2.0, 1.0, 2.0])
    nowhere = modified(replace(LIFT.gear.modification, tip_relief_start_mm=None))
    assert answer(straight, record=nowhere) == "open"
    assert answer(made(TraceKind.PROFILE, [60.0], teeth=(1,))) == "contradicted"


def test_a_control_diameter_above_the_active_profile_is_told():
    high = modified(replace(LIFT.gear.modification, control_diameter_mm=190.0))
    keys = {one.key for one in review(high, with_settled=False).traces[0].evaluation.notices}
    assert "traces.profile.control" in keys
    keys = {one.key for one in WHOLE.traces[0].evaluation.notices}
    assert "traces.profile.control" not in keys
