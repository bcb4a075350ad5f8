"""Index deviations given for single pitches are asked about; no honest file of single pitches is."""

import csv
from pathlib import Path

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.review.file_evidence import pitch_table
from gearcheck.review.file_sizes import running_sum_faults

SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*/pitch.csv"))


def text_of(left, right):
    both = {"left": left, "right": right}
    rows = [f"{k + 1},{flank},{one:.1f}" for flank, of in both.items() for k, one in enumerate(of)]
    return "\n".join(["tooth,flank,deviation_um", *rows])


def random_gear(seed):
    """Single pitches, rounded to 0.1 µm, of a gear off its centre with noise; they close."""
    rng = np.random.default_rng(seed)
    teeth, off = int(rng.integers(10, 120)), rng.uniform(0, 40)
    turn = 2 * np.pi * np.arange(teeth) / teeth + rng.uniform(0, 2 * np.pi)
    index = off * np.sin(turn) + np.cumsum(rng.normal(0, rng.uniform(0.2, 4), teeth))
    single = index - np.roll(index, 1)
    return np.round(single - single.mean(), 1)


@pytest.mark.parametrize("seed", range(200))
def test_no_random_gear_off_its_centre_is_asked_about(seed):
    single = random_gear(seed)
    assert not list(running_sum_faults("pitch.csv", single))
    assert not list(running_sum_faults("pitch.csv", np.round(single)))


def test_running_sums_are_found():
    found = [bool(list(running_sum_faults("pitch.csv", np.cumsum(random_gear(k))))) for k in range(200)]
    assert np.mean(found) > 0.9  # one flank; the rest has a mean that rounding explains


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.parent.name)
def test_the_pitch_of_the_scenarios_is_read_and_its_running_sum_is_not(path):
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    left, right = (
        [float(row["deviation_um"]) for row in rows if row["flank"] == flank] for flank in ("left", "right")
    )
    assert pitch_table(text_of(left, right), "pitch.csv", len(left))["left"].tolist() == left
    with pytest.raises(InputError) as caught:
        pitch_table(text_of(np.cumsum(left), np.cumsum(right)), "pitch.csv", len(left))
    said = " ".join(map(str, caught.value.faults))
    assert "pitch.csv, " in said and "a mean of " in said
    assert "the deviation of each single pitch in µm" in said and "index deviations" in said


def test_the_order_of_the_rows_makes_no_difference():
    index = np.cumsum(random_gear(3))
    header, *rows = text_of(index, index).split("\n")
    shuffled = np.random.default_rng(1).permutation(rows).tolist()
    with pytest.raises(InputError, match="index deviations"):
        pitch_table("\n".join([header, *shuffled]), "pitch.csv", len(index))


def test_a_mean_without_a_running_sum_and_few_teeth_are_not_asked_about():
    noise = np.random.default_rng(2).normal(1.0, 3.0, 40)
    assert not list(running_sum_faults("pitch.csv", noise))
    assert not list(running_sum_faults("pitch.csv", np.arange(9.0)))
