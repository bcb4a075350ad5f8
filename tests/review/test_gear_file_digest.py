"""The digest: one content, one digest, however it was written; another value, another digest."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import pytest
import rfc8785

from gearcheck.review.file_digest import _plain, digest
from gearcheck.review.inputs import Record
from gearcheck.review.starter import starter_text
from tests.review.gear_texts import read, swapped, with_evidence, write_pitch


def sections(text: str) -> list[str]:
    """The text cut before each section, comments dropped."""
    lines = [line.split("#")[0].rstrip() for line in text.split("\n")]
    parts: list[str] = [""]
    for line in lines:
        if line.startswith("["):
            parts.append("")
        parts[-1] += line + "\n"
    return parts


def test_comments_blanks_and_order_do_not_count(tmp_path):
    text = starter_text()
    head, *rest = sections(text)
    moved = [part for part in rest if not part.startswith("[mesh.") and not part.startswith("[[mesh")]
    meshes = [part for part in rest if part not in moved]
    other = head + "".join(reversed(moved)) + "\n\n# another order\n" + "".join(meshes[:1] + meshes[:0:-1])
    turned = other.replace("teeth = 21\n", "").replace(
        'tip_diameter = "94.2 mm"', 'tip_diameter = "94.2 mm"\nteeth = 21'
    )
    assert turned != other
    assert read(turned, tmp_path).digest == read(text, tmp_path).digest


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('face_width = "42 mm"', 'face_width = "1.6535433070866 in"'),
        ('face_width = "42 mm"', 'face_width = "4.2 cm"'),
        ('face_width = "42 mm"', 'face_width = "42.000 mm"'),
        ('normal_module = "4 mm"', 'normal_diametral_pitch = "6.35 1/in"'),
        ('surface_hardness = "60 HRC"', 'surface_hardness = "697 HV"'),
        ('torque = "420 N·m"', 'torque = "0.42 kNm"'),
        ('helix_angle = "0 deg"', 'helix_angle = "0 rad"'),
        ("mesh_load_factor = 1.0", "mesh_load_factor = 1"),
        ('grade = "18CrNiMo7-6"', 'grade = "18crnimo7-6"'),
        ('speed = "1460 rpm"', 'speed = "1460 1/min"'),
        ('"Starter example; all data are invented."', '"""\nStarter example; all data are invented."""'),
        ('base = "primary"', 'base = "primary"\nlife_at_1e10 = "0.85"'),
    ],
)  # fmt: skip
def test_the_same_value_in_other_words(old, new, tmp_path):
    text = starter_text()
    assert read(swapped(text, old, new), tmp_path).digest == read(text, tmp_path).digest


def test_an_inch_is_25_point_4_millimetres(tmp_path):
    inch, metric = (swapped(starter_text(), '"42 mm"', value) for value in ('"1.26 in"', '"32.004 mm"'))
    assert read(inch, tmp_path).digest == read(metric, tmp_path).digest
    assert read(inch, tmp_path).gear == read(metric, tmp_path).gear


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('face_width = "42 mm"', 'face_width = "42.0001 mm"'),
        ('revision = "A"', 'revision = "B"'),
        ('stage = "detail"', 'stage = "release"'),
        ("teeth = 64", "teeth = 65"),
        ('loaded_flank = "left"', 'loaded_flank = "right"'),
        ("reliability = 0.99", "reliability = 0.98"),
        ('base = "primary"', 'base = "primary"\nlife_at_1e10 = "1.0"'),
        ('case_depth = "ISO 6336-5:2016"', 'case_depth = "AGMA 2101-D04 shear"'),
        ('flank = "left"', 'flank = "right"'),
        ('stock_removed = "0.12 mm"', 'stock_removed = "0.13 mm"'),
        ('instrument = "hardness tester 3"', 'instrument = "hardness tester 4"'),
    ],
)
def test_another_value_is_another_digest(old, new, tmp_path):
    write_pitch(tmp_path)
    text = with_evidence().replace('life_at_1e10 = "1.0"', "")
    assert read(swapped(text, old, new), tmp_path).digest != read(text, tmp_path).digest


def test_a_measured_value_is_in_the_digest_through_its_file(tmp_path):
    text = with_evidence()
    path = write_pitch(tmp_path)
    before = read(text, tmp_path)
    assert before.pitch[0].head.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    path.write_text(path.read_text(encoding="utf-8").replace("1,left,0.1", "1,left,0.2"), encoding="utf-8")
    assert read(text, tmp_path).digest != before.digest


def test_it_is_the_hash_of_canonical_json_without_what_is_absent(tmp_path):
    text = starter_text()
    kept = text[: text.index("\n[lubricant]")]
    record = read(kept, tmp_path)
    stripped = replace(record, gear=replace(record.gear, finish=None, steel=None, case=None, accuracy=None))
    mate = replace(stripped.meshes[0].mate, finish=None, steel=None, case=None, accuracy=None)
    stripped = replace(stripped, meshes=(replace(stripped.meshes[0], mate=mate),))
    tooth = {
        "teeth": 21,
        "face_width_mm": 42,
        "profile_shift": 0.3,
        "tip_diameter_mm": 94.2,
        "rack_dedendum": 1.45,
        "rack_root_radius": 0.3,
        "protuberance_mm": 0.13,
        "stock_min_mm": 0.08,
        "stock_max_mm": 0.12,
    }
    of_mate = {**tooth, "teeth": 64, "face_width_mm": 40, "profile_shift": 0.185, "tip_diameter_mm": 265.3}
    content = {
        "format": 1,
        "part": {
            "number": "CD-204",
            "revision": "A",
            "title": "Conveyor-drive pinion",
            "stage": "detail",
            "note": "Starter example; all data are invented.",
        },
        "normal_module_mm": 4,
        "pressure_angle_deg": 20,
        "helix_angle_deg": 0,
        "gear": {"tooth": tooth, "tip_relief_um": 20},
        "meshes": [
            {
                "name": "wheel",
                "centre_distance_mm": 172,
                "torque_Nm": 420,
                "speed_rpm": 1460,
                "application_factor": 1.25,
                "mesh_load_factor": 1,
                "face_load_factor": 1.25,
                "loaded_flank": "left",
                "mate": {"tooth": of_mate, "tip_relief_um": 20},
            }
        ],
    }
    assert digest(stripped) == hashlib.sha256(rfc8785.dumps(content)).hexdigest()


def test_an_absent_hardenability_does_not_count(tmp_path):
    record = read(starter_text(), tmp_path)
    steel = record.gear.steel
    names = ("grade", "quality", "surface_hardness_HV", "core_hardness_HV")
    content = {name: getattr(steel, name) for name in names}
    assert _plain(steel) == content
    assert _plain(replace(steel, hardenability_HRC=36.0)) == {**content, "hardenability_HRC": 36.0}


def test_text_and_digest_themselves_do_not_count(tmp_path):
    record: Record = read(starter_text(), tmp_path)
    assert digest(replace(record, digest="x", source_text="y")) == record.digest
    assert digest(record) == record.digest
