"""What the geometry needs to know of one gear."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.numbers import Number


@dataclass(frozen=True, kw_only=True)
class Tooth:
    """The toothing of one external gear, as drawn and as cut.

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
        Root radius of the finished basic rack in modules, ρ_fP*.
    protuberance_mm : float or array
        Protuberance pr of the hob, normal to the flank; 0 without.
    stock_min_mm, stock_max_mm : float or array
        Smallest and largest grinding stock q on one flank, normal to the flank; 0 for a flank left as cut.
    internal : bool
        Whether its teeth point inwards.
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
