"""The accuracy sheet without a browser: measured flanks, pitch, what a class is worth, what is missing."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.accuracy import OpenAccuracy, RefusedAccuracy
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels.allowed import allowed_html
from gearcheck.desk.panels.pitch_picture import PitchPicture, mounting_html
from gearcheck.desk.panels.reached_table import NO_CLASS, NOT_MEASURED, reached_html
from gearcheck.desk.panels.sets import sets_html
from gearcheck.desk.panels.trace_picture import TracePicture, traces_said, turn_said
from gearcheck.desk.panels.worth import worth_of
from gearcheck.desk.state import Sheet
from gearcheck.report.deviations import deviation_table
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

LIFT = scenarios() / "ship_lift" / "gear.toml"
PARTS = ("head", "measured", "profile", "helix", "pitch", "worth", "size", "margins", "guesses")


@pytest.fixture(scope="module")
def lift():
    return read_gear_file(LIFT)


@pytest.fixture(scope="module")
def whole(lift):
    return review(lift, with_settled=False)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(*_):
    """Nothing is told."""


def bare(record):
    nothing = {"pitch": (), "profile": (), "helix": ()}
    return replace(record, **nothing, gear=replace(record.gear, accuracy=None), required=None)


def test_every_part_of_the_sheet_can_be_shown_with_measurements_and_without(lift):
    for record in (lift, bare(lift)):
        sheet = OpenAccuracy(Opened(record=record, kept=None, file=LIFT))
        for part in PARTS:
            getattr(sheet, part)()


def test_the_table_of_deviations_is_offered_as_csv_and_xlsx(lift, whole, monkeypatch):
    shown = []
    monkeypatch.setattr("gearcheck.desk.accuracy.show_row", lambda main, margin: shown.append(main))
    OpenAccuracy(Opened(record=lift, kept=None, file=LIFT)).measured()
    files = shown[-1]
    assert [name.rpartition(".")[2] for name in files.names] == ["xlsx", "csv"]
    sent = []
    monkeypatch.setattr(files, "send", lambda message, buffers: sent.append((message, buffers)))
    files._hear(files, {"get": files.names[1]}, [])
    assert sent == [({"file": files.names[1]}, [deviation_table(whole, "csv")])]


def test_a_sheet_without_a_record_shows_nothing_else():
    refused = RefusedAccuracy(InputError([]))
    for part in PARTS:
        getattr(refused, part)()


def test_each_flank_is_said_with_its_class_and_the_tooth_that_spoils_it(whole):
    read = whole.traces[0]
    said = [words(sentence) for sentence in traces_said(whole, read)]
    assert len(said) == 2
    slope, trace = read.worst(Flank.LEFT, "slope")
    assert f"slope {slope:.1f}".replace("-", "−") in said[0]
    assert f"(tooth {read.item.tooth[trace]})" in said[0]
    assert f"class {read.classes[Flank.LEFT].overall:.0f}" in said[0]
    assert "of ±12.0 µm" in said[0]


def test_a_flank_that_could_not_be_evaluated_has_no_class(lift):
    item = lift.profile[0]
    short = replace(item, deviation_um=np.where(item.place_mm < 40, item.deviation_um, np.nan))
    found = review(replace(lift, profile=(short,)), with_settled=False)
    assert "no class: a trace could not be evaluated" in " ".join(traces_said(found, found.traces[0]))


def test_the_wobble_of_the_mounting_is_told_from_the_gear(whole):
    helix = next(read for read in whole.traces if read.item.kind is TraceKind.HELIX)
    said = words(" ".join(turn_said(helix)))
    assert said.count("wobble of the mounting") == 2


def test_points_left_out_stand_with_their_reason(lift):
    panel = TracePicture(Sheet(lift), TraceKind.PROFILE, lambda: 0, quiet, quiet)
    said = words(panel._words(None))
    assert lift.profile[0].excluded[0].reason in said
    assert panel._flanks[Flank.LEFT].spec is not None


def test_one_set_is_shown_of_several(lift):
    second = replace(lift.pitch[0], head=replace(lift.pitch[0].head, applies_to="serial number <2>"))
    state = Sheet(replace(lift, pitch=(*lift.pitch, second)))
    sheet_words = PitchPicture(state, lambda: 1, quiet, quiet)._words(None)
    assert "Serial number &lt;2&gt;" in sheet_words
    assert 'data-act="set:pitch:0"' in sheet_words
    assert "set:pitch" not in sets_html("pitch", [second.head], 0)


def test_a_button_shows_another_set(lift):
    second = replace(lift.pitch[0], head=replace(lift.pitch[0].head, applies_to="serial number 2"))
    record = replace(lift, pitch=(*lift.pitch, second))
    sheet = OpenAccuracy(Opened(record=record, kept=None, file=LIFT))
    sheet.pitch()
    panel = sheet._of_sets[0]
    assert "Serial number 2" not in panel._said.html
    sheet._act("set:pitch:1")
    assert "Serial number 2" in panel._said.html


def test_what_an_offset_explains_is_said(whole):
    said = words(mounting_html(whole, 0))
    assert "off centre, towards tooth" in said
    assert f"({whole.pitch[0].left_cumulative_pitch_um:.1f} as measured)" in said
    assert f"class {whole.turned[0].reached.overall:.0f}. Nothing is accepted by that" in said


def test_the_table_of_all_classes_marks_the_class_drawn(lift, whole):
    html = allowed_html(whole)
    assert html.count("<tr>") == 12  # eleven parameters and the head
    assert html.count("<b>13</b>") == 2  # slope of the helix, single pitch, by class 6
    finer = replace(lift.gear.accuracy, helix_class=5)
    own = allowed_html(review(replace(lift, gear=replace(lift.gear, accuracy=finer)), with_settled=False))
    assert own.count("<b>13</b>") == 1
    assert "[gear.accuracy]" in allowed_html(review(bare(lift), with_settled=False))


def test_what_a_class_is_worth_is_worked_out_for_the_draft(lift):
    found = worth_of(lift)
    assert [one.group for one in found.budget][:3] == ["pitch", "profile", "helix"]
    assert found.classes is not None
    assert found.errors and found.corrections
    assert worth_of(bare(lift)).classes is None


def test_every_deviation_stands_beside_what_is_allowed_with_its_class(whole):
    html = reached_html(whole)
    said = words(html)
    assert "Serial number 0007 is class 7" in said
    assert html.count("<tr>") == 12
    assert "14.2 over tooth 12 7 ±13.0" in said
    assert html.count('class="gc-stop"') == 2  # tooth to tooth too
    assert "Runout, both flanks 25.8 6 34.0" in said


def test_without_measurements_or_a_class_the_table_says_so(lift):
    assert NOT_MEASURED in reached_html(review(bare(lift), with_settled=False))
    no_class = replace(lift, gear=replace(lift.gear, accuracy=None))
    assert NO_CLASS in reached_html(review(no_class, with_settled=False))


def test_a_class_that_is_too_coarse_is_one_line_of_trouble(lift):
    from gearcheck.desk.panels.head import trouble_html
    from gearcheck.review.changes import changed

    coarser = review(changed(lift, {"class": 7}), with_settled=False)
    said = words(trouble_html(coarser, coarser.requirements))
    assert "Fails: 9 tolerances are wider than agreed: class 7 drawn, class 6 agreed." in said
    assert said.count("Fails:") == 2 and "root stress" in said


def test_an_offset_that_does_not_lessen_the_runout_is_no_explanation(whole):
    said = words(mounting_html(whole, 0))
    assert float(whole.turned[0].pitch.runout_um) >= float(whole.pitch[0].runout_um)
    assert "an offset alone does not explain what was measured" in said


def test_a_deviation_just_over_its_limit_is_written_so_that_it_can_be_told(lift):
    pitch = lift.pitch[0]
    largest = review(lift, with_settled=False).pitch[0].right_single_pitch_um
    close = replace(pitch, right_um=pitch.right_um * 13.02 / largest)
    found = review(replace(lift, pitch=(close,)), with_settled=False)
    value = found.pitch[0].right_single_pitch_um
    assert 13.0 < value < 13.05
    assert f"{value:.2f} over" in words(reached_html(found))
    said = [
        one.text for item in found.requirements for one in item.findings if "Single pitch, right" in one.text
    ]
    assert any(f"{value:.2f} µm measured, over 13.0 µm" in one for one in said)


def test_a_draft_of_the_relief_does_not_judge_the_part_that_was_made_to_the_record(lift):
    state = Sheet(lift)
    state.move("relief", 20.0)
    said = words(reached_html(state.shown))
    assert "Profile of serial number 0007 counts no longer: tip relief" in said
    assert "class 7" in said  # by its pitch, which no relief moves
    answers = {one.key: one.by_evidence for one in state.shown.requirements}
    assert answers["accuracy.profile.left"] == "stale"
    assert answers["accuracy.single.left"] == "shown"
    panel = TracePicture(state, TraceKind.PROFILE, lambda: 0, quiet, quiet)
    assert "It no longer holds: tip relief of the gear changed" in words(panel._words(None))
    state.drop()
    assert {one.key: one.by_evidence for one in state.shown.requirements}["accuracy.profile.left"] == "shown"
