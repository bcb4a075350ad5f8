"""The gap between the tip corner of one gear and the flank of its mate, outside the path of contact."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.pair import PairGeometry


@dataclass(frozen=True)
class Touch:
    """Where the flanks of a tooth pair meet, or come nearest to one another.

    Parameters
    ----------
    gap : ndarray
        Separation of rigid involutes along the transverse line of action, mm; 0 on the path of contact.
    pinion_radius, wheel_radius : ndarray
        Radii of the place on both gears, mm.
    at_corner : ndarray of bool
        Whether it is the corner of a tip.
    """

    gap: Array
    pinion_radius: Array
    wheel_radius: Array
    at_corner: np.typing.NDArray[np.bool_]


def touch(pair: PairGeometry, place: Array) -> Touch:
    """Return where a tooth pair touches at a place of its roll, on and beyond the path of contact.

    Beyond the path a tip corner stands at φ = t - inv u_a, t = ρ/r_b; seen from the mate's axis at radius R
    and angle ψ it is r_b·(ψ - t + inv R) away from the mate's flank.

    Parameters
    ----------
    pair : PairGeometry
        Without samples.
    place : ndarray
        Distance from the start A along the line of action, mm; below 0 and beyond g_α outside the path.

    Returns
    -------
    Touch
        Arrays of the shape of `place`.
    """
    base = float(pair.pinion_base_diameter_mm) / 2.0, float(pair.wheel_base_diameter_mm) / 2.0
    tip = float(pair.pinion_tip_diameter_mm) / 2.0, float(pair.wheel_tip_diameter_mm) / 2.0
    line = line_mm(pair)
    rho = rolls(pair, place)
    radius = [np.hypot(of_base, of_rho) for of_base, of_rho in zip(base, rho, strict=True)]
    late, early = place > float(pair.path_length_mm), place < 0.0
    pinion_corner = _seen(rho[0] / base[0], tip[0], base, line, pair.side)
    wheel_corner = _seen(rho[1] / base[1], tip[1], base[::-1], line if pair.side > 0 else -line, pair.side)
    # the mate's flank gives way towards growing roll where it is driven by an internal pinion, and driving
    gap_late = pair.side * base[1] * (pinion_corner[1] - rho[1] / base[1] + _inv(pinion_corner[0], base[1]))
    gap_early = base[0] * (wheel_corner[1] - rho[0] / base[0] + _inv(wheel_corner[0], base[0]))
    return Touch(
        gap=np.where(late, gap_late, np.where(early, gap_early, 0.0)),
        pinion_radius=np.where(late, tip[0], np.where(early, wheel_corner[0], radius[0])),
        wheel_radius=np.where(late, pinion_corner[0], np.where(early, tip[1], radius[1])),
        at_corner=late | early,
    )


def line_mm(pair: PairGeometry) -> float:
    """Return a·sin α_wt, between the points where the line of action leaves both base circles."""
    working = np.radians(float(pair.working_pressure_angle_deg))
    return float(float(pair.centre_distance_mm) * np.sin(working))


def rolls(pair: PairGeometry, place: Array) -> tuple[Array, Array]:
    """Return the roll lengths of pinion and wheel at a place on the line of action, mm."""
    first = float(pair.pinion.start_radius_mm) + place
    return first, pair.side * (line_mm(pair) - first) if pair.side > 0 else first + line_mm(pair)


def _inv(radius: Array, base: float) -> Array:
    rolled = np.sqrt(np.maximum((radius / base) ** 2 - 1.0, 0.0))
    return array(rolled - np.arctan(rolled))


def _seen(
    turned: Array, tip: float, base: tuple[float, float], line: float, side: float
) -> tuple[Array, Array]:
    """Radius and angle of a tip corner, seen from the axis of the mate.

    Axes of each gear: out to where the line of action touches its base circle, and along that line, to the
    mate's own touching point where the mate is external.
    """
    angle = turned - _inv(np.array(tip), base[0])
    out, along = tip * np.cos(angle), tip * np.sin(angle)
    if side > 0:
        out, along = base[0] + base[1] - out, line - along
    else:
        out, along = out - base[0] + base[1], along + line
    return np.hypot(out, along), np.arctan2(along, out)
