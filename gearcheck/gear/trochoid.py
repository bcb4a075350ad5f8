"""The root fillet that the round tip of a rack-shaped tool leaves, and where it meets the involute."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.gear.involute import arc_cosine, involute
from gearcheck.gear.notices import Mask

STEPS = 16
GRID = 96
FLATTEST = 1e-4


@dataclass(frozen=True, slots=True)
class Fillet:
    """One gear's root as a rack-shaped tool cuts it, transverse section; every entry has the same shape.

    Parameters
    ----------
    radius, base_radius : array
        Reference and base radius in mm.
    cos_helix : array
        cos β: the round of the normal section is an ellipse in the transverse section.
    flank_angle : array
        Normal pressure angle α_n of the tool in radians, where its round runs into its flank.
    reach : array
        Depth of the tool's tip line below the rolling line, h_fP - x, in mm.
    tip_radius : array
        Radius of the tool's tip in the normal section in mm.
    centre : array
        Distance of the centre of the round from the middle of the tool's tooth, transverse, in mm.
    half_pitch : array
        Half the angular pitch, π/z, in radians.
    base_half_angle : array
        Half the angle of the finished tooth at the base circle, in radians.
    """

    radius: Array
    base_radius: Array
    cos_helix: Array
    flank_angle: Array
    reach: Array
    tip_radius: Array
    centre: Array
    half_pitch: Array
    base_half_angle: Array

    def part(self, mask: Mask) -> Fillet:
        """Return the samples for which `mask` is true."""
        return Fillet(*(getattr(self, name)[mask] for name in self.__dataclass_fields__))

    def along(self) -> Fillet:
        """Return the same with a last axis for points along the fillet."""
        return Fillet(*(getattr(self, name)[..., None] for name in self.__dataclass_fields__))


def fillet_of(
    *,
    teeth: Array,
    normal_module: Array,
    pressure_angle: Array,
    helix_angle: Array,
    profile_shift: Array,
    rack_dedendum: Array,
    rack_root_radius: Array,
    clearance: Array,
) -> Fillet:
    """Return the fillet of one gear.

    The round of the tool touches a line that lies `clearance` inside the finished flank of the rack:
    u_0 = π·m_n/4 + clearance/cos α_n - h_fP·tan α_n - ρ_fP·(1 - sin α_n)/cos α_n, the length E of ISO 6336-3.

    Parameters
    ----------
    teeth, normal_module, profile_shift : array
        z; m_n in mm; x.
    pressure_angle, helix_angle : array
        α_n, β in radians.
    rack_dedendum, rack_root_radius : array
        h_fP and ρ_fP of the finished basic rack in modules.
    clearance : array
        Protuberance less grinding stock, normal to the flank, in mm; 0 for a plain rack.

    Returns
    -------
    Fillet
        With all entries broadcast to one shape.
    """
    cos_helix, sin_flank, cos_flank = np.cos(helix_angle), np.sin(pressure_angle), np.cos(pressure_angle)
    transverse = np.arctan(np.tan(pressure_angle) / cos_helix)
    radius = teeth * normal_module / (2.0 * cos_helix)
    tip_radius = rack_root_radius * normal_module
    centre = (
        np.pi * normal_module / 4.0
        + clearance / cos_flank
        - rack_dedendum * normal_module * np.tan(pressure_angle)
        - tip_radius * (1.0 - sin_flank) / cos_flank
    )
    thickness = normal_module * (np.pi / 2.0 + 2.0 * profile_shift * np.tan(pressure_angle))
    entries = np.broadcast_arrays(
        radius,
        radius * np.cos(transverse),
        cos_helix,
        pressure_angle,
        (rack_dedendum - profile_shift) * normal_module,
        tip_radius,
        centre / cos_helix,
        np.pi / teeth,
        thickness / (2.0 * radius * cos_helix) + involute(transverse),
    )
    return Fillet(*(np.asarray(entry, dtype=np.float64) for entry in entries))


def fillet_point(fillet: Fillet, angle: Array) -> tuple[Array, Array]:
    """Return where the round cuts with that point of it whose normal is inclined by `angle`.

    A point of the tool cuts when its normal passes through the pitch point (law of gearing).

    Parameters
    ----------
    fillet : Fillet
        One gear.
    angle : array
        From 90° at the deepest point of the root to α_n where the round runs into the flank; in radians.

    Returns
    -------
    radius, half_angle : tuple of array
        Radius in mm; angle between the point and the middle of the tooth in radians.
    """
    sine, cosine = np.sin(angle), np.cos(angle)
    depth = fillet.reach - fillet.tip_radius * (1.0 - sine)
    along = depth * fillet.cos_helix * cosine / sine
    turned = (along - fillet.centre - fillet.tip_radius * cosine / fillet.cos_helix) / fillet.radius
    half_angle = fillet.half_pitch - np.arctan2(along, fillet.radius - depth) + turned
    return np.hypot(along, fillet.radius - depth), half_angle


def involute_half_angle(fillet: Fillet, radius: Array) -> Array:
    """Return half the angle of the finished tooth at a radius.

    Parameters
    ----------
    fillet : Fillet
        One gear.
    radius : array
        In mm.

    Returns
    -------
    array
        In radians; NaN below the base circle.
    """
    return fillet.base_half_angle - involute(arc_cosine(fillet.base_radius / radius))


def fillet_end(fillet: Fillet, *, cuts: Mask) -> Array:
    """Return the angle of the round at which the fillet meets the finished involute.

    Without a cut into the involute it is α_n, where both touch; otherwise the outer crossing of the two
    curves, by Newton's rule kept inside a bracket.

    Parameters
    ----------
    fillet : Fillet
        One gear.
    cuts : array of bool
        Where the fillet may cut into the involute: undercut, or more protuberance than stock.

    Returns
    -------
    array
        In radians, the shape of the fillet.
    """
    end = np.array(fillet.flank_angle)
    mask = np.broadcast_to(cuts, end.shape) & np.isfinite(fillet.centre)
    if np.any(mask):
        end[mask] = _crossing(fillet.part(mask))
    return end


def _excess(fillet: Fillet, angle: Array) -> Array:
    """Return by how much the fillet cuts into the finished tooth, as an angle about the axis."""
    radius, half_angle = fillet_point(fillet, angle)
    ratio = np.minimum(fillet.base_radius / radius, 1.0)
    return fillet.base_half_angle - involute(np.arccos(ratio)) - half_angle


def _crossing(fillet: Fillet) -> Array:
    """Return the outer crossing for a list of samples, each of which may cut into its involute."""
    low, high = _bracket(fillet)
    none = _excess(fillet, high) <= 0.0
    angle = 0.3 * low + 0.7 * high
    for _ in range(STEPS):
        value, slope = _excess(fillet, angle), _slope(fillet, angle)
        high = np.where(value > 0.0, angle, high)
        low = np.where(value > 0.0, low, angle)
        step = angle - value / np.where(slope == 0.0, np.inf, slope)
        inside = (step >= low) & (step <= high)
        angle = np.where(inside, step, 0.5 * (low + high))
    return np.where(none, fillet.flank_angle, angle)


def _bracket(fillet: Fillet) -> tuple[Array, Array]:
    """Return an angle where the fillet lies outside the involute and a larger one where it lies inside.

    With more protuberance than stock the round lies inside where it runs into the flank. With undercut
    alone that point lies outside, and a deeper point that lies inside is looked for on a grid.
    """
    low, high = np.full_like(fillet.flank_angle, FLATTEST), np.array(fillet.flank_angle)
    outside = _excess(fillet, high) <= 0.0
    if np.any(outside):
        part = fillet.part(outside)
        grid = (
            part.flank_angle[:, None]
            + (np.pi / 2.0 - part.flank_angle[:, None]) * np.linspace(0, 1, GRID) ** 2
        )
        best = np.argmax(_excess(part.along(), grid), axis=-1)
        low[outside] = part.flank_angle
        high[outside] = np.take_along_axis(grid, best[:, None], axis=-1)[:, 0]
    return low, high


def _slope(fillet: Fillet, angle: Array) -> Array:
    """Return the derivative of the cut: both curves turn from the radius by a known angle."""
    sine, cosine = np.sin(angle), np.cos(angle)
    depth = fillet.reach - fillet.tip_radius * (1.0 - sine)
    along = depth * fillet.cos_helix * cosine / sine
    radius = np.hypot(along, fillet.radius - depth)
    sinking = fillet.tip_radius * cosine
    moving = fillet.cos_helix * (sinking * cosine / sine - depth / sine**2)
    growth = (along * moving - (fillet.radius - depth) * sinking) / radius
    of_fillet = np.arctan2(sine, cosine * fillet.cos_helix) - np.arctan2(along, fillet.radius - depth)
    of_involute = np.arccos(np.minimum(fillet.base_radius / radius, 1.0))
    return np.asarray((np.tan(of_fillet) - np.tan(of_involute)) * growth / radius)
