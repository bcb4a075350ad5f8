"""What the loaded contact needs to know beside the geometry."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.numbers import Number


@dataclass(frozen=True, kw_only=True)
class Body:
    """What is behind the teeth of one gear, as far as it gives way; what is None is solid.

    Parameters
    ----------
    bore_diameter_mm : float or None
        Bore at which the gear is held; None where no bore is given. Not used for an internal gear.
    rim_thickness_mm : float or None
        Rim below the root circle, of an internal gear outside it; None where there is no rim.
    web_thickness_mm : float or None
        Web between rim and bore, along the axis; without it a rim is held at its inside, an internal one at
        its outside.
    """

    bore_diameter_mm: Number = None
    rim_thickness_mm: Number = None
    web_thickness_mm: Number = None
