"""Measured teeth on the loaded flank, in the order in which they come into mesh."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.places import scenarios
from gearcheck.meshing.form import FlankForm
from gearcheck.meshing.revolution import loaded_revolution
from gearcheck.review.contact_of import contact_of
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.measured_flanks import measured_errors
from gearcheck.review.measured_teeth import measured_teeth
from gearcheck.review.whole import review


def turned(name, flank):
    """The review of a demo gear that is loaded on a flank, and nothing drawn off its flanks."""
    record = read_gear_file(scenarios() / name / "gear.toml")
    mesh = record.meshes[0]
    plain = replace(record.gear, tip_relief_um=0.0, modification=None)
    mesh = replace(mesh, loaded_flank=flank, mate=replace(mesh.mate, tip_relief_um=0.0))
    return review(replace(record, gear=plain, meshes=(mesh,), profile=(), helix=()), with_settled=False)


@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("name", ["tunnel_fan", "ship_lift"])
def test_rigid_teeth_turn_as_the_unloaded_error_says(name, flank):
    """Order and sign: the whole curve comes out the same on another way, from where a tooth comes in."""
    whole = turned(name, flank)
    found = contact_of(whole.record, whole.chain, 0, positions=32, slices=5)
    pair = found.bed.pair
    plain = [
        FlankForm(from_roll_mm=float(one.start_radius_mm), to_roll_mm=float(one.tip_radius_mm))
        for one in (pair.pinion, pair.wheel)
    ]
    teeth = measured_teeth(whole, 0)
    sides = {"pinion_teeth": teeth} if found.gear_is_pinion else {"wheel_teeth": teeth}
    loaded = loaded_revolution(bed=found.bed, torque_Nm=0.0, pinion=plain[0], wheel=plain[1], **sides)
    rigid = next(one for one in measured_errors(whole) if one.is_loaded).error
    curve = np.asarray(rigid.curve_um).reshape(-1, 2)[:, 0]  # 64 places a pitch
    own = np.asarray(loaded.error_um)
    assert own.size == curve.size
    # a tooth stands out of its mate as it drives: what is ahead here is ahead there, but for where it begins
    own, curve = own - own.mean(), curve - curve.mean()
    backwards = flank is Flank.RIGHT
    curve = curve[-np.arange(curve.size)] if backwards else curve
    likeness = np.fft.irfft(np.fft.rfft(own) * np.conj(np.fft.rfft(curve)), own.size)
    likeness /= np.linalg.norm(own) * np.linalg.norm(curve)
    near = np.roll(likeness, 64)[:129]  # two pitches to either side
    assert near.max() > 0.95


def test_traces_are_those_of_each_tooth_less_the_design():
    whole = review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"), with_settled=False)
    teeth = int(whole.record.gear.tooth.teeth)
    found = measured_teeth(whole, 0)
    assert np.shape(found.index_um) == (teeth,)
    assert np.shape(found.profile_um) == np.shape(found.helix_um) == (teeth, 41)
    assert np.isfinite(found.profile_um).all() and np.isfinite(found.helix_um).all()
    assert np.abs(found.profile_um).max() < 20.0  # 60 µm of relief are drawn


def test_without_pitch_there_are_none():
    whole = turned("tram_bogie", Flank.LEFT)
    assert measured_teeth(whole, 0) is None
