"""The straight line of lives: a worked example, recomputation, coverage, and what it refuses."""

import numpy as np
import pytest

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.fatigue.design_line import line_band, owen_line
from gearcheck.fatigue.straight_line import LoadScale, straight_line
from tests.checks import cases, holds
from tests.fatigue.samples import SETS

LINE = "gearcheck.fatigue.straight_line:straight_line"
BAND = "gearcheck.fatigue.design_line:line_band"
OWEN = "gearcheck.fatigue.design_line:owen_line"


def of_sample(sample, confidence):
    known = {key: value for key, value in SETS[sample].items() if key != "source"}
    return straight_line(**known, scale=LoadScale.LOGARITHM, confidence=confidence)


def drawn(shape=(), seed=1):
    """Lives on a straight line of slope -8 at three loads, a tenth of a decade of scatter."""
    load = np.repeat([500.0, 600.0, 720.0], 5)
    scatter = 0.1 * np.random.default_rng(seed).normal(size=(*shape, load.size))
    return load, 10 ** (5.5 - 8 * np.log10(load / 600) + scatter)


def fitted(load, cycles, **changes):
    given = {"scale": LoadScale.LOGARITHM, "confidence": 0.9} | changes
    return straight_line(load=load, cycles=cycles, **given)


@pytest.mark.parametrize("check", cases("fatigue_statistics", LINE), ids=str)
def test_the_line(check):
    line = of_sample(**check.inputs)
    known = {
        "A": line.intercept,
        "B": line.slope,
        "V": line.variance,
        "s": line.deviation,
        "r": line.correlation,
        "X_m": line.mean_load,
        "Y_m": line.mean_log_life,
        "S_xx": line.load_squares,
        "A_limits": [line.intercept_low, line.intercept_high],
        "B_limits": [line.slope_low, line.slope_high],
        "t": line.quantile,
        "F": line.lack_of_fit,
        "F_p": line.lack_of_fit_limit,
        "straight": line.is_straight,
    }
    holds(check, **{name: known[name] for name in check.expected})


@pytest.mark.parametrize("check", cases("fatigue_statistics", BAND), ids=str)
def test_the_band(check):
    load = check.inputs["load"]
    line = of_sample(check.inputs["sample"], check.inputs["confidence"])
    band = line_band(line=line, load=load)
    holds(check, F_p=band.quantile, Y=band.log_life, Y_u=band.low_log_life, Y_o=band.high_log_life)


@pytest.mark.parametrize("check", cases("fatigue_statistics", OWEN), ids=str)
def test_the_design_line(check):
    inputs = dict(check.inputs)
    found = owen_line(line=of_sample(inputs.pop("sample"), 0.95), **inputs)
    holds(check, h=found.leverage, k=found.factor, Y_R=found.log_life, N_R=found.cycles[0])


def test_interval_band_and_design_line_hold_as_often_as_they_say():
    load, lives = drawn((8000,))
    line = fitted(load, lives)
    slope = (line.slope_low < -8) & (line.slope_high > -8)
    assert slope.mean() == pytest.approx(0.9, abs=0.012)
    at = np.linspace(500, 720, 41)[:, None]
    true = 5.5 - 8 * np.log10(at / 600)
    band = line_band(line=line, load=at)
    inside = ((band.low_log_life < true) & (band.high_log_life > true)).all(axis=0)
    assert 0.888 < inside.mean() < 0.94  # exact over all loads, more over a part of them
    design = owen_line(line=line, load=560.0, reliability=0.99, confidence=0.9)
    bound = 5.5 - 8 * np.log10(560 / 600) - 2.3263479 * 0.1
    assert (design.log_life < bound).mean() == pytest.approx(0.9, abs=0.012)
    assert (line.lack_of_fit < line.lack_of_fit_limit).mean() == pytest.approx(0.9, abs=0.012)


def test_the_order_of_specimens_does_not_matter():
    load, lives = drawn()
    turn = np.random.default_rng(3).permutation(load.size)
    one, other = fitted(load, lives), fitted(load[turn], lives[turn])
    assert (one.slope, one.deviation, one.lack_of_fit) == pytest.approx(
        (other.slope, other.deviation, other.lack_of_fit)
    )


def test_many_samples_at_once_are_the_same_as_each_alone():
    load, lives = drawn((3,))
    line, alone = fitted(load, lives), fitted(load, lives[2])
    for name in ("slope", "intercept_low", "lack_of_fit", "correlation"):
        assert getattr(line, name)[2] == pytest.approx(getattr(alone, name))


def test_a_bent_line_is_told_and_goes_with_all_that_rests_on_it():
    load, lives = drawn()
    line = fitted(load, lives * np.where(load == 600, 4.0, 1.0))
    assert line.is_straight is False
    assert [notice.key for notice in line.notices] == ["astm_e739.straight_line.bent"]
    assert line.notices[0] in owen_line(line=line, load=600, reliability=0.9, confidence=0.9).notices


def test_a_line_over_the_load_itself():
    load = np.array([100.0, 200.0, 300.0, 400.0])
    line = straight_line(load=load, cycles=10 ** (6 - load / 200), scale=LoadScale.LOAD, confidence=0.9)
    assert (line.slope, line.intercept, line.deviation) == pytest.approx((-1 / 200, 6, 0), abs=1e-7)
    assert line.is_straight is None


def test_run_outs_are_refused_by_name():
    load, lives = drawn()
    failed = np.ones(load.size, dtype=bool)
    failed[[2, 4]] = False
    names = [f"P{i}" for i in range(load.size)]
    line = fitted(load, lives, failed=failed, specimens=names)
    (stop,) = line.stops
    assert f"P2 ({number_text(lives[2])} cycles), P4 (" in stop.text
    assert line.slope is line.deviation is line.lack_of_fit is line.is_straight is None
    design = owen_line(line=line, load=600, reliability=0.99, confidence=0.9)
    assert design.cycles is None
    assert design.stops == (stop,)
    assert "number 3 (" in fitted(load, lives, failed=failed).stops[0].text
    all_out = fitted(load, lives, failed=False).stops[0].text
    assert "number 12" in all_out
    assert "and 3 more" in all_out


@pytest.mark.parametrize(
    ("load", "cycles", "said"),
    [
        ([500.0], [1e5], "One specimen"),
        ([500.0, 600.0], [1e5, 1e4], "Two specimens"),
        ([500.0] * 6, [1e5, 2e5, 3e5, 1e5, 2e5, 1e5], "one load: no slope"),
    ],
)
def test_too_little_for_a_line_says_what_can_be_told(load, cycles, said):
    line = fitted(load, cycles)
    assert line.slope is None
    assert said in line.stops[0].text
    assert line_band(line=line, load=550).log_life is None


def test_cautions():
    load = np.array([500.0, 550.0, 600.0, 700.0])
    line = fitted(load, np.array([2e5, 1e5, 3e5, 1.5e5]))
    assert [notice.key.split(".")[-1] for notice in line.notices] == ["untested", "level"]
    design = owen_line(line=line, load=[600, 800], reliability=0.99, confidence=0.9)
    assert "800 lies outside" in design.notices[-1].text
    assert {notice.level for notice in design.notices} == {Level.CAUTION}


def test_all_bad_arguments_show_at_once():
    with pytest.raises(InputError) as raised:
        fitted([500.0, -600.0, 0.0], [1e5, -2e4, 3e4], confidence=90, groups=[1, 2])
    assert [fault.field for fault in raised.value.faults] == ["groups", "load", "cycles", "confidence"]
    with pytest.raises(InputError) as raised:
        fitted([500.0, 600.0], [1e5, 2e4, 3e4], failed=[True])
    assert [fault.field for fault in raised.value.faults] == ["cycles", "failed"]
    with pytest.raises(InputError):
        owen_line(line=of_sample("strain_life", 0.9), load=-1, reliability=0.9, confidence=0.9)
