"""Loaded contact at its limits: bad input, what is not known, and the ends of the face."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.loaded import loaded_contact
from gearcheck.meshing.mesh_bed import mesh_bed
from tests.meshing.pairs import bed_of, compliances, forms_of, pair_of


def test_a_negative_torque_stops():
    bed = bed_of()
    found = loaded_contact(bed=bed, torque_Nm=np.array([-10.0, 10.0]), **forms_of(bed))
    assert np.isnan(found.peak_to_peak_um[0])
    assert found.peak_to_peak_um[1] > 0
    assert [notice.level for notice in found.stops] == [Level.STOP]


def test_a_relief_larger_than_the_tooth_is_refused():
    bed = bed_of()
    with pytest.raises(InputError, match=r"pinion.tip_relief_um: given 5000 µm; .*larger than the tooth"):
        loaded_contact(bed=bed, torque_Nm=10.0, **forms_of(bed, tip_relief_um=5000.0))


def test_a_relief_without_its_start_is_refused():
    bed = bed_of()
    form = FlankForm(from_roll_mm=5.0, to_roll_mm=20.0, tip_relief_um=10.0)
    with pytest.raises(InputError, match="high_relief_start_mm"):
        loaded_contact(bed=bed, torque_Nm=10.0, pinion=form, wheel=form)


@pytest.mark.parametrize("unknown", ["lean", "relief", "torque"])
def test_what_is_not_known_has_no_value_and_leaves_the_others_alone(unknown):
    bed = bed_of()
    given = {"lean": 5.0, "relief": 10.0, "torque": 100.0}

    def found(**values):
        forms = forms_of(bed, tip_relief_um=values["relief"])
        lean = Misalignment(out_of_plane_um=values["lean"])
        return loaded_contact(bed=bed, torque_Nm=values["torque"], misalignment=lean, **forms)

    alone = found(**given)
    both = found(**given | {unknown: np.array([np.nan, given[unknown]])})
    for name in (
        "mean_um",
        "peak_to_peak_um",
        "largest_pressure_MPa",
        "face_load_factor",
        "largest_share",
        "corner_share",
        "pinion_root_share",
        "pattern_to_mm",
        "face_load_N_mm",
    ):
        value = getattr(both, name)
        assert np.isnan(value[0]).all(), name
        np.testing.assert_allclose(value[1], getattr(alone, name), rtol=1e-9)


def test_what_is_not_solved_has_no_value(monkeypatch):
    bed = bed_of()
    monkeypatch.setattr("gearcheck.meshing.unilateral._ROUNDS", 1)
    found = loaded_contact(bed=bed, torque_Nm=300.0, **forms_of(bed, helix_crowning_um=10.0))
    assert [notice.key for notice in found.stops] == ["loaded_contact.unsolved"]
    for name in (
        "peak_to_peak_um",
        "largest_pressure_MPa",
        "face_load_factor",
        "corner_share",
        "pattern_to_mm",
    ):
        assert getattr(found, name) is None, name


def test_load_at_the_end_of_what_is_looked_at_is_said():
    bed = bed_of()
    usual, crushed = (
        loaded_contact(bed=bed, torque_Nm=torque, **forms_of(bed)) for torque in (300.0, 60000.0)
    )
    said = [[notice.key for notice in one.notices] for one in (usual, crushed)]
    assert "loaded_contact.beyond" not in said[0]
    assert "loaded_contact.beyond" in said[1]


def test_corners_are_looked_at_as_far_as_teeth_can_touch(monkeypatch):
    """At an internal gear the gap of a corner opens slowly: within a quarter of a pitch it is still small."""
    pair = pair_of((60, 150), internal=True)
    pinion, wheel = compliances(pair)

    def found():
        bed = mesh_bed(pair=pair, pinion=pinion, wheel=wheel, positions=32, slices=1)
        return loaded_contact(bed=bed, torque_Nm=3500.0, **forms_of(bed))

    usual = found()
    assert "loaded_contact.beyond" not in [notice.key for notice in usual.notices]
    for limit in ("BEYOND", "FARTHEST"):
        monkeypatch.setattr(f"gearcheck.meshing.mesh_bed.{limit}", 1.0)
    np.testing.assert_allclose(usual.error_um, found().error_um, rtol=1e-9)
    for limit in ("BEYOND", "FARTHEST"):
        monkeypatch.setattr(f"gearcheck.meshing.mesh_bed.{limit}", 0.25)
    near = found()
    assert "loaded_contact.beyond" in [notice.key for notice in near.notices]
    assert near.peak_to_peak_um > 1.1 * usual.peak_to_peak_um


def test_a_gear_narrower_than_the_mesh_is_refused():
    pair = pair_of()
    narrow = gear_compliance(gear=pair.pinion, pair=pair, body=Body(), face_width_mm=20.0, waves=2)
    with pytest.raises(InputError, match=r"pinion: given 20 mm; needed: .* 32 mm"):
        mesh_bed(pair=pair, pinion=narrow, wheel=compliances(pair)[1])


def test_the_pattern_grows_smoothly_with_the_torque_whatever_the_slices():
    torques = np.linspace(20, 300, 30)
    margins = []
    for slices in (11, 41):
        bed = bed_of(positions=16, slices=slices)
        found = loaded_contact(bed=bed, torque_Nm=torques, **forms_of(bed, helix_crowning_um=15.0))
        margins.append(found.pattern_margin_mm)
        assert (np.diff(found.pattern_margin_mm) < 0).all()
        assert np.abs(np.diff(found.pattern_margin_mm)).max() < 1.3
    np.testing.assert_allclose(*margins, atol=0.6)


def test_the_pattern_does_not_jump_to_the_end_of_the_face():
    bed = bed_of(positions=16, slices=11)
    found = loaded_contact(
        bed=bed, torque_Nm=np.linspace(200, 1500, 80), **forms_of(bed, helix_crowning_um=15.0)
    )
    margin = found.pattern_margin_mm
    half = bed.slice_mm[0] / 2
    assert margin[0] > half and margin[-1] == 0.0  # the middle of the last slice, and the end, are passed
    assert ((margin > 0.0) & (margin < half)).sum() > 5
    assert (np.diff(margin) <= 0).all()
    assert np.abs(np.diff(margin)).max() < 0.5


def test_slices_are_narrow_at_the_ends_and_fill_the_face():
    bed = bed_of(positions=16, slices=11)
    assert bed.slice_mm.sum() == pytest.approx(bed.width_mm)
    np.testing.assert_allclose(bed.slice_mm, bed.slice_mm[::-1])
    assert (np.diff(bed.slice_mm[:6]) > 0).all()
    edges = np.append(0.0, np.cumsum(bed.slice_mm))
    np.testing.assert_allclose(bed.face_mm, (edges[1:] + edges[:-1]) / 2)


def test_few_slices_find_the_end_of_the_pattern_beside_a_short_end_relief():
    drawn = {"helix_crowning_um": 6.0, "end_relief_um": 40.0, "end_relief_length_mm": 3.0}
    margins = []
    for slices in (21, 81):
        bed = bed_of(positions=16, slices=slices)
        found = loaded_contact(bed=bed, torque_Nm=300.0, **forms_of(bed, **drawn))
        margins.append(found.pattern_margin_mm)
    assert margins[0] == pytest.approx(margins[1], abs=0.1)


def test_samples_that_do_not_go_together_are_named():
    bed = bed_of()
    forms = forms_of(bed, helix_crowning_um=np.array([1.0, 2.0]))
    with pytest.raises(InputError, match=r"samples: given \(\), \(2,\), \(3,\); needed: torque, flank forms"):
        loaded_contact(bed=bed, torque_Nm=np.array([1.0, 2.0, 3.0]), **forms)


def test_a_bed_is_of_one_steel_and_a_helical_one_of_three_slices_or_more():
    pair = pair_of(helix_deg=15.0)
    pinion, wheel = compliances(pair)
    with pytest.raises(InputError, match="slices: given 2; needed: 3 slices"):
        mesh_bed(pair=pair, pinion=pinion, wheel=wheel, positions=8, slices=2)
    with pytest.raises(InputError, match="one modulus of elasticity"):
        mesh_bed(pair=pair, pinion=pinion, wheel=replace(wheel, modulus_MPa=110000.0), positions=8, slices=3)
