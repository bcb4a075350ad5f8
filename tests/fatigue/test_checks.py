"""What is counted of a set of tests, and what is told before anything is fitted."""

import numpy as np
import pytest

from gearcheck.basics.digits import THIN
from gearcheck.basics.errors import InputError
from gearcheck.fatigue.checks import level_table
from gearcheck.fatigue.inputs import FatigueData
from tests.checks import cases, holds


def some(count=14, **changes):
    given = {
        "stress_MPa": np.repeat([1000.0, 950.0, 900.0, 850.0], 4)[:count],
        "cycles": np.tile([1e5, 2e5, 3e5, 6e6], 4)[:count],
        "failed": np.tile([True, True, True, False], 4)[:count],
        "specimens": tuple(f"S{at}" for at in range(count)),
        "gears": tuple(f"G{at % 12}" for at in range(count)),
    }
    return FatigueData(**(given | changes))


def keys(found):
    return [notice.key.removeprefix("fatigue.") for notice in found.notices]


def table(data=None, **given):
    data = some() if data is None else data
    given = {"run_out_cycles": 6e6, "stress_ratio": np.full(data.count, 0.05)} | given
    return level_table(data=data, **given)


@pytest.mark.parametrize("check", cases("fatigue_levels", "gearcheck.fatigue.checks:level_table"), ids=str)
def test_levels_counted_by_hand(check):
    given = dict(check.inputs)
    data = FatigueData(
        stress_MPa=np.array(given["stress_MPa"], dtype=float),
        cycles=np.array(given["cycles"]),
        failed=np.array(given["failed"]),
        specimens=tuple(given.get("specimens", ())),
    )
    found = level_table(
        data=data, run_out_cycles=given["run_out_cycles"], retest_of=tuple(given.get("retest_of", ()))
    )
    holds(check, **{name: getattr(found, name) for name in check.expected})


def test_nothing_is_said_of_sound_tests():
    assert keys(table()) == []


def test_the_order_of_the_specimens_does_not_matter():
    data = some()
    order = np.random.default_rng(5).permutation(data.count)
    mixed = FatigueData(
        stress_MPa=data.stress_MPa[order], cycles=data.cycles[order], failed=data.failed[order],
        gears=tuple(data.gears[at] for at in order),
    )  # fmt: skip
    one, other = table(data), table(mixed)
    for name in ("stress_MPa", "specimens", "failures", "run_outs", "last_cycles"):
        assert np.allclose(getattr(one, name), getattr(other, name))


def test_a_tooth_tested_twice_is_told_and_counts_once_where_it_is_called_a_test_again():
    teeth = ("1", *("2" if at == 4 else f"t{at}" for at in range(1, 14)))
    assert keys(table(teeth=teeth)) == []
    teeth = ("1", *("1" if at == 12 else f"t{at}" for at in range(1, 14)))
    assert keys(table(teeth=teeth)) == ["tooth_repeated"]
    again = tuple("S0" if at == 12 else "" for at in range(14))
    found = table(teeth=teeth, retest_of=again)
    assert keys(found) == ["tested_again"]
    assert found.data.count == 13
    assert not found.counted[12]


def test_the_tooth_at_the_other_end_of_a_span_is_loaded_too():
    """Teeth 1 and 4, then 4 and 7 of one gear: tooth 4 was loaded twice."""
    teeth = ("1", *(f"t{at}" for at in range(1, 12)), "4", "t13")
    also = ("4", *(f"u{at}" for at in range(1, 12)), "7", "u13")
    assert keys(table(teeth=teeth)) == []
    (told,) = table(teeth=teeth, also_loaded=also).notices
    assert told.text.startswith("Tooth 4 of gear G0 was loaded in 2 tests")


def test_modes_are_not_mixed_and_another_mode_counts_as_sound_until_then():
    modes = ("root", "root", "flank", "", *("root",) * 10)
    assert keys(table(modes=modes)) == ["modes_mixed"]
    assert keys(table(modes=modes, mode="bending")) == ["mode_unknown"]
    found = table(modes=modes, mode="root")
    assert keys(found) == ["other_mode"]
    assert np.sum(found.failures) == np.sum(some().failed) - 1


@pytest.mark.parametrize(
    ("ratio", "said"),
    [
        (np.linspace(0.0, 0.2, 14), "ratios_mixed"),
        (None, "no_ratio"),
        ([np.nan] + [0.1] * 13, "ratio_missing"),
    ],
)
def test_stress_ratios(ratio, said):
    given = None if ratio is None else np.array(ratio)
    assert keys(table(stress_ratio=given)) == [said]


@pytest.mark.parametrize(
    ("cycles", "failed", "said"),
    [(3e6, False, "out_early"), (1e7, False, "run_outs_differ"), (8e6, True, "failed_beyond")],
)
def test_run_out_lives(cycles, failed, said):
    data = some()
    data.cycles[3], data.failed[3] = cycles, failed
    assert keys(table(data)) == [said]


def test_where_nothing_went_on_failing_and_where_nothing_stayed_sound():
    data = some()
    data.cycles[2], data.cycles[4] = 8e6, 9e6
    (stop,) = table(data).stops
    assert (
        "2 specimens failed beyond the run-out life of 6 000 000 cycles, the last at 9 000 000"
        in stop.text.replace(THIN, " ")
    )
    assert keys(table(run_out_cycles=1e8)) == ["out_early", "bend_assumed"]
    assert keys(table(some(failed=np.full(14, True)))) == ["bend_assumed"]


def test_a_failure_by_another_mode_counts_as_sound_until_it_was_last_seen_sound():
    modes = ("root", "flank", "flank", "", *("root",) * 10)
    seen = np.full(14, np.nan)
    seen[1], seen[2] = 5e4, 0.0
    found = table(some(sound_cycles=seen), modes=modes, mode="root")
    assert found.data.specimens[:3] == ("S0", "S1", "S3")  # nobody ever saw S2 sound
    assert found.counted.tolist() == [True, True, False, *[True] * 11]
    assert (found.data.cycles[1], found.data.failed[1]) == (5e4, False)
    assert np.isnan(found.data.sound_cycles[1])


def test_a_test_again_by_another_mode_or_at_another_ratio_stops_nothing():
    again = tuple("S3" if at == 4 else "" for at in range(14))
    modes = tuple("flank" if at == 4 else "root" for at in range(14))
    ratio = np.where(np.arange(14) == 4, 0.5, 0.05)
    assert keys(table(retest_of=again, modes=modes, stress_ratio=ratio)) == ["tested_again"]


def test_few_specimens_levels_and_gears():
    few = some(8, gears=("G1", "G2") * 4)
    assert keys(table(few)) == ["few_gears", "few_specimens", "few_levels"]
    assert keys(table(some(gears=()))) == ["no_gears"]


def test_what_is_no_test_is_refused():
    with pytest.raises(InputError, match="cycles above 0"):
        table(some(cycles=np.full(14, -1.0)))
    with pytest.raises(InputError, match="one for each specimen"):
        table(teeth=("1",))
