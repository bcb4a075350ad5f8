"""How long the rating takes: 100,000 variants in one call, beside a loop of single gears, and a duty live."""

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.review.alternatives import alternatives
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.failure_map import Against, failure_map
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review
from tests.bench.test_times import within

INPUTS = ("torque", "face_width", "profile_shift", "class")


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def variants(record, size):
    """Inputs drawn at random around those of the record."""
    drawn = np.random.default_rng(7)
    mesh, tooth = record.meshes[0], record.gear.tooth
    return {
        "torque": mesh.torque_Nm * drawn.uniform(0.6, 1.3, size),
        "face_width": tooth.face_width_mm * drawn.uniform(0.8, 1.2, size),
        "profile_shift": tooth.profile_shift + drawn.uniform(-0.15, 0.15, size),
        "class": drawn.integers(4, 8, size).astype(float),
    }


def test_full_rating_of_many_variants_in_one_call(benchmark, fan):
    """Geometry, load factors, flank and root of both gears, case depth, tolerances: 100,000 gears."""
    within(benchmark, 2000)
    size = 100_000 if benchmark.enabled else 500
    varied = changed(fan, variants(fan, size))
    chain = benchmark.pedantic(calculate, (varied,), rounds=3 if benchmark.enabled else 1)
    assert chain.meshes[0].gear.root_safety.safety.shape == (size,)


def test_full_rating_of_single_gears_in_a_loop(benchmark, fan):
    """The same one gear at a time, 200 of them: times 500 stands beside the one call."""
    within(benchmark, 2000)
    size = 200 if benchmark.enabled else 5
    drawn = variants(fan, size)
    each = [changed(fan, {name: drawn[name][place] for name in INPUTS}) for place in range(size)]
    found = benchmark.pedantic(
        lambda: [calculate(record).meshes[0].gear.root_safety.safety for record in each],
        rounds=3 if benchmark.enabled else 1,
    )
    at_once = calculate(changed(fan, drawn)).meshes[0].gear.root_safety.safety
    assert np.allclose(found, at_once, rtol=1e-12)


def test_live_pass_with_a_duty(benchmark, tram):
    """All requirements and reserves of a gear with twelve steps, starts, oil film and temperatures."""
    within(benchmark, 50)
    assert benchmark(review, tram, with_settled=False).requirements


def test_every_other_reading(benchmark, fan):
    within(benchmark, 1000)
    assert benchmark(alternatives, fan)


def test_failure_map_over_speed(benchmark, fan):
    within(benchmark, 2000)
    assert benchmark(failure_map, fan, Against.SPEED).modes
