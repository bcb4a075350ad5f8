"""Reliefs that can be had: between what a draft can reach, and a draft of a point is that point."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.meshing.form import Misalignment
from gearcheck.meshing.loaded import loaded_contact
from gearcheck.review.chain import calculate
from gearcheck.review.changes import CHANGES, changed
from gearcheck.review.contact_advice import advice_over, advised, draft_of, left_out
from gearcheck.review.contact_made import POSITIONS, SLICES, can_scatter, made_contact
from gearcheck.review.contact_of import contact_of
from gearcheck.review.gear_file import read_gear_file
from tests.review.test_internal_mate import with_internal_mate

POINT = ("tip_relief_um", "tip_relief_start_mm", "helix_crowning_um")


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


@pytest.fixture(scope="module")
def front(tram):
    """What the first two batches find."""
    found = advised(tram, calculate(tram), 0)
    next(found)
    return next(found)


def coarse(record):
    return contact_of(record, calculate(record), 0, positions=POSITIONS, slices=SLICES)


def point(front, place):
    names = [f"{member}_{name}" for member in ("pinion", "wheel") for name in POINT]
    return {name: float(array(getattr(front, name))[place]) for name in names}


def test_a_draft_of_a_point_comes_to_its_error_and_its_pressure(tram, front):
    of = coarse(tram)
    over = advice_over(calculate(tram), of.torque_Nm)
    place = int(np.argmin(front.peak_to_peak_um))
    draft = draft_of(tram, of, point(front, place))
    assert left_out(tram, of) == ()
    drafted = coarse(changed(tram, draft))
    lean = float(array(drafted.misalignment.out_of_plane_um)) + over.misalignment_um * np.array([-1.0, 0, 1])
    found = loaded_contact(
        bed=drafted.bed,
        torque_Nm=np.array(over.torques_Nm)[:, None],
        pinion=drafted.pinion,
        wheel=drafted.wheel,
        misalignment=Misalignment(out_of_plane_um=lean),
    )
    # a draft rounds reliefs to 1 µm and their starts to 0.01 mm of diameter
    assert array(found.peak_to_peak_um).max() == pytest.approx(front.peak_to_peak_um[place], rel=0.15)
    assert array(found.largest_pressure_MPa)[-1].max() == pytest.approx(
        front.largest_pressure_MPa[place], rel=0.02
    )


def test_where_no_tip_corner_may_press_the_front_keeps_to_it(tram, front):
    assert tram.required.pattern_margin_mm is not None
    assert array(front.corner_share).max() == 0.0
    agreed = replace(tram, required=replace(tram.required, pattern_margin_mm=None))
    assert not array(next(advised(agreed, calculate(agreed), 0)).every_left_out).any()


def test_every_point_lies_within_what_a_draft_can_reach(tram, front):
    of, known = coarse(tram), {one.key: one for one in CHANGES}
    for place in range(len(front.peak_to_peak_um)):
        for key, value in draft_of(tram, of, point(front, place)).items():
            low, high = known[key].bounds(tram)
            assert low <= value <= high


def test_what_the_record_has_no_place_for_is_told():
    lift = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    of = coarse(lift)
    names = [f"{member}_{name}" for member in ("pinion", "wheel") for name in POINT]
    draft = draft_of(lift, of, dict.fromkeys(names, 20.0))
    assert "mate_relief" not in draft  # without a start it would not be in the contact
    assert "relief" in draft
    assert left_out(lift, of) == ("the record does not say where the tip relief of the mate starts",)


def test_an_internal_mate_stays_as_drawn():
    fan = with_internal_mate(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))
    found = next(advised(fan, calculate(fan), 0))
    assert np.unique(found.wheel_tip_relief_um).tolist() == [0.0]
    assert not draft_of(fan, coarse(fan), point(found, 0))  # this record says no start and no crowning


def test_the_same_gears_are_made_each_time_and_none_without_a_class(tram):
    chain = calculate(tram)
    runs = [list(made_contact(tram, chain, 0, gears=3))[-1] for _ in range(2)]
    assert runs[0].peak_to_peak_um.tolist() == runs[1].peak_to_peak_um.tolist()
    assert np.unique(runs[0].peak_to_peak_um).size == 3
    assert can_scatter(chain.meshes[0]) == ""
