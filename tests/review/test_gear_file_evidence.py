"""Evidence files: a row that cannot be used is named by its line; nothing outside the folder is read."""

from __future__ import annotations

import os

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.review.file_evidence import pitch_table
from gearcheck.review.file_text import LARGEST_EVIDENCE_FILE
from tests.review.gear_texts import HEADER, faults_of, pitch_rows, read, swapped, with_evidence, write_pitch


def table_faults(text: str, teeth: int | None = 21) -> list[str]:
    with pytest.raises(InputError) as caught:
        pitch_table(text, "pitch.csv", teeth)
    return [str(fault) for fault in caught.value.faults]


def changed_row(index: int, row: str) -> str:
    rows = pitch_rows()
    rows[index] = row
    return "\n".join([HEADER, *rows])


BAD_ROWS = [
    ("4,left,nan", 'pitch.csv, line 5, deviation_um: given "nan"'),
    ("4,left,inf", 'pitch.csv, line 5, deviation_um: given "inf"'),
    ("4,left,-1e999", 'deviation_um: given "-1e999"'),
    ("4,left,20000", "at most 10000 either way"),
    ("4,left,", "pitch.csv, line 5, deviation_um: missing"),
    ("4,left,2 µm", 'given "2 µm"; needed: a number of µm'),
    ("4,left,1_0", 'given "1_0"'),
    ("4,left,٣", 'given "٣"'),
    ('4,left,"2,5"', "write a decimal point, not a comma"),
    ("4,left,2,5", "pitch.csv, line 5: given 4 values; needed: three values"),
    ("4,left", "given 2 values"),
    ("4", "given 1 value;"),
    ("4,up,2", 'pitch.csv, line 5, flank: given "up"; needed: left or right'),
    ("0,left,2", "a tooth number from 1 to 21"),
    ("22,left,2", "a tooth number from 1 to 21"),
    ("-4,left,2", "a tooth number from 1 to 21"),
    ("4.0,left,2", "a tooth number from 1 to 21"),
    ("3,left,2", "pitch.csv, line 5: given left flank, tooth 3 again"),
    ("4,left,\x00", "deviation_um: given"),
]


@pytest.mark.parametrize(("row", "said"), BAD_ROWS, ids=[ascii(row) for row, _ in BAD_ROWS])
def test_a_bad_row_is_one_fault_with_its_line(row, said):
    (fault,) = table_faults(changed_row(3, row))
    assert said in fault
    assert fault.startswith("pitch.csv, line 5")
    assert fault.isprintable()


def test_gaps_are_said_by_flank_and_tooth():
    rows = [row for row in pitch_rows() if row not in ("4,left,-0.4", "7,left,0.7")]
    (fault,) = table_faults("\n".join([HEADER, *rows]))
    given = "pitch.csv, left flank: given 19 of 21 teeth"
    assert fault == f"{given}; needed: a row for every tooth of the gear (missing: 4, 7)"


def test_too_few_and_too_many_teeth():
    found = table_faults("\n".join([HEADER, *pitch_rows(20)]))
    assert [fault.split(":")[0] for fault in found] == ["pitch.csv, left flank", "pitch.csv, right flank"]
    found = table_faults("\n".join([HEADER, *pitch_rows(22)]))
    assert [fault.split(",")[1] for fault in found] == [" line 23", " line 45"]


def test_one_flank_alone_is_not_enough():
    (fault,) = table_faults("\n".join([HEADER, *pitch_rows()[:21]]))
    assert fault.startswith("pitch.csv, right flank: given 0 of 21 teeth")
    assert "..." in fault


def test_after_three_faults_of_a_kind_only_their_number():
    found = table_faults("\n".join([HEADER, *["1,left,2,5"] * 42, "1,up,2", *["1,left,nan"] * 4]))
    places = [fault.partition(": ")[0] for fault in found]
    assert places == [
        *("pitch.csv, line 2", "pitch.csv, line 3", "pitch.csv, line 4", "pitch.csv"),
        "pitch.csv, line 44, flank",
        *(f"pitch.csv, line {line}, deviation_um" for line in (45, 46, 47)),
        "pitch.csv",
    ]
    assert found[3].startswith("pitch.csv: given 39 more rows of this kind; needed: three values")
    assert found[3].endswith("(a decimal comma? write a decimal point)")
    assert "one more row of this kind" in found[-1]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "pitch.csv, line 1: missing; needed: the columns tooth,flank,deviation_um"),
        (HEADER, "a row for every tooth"),
        ("tooth,deviation_um,flank\n1,2,left", 'given "tooth,deviation_um,flank"'),
        ("1,left,2\n", 'line 1: given "1,left,2"'),
        ("tooth\tflank\tdeviation_um\n", "the columns"),
        (HEADER + '\n1,left,"2' + "x" * 200_000, "a line that cannot be read"),
        ("\x00\x01\x02", "the columns"),
    ],
)
def test_what_is_no_table_of_pitch(text, said):
    assert said in table_faults(text)[0]


def test_without_a_number_of_teeth_the_largest_tooth_counts():
    assert pitch_table("\n".join([HEADER, *pitch_rows(7)]), "pitch.csv", None)["left"].shape == (7,)
    assert "given 0 of 9 teeth" in table_faults(f"{HEADER}\n9,left,1", None)[1]


@pytest.mark.parametrize(
    "change",
    [
        lambda text: "\ufeff" + text,
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace(",", ";"),
        lambda text: text.replace(",", " , "),
        lambda text: text.replace("left", "Left").replace("tooth", "Tooth"),
        lambda text: text + "\n\n,,\n",
        lambda text: "\n".join([HEADER, *reversed(text.strip().split("\n")[1:])]),
    ],
)
def test_other_ways_of_writing_the_same_table(change, tmp_path):
    text = "\n".join([HEADER, *pitch_rows()]) + "\n"
    (tmp_path / "pitch.csv").write_text(change(text), encoding="utf-8", newline="")
    record = read(with_evidence(), tmp_path)
    assert record.pitch[0].left_um.tolist() == pytest.approx(np.arange(1, 22) * (-1.0) ** np.arange(21) / 10)


def test_semicolons_with_decimal_commas_are_refused_by_line():
    text = "\n".join([HEADER, *pitch_rows()]).replace(",", ";").replace(".", ",")
    found = table_faults(text)
    assert found[0] == (
        'pitch.csv, line 2, deviation_um: given "0,1"; needed: a number of µm, at most 10000 either way '
        "(write a decimal point, not a comma)"
    )
    assert len(found) == 4


@pytest.mark.parametrize(
    "name",
    [
        "../pitch.csv",
        "a/../../pitch.csv",
        "/etc/hostname",
        "C:/pitch.csv",
        "C:pitch.csv",
        "\\\\\\\\server\\\\pitch.csv",
        "a\\\\pitch.csv",
        "pitch.csv:stream",
        "~/pitch.csv",
        ".",
        "none.csv",
        "x" * 190,
    ],
)
def test_only_plain_names_inside_the_folder(name, tmp_path):
    (tmp_path / "inner").mkdir()
    write_pitch(tmp_path)
    text = swapped(with_evidence(), 'file = "pitch.csv"', f'file = "{name}"')
    (fault,) = faults_of(text, tmp_path / "inner")
    assert fault.startswith("evidence.pitch[1].file, line ")
    assert "needed: the plain name of a file" in fault or "needed: a file that exists" in fault


def test_a_file_in_a_folder_below_is_read(tmp_path):
    (tmp_path / "measured").mkdir()
    write_pitch(tmp_path / "measured")
    text = swapped(with_evidence(), 'file = "pitch.csv"', 'file = "measured/pitch.csv"')
    assert read(text, tmp_path).pitch[0].head.source == "measured/pitch.csv"


@pytest.mark.skipif(os.name == "nt", reason="making a link takes special rights there")
def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "pitch.csv").symlink_to(write_pitch(tmp_path))
    assert "the plain name of a file" in faults_of(with_evidence(), tmp_path / "inner")[0]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes there")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pitch.csv")
    assert "a file that exists" in faults_of(with_evidence(), tmp_path)[0]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"x" * (LARGEST_EVIDENCE_FILE + 1), "at most 5 MB"),
        (b"\xff\xfet\x00", "text in UTF-16"),
        (HEADER.encode() + b"\n1,left,\xb5\n", "pitch.csv, line 2: given the byte 0xB5"),
    ],
)
def test_files_that_are_no_text_or_too_large(data, said, tmp_path):
    (tmp_path / "pitch.csv").write_bytes(data)
    (fault,) = faults_of(with_evidence(), tmp_path)
    assert said in fault


def test_faults_of_the_gear_file_and_of_its_evidence_show_together(tmp_path):
    write_pitch(tmp_path, ["1,left,nan"])
    text = swapped(with_evidence(), 'face_width = "42 mm"', "face_width = 42")
    found = faults_of(text, tmp_path)
    assert found[0].startswith("gear.face_width")
    assert found[1].startswith("pitch.csv, line 2")


CELLS = st.sampled_from(
    ["1", "2", "left", "right", "nan", "1,5", "", ";", '"', "\n", "\r", "\0", "1e400", HEADER]
)


@given(
    text=st.text() | st.lists(CELLS | st.text(max_size=3)).map(lambda cells: HEADER + "\n" + ",".join(cells)),
    teeth=st.none() | st.integers(5, 30),
)
@settings(max_examples=100, deadline=2000)
def test_no_table_breaks_the_reader(text, teeth):
    try:
        found = pitch_table(text, "pitch.csv", teeth)
    except InputError as error:
        assert error.faults
    else:
        assert np.isfinite(found["left"]).all()
        assert found["left"].shape == found["right"].shape
