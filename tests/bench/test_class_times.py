"""How long the consequences of a class take, each with its budget; measured with ``--benchmark-enable``."""

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.accuracy.transmission import geometric_transmission_error
from gearcheck.basics.places import scenarios
from gearcheck.review import consequence
from gearcheck.review.budget import tolerance_budget
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.moves import write_class


@pytest.fixture(scope="module", params=["tunnel_fan", "tram_bogie"])
def record(request):
    return read_gear_file(scenarios() / request.param / "gear.toml")


def within(benchmark, milliseconds):
    benchmark.extra_info["budget_ms"] = milliseconds
    benchmark.group = f"budget {milliseconds} ms"


def test_every_class_with_its_reserves(benchmark, record):
    """All classes from nothing: settled work, for under a duty it takes more than a slider waits."""
    within(benchmark, 1000)
    moved = consequence._bare(write_class(record, np.arange(1.0, 12.0)[:, None]))
    assert benchmark(consequence._over_classes, moved).margins


def test_every_class_remembered(benchmark, record):
    """What a slider of the class waits for."""
    within(benchmark, 15)
    assert benchmark(consequence.consequences, record).margins


def test_tolerance_budget(benchmark, record):
    """Four groups and all of them over all classes, each answer confirmed by plain calculations."""
    within(benchmark, 1000)
    assert benchmark(tolerance_budget, record)


def test_transmission_error(benchmark):
    """200 teeth, four traces of 480 points each of profile and helix, helical."""
    within(benchmark, 50)
    rng = np.random.default_rng(1)
    tooth = [1, 51, 101, 151]
    found = benchmark(
        geometric_transmission_error,
        index_um=rng.normal(0, 3, 200),
        flank=Flank.LEFT,
        measuring_pressure_angle_deg=20.0,
        base_diameter_mm=752.0,
        start_roll_mm=8.0,
        end_roll_mm=30.0,
        face_width_mm=30.0,
        base_helix_angle_deg=20.0,
        profile=ToothTraces(
            tooth=tooth, place_mm=np.linspace(6, 32, 480), deviation_um=rng.normal(0, 1, (4, 480))
        ),
        helix=ToothTraces(
            tooth=tooth, place_mm=np.linspace(0, 30, 480), deviation_um=rng.normal(0, 1, (4, 480))
        ),
    )
    assert found.peak_to_peak_um > 0
