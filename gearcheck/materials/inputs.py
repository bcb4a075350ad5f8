"""What the materials room needs to know of a gear's steel and of the lubricant."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class Quality(StrEnum):
    """Material quality of ISO 6336-5."""

    ML = "ML"
    MQ = "MQ"
    ME = "ME"


@dataclass(frozen=True, kw_only=True)
class Steel:
    """A case-carburised steel with its hardness targets.

    Parameters
    ----------
    grade : str
        A name of the table of steels.
    quality : Quality
        Material quality of ISO 6336-5.
    surface_hardness_HV : float or array
        Lowest specified hardness of the finished flank.
    core_hardness_HV : float or array
        Lowest specified core hardness at the tooth root.
    hardenability_HRC : float, array or None
        Lowest specified hardness at 12 mm from the quenched end; None where nothing is specified.
    """

    grade: str
    quality: Quality
    surface_hardness_HV: Number
    core_hardness_HV: Number
    hardenability_HRC: Number = None


@dataclass(frozen=True, kw_only=True)
class Lubricant:
    """The lubricant, as far as the rating needs it.

    Parameters
    ----------
    viscosity_40C_mm2_s : float or array
        Nominal kinematic viscosity at 40 °C, ν_40, in mm²/s.
    """

    viscosity_40C_mm2_s: Number
