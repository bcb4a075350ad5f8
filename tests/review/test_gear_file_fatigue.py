"""The sections on fatigue tests and the files of specimens: read right, or refused at their line."""

import re

import numpy as np
import pytest

from gearcheck.basics.methods import Status
from gearcheck.fatigue.inputs import Aspect, Curve, Distribution, Place, TransferKind
from gearcheck.review.carried import carried_record
from gearcheck.review.fatigue_inputs import LoadKind, Rig
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.leaves import leaf_of, leaves
from gearcheck.review.rewrite import evidence_texts
from gearcheck.review.starter import starter_text
from tests.review.fatigue_texts import GEAR, HEADER, MORE, ROWS, TESTS, with_fatigue, write_specimens
from tests.review.gear_texts import faults_of, swapped


def read(folder, text=None, **table):
    write_specimens(folder, **table)
    return read_gear_text(with_fatigue() if text is None else text, folder=folder)


def with_other(old, new):
    """The tests with something else in them; the starter before them says the same in its comments."""
    return starter_text() + swapped(TESTS + GEAR + MORE, old, new)


def refused(folder, text=None, **table):
    write_specimens(folder, **table)
    return faults_of(with_fatigue() if text is None else text, folder)


def test_the_sections_are_read(tmp_path):
    found = read(tmp_path).fatigue
    (tests,) = found.tests
    assert (tests.place, tests.rig, tests.run_out_cycles) == (Place.ROOT, Rig.PULSATOR, 6e6)
    assert (tests.curve, tests.distribution) == (Curve.RANDOM_LIMIT, Distribution.LOGNORMAL)
    assert (tests.confidence, tests.within_gear_share, tests.mode) == (0.9, 0.7, "root")
    assert (tests.gear.tooth.teeth, tests.gear.span_teeth, tests.gear.load_diameter_mm) == (24, 4, None)
    assert [one.specimen for one in tests.excluded] == ["S02"]
    teeth, running = tests.transfers
    assert (teeth.kind, teeth.factor, teeth.covers) == (TransferKind.WEAKEST_TOOTH, None, (Aspect.SIZE,))
    assert (running.factor, running.variation, running.status) == (0.9, 0.04, Status.COMMON_PRACTICE)
    assert [(row.what, row.reason) for row in tests.differences] == [
        (Aspect.RIG, ""), (Aspect.FINISH, "the same"),
    ]  # fmt: skip
    planned = found.endurance
    assert (planned.torque_Nm, planned.hours, planned.gears, planned.speed_rpm) == (400.0, 300.0, 2, None)
    assert found.gears_in_set == 2


def test_the_specimens_are_read(tmp_path):
    table = read(tmp_path).fatigue.tests[0].table
    assert table.load_kind is LoadKind.FORCE
    assert table.load.tolist() == [40e3, 40e3, 36e3, 36e3, 34e3, 36e3]
    assert table.failed.tolist() == [True, True, True, False, False, True]
    assert (table.gear[2], table.tooth[2], table.batch[4]) == ("G2", "2", "B2")
    assert table.stress_ratio.tolist() == [0.05] * 6
    assert table.sound_cycles is None
    assert table.reason[3] == "run-out life reached"


def test_columns_may_stand_in_any_order_between_semicolons_and_lives_between_two_inspections(tmp_path):
    header = "cycles;failed;specimen;force_N;sound_cycles;reason;mode;retest_of"
    rows = (
        "200000;yes;S01;40000;150000;;root;",
        "6000000;no;S02;36000;;end;;",
        "1e5;yes;S03;38e3;;;root;S02",
    )
    table = read(tmp_path, with_fatigue(more=""), rows=rows, header=header).fatigue.tests[0].table
    assert table.load.tolist() == [40e3, 36e3, 38e3]
    assert np.array_equal(table.sound_cycles, [150000, np.nan, np.nan], equal_nan=True)
    assert table.retest_of == ("", "", "S02")
    assert table.gear == ("", "", "")


def test_a_record_is_carried_with_its_specimens_and_named_by_them(tmp_path):
    record = read(tmp_path)
    carried = carried_record(record.source_text, evidence_texts(record))
    assert carried.digest == record.digest
    other = read(tmp_path, rows=(ROWS[0].replace("112000", "112001"), *ROWS[1:]))
    assert other.digest != record.digest


def test_every_input_of_the_tests_has_its_place_in_the_gear_file(tmp_path):
    found = leaves(read(tmp_path))
    own = {leaf_of(place).key: leaf_of(place).label for place in found if place[0] == "fatigue"}
    assert own[("fatigue", "tests", 0, "within_gear_share")] == (
        "share of the scatter within a gear of fatigue tests 1"
    )
    assert own[("fatigue", "tests", 0, "transfer", 1, "factor")] == "factor of transfer 2 of fatigue tests 1"
    assert ("fatigue", "tests", 0, "gear", "rack", "dedendum") in own
    assert own[("fatigue", "endurance", "time")] == "time of the endurance test"


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("S07,G3,9,B2,36,0.05,-5,yes,root,", "line 8, cycles: given \"-5\"; needed: cycles above 0"),
        ("S07,G3,9,B2,36,0.05,1e5,perhaps,root,", 'line 8, failed: given "perhaps"; needed: yes or no'),
        ("S07,G3,9,B2,36,0.05,6e6,no,,", "line 8, reason: missing; needed: why a specimen"),
        ("S07,G3,9,B2,36000,0.05,1e5,yes,root,", "specimens.csv, force_kN: given loads from 34 to 36000"),
        ("S07,G3,9,B2,-36,0.05,1e5,yes,root,", 'line 8, force_kN: given "-36"; needed: a number of kN'),
        ("S07,G3,9,B2,36,5,1e5,yes,root,", 'line 8, stress_ratio: given "5"; needed: a ratio'),
        (",G3,9,B2,36,0.05,1e5,yes,root,", "line 8, specimen: missing; needed: the name"),
        ("S01,G3,9,B2,36,0.05,1e5,yes,root,", 'line 8, specimen: given "S01" again; needed: another name'),
        ("S07,G3,9,B2,36,0,05,1e5,yes,root,", "line 8: given 11 values; needed: 10 values"),
    ],
)  # fmt: skip
def test_a_row_that_is_no_test_is_refused_at_its_line(tmp_path, row, words):
    (fault,) = refused(tmp_path, rows=(*ROWS, row))
    assert words in fault


@pytest.mark.parametrize(
    ("header", "words"),
    [
        (
            HEADER.replace("force_kN", "force_N,torque_Nm"),
            "force_N and torque_Nm; needed: exactly one column",
        ),
        (HEADER.replace("force_kN", "load"), "missing; needed: exactly one column of a load: stress_MPa"),
        (HEADER.replace("failed", "broken"), "missing: failed"),
    ],
)
def test_a_file_has_one_column_of_a_load_and_says_its_unit(tmp_path, header, words):
    (fault,) = refused(tmp_path, header=header)
    assert words in fault
    assert "line 1" in fault


def test_cycles_in_millions_are_asked_for(tmp_path):
    rows = tuple(row.replace("000,", ",").replace("6000,", "6,") for row in ROWS)
    assert "are they in thousands or millions?" in refused(tmp_path, rows=rows)[0]


@pytest.mark.parametrize(
    ("first", "words"), [("S01", '"S01", which failed'), ("S99", "another specimen of this file")]
)
def test_a_test_again_follows_a_run_out(tmp_path, first, words):
    rows = (*(f"{row}," for row in ROWS), f"S07,G3,2,B2,38,0.05,1e5,yes,root,,{first}")
    (fault,) = refused(tmp_path, rows=rows, header=HEADER + ",retest_of")
    assert words in fault
    assert "line 8, retest_of" in fault


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (with_fatigue(gear=""), "missing; needed: the section [fatigue.tests.gear]"),
        (with_other('place = "root"\nfile', 'place = "flank"\nfile'), "a pulsator bends teeth"),
        (
            starter_text() + swapped(
                swapped(TESTS + GEAR + MORE, 'place = "root"\nfile', 'place = "flank"\nfile'),
                'kind = "weakest tooth"', 'kind = "stress ratio"\nsensitivity = 0.35',
            ),
            "a flank is only pressed",
        ),
        (with_other("span_teeth = 4", ""), "exactly one of load_diameter"),
        (with_other('rig = "pulsator"', 'rig = "running gears"'), "the column torque_Nm"),
        (with_other('"S02"', '"S20"'), 'excluded[1].specimen, line'),
        (with_other('factor = 0.9\nvar', "var"), "missing; needed: a number for the kind"),
        (with_other("within_gear_share = 0.7\n", ""), "missing; needed: the share of"),
        (with_other('what = "finish"', 'what = "rig"'), '"rig" again'),
        (with_other("confidence = 0.9", "confidence = 90"), "a number above 0.5 and below 1"),
        (with_fatigue(more=TESTS + GEAR + MORE), "root again; needed: all tests"),
        (with_other("run_out = 6e6", "run_out = 6e6\nteeth_loaded = 3"), "1 or 2: a pulsator bends"),
        (with_other('"lognormal"', '"Weibull"'), '"lognormal" with the random fatigue limit'),
        (with_other('covers = ["rig"]', 'covers = ["wear"]'), 'given "wear"'),
        (with_other('despite = "its tests', '# "its tests'), "number of teeth; needed: another"),
    ],
)  # fmt: skip
def test_keys_that_do_not_belong_together_are_refused(tmp_path, text, words):
    assert any(words in fault for fault in refused(tmp_path, text))


def test_stresses_need_no_gear_and_no_method_of_ours(tmp_path):
    header, rows = HEADER.replace("force_kN", "stress_MPa"), tuple(row.replace(",B", ",B", 1) for row in ROWS)
    rows = tuple(
        row.replace(",40,", ",1100,").replace(",36,", ",980,").replace(",34,", ",940,") for row in rows
    )
    found = read(tmp_path, with_fatigue(gear=""), rows=rows, header=header).fatigue.tests[0]
    assert (found.gear, found.table.load_kind) == (None, LoadKind.STRESS)
    assert "no section where the file gives stresses" in refused(tmp_path, rows=rows, header=header)[0]


def test_running_specimens_by_stress_say_how_many_teeth_ran(tmp_path):
    header = HEADER.replace("force_kN", "stress_MPa")
    rows = tuple(
        row.replace(",40,", ",1100,").replace(",36,", ",980,").replace(",34,", ",940,") for row in ROWS
    )
    running = swapped(TESTS, 'rig = "pulsator"', 'rig = "running gears"')
    missing = refused(tmp_path, starter_text() + running + MORE, rows=rows, header=header)
    assert any(
        "teeth_loaded" in fault and "how many teeth the gear that ran has" in fault for fault in missing
    )
    told = swapped(running, "run_out = 6e6", "run_out = 6e6\nteeth_loaded = 31")
    assert (
        read(tmp_path, starter_text() + told + MORE, rows=rows, header=header).fatigue.tests[0].teeth_loaded
        == 31
    )


def test_the_starter_shows_every_section_of_the_tests(tmp_path):
    """Taken in as it stands in the comments, it reads; what it calls an alternative stays away."""
    head, tests = starter_text().split("# [[fatigue.tests]]")
    body = re.sub(r"^# (?=[\[a-z])", "", "# [[fatigue.tests]]" + tests, flags=re.MULTILINE)
    write_specimens(tmp_path, rows=(*ROWS, ROWS[-1].replace("S06", "S07")))
    found = read_gear_text(head + body, folder=tmp_path).fatigue
    assert found.tests[0].gear.span_teeth == 4
    assert found.endurance.hours == 400.0
    assert found.gears_in_set == 2


def test_a_transfer_to_another_stress_ratio_starts_from_that_of_the_tests(tmp_path):
    text = with_other('kind = "weakest tooth"', 'kind = "stress ratio"\nsensitivity = 0.35')
    assert read(tmp_path, text).fatigue.tests[0].transfers[0].sensitivity == 0.35
    rows = tuple(row.replace(",0.05,", ",,") for row in ROWS)
    assert any("no stress ratio" in fault for fault in refused(tmp_path, text, rows=rows))
