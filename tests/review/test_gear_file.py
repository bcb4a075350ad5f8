"""The gear file: what is written arrives in the units of the package, and every fault is named."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.requirements.types import Stage
from gearcheck.review.file_places import key_lines
from gearcheck.review.file_text import LARGEST_GEAR_FILE
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.inputs import HardnessPlace
from gearcheck.review.starter import starter_text
from gearcheck.stress.inputs import LifeAt1e10, Readings
from tests.review.gear_texts import faults_of, line_of, read, swapped, with_evidence, write_pitch


def test_the_starter_reads_as_it_stands(tmp_path):
    record = read(starter_text(), tmp_path)
    tooth = record.gear.tooth
    assert (record.normal_module_mm, record.pressure_angle_deg, record.helix_angle_deg) == (4.0, 20.0, 0.0)
    assert (tooth.teeth, tooth.face_width_mm, tooth.profile_shift, tooth.tip_diameter_mm) == (
        21,
        42.0,
        0.3,
        94.2,
    )
    assert (tooth.protuberance_mm, tooth.stock_min_mm, tooth.stock_max_mm) == (0.13, 0.08, 0.12)
    assert record.gear.steel.surface_hardness_HV == 697.0  # 60 HRC in ASTM E140
    assert record.gear.case.finished_min_mm == 0.75
    assert record.gear.tip_relief_um == 20.0
    assert record.meshes[0].torque_Nm == 420.0
    assert record.meshes[0].loaded_flank is Flank.LEFT
    assert record.meshes[0].mate.tooth.teeth == 64
    assert record.required.life_h == 25000.0
    assert record.methods.readings == Readings()
    assert record.part.stage is Stage.DETAIL
    assert record.pitch == record.case_depth == record.hardness == ()
    assert record.source_text == starter_text()


def test_evidence_arrives_with_its_head(tmp_path):
    write_pitch(tmp_path)
    record = read(with_evidence(), tmp_path)
    assert record.pitch[0].left_um[9] == -1.0
    assert record.pitch[0].right_um.shape == (21,)
    assert (record.pitch[0].head.source, record.pitch[0].head.date) == ("pitch.csv", "2026-03-02")
    assert len(record.pitch[0].head.sha256) == 64
    assert (record.case_depth[0].flank, record.case_depth[0].as_treated_mm) == (Flank.LEFT, 1.02)
    assert record.case_depth[0].head.source == "evidence.case_depth[1]"
    assert (record.hardness[0].place, record.hardness[0].hardness_HV) == (HardnessPlace.SURFACE, 712.0)
    assert record.methods.readings.life_at_1e10 is LifeAt1e10.OPTIMUM


OPTIONAL = [
    "gear.finish",
    "gear.steel",
    "gear.case",
    "gear.accuracy",
    "mesh.mate.tool",
    "mesh.mate.stock",
    "mesh.mate.finish",
    "mesh.mate.steel",
    "mesh.mate.case",
    "mesh.mate.accuracy",
    "lubricant",
    "required",
]


def without(text: str, *sections: str) -> str:
    """The text without the lines of some sections."""
    kept, leave_out = [], False
    for line in text.split("\n"):
        if line.startswith("["):
            leave_out = line.split("#")[0].strip().strip("[]") in sections
        if not leave_out:
            kept.append(line)
    return "\n".join(kept)


@pytest.mark.parametrize("section", OPTIONAL)
def test_an_optional_section_may_be_left_out(section, tmp_path):
    whole, less = starter_text(), without(starter_text(), section)
    assert len(less) < len(whole)
    record = read(less, tmp_path)
    assert record.digest != read(whole, tmp_path).digest


def test_hardenability_may_be_given(tmp_path):
    core = 'core_hardness = "34 HRC"              # at the tooth root'
    given = starter_text().replace(core, f'{core}\nhardenability = "36.5 HRC"', 1)
    record, without_it = read(given, tmp_path), read(starter_text(), tmp_path)
    assert record.gear.steel.hardenability_HRC == 36.5
    assert without_it.gear.steel.hardenability_HRC is None
    assert record.digest != without_it.digest
    assert record.meshes[0].mate.steel.hardenability_HRC is None


@pytest.mark.parametrize("bad", ['"380 HV"', '"36"', "36", '"70 HRC"', '"19 HRC"'])
def test_hardenability_is_in_rockwell_c(bad, tmp_path):
    core = 'core_hardness = "34 HRC"              # at the tooth root'
    (fault,) = faults_of(starter_text().replace(core, f"{core}\nhardenability = {bad}", 1), tmp_path)
    assert fault.startswith("gear.steel.hardenability")
    assert "from 20 to 60 HRC" in fault


def test_what_is_absent_is_none_and_a_mate_without_stock_is_as_cut(tmp_path):
    record = read(without(starter_text(), *OPTIONAL, "methods", "methods.readings"), tmp_path)
    mate = record.meshes[0].mate
    assert (record.lubricant, record.required, record.methods) == (None, None, None)
    assert (record.gear.finish, record.gear.steel, record.gear.case, record.gear.accuracy) == (None,) * 4
    assert (mate.finish, mate.steel, mate.case, mate.accuracy) == (None,) * 4
    assert (mate.tooth.protuberance_mm, mate.tooth.stock_min_mm, mate.tooth.stock_max_mm) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("section", ["part", "gear.rack", "gear.tool", "gear.stock", "mesh.mate.rack"])
def test_a_required_section_is_missed(section, tmp_path):
    found = faults_of(without(starter_text(), section), tmp_path)
    place = section.replace("mesh", "mesh[1]")
    assert [
        fault for fault in found if fault.startswith(place) and "missing" in fault and f"[{section}]" in fault
    ]


BAD_VALUES = [
    ('face_width = "42 mm"', "face_width = 42", "a bare number has no unit"),
    ('face_width = "42 mm"', 'face_width = "42"', "a number with its unit"),
    ('face_width = "42 mm"', 'face_width = "42 kg"', "known here are mm"),
    ('face_width = "42 mm"', 'face_width = "42,5 mm"', "decimal point, not a comma"),
    ('face_width = "42 mm"', 'face_width = "-42 mm"', "from 1 to 2000 mm"),
    ('face_width = "42 mm"', 'face_width = "4200 mm"', "from 1 to 2000 mm"),
    ('face_width = "42 mm"', "face_width = nan", "a bare number has no unit"),
    ('face_width = "42 mm"', 'face_width = "nan mm"', "a number with its unit"),
    ('face_width = "42 mm"', 'face_width = ["42 mm"]', "given a list"),
    ('face_width = "42 mm"', "face_width = { mm = 42 }", "given a section"),
    ("teeth = 21", "teeth = 21.0", "a whole number from 5 to 1000"),
    ("teeth = 21", 'teeth = "21"', "without quotes"),
    ("teeth = 21", "teeth = 4", "a whole number from 5 to 1000"),
    ("teeth = 21", "teeth = true", "a whole number from 5 to 1000"),
    ("teeth = 21", f"teeth = 0x{'f' * 1900}", "given a huge number"),
    ("profile_shift = 0.30", 'profile_shift = "0.30"', "a number from -2 to 2.5, without quotes"),
    ("profile_shift = 0.30", "profile_shift = inf", "a number from -2 to 2.5"),
    ('normal_module = "4 mm"', 'normal_module = "0.4 mm"', "from 0.5 to 70 mm"),
    ('pressure_angle = "20 deg"', 'pressure_angle = "20 rad"', "from 14 to 30 deg"),
    ('helix_angle = "0 deg"', 'helix_angle = "-12 deg"', "from 0 to 45 deg"),
    ('left = ["0.08 mm", "0.12 mm"]', 'left = ["0.12 mm", "0.08 mm"]', "the smallest value first"),
    ('left = ["0.08 mm", "0.12 mm"]', 'left = ["0.08 mm"]', "[smallest, largest]"),
    ('left = ["0.08 mm", "0.12 mm"]', 'left = "0.08 mm"', "[smallest, largest]"),
    ('left = ["0.08 mm", "0.12 mm"]', 'left = [0.08, "0.12 mm"]', "a bare number has no unit"),
    ('quality = "MQ"', 'quality = "mq"', 'did you mean "MQ"?'),
    ('stage = "detail"', 'stage = "details"', 'did you mean "detail"?'),
    ('surface_hardness = "60 HRC"', 'surface_hardness = "60"', '"700 HV" or "60 HRC"'),
    ('surface_hardness = "60 HRC"', "surface_hardness = 60", "a bare number has no scale"),
    ('surface_hardness = "60 HRC"', 'surface_hardness = "70 HRC"', "20 to 68 HRC"),
    ('surface_hardness = "60 HRC"', 'surface_hardness = "600 HB"', '"700 HV" or "60 HRC"'),
    ('at = "550 HV"', 'at = "52 HRC"', "only the depth at 550 HV"),
    ('place = "pitch line"', 'place = "root"', "only the depth at the pitch line"),
    ('grade = "18CrNiMo7-6"', 'grade = "18CrNiMo7-7"', "18CrNiMo7-6"),
    ("class = 6", "class = 12", "a whole number from 1 to 11"),
    ("reliability = 0.99", "reliability = 1", "a number above 0.5 and below 1"),
    ("reliability = 0.99", "reliability = 99", "a number above 0.5 and below 1"),
    ('life = "25000 h"', 'life = "0 h"', "from 0.01 to 10000000 h"),
    ("flank_safety = 1.1", "flank_safety = 0.4", "a number from 0.5 to 10"),
    ('speed = "1460 rpm"', 'speed = "-1460 rpm"', "from 0.001 to 1000000 rpm"),
    ('name = "wheel"', 'name = "the wheel"', "letters, digits, - and _"),
    ('case_depth = "ISO 6336-5:2016"', 'case_depth = "ISO 6336-5"', 'did you mean "ISO 6336-5:2016"?'),
    ('base = "primary"', 'base = "mine"', '"primary"'),
    ("format = 1", "format = 2", "this version reads format 1"),
    ("format = 1", "format = true", "this version reads format 1"),
    ('number = "CD-204"', 'number = ""', "1 to 60 characters"),
    ('number = "CD-204"', "number = 204", "a text in quotes"),
    ('title = "Conveyor-drive pinion"', f'title = "{"x" * 201}"', "1 to 200 characters"),
    ('title = "Conveyor-drive pinion"', 'title = "pinion\\u001b[31m"', "U+001B"),
    ('title = "Conveyor-drive pinion"', 'title = "pinion\\u202e"', "U+202E"),
    ('title = "Conveyor-drive pinion"', 'title = "two\\nlines"', "U+000A"),
    ('date = 2026-03-02 ', 'date = "2026-03-02" ', "a date without quotes"),
    ('date = 2026-03-02 ', "date = 2026-03-02T10:00:00 ", "a date without quotes"),
    ('place = "surface"', 'place = "flank"', '"surface", "core"'),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "said"), BAD_VALUES, ids=[new[:60] for _, new, _ in BAD_VALUES])
def test_a_bad_value_is_one_fault_with_its_line(old, new, said, tmp_path):
    write_pitch(tmp_path)
    text = swapped(with_evidence(), old, new)
    found = faults_of(text, tmp_path)
    assert len(found) == 1
    assert said in found[0]
    assert f", line {line_of(text, new)}: given " in found[0]


def test_the_place_is_written_as_the_user_wrote_it(tmp_path):
    text = swapped(starter_text(), "teeth = 64", "teeth = 4")
    (fault,) = faults_of(text, tmp_path)
    line = line_of(text, "teeth = 4")
    assert (
        fault
        == f"mesh[1].mate.teeth, line {line}: given 4; needed: a whole number from 5 to 1000, without quotes"
    )


def test_all_faults_show_at_once_in_the_order_of_the_file(tmp_path):
    text = starter_text()
    for old, new, _ in BAD_VALUES[:1] + BAD_VALUES[20:21] + BAD_VALUES[24:25]:
        text = swapped(text, old, new)
    text = swapped(text, 'speed = "1460 rpm"', 'sped = "1460 rpm"')
    found = faults_of(text, tmp_path)
    places = [fault.split(",")[0] for fault in found]
    assert places == [
        "gear.face_width",
        "gear.stock.left",
        "gear.steel.quality",
        "mesh[1].speed",
        "mesh[1].sped",
    ]
    assert 'did you mean "speed"?' in found[-1]


def test_an_unknown_section_is_said_with_a_near_match(tmp_path):
    (fault,) = faults_of(swapped(starter_text(), "[lubricant]", "[lubrication]"), tmp_path)
    assert fault.startswith("lubrication, line")
    assert 'did you mean "lubricant"?' in fault


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('normal_module = "4 mm"', "", "missing; needed: exactly one of normal_module"),
        (
            'normal_module = "4 mm"',
            'normal_module = "4 mm"\nnormal_diametral_pitch = "6 1/in"',
            "given both normal_module and normal_diametral_pitch",
        ),
    ],
)
def test_exactly_one_of_module_and_pitch(old, new, said, tmp_path):
    (fault,) = faults_of(swapped(starter_text(), old, new), tmp_path)
    assert said in fault


def test_two_meshes_need_two_names(tmp_path):
    text = starter_text()
    start, end = text.index("\n[[mesh]]") + 1, text.index("\n[lubricant]") + 1
    twice = text[:end] + text[start:end] + text[end:]
    (fault,) = faults_of(twice, tmp_path)
    assert fault.startswith("mesh[2].name, line")
    assert len(read(twice.replace('name = "wheel"', 'name = "idler"', 1), tmp_path).meshes) == 2


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda text: swapped(text, "teeth = 21", "teeth = 21\nteeth = 22"), "each key once in its section"),
        (lambda text: swapped(text, "[gear.case] ", "[gear.steel] "), "each section once"),
        (lambda text: swapped(text, '"42 mm"', "42 mm"), 'in quotes, such as "32 mm"'),
        (lambda text: swapped(text, '"42 mm"', "42,5"), "one value a line"),
        (lambda text: swapped(text, '"42 mm"', ""), "a value after the ="),
        (lambda text: swapped(text, '"42 mm"', '"42 mm'), "text in quotes that closes on the same line"),
        (lambda text: swapped(text, "teeth = 21", "teeth 21"), "valid TOML"),
        (lambda text: swapped(text, "[gear.rack]", "[gear.rack"), "valid TOML"),
        (lambda text: swapped(text, "teeth = 21", "teeth = 21\0"), "`teeth = 21\N{REPLACEMENT CHARACTER}`"),
    ],
)
def test_an_error_of_syntax_has_its_line(change, said, tmp_path):
    text = change(starter_text())
    (fault,) = faults_of(text, tmp_path)
    assert said in fault
    assert fault.startswith("gear file, line ")


def test_an_error_of_syntax_names_the_right_line(tmp_path):
    text = swapped(starter_text(), "teeth = 21", "teeth = 21\nteeth = 22")
    (fault,) = faults_of(text, tmp_path)
    assert fault.startswith(f"gear file, line {line_of(text, 'teeth = 22')}: given `teeth = 22`")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "format: missing"),
        ("a = " + "[" * 1500, "nested too deep"),
        ("a = " + "9" * 1900, "no such key"),
        ("a = 1 # " + "x" * 2000, "at most 2000 characters"),
        ("# x\n" * (LARGEST_GEAR_FILE // 4 + 1), "at most 0.3 MB"),
        ("x = { a" + ".a" * 30 + " = 1 }", "keys of at most 20 parts"),
        ("mesh = 1", "one section [[mesh]] for each entry"),
        ("mesh = []", "one section [[mesh]] for each entry"),
        ("gear = 1", "a section [gear]"),
        ("part = []", "a section [part]"),
        ("evidence.pitch = 3", "one section [[evidence.pitch]] for each entry"),
        ("'\\u001b[31m' = 1", "no such key"),
        ("x = '\ud800'", "half a character"),
        ('x = """', "at its end"),
    ],
    ids=range(14),
)
def test_what_is_no_gear_file_is_refused_in_words(text, said, tmp_path):
    found = faults_of(text, tmp_path)
    assert said in "\n".join(found)
    assert all(fault.isprintable() for fault in found)


def test_a_long_list_of_faults_is_cut_and_counted(tmp_path):
    found = faults_of("".join(f"k{number} = 1\n" for number in range(500)), tmp_path)
    assert len(found) == 51
    assert found[-1].startswith(
        "gear file: given 454 more faults"
    )  # 500 unknown, 4 sections missing, 50 shown


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\xff\xfef\x00o\x00", "text in UTF-16"),
        (b"format = 1\n# 60\xb0\n", "gear.toml, line 2: given the byte 0xB0; needed: text in UTF-8"),
        (bytes(range(256)), "gear.toml, line 2"),
        (b"\x00" * 100, "gear.toml, line 1"),
        (b"#" * (LARGEST_GEAR_FILE + 1), "at most 0.3 MB"),
    ],
)
def test_bytes_that_are_no_text(data, said, tmp_path):
    (tmp_path / "gear.toml").write_bytes(data)
    with pytest.raises(InputError, match=said):
        read_gear_file(tmp_path / "gear.toml")


def test_a_byte_order_mark_and_windows_line_ends_change_nothing(tmp_path):
    text = starter_text()
    (tmp_path / "gear.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read_gear_file(tmp_path / "gear.toml").digest == read(text, tmp_path).digest


@pytest.mark.parametrize("name", ["none.toml", ".", "a\0b", "x" * 5000])
def test_no_such_file(name, tmp_path):
    with pytest.raises(InputError, match="needed: a file"):
        read_gear_file(f"{tmp_path}/{name}")


@pytest.mark.parametrize("name", ["tunnel_fan", "ship_lift", "harvester"])
def test_the_demo_gears_read(name):
    folder = scenarios() / name
    record = read_gear_file(folder / "gear.toml")
    assert record.gear.steel is not None
    expected = tomllib.loads((folder / "expected.toml").read_text(encoding="utf-8"))
    assert expected["exit"] in (0, 1)
    assert "invented" in (folder / "story.md").read_text(encoding="utf-8")


def test_inches_arrive_in_millimetres():
    record = read_gear_file(scenarios() / "harvester" / "gear.toml")
    assert record.normal_module_mm == 5.08
    assert record.meshes[0].centre_distance_mm == 199.39
    assert record.meshes[0].torque_Nm == pytest.approx(620 * 1.3558179483314)
    assert record.gear.tip_relief_um == pytest.approx(30.48)


def test_the_lines_of_keys_are_those_of_the_text():
    text = with_evidence()
    lines = text.split("\n")
    for place, number in key_lines(text).items():
        assert str(place[-1] if isinstance(place[-1], str) else place[-2]) in lines[number - 1]
    assert key_lines('a = """\nb = 1\n"""\nc.d = 1') == {("a",): 1, ("c", "d"): 4}


def test_the_package_loads_no_pydantic():
    code = "import sys, gearcheck, gearcheck.review.gear_file; print('pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_a_folder_is_no_gear_file(tmp_path):
    with pytest.raises(InputError, match=r"gear file: given the folder .*; needed: a file, not a folder"):
        read_gear_file(tmp_path)


def test_the_folder_may_be_a_text(tmp_path):
    assert read_gear_text(starter_text(), folder=str(tmp_path)) is not None
    assert read_gear_text(starter_text(), folder=Path("nowhere")) is not None
