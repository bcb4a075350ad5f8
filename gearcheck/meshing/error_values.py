"""What is told of a transmission error, over one mesh cycle or over many."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.mesh_bed import MeshBed

ORDERS = 5
"""So many mesh orders are told."""


def orders_told(positions: int) -> int:
    """Return how many mesh orders so many positions of a cycle can tell."""
    return min(ORDERS, positions // 2 - 1)


def mesh_orders_um(cycle_um: Array) -> Array:
    """Return the amplitudes of the mesh orders.

    Parameters
    ----------
    cycle_um : ndarray
        Error over one mesh cycle, shape (..., positions).

    Returns
    -------
    ndarray
        Shape (..., orders), from the first on.
    """
    positions = cycle_um.shape[-1]
    harmonics = np.fft.rfft(cycle_um)[..., 1 : orders_told(positions) + 1]
    return array(2.0 * np.abs(harmonics) / positions)


def error_values(bed: MeshBed, error_um: Array) -> dict[str, Array]:
    """Return the error with its mean, its peak to peak, and the angles of both gears that go with it.

    Parameters
    ----------
    bed : MeshBed
        For the base diameters.
    error_um : ndarray
        On the transverse line of action, shape (..., places).

    Returns
    -------
    dict of str to ndarray
        By the fields of `LoadedContact` and `LoadedRevolution`.
    """
    pair, peak = bed.pair, np.ptp(error_um, axis=-1)
    base = {"pinion": float(pair.pinion_base_diameter_mm), "wheel": float(pair.wheel_base_diameter_mm)}
    values = {
        "error_um": error_um,
        "mean_um": array(error_um.mean(axis=-1)),
        "peak_to_peak_um": array(peak),
    }
    for name, diameter in base.items():
        values[f"{name}_base_diameter_mm"] = array(diameter)
        values[f"{name}_arcsec"] = array(np.degrees(peak / (500.0 * diameter)) * 3600.0)
    return values


def corner_caution(key: str, share: Array) -> Iterator[Notice]:
    """Yield a caution where tip corners carry load.

    Parameters
    ----------
    key : str
        Of the method.
    share : ndarray
        Largest share of each sample; NaN where it is not known.

    Yields
    ------
    Notice
        With the largest of all.
    """
    largest = float(np.nan_to_num(share).max(initial=0.0))
    if largest > 0.0:
        text = (
            f"Tip corners carry up to {100.0 * largest:.0f} % of the load off the path of contact; "
            "the pressure there is higher than that of a line contact."
        )
        yield Notice(Level.CAUTION, f"{key}.corner", text)
