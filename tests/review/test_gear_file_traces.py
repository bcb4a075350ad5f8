"""Files of traces: what is read, in which order, and what is refused with which words."""

import random

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.basics.errors import InputError
from gearcheck.gear.inputs import ReliefForm
from gearcheck.review.file_table import TableFile
from gearcheck.review.file_traces import trace_file
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.starter import starter_text
from tests.review.gear_texts import faults_of, swapped
from tests.review.trace_files import head, trace_rows, write_traces

MODIFICATION = """
[gear.modification]
control_diameter = "80.5 mm"
tip_relief_start = "91.5 mm"
relief_form = "parabolic"
helix_crowning = "6.5 µm"
left_helix_slope = "4 µm"
right_helix_slope = "-4 µm"
"""
ENTRY = """
[[evidence.{kind}]]
file = "{kind}.csv"
revision = "A"
applies_to = "serial number 0001"
by = "measuring room"
date = 2026-03-02
instrument = "gear measuring centre 2"
uncertainty = "1.2 µm"
"""
EXCLUDED = """
[[evidence.{kind}.excluded]]
tooth = 6
flank = "left"
from = "{low} mm"
to = "{high} mm"
reason = "Dust."
"""


def text_of(*kinds, more="", modification=MODIFICATION):
    return starter_text() + modification + "".join(ENTRY.format(kind=kind) for kind in kinds) + more


def table_of(rows, kind="profile", columns="", teeth=21):
    text = "\n".join([columns or head(kind), *rows]) + "\n"
    return trace_file(TableFile(name=f"{kind}.csv", sha256="", text=text), TraceKind(kind), teeth)


def faults(rows, **given):
    with pytest.raises(InputError) as caught:
        table_of(rows, **given)
    return [str(fault) for fault in caught.value.faults]


def test_traces_modification_and_exclusion_come_into_the_record(tmp_path):
    for kind in TraceKind:
        write_traces(tmp_path, kind)
    more = EXCLUDED.format(kind="helix", low=10, high=11)
    record = read_gear_text(text_of("profile", "helix", more=more), folder=tmp_path)
    (profile,), (helix,) = record.profile, record.helix
    assert profile.kind is TraceKind.PROFILE and helix.kind is TraceKind.HELIX
    assert profile.tooth.tolist() == [1, 1, 6, 6, 11, 11, 16, 16]
    assert profile.flank == (Flank.LEFT, Flank.RIGHT) * 4
    assert profile.deviation_um.shape == (8, 181) and profile.across_mm is None
    assert profile.head.uncertainty == 1.2 and profile.source_text.startswith(head("profile"))
    (excluded,) = helix.excluded
    assert (excluded.tooth, excluded.flank, excluded.from_mm, excluded.to_mm) == (6, Flank.LEFT, 10.0, 11.0)
    drawn = record.gear.modification
    assert (drawn.control_diameter_mm, drawn.tip_relief_start_mm) == (80.5, 91.5)
    assert drawn.relief_form is ReliefForm.PARABOLIC
    assert (drawn.left_helix_slope_um, drawn.right_helix_slope_um, drawn.root_relief_um) == (4.0, -4.0, None)
    assert len({record.digest, read_gear_text(text_of("profile"), folder=tmp_path).digest}) == 2


def test_the_order_of_rows_and_columns_does_not_matter():
    rows = trace_rows("profile")
    mixed = random.Random(3).sample(rows, len(rows))
    turned = [";".join(reversed(row.split(","))) for row in mixed]
    found = [
        table_of(rows),
        table_of(mixed),
        table_of(turned, columns="deviation_um;roll_mm;flank;tooth"),
    ]
    for other in found[1:]:
        np.testing.assert_array_equal(other.deviation_um, found[0].deviation_um)
        np.testing.assert_array_equal(other.place_mm, found[0].place_mm)
        assert other.flank == found[0].flank


def test_several_traces_of_a_flank_and_traces_of_other_lengths():
    rows = [f"3,left,{face},{x},{x / 10}" for face in (35, 50) for x in range(face)]
    found = table_of(rows, columns="tooth,flank,face_mm,roll_mm,deviation_um")
    assert found.across_mm.tolist() == [35.0, 50.0]
    assert found.tooth.tolist() == [3, 3]
    assert np.isnan(found.place_mm[0, 35:]).all() and found.place_mm[1, -1] == 49.0


def test_a_point_without_a_value_is_missing():
    rows = trace_rows("helix", teeth=[1])
    rows[7] = rows[7].rpartition(",")[0] + ","
    found = table_of(rows, kind="helix")
    assert np.isnan(found.deviation_um[0, 7]) and np.isfinite(found.place_mm[0, 7])


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("22,left,9.9,1", 'line 3, tooth: given "22"; needed: a tooth number from 1 to 21'),
        ("0,left,9.9,1", 'line 3, tooth: given "0"'),
        ("1.5,left,9.9,1", 'line 3, tooth: given "1.5"'),
        ("1,up,9.9,1", 'line 3, flank: given "up"; needed: left or right'),
        ("1,left,9,9,1", "line 3: given 5 values; needed: 4 values: tooth, flank, roll_mm, deviation_um (a"),
        ("1,left,9.9", "line 3: given 3 values"),
        ("1,left,9.9,x", 'line 3, deviation_um: given "x"; needed: a number of µm'),
        ("1,left,nan,1", 'line 3, roll_mm: given "nan"; needed: a number of mm'),
        ("1,left,90000,1", 'line 3, roll_mm: given "90000"'),
    ],
)  # fmt: skip
def test_rows_that_cannot_be_read(row, said):
    rows = trace_rows("profile", teeth=[2])
    found = faults([rows[0], row, *rows[1:]])
    assert len(found) == 1 and found[0].startswith(f"profile.csv, {said}"), found


def test_a_decimal_comma_is_named_behind_semicolons():
    rows = [row.replace(",", ";") for row in trace_rows("profile", teeth=[2])]
    rows[3] = rows[3].replace(".", ",")
    found = faults(rows, columns=head("profile").replace(",", ";"))
    assert all("write a decimal point, not a comma" in one for one in found)


def test_the_same_point_twice_is_refused():
    rows = trace_rows("profile")
    (found,) = faults([*rows, rows[5]])
    assert "given tooth 1, left flank, roll_mm" in found and "again" in found


@pytest.mark.parametrize(
    ("factor", "said"),
    [
        (1e-3, "as on no flank: are they in mm?"),
        (1e3, "no flank is off by over 1000 µm: are they in nm"),
    ],
)
def test_deviations_in_another_unit_are_asked_about(factor, said):
    rows = [
        f"{row.rpartition(',')[0]},{float(row.rpartition(',')[2]) * factor:g}" for row in trace_rows("helix")
    ]
    found = faults(rows, kind="helix")
    assert found[0].startswith("helix.csv, tooth ") and said in found[0]


def test_one_trace_in_mm_does_not_hide_among_others_nor_behind_a_tip_that_drops():
    rows = trace_rows("profile", teeth=[1])
    scaled = [row.rpartition(",") for row in trace_rows("profile", teeth=[2])]
    small = [f"{place},{float(value) / 1000:g}" for place, _, value in scaled]
    small[-1] = small[-1].rpartition(",")[0] + ",-0.2"
    assert [one.split(":")[0] for one in faults([*rows, *small])] == [
        "profile.csv, tooth 2, left flank, deviation_um",
        "profile.csv, tooth 2, right flank, deviation_um",
    ]


def test_a_trace_of_one_value_did_not_record():
    still = [f"{row.rpartition(',')[0]},0.3" for row in trace_rows("helix", teeth=[2])]
    assert "181 times 0.3" in faults(still, kind="helix")[0]


def test_a_trace_of_zeros_did_not_record():
    rows = trace_rows("helix", teeth=[1])
    still = [f"{row.rpartition(',')[0]},0.0" for row in trace_rows("helix", teeth=[2])]
    found = faults([*rows, *still], kind="helix")
    assert [one.split(":")[0] for one in found] == [
        "helix.csv, tooth 2, left flank",
        "helix.csv, tooth 2, right flank",
    ]
    assert "a probe that did not record" in found[0]


@pytest.mark.parametrize("rows", [[], trace_rows("profile", teeth=[1], points=29)])
def test_too_few_points_are_refused(rows):
    assert "30 points or more of each trace" in faults(rows)[0]


def test_another_header_names_the_columns():
    (found,) = faults(trace_rows("profile"), columns="tooth,flank,roll_angle,deviation_um")
    assert found.endswith("needed: the columns tooth,flank,roll_mm,deviation_um")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('from = "10 mm"', 'from = "12 mm"', "excluded[1]"),
        ("tooth = 6", "tooth = 7", "a trace of helix.csv: it has teeth 1, 6, 11, 16"),
        ('to = "11 mm"', 'to = "10.01 mm"', "at least one point of the trace, which goes from 0 to 42 mm"),
        ('reason = "Dust."', "", "evidence.helix[1].excluded[1].reason"),
        ('"serial number 0001"\nby', '"gear one"\nby', "serial number with its name"),
    ],
)
def test_an_exclusion_has_to_meet_the_traces(tmp_path, old, new, said):
    write_traces(tmp_path, "helix")
    low = "10.003" if "10.01" in new else "10"
    text = text_of("helix", more=EXCLUDED.format(kind="helix", low=low, high=11))
    start, _, own = text.rpartition("[[evidence.helix]]")
    (found,) = faults_of(start + "[[evidence.helix]]" + swapped(own, old, new), tmp_path)
    assert said in found


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"91.5 mm"', '"79 mm"', "above the control diameter of 80.5 mm"),
        ('"6.5 µm"', '"6.5 µm"\nroot_relief = "8 µm"', "root_relief and root_relief_end together"),
        ('"6.5 µm"', '"6.5 µm"\nend_relief_length = "3 mm"', "end_relief and end_relief_length together"),
        ('relief_form = "parabolic"', 'relief_form = "round"', "relief_form"),
    ],
)  # fmt: skip
def test_a_modification_has_to_lie_on_the_flank(tmp_path, old, new, said):
    found = faults_of(swapped(text_of(), old, new), tmp_path)
    assert any(said in one for one in found), found
