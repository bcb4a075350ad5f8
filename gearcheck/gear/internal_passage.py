"""Whether the teeth of a pinion and an internal gear pass one another outside the path of contact."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array
from gearcheck.gear.involute import arc_cosine, involute
from gearcheck.gear.notices import flagged


def internal_passage(values: dict[str, Any]) -> dict[str, Array]:
    """Return the room between the tips in running and in radial assembly.

    Parameters
    ----------
    values : dict
        The fields of the pair, as arrays.

    Returns
    -------
    dict of str to array
        The last two terms of the internal pair, in mm; negative where the tips meet.
    """
    d_a1, d_a2 = values["pinion_tip_diameter_mm"], values["wheel_tip_diameter_mm"]
    working = involute(np.radians(values["working_pressure_angle_deg"]))
    # turned from the pitch point to the tip corner of the flanks in contact
    angle_1 = arc_cosine(values["pinion_base_diameter_mm"] / d_a1)
    angle_2 = arc_cosine(values["wheel_base_diameter_mm"] / d_a2)
    corner_1, corner_2 = involute(angle_1) - working, involute(angle_2) - working
    ratio = values["pinion_teeth"] / values["wheel_teeth"]
    return {
        "tip_passage_mm": _running(values, ratio, corner_1, corner_2),
        "radial_assembly_mm": _radial(d_a1, ratio, (angle_1, angle_2), (corner_1, corner_2)),
    }


def _running(values: dict[str, Any], ratio: Array, corner_1: Array, corner_2: Array) -> Array:
    """At the moment at which the pinion's tip corner crosses the wheel's tip circle."""
    a = values["centre_distance_mm"]
    d_a1, d_a2 = values["pinion_tip_diameter_mm"], values["wheel_tip_diameter_mm"]
    place_1 = arc_cosine((d_a2**2 - d_a1**2 - 4 * a**2) / (4 * a * d_a1))
    place_2 = arc_cosine((4 * a**2 + d_a2**2 - d_a1**2) / (4 * a * d_a2))
    return np.asarray(d_a2 / 2 * (ratio * (place_1 + corner_1) - corner_2 - place_2))


def _radial(d_a1: Array, ratio: Array, angles: tuple[Array, Array], corners: tuple[Array, Array]) -> Array:
    """Where both tip circles have the same height across the direction in which the pinion is moved."""
    cosines = np.cos(angles[0]) / np.cos(angles[1])
    sine_1 = np.sqrt(np.clip((1 - cosines**2) / (1 - ratio**2), 0.0, 1.0))
    # r_a1·sin ϑ_1 = r_a2·sin ϑ_2, with r_a1/r_a2 = z_1·cos α_a2/(z_2·cos α_a1)
    sine_2 = np.minimum(sine_1 * ratio / cosines, 1.0)
    return np.asarray(d_a1 / 2 * (np.arcsin(sine_1) + corners[0] - (np.arcsin(sine_2) + corners[1]) / ratio))


def passage_notices(values: dict[str, Any]) -> Iterator[Notice]:
    """Yield what meets outside the path of contact.

    Parameters
    ----------
    values : dict
        The fields of the pair, as arrays.

    Yields
    ------
    Notice
        A stop where the tips meet in running, a note where the pinion goes in along its axis only.
    """
    running, radial = values["tip_passage_mm"], values["radial_assembly_mm"]
    yield from flagged(
        np.asarray(running < 0.0),
        Level.STOP,
        "pair.tip_interference",
        "The tips of pinion and internal gear run into one another outside the path of contact by "
        "{overlap:.3f} mm on the tip circle of the internal gear.",
        overlap=-running,
    )
    yield from flagged(
        np.asarray((radial < 0.0) & (running >= 0.0)),
        Level.NOTE,
        "pair.radial_assembly",
        "The pinion cannot be moved into the internal gear radially (the tips overlap by {overlap:.3f} mm); "
        "it goes in along its axis.",
        overlap=-radial,
    )
