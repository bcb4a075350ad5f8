"""How long the evaluation of measured flanks takes."""

import numpy as np

from gearcheck.accuracy.harmonics import pitch_harmonics
from gearcheck.accuracy.inputs import AccuracyEdition, TraceKind
from gearcheck.accuracy.pitch import pitch_deviations
from gearcheck.accuracy.traces import trace_evaluation
from tests.bench.test_times import within

POINTS = 480
PLACE = np.linspace(0, 20, POINTS)


def traces(count):
    rng = np.random.default_rng(7)
    return 0.3 * PLACE + rng.normal(0, 0.5, (count, POINTS))


def evaluated(deviation):
    return trace_evaluation(
        kind=TraceKind.PROFILE,
        edition=AccuracyEdition.ISO_1328_1_2013,
        place_mm=PLACE,
        deviation_um=deviation,
        start_mm=0.0,
        end_mm=19.0,
        slope_to_mm=20.0,
    )


def test_four_traces_of_both_kinds_and_flanks_and_the_pitch_of_200_teeth(benchmark):
    """Sixteen traces of 480 points, filter and spikes included, and what the pitch holds once a turn."""
    within(benchmark, 100)
    deviation = traces(16)
    pitch = np.random.default_rng(3).normal(0, 3, (2, 200))

    def all_of_it():
        found = pitch_deviations(left_um=pitch[0], right_um=pitch[1], transverse_pressure_angle_deg=20.0)
        turned = pitch_harmonics(
            left_index_um=found.left_index_um,
            right_index_um=found.right_index_um,
            transverse_pressure_angle_deg=20.0,
        )
        return evaluated(deviation), found, turned

    found = benchmark(all_of_it)
    assert found[0].slope_um.shape == (16,)


def test_a_trace_of_every_flank_of_200_teeth(benchmark):
    within(benchmark, 1000)
    deviation = traces(400)
    found = benchmark(evaluated, deviation)
    assert found.slope_um.shape == (400,)
