"""Every formula that a result prints, worked out with the result's own values; and arrays against scalars."""

from dataclasses import fields, replace

import numpy as np
import pytest

from gearcheck.basics.results import terms
from gearcheck.stress.inputs import (
    PRIMARY,
    DeviationInKHalpha,
    HelixFactor,
    LifeAt1e10,
    LightLoadStiffness,
    LimitedLife,
    ReliefFactor,
    RootFaceWidth,
    SupercriticalKv,
    TipReliefInKv,
)
from tests.formula import disagreements
from tests.stress.pairs import helical, rated, results_in, spur

RATINGS = {
    "helical": rated(helical()),
    "spur": rated(spur()),
    "light": rated(helical(), torque_Nm=20, tolerance_class=7),
    "wide": rated(helical(widths=(100, 90)), load_cycles=1e5, tip_relief_um=12),
}


@pytest.mark.parametrize("name", RATINGS)
def test_formulas_say_what_the_code_does(name):
    found = [disagreements(result) for result in results_in(RATINGS[name])]
    assert not [fault for faults, _ in found for fault in faults]
    assert sum(len(compared) for _, compared in found) > 60


@pytest.mark.parametrize(
    "name", ["torque_Nm", "speed_rpm", "base_pitch_deviation_um", "tip_relief_um", "load_cycles"]
)
def test_an_array_equals_its_samples(name):
    samples = {
        "torque_Nm": [15.0, 60.0, 400.0, 1200.0],
        "speed_rpm": [100.0, 12500.0, 15000.0, 18000.0, 30000.0],
        "base_pitch_deviation_um": [1.0, 12.0, 60.0],
        "tip_relief_um": [0.0, 5.0, 60.0],
        "load_cycles": [1e2, 1e4, 1e6, 1e8, 1e11],
    }[name]
    whole = results_in(rated(helical(), **{name: np.array(samples)}))
    for place, sample in enumerate(samples):
        for many, one in zip(whole, results_in(rated(helical(), **{name: sample})), strict=True):
            for (field, _, array), (_, _, value) in zip(terms(many), terms(one), strict=True):
                found = array[place] if np.ndim(array) else array
                assert found == pytest.approx(value, rel=1e-12), field


@pytest.mark.parametrize(
    ("other", "given", "pair"),
    [
        ({"life_at_1e10": LifeAt1e10.OPTIMUM}, {"load_cycles": 1e9}, helical()),
        ({"limited_life": LimitedLife.FACTORS}, {"load_cycles": 1e5}, helical()),
        ({"tip_relief_in_kv": TipReliefInKv.ALWAYS}, {"tip_relief_um": 30, "tolerance_class": 7}, helical()),
        ({"light_load_stiffness": LightLoadStiffness.LINEAR}, {"torque_Nm": 50}, helical()),
        ({"root_face_width": RootFaceWidth.OWN}, {}, helical(widths=(60, 32))),
        (
            {"supercritical_kv": SupercriticalKv.AS_COMPUTED},
            {"torque_Nm": 3000, "speed_rpm": 30000},
            helical(),
        ),
        (
            {"deviation_in_khalpha": DeviationInKHalpha.LARGER_OF_BOTH},
            {"torque_Nm": 100, "profile_form_deviation_um": 40},
            helical(),
        ),
        ({"relief_factor": ReliefFactor.FULL}, {}, helical()),
        ({"helix_factor": HelixFactor.ROOT}, {}, helical()),
        ({"relief_factor": ReliefFactor.NONE}, {"tip_relief_um": 20}, helical()),
    ],
    ids=lambda value: next(iter(value), None) if isinstance(value, dict) else None,
)
def test_each_reading_reaches_a_safety(other, given, pair):
    primary = rated(pair, **given)
    read_otherwise = rated(pair, readings=replace(PRIMARY, **other), **given)
    assert (primary.flank_limit.safety, primary.root_limit.safety) != (
        read_otherwise.flank_limit.safety,
        read_otherwise.root_limit.safety,
    )


def test_rows_and_columns_broadcast():
    torque, width = np.array([300.0, 500.0, 700.0]), np.array([[24.0], [32.0]])
    whole = rated(helical(widths=(width, width)), torque_Nm=torque)
    assert whole.flank_limit.safety.shape == whole.root_limit.safety.shape == (2, 3)
    one = rated(helical(widths=(24.0, 24.0)), torque_Nm=700.0)
    assert whole.flank_limit.safety[0, 2] == pytest.approx(one.flank_limit.safety)
    assert whole.root_limit.safety[0, 2] == pytest.approx(one.root_limit.safety)


def test_a_geometry_that_stopped_gives_no_numbers_and_no_warnings():
    stopped = rated(helical(centre_distance_mm=np.array([124.0, 100.0])))
    assert np.isnan(stopped.flank_limit.safety).tolist() == [False, True]
    assert np.isnan(stopped.root_limit.safety).tolist() == [False, True]
    alone = rated(helical(centre_distance_mm=100.0))
    assert alone.flank_limit.safety is None
    assert alone.root_limit.safety is None


def test_inputs_are_not_changed():
    torque = np.array([300.0, 500.0])
    rated(helical(), torque_Nm=torque)
    assert torque.tolist() == [300.0, 500.0]


def test_each_result_names_its_method():
    for result in results_in(RATINGS["helical"]):
        assert result.method.cite
        assert any("term" in item.metadata for item in fields(result))
