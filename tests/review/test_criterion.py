"""A criterion that governs the case depth: what it says of the drawing, its reserve, and what it lacks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.hardening.residual import ResidualStress
from gearcheck.requirements.types import Calculation
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.criterion import deepest_depth, needed_depth, with_criterion
from gearcheck.review.evidence import held
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.judge import judged
from gearcheck.review.moves import with_torque
from gearcheck.review.remedies import remedies
from gearcheck.review.settled import settled
from gearcheck.review.trade import trade
from gearcheck.review.whole import review

FILE = scenarios() / "tram_bogie" / "gear.toml"
GOVERNS = 'case_depth = "ISO 6336-5:2016"'


@pytest.fixture(scope="module")
def tram_bogie():
    return read_gear_file(FILE)


def governed(record, rule):
    return replace(record, methods=replace(record.methods, case_depth=rule))


def needed(record):
    (found,) = (item for item in judged(record) if item.key == "case.needed.wheel")
    return found


def drawn(record, least, most):
    case = replace(record.gear.case, finished_min_mm=least, finished_max_mm=most)
    return replace(record, gear=replace(record.gear, case=case))


@pytest.mark.parametrize("criterion", Criterion)
def test_the_gear_file_names_it(criterion):
    text = FILE.read_text(encoding="utf-8")
    assert GOVERNS in text
    record = read_gear_text(text.replace(GOVERNS, f'case_depth = "{criterion}"'), folder=FILE.parent)
    assert record.methods.case_depth is criterion
    assert str(criterion) in needed(record).sentence


def test_a_name_that_is_none_is_told_all_of_them():
    text = FILE.read_text(encoding="utf-8").replace(GOVERNS, 'case_depth = "Dang Wan"')
    with pytest.raises(InputError) as caught:
        read_gear_text(text, folder=FILE.parent)
    (fault,) = caught.value.faults
    assert all(f'"{name}"' in fault.needed for name in (*CaseDepthRule, *Criterion))
    assert 'did you mean "Dang Van"?' in fault.why


@pytest.mark.parametrize("criterion", Criterion)
def test_it_turns_at_its_reserve_in_the_whole_review(tram_bogie, criterion):
    record = governed(tram_bogie, criterion)
    here = needed(record)
    factor = here.reserve.factor
    for share, answer in ((0.999, Calculation.MEETS), (1.001, Calculation.FAILS)):
        assert needed(with_torque(record, factor * share)).by_calculation is answer
    # and the field scaled to another load is that of the load itself
    chain, heavier = calculate(record), with_torque(record, 1.7)
    scaled = calculate(heavier, at_other_load=chain).meshes[0].exposed
    anew = with_criterion(heavier, replace(calculate(heavier).meshes[0], exposed=None)).exposed
    assert scaled.exposure == pytest.approx(anew.exposure, rel=1e-9)
    assert scaled.below.stress.of(criterion) == pytest.approx(anew.below.stress.of(criterion), rel=1e-9)


def test_yielding_has_the_reserve_of_the_solved_depth(tram_bogie):
    record = governed(tram_bogie, Criterion.YIELDING)
    (slower,) = settled(record, calculate(record))
    assert needed(record).reserve.factor == pytest.approx(slower.reserve.factor, rel=5e-4)
    assert needed_depth(record, calculate(record).meshes[0]) == slower.required.depth_mm


@pytest.mark.parametrize("criterion", [one for one in Criterion if one is not Criterion.YIELDING])
def test_the_depth_needed_is_that_which_stands_beside(tram_bogie, criterion):
    record = governed(tram_bogie, criterion)
    whole = review(record)
    depth = whole.settled[0].side_by_side.depth_mm(criterion)
    assert needed_depth(record, whole.chain.meshes[0]) == pytest.approx(float(depth), abs=1e-9)
    for share, answer in ((0.98, Calculation.FAILS), (1.02, Calculation.MEETS)):
        least = float(depth) * share
        assert needed(drawn(record, least, least)).by_calculation is answer


def test_the_deeper_end_of_the_drawing_counts_too(tram_bogie):
    record = governed(tram_bogie, Criterion.DANG_VAN)
    exposures = [
        calculate(drawn(record, *ends)).meshes[0].exposed.exposure
        for ends in ((0.8, 0.8), (1.2, 1.2), (0.8, 1.2))
    ]
    assert exposures[2] == max(exposures[:2])


def test_a_measured_case_can_be_too_deep_for_the_criterion():
    """In balance with the core: enough from 0.20 mm on, too deep from 1.78 mm on."""
    lift = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    asked = replace(read_gear_file(FILE).subsurface, friction=0.3, residual_stress=ResidualStress.BALANCED)
    agreed = replace(lift.required, subsurface_safety=1.2)
    record = replace(governed(lift, Criterion.DANG_VAN), subsurface=asked, required=agreed, pitch=())
    chain = calculate(record)
    deepest = float(deepest_depth(chain.meshes[0]))
    below = chain.meshes[0].exposed.below
    around = below.largest(Criterion.DANG_VAN, np.array([0.99, 1.01]) * deepest)
    assert around[0] < 1 < around[1]
    needs = [one.finding for one in held(record, chain, ()) if one.about == "case.needed.drum"]
    left = {one.value: one for one in needs}
    assert any(value > deepest for value in left)
    assert any(value < deepest for value in left)
    for value, one in left.items():
        assert one.ok == (value < deepest)
        assert f"and {deepest:.2f} mm is too deep" in one.text
    # nor does the window of the drawing go so far
    window = review(replace(record, furnace=read_gear_file(FILE).furnace)).balance.window
    assert window.finished_max_mm == pytest.approx(deepest)


def test_samples_are_those_of_one_record_each(tram_bogie):
    record = governed(tram_bogie, Criterion.INCLUSIONS)
    least = np.array([0.3, 0.6, 0.9])
    together = calculate(drawn(record, least, 1.2)).meshes[0].exposed.exposure
    alone = [calculate(drawn(record, one, 1.2)).meshes[0].exposed.exposure for one in least]
    assert together == pytest.approx(np.array(alone, dtype=float), rel=1e-12)
    frictions = np.array([0.0, 0.1, 0.2])
    rubbed = replace(record, subsurface=replace(record.subsurface, friction=frictions))
    apart = [
        calculate(replace(record, subsurface=replace(record.subsurface, friction=one))).meshes[0].exposed
        for one in frictions
    ]
    assert calculate(rubbed).meshes[0].exposed.exposure == pytest.approx(
        [float(one.exposure) for one in apart]
    )


def test_what_it_lacks_is_named(tram_bogie):
    bare = governed(replace(tram_bogie, subsurface=None), Criterion.DANG_VAN)
    assert needed(bare).by_calculation is Calculation.NOT_ASSESSED
    assert needed(bare).reason == "[gear.subsurface] missing"
    # yielding asks for nothing of it
    alone = governed(replace(tram_bogie, subsurface=None), Criterion.YIELDING)
    assert needed(alone).demand == pytest.approx(needed(governed(tram_bogie, Criterion.YIELDING)).demand)
    undrawn = governed(replace(tram_bogie, gear=replace(tram_bogie.gear, case=None)), Criterion.YIELDING)
    assert needed(undrawn).reason == "[gear.case] missing"


def test_the_window_is_made_for_the_depth_that_governs(tram_bogie):
    record = governed(tram_bogie, Criterion.YIELDING)
    window = review(record).balance.window
    assert window.finished_min_mm == pytest.approx(needed_depth(record, calculate(record).meshes[0]))


def test_no_window_where_no_depth_suffices_for_one_of_the_meshes(tram_bogie):
    record = governed(tram_bogie, Criterion.YIELDING)
    (wheel,) = record.meshes
    second = replace(wheel, name="second", torque_Nm=1.6 * wheel.torque_Nm)
    record = replace(record, meshes=(wheel, second))
    first, other = (needed_depth(record, mesh) for mesh in calculate(record).meshes)
    assert first > 0
    assert other is None
    assert review(record).balance.window is None


def test_trades_and_remedies_follow_it(tram_bogie):
    record = governed(tram_bogie, Criterion.YIELDING)
    found = trade(record)
    row = [change.key for change in found.changes].index("case_depth")
    deeper = changed(record, {"case_depth": found.after[row]})
    series = found.reserves["case.needed.wheel"]
    assert series[0] == pytest.approx(needed(record).reserve.factor, rel=1e-5)
    assert series[row + 1] == pytest.approx(needed(deeper).reserve.factor, rel=1e-5)
    thin = drawn(record, 0.55, 0.95)
    assert needed(thin).by_calculation is Calculation.FAILS
    mended = {one.change.key: one.after for one in remedies(thin, "case.needed.wheel") if one.after}
    assert {"torque", "case_depth"} <= set(mended)
    for key, value in mended.items():
        assert needed(changed(thin, {key: value})).by_calculation is Calculation.MEETS


@pytest.mark.parametrize(("scatter", "answer"), [(0.149, Calculation.MEETS), (0.151, Calculation.FAILS)])
def test_the_window_drawn_is_held_against_the_furnace(tram_bogie, scatter, answer):
    # 0.95 to 1.25 mm are drawn as treated
    record = replace(tram_bogie, furnace=replace(tram_bogie.furnace, depth_scatter_mm=scatter))
    (found,) = (item for item in judged(record) if item.key == "case.furnace")
    assert found.by_calculation is answer
    assert found.demand == pytest.approx(2 * scatter)
    assert not any(item.key == "case.furnace" for item in judged(replace(tram_bogie, furnace=None)))
