"""What the geometry needs to know of one gear."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


@dataclass(frozen=True, kw_only=True)
class Tooth:
    """The toothing of one gear, as drawn and as cut.

    Teeth and diameters of an internal gear are positive numbers; its profile shift has the sign of ISO 21771,
    where a positive one thickens the tooth and moves its tip towards the axis.

    Parameters
    ----------
    teeth : int
        Number of teeth z.
    face_width_mm : float or array
        Face width b.
    profile_shift : float or array
        Profile shift coefficient x of the finished tooth.
    tip_diameter_mm : float or array
        Tip diameter d_a.
    rack_dedendum : float or array
        Dedendum of the finished basic rack in modules, h_fP*.
    rack_root_radius : float or array
        Root radius of the finished basic rack in modules, ρ_fP*; of an internal gear that of its root fillet.
    protuberance_mm : float or array
        Protuberance pr of the hob, normal to the flank; 0 without.
    stock_min_mm, stock_max_mm : float or array
        Smallest and largest grinding stock q on one flank, normal to the flank; 0 for a flank left as cut.
    internal : bool
        Whether its teeth point inwards; it is then the wheel of its pair, in all samples.
    """

    teeth: Number
    face_width_mm: Number
    profile_shift: Number
    tip_diameter_mm: Number
    rack_dedendum: Number
    rack_root_radius: Number
    protuberance_mm: Number
    stock_min_mm: Number
    stock_max_mm: Number
    internal: bool = False


@dataclass(frozen=True, kw_only=True)
class PinionCutter:
    """The pinion cutter that shapes an internal gear; module, pressure and helix angle are those of the gear.

    Parameters
    ----------
    teeth : int
        Number of teeth z_0.
    profile_shift : float or array
        Profile shift coefficient x_0 at the state of its grinding.
    tip_diameter_mm : float or array
        Tip diameter d_a0 at the same state.
    tip_radius_mm : float or array
        Radius ρ_a0 of the round between tip and flank; 0 for a sharp corner.
    """

    teeth: Number
    profile_shift: Number
    tip_diameter_mm: Number
    tip_radius_mm: Number


class MeasuringBody(StrEnum):
    """What is laid in the tooth spaces."""

    BALLS = "balls"
    PINS = "pins"
