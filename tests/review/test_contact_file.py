"""The loaded contact in the gear file: hand, modifications of both gears, axes, what is agreed."""

import pytest

from gearcheck.gear.inputs import Hand
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.inputs import ContactPressure
from gearcheck.review.starter import starter_text
from tests.review.gear_texts import faults_of, swapped

SECTIONS = """
[mesh.mate.modification]
tip_relief_start = "261.5 mm"
bias = "-2 µm"

[mesh.contact]
in_plane = "3 µm"
out_of_plane = "-0.0002 in"

[lubricant]
"""


def with_contact():
    text = swapped(starter_text(), "[lubricant]\n", SECTIONS.lstrip())
    text = swapped(text, 'helix_angle = "0 deg"', 'hand = "left"\nhelix_angle = "12 deg"')
    text = swapped(
        text,
        "accuracy_class = 6 ",
        'transmission_error = "4 µm"\npattern_margin = "0 mm"\naccuracy_class = 6 ',
    )
    return swapped(text, "[methods] ", '[methods]\ncontact_pressure = "loaded contact" #')


def test_what_the_contact_rests_on_comes_into_the_record(tmp_path):
    record = read_gear_text(with_contact(), folder=tmp_path)
    (mesh,) = record.meshes
    assert record.hand is Hand.LEFT
    assert (mesh.contact.in_plane_um, mesh.contact.out_of_plane_um) == (3.0, pytest.approx(-5.08))
    drawn = mesh.mate.modification
    assert (drawn.tip_relief_start_mm, drawn.bias_um) == (261.5, -2.0)
    assert record.gear.modification is None
    assert (record.required.transmission_error_um, record.required.pattern_margin_mm) == (4.0, 0.0)
    assert record.methods.contact_pressure is ContactPressure.LOADED_CONTACT


def test_without_it_nothing_is_agreed_and_load_sharing_governs(tmp_path):
    record = read_gear_text(starter_text(), folder=tmp_path)
    assert record.hand is None and record.meshes[0].contact is None
    assert record.required.transmission_error_um is None and record.required.pattern_margin_mm is None
    assert record.methods.contact_pressure is ContactPressure.LOAD_SHARING


def test_the_method_that_is_taken_without_one_makes_no_other_record(tmp_path):
    said = swapped(starter_text(), "[methods] ", '[methods]\ncontact_pressure = "load sharing" #')
    assert len({read_gear_text(text, folder=tmp_path).digest for text in (said, starter_text())}) == 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('hand = "left"', 'hand = "both"', "gear.hand"),
        ('bias = "-2 µm"', "bias = -2", "mesh[1].mate.modification.bias"),
        ('bias = "-2 µm"', 'control_diameter = "262 mm"', "above the control diameter of 262 mm"),
        ('bias = "-2 µm"', 'end_relief = "5 µm"', "end_relief and end_relief_length together"),
        ('in_plane = "3 µm"', 'in_plane = "3 mm"', "mesh[1].contact.in_plane"),
        ('transmission_error = "4 µm"', 'transmission_error = "0 µm"', "required.transmission_error"),
        ('pattern_margin = "0 mm"', 'pattern_margin = "-1 mm"', "required.pattern_margin"),
        ('"loaded contact"', '"measured"', "methods.contact_pressure"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(tmp_path, old, new, said):
    found = faults_of(swapped(with_contact(), old, new), tmp_path)
    assert any(said in one for one in found), found
