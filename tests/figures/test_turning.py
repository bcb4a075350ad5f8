"""How unevenly a mesh turns under load: one cycle, its orders, and what torque does to it."""

from types import SimpleNamespace

import numpy as np
import pytest

from gearcheck.figures.turning import OverTorque, cycle_drawing, orders_drawing, torque_drawing
from tests.figures.drawn import written

PITCH = 12.0


def contact(amplitude_um=2.0):
    """A mesh whose error is a pure first order around its wind-up of 30 µm."""
    at = np.arange(32) * PITCH / 32
    error = -30.0 + amplitude_um * np.cos(2 * np.pi * at / PITCH)
    return SimpleNamespace(
        position_mm=at,
        base_pitch_mm=PITCH,
        error_um=error,
        peak_to_peak_um=np.ptp(error),
        orders_um=np.array([amplitude_um, 0.1, 0.0, 0.0, 0.0]),
    )


def over(peak):
    peak = np.array(peak)
    torque = 100.0 * np.arange(1, peak.size + 1)
    return OverTorque(torque_Nm=torque, peak_to_peak_um=peak, first_order_um=peak / 2, nominal_Nm=300.0)


def test_one_cycle_is_closed_and_without_its_mean():
    drawing = cycle_drawing(contact())
    curve = drawing.rows["curve"]
    assert (curve["at"].iloc[0], curve["at"].iloc[-1]) == (0.0, PITCH)
    assert curve["error"].iloc[0] == curve["error"].iloc[-1] == pytest.approx(2.0)
    assert "4.00 µm from peak to peak" in written(drawing)
    assert drawing.rows["record"].empty


def test_the_record_stays_beside_a_draft():
    drawing = cycle_drawing(contact(1.0), contact(3.0))
    assert {"2.00 µm from peak to peak", "record 6.00 µm"} <= set(written(drawing))
    assert np.ptp(drawing.rows["record"]["error"]) == pytest.approx(6.0)


def test_each_order_carries_its_number():
    assert {"2.00", "0.10", "mesh order"} <= set(written(orders_drawing(contact(), contact(3.0))))


def test_the_torque_at_which_the_mesh_turns_most_evenly_is_named():
    drawing = torque_drawing(over([4.0, 2.0, 3.0]))
    assert "least at 200 N·m" in written(drawing)
    assert {"peak to peak", "mesh order 1", "nominal"} <= set(written(drawing))
    assert "least from peak to peak at 200 N·m of the pinion, 2.00 µm" in drawing.words
