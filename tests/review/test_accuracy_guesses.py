"""The questions of the accuracy sheet: their answers are those of the calculation."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.review.accuracy_guesses import ACCURACY_QUESTIONS, OFFSET_um, off_centre
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from tests.accuracy.eccentric import eccentric_pitch

NAMES = ("harvester", "ship_lift", "tram_bogie", "tunnel_fan")


def answer(record, key):
    return next(one for one in ACCURACY_QUESTIONS if one.key == key).work(record)


@pytest.mark.parametrize("teeth", [17, 40, 101])
def test_a_gear_off_centre_is_that_of_the_involute_turned_about_another_axis(teeth):
    # tests/accuracy/eccentric.py cuts the flanks of a whole involute gear with the measuring circle
    left, right, angle = eccentric_pitch(
        teeth=teeth,
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=0.0,
        eccentricity_mm=OFFSET_um / 1000,
        measuring_circle=1.0,
    )
    found = off_centre(teeth, angle)
    for flank, exact in (("left", left), ("right", right)):
        ours = getattr(found, f"{flank}_single_pitch_um")
        assert ours == pytest.approx(np.abs(exact).max(), rel=0.02)
        assert getattr(found, f"{flank}_cumulative_pitch_um") == pytest.approx(
            np.ptp(exact.cumsum()), rel=0.01
        )
    assert found.runout_um == pytest.approx(2 * OFFSET_um, rel=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_the_answers_are_those_of_the_calculation(name):
    record = read_gear_file(scenarios() / name / "gear.toml")
    assert answer(record, "eccentric").right == 1
    finer = answer(record, "finer")
    values = finer.tried[1].values
    meshes = [calculate(changed(record, draft)).meshes[0] for draft in ({}, values)]
    gain = np.divide(*[min(float(one.flank.safety) for one in (m.gear, m.mate)) for m in meshes[::-1]]) - 1
    assert f"{100 * gain:.1f} %" in finer.said
    assert finer.right == int(np.searchsorted([0.01, 0.03], gain, side="right"))
    relief = answer(record, "relief")
    if relief is not None:
        assert relief.tried[1].values == {"relief": 0.0}


def test_a_record_without_a_class_has_no_answers():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    bare = replace(record, gear=replace(record.gear, accuracy=None))
    assert [one.work(bare) for one in ACCURACY_QUESTIONS] == [None, None, None]
