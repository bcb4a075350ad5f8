"""Class by class against plain reviews; the memory; correction and effort in words."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.correction import class_correction
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import tolerances
from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.review import consequence
from gearcheck.review.chain import calculate, toothing
from gearcheck.review.changes import changed
from gearcheck.review.consequence import FACTORS, consequences
from gearcheck.review.consequence_words import EFFORT_WORDS, correction_words, step_words
from gearcheck.review.effort import class_effort
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged

SCENARIOS = sorted(path.parent.name for path in scenarios().glob("*/gear.toml"))


def read(name):
    return read_gear_file(scenarios() / name / "gear.toml")


def by_1995(record):
    def drawn(data):
        return replace(data, accuracy=replace(data.accuracy, edition=AccuracyEdition.ISO_1328_1_1995))

    meshes = tuple(replace(mesh, mate=drawn(mesh.mate)) for mesh in record.meshes)
    return replace(record, gear=drawn(record.gear), meshes=meshes)


@pytest.fixture(scope="module", params=[*SCENARIOS, "1995"])
def record(request):
    return by_1995(read("tunnel_fan")) if request.param == "1995" else read(request.param)


def test_the_edition_says_how_many_classes_there_are(record):
    found = consequences(record)
    newer = record.gear.accuracy.edition is AccuracyEdition.ISO_1328_1_2013
    assert (found.classes[0], found.classes[-1]) == ((1, 11) if newer else (0, 12))


@pytest.mark.parametrize("number", [3, 6, 9])
def test_each_class_agrees_with_a_plain_review(record, number):
    found = consequences(record)
    place = int(np.searchsorted(found.classes, number))
    plain = changed(record, {"class": number})
    chain = calculate(plain)
    for mesh, alone in zip(found.meshes, chain.meshes, strict=True):
        values = [float(array(getattr(alone.factors, name))) for name, *_ in FACTORS]
        np.testing.assert_allclose([item.values[place] for item in mesh.factors], values, rtol=1e-12)
    known = {item.key: item for item in judged(plain)}
    assert found.margins
    for margin in found.margins:
        item = known[margin.key]
        assert margin.meets[place] == (item.by_calculation == "meets")
        factor = np.nan if item.reserve.factor is None else item.reserve.factor
        np.testing.assert_allclose(margin.turns.factor[place], factor, rtol=1e-5)
        if margin.symbol:
            assert item.native.startswith(f"{margin.symbol} = {margin.values[place]:.2f}")


def test_finer_never_costs_reserve_in_the_scenarios(record):
    for margin in consequences(record).margins:
        factor = margin.turns.factor
        assert (np.diff(factor[~np.isnan(factor)]) < 1e-6).all(), margin.key


def test_the_correction_of_each_class_is_that_of_its_tolerances(record):
    found = consequences(record)
    pair = calculate(record).meshes[0].pair
    for place, number in enumerate(found.classes):
        drawn = tolerances(
            **toothing(record, record.gear), tolerance_class=number, edition=record.gear.accuracy.edition
        )
        alone = class_correction(
            cumulative_pitch_um=drawn.cumulative_pitch_um,
            profile_total_um=drawn.profile_total_um,
            helix_total_um=drawn.helix_total_um,
            measuring_pressure_angle_deg=pair.transverse_pressure_angle_deg,
            base_helix_angle_deg=pair.base_helix_angle_deg,
        )
        assert found.correction.stock_um[place] == pytest.approx(alone.stock_um)
        case = record.gear.case
        left = np.nan if case is None else float(array(case.finished_min_mm)) - alone.stock_um / 1000
        assert found.left_mm[place] == pytest.approx(left, nan_ok=True)


def test_a_class_slider_asks_for_no_new_pass(monkeypatch):
    record, passes = read("tunnel_fan"), []
    real = consequence.calculate
    monkeypatch.setattr(consequence, "calculate", lambda moved: passes.append(1) or real(moved))
    loaded = changed(record, {"torque": 1.0123 * record.meshes[0].torque_Nm})
    first = consequences(loaded)
    second = consequences(changed(loaded, {"class": 8}))
    assert passes == [1]
    assert (first.drawn, second.drawn) == (6, 8)
    np.testing.assert_allclose(first.meshes[0].factors[0].values, second.meshes[0].factors[0].values)
    consequences(changed(record, {"torque": 1.0234 * record.meshes[0].torque_Nm}))
    assert passes == [1, 1]


def test_a_record_without_class_or_case():
    record = read("tunnel_fan")
    assert consequences(replace(record, gear=replace(record.gear, accuracy=None))) is None
    found = consequences(replace(record, gear=replace(record.gear, case=None)))
    assert np.isnan(found.left_mm).all()
    assert correction_words(found).endswith("which is rare.")
    bare = consequences(replace(record, methods=None))
    assert not bare.margins
    assert "no load factor and no reserve changes" in step_words(bare, 1)


def test_the_sentences_tell_the_numbers():
    found = consequences(read("tunnel_fan"))
    coarser = step_words(found, 1)
    now, then = (found.meshes[0].factors[0].values[found.place + more] for more in (0, 1))
    assert f"K_V {then:.2f} instead of {now:.2f}" in coarser
    assert coarser.startswith("One class coarser, 7 instead of 6: ")
    assert EFFORT_WORDS in coarser
    assert step_words(found, -1).startswith("One class finer, 5 instead of 6: ")
    stock = found.correction.stock_um[found.place]
    assert f"up to {stock:.0f} µm has to come off" in correction_words(found).replace(
        "\N{NO-BREAK SPACE}", " "
    )
    assert step_words(replace(found, drawn=11.0), 1) == ""


def test_what_turns_at_the_next_class_is_named():
    found = consequences(read("tunnel_fan"))
    place = next(
        place
        for place in range(1, found.classes.size)
        if any(one.meets[place - 1] and not one.meets[place] for one in found.margins)
    )
    said = step_words(replace(found, drawn=float(found.classes[place - 1])), 1)
    assert "then fail" in said


def test_a_correction_that_leaves_too_little_says_how_short():
    found = consequences(read("tunnel_fan"))
    short = replace(found, left_mm=found.left_mm - 0.5)
    assert " short" in correction_words(short)


def test_effort_is_a_rule_that_goes_one_way():
    found = class_effort(np.arange(0, 13), told_from=7)
    assert (np.diff(found.low) < 0).all()
    assert (np.diff(found.high) < 0).all()
    assert (found.low[7], found.high[7]) == (1.0, 1.0)
    # common practice, from memory: each class finer below 7 costs 1.3 to 1.5 times
    assert (found.low[5], found.high[5]) == pytest.approx((1.69, 2.25))
    away = class_effort([8, 6], told_from=6)
    assert (away.low[0], away.high[0]) == pytest.approx((0.8 / 1.5, 0.95 / 1.3))
    assert found.processes[5] == ("ground, generating or form wheel",)
    assert found.processes[0] == ()
