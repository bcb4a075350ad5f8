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


class Treatment(StrEnum):
    """How the teeth are hardened."""

    CASE_CARBURISED = "case-carburised"
    INDUCTION_HARDENED = "induction-hardened"
    THROUGH_HARDENED = "through-hardened"
    GAS_NITRIDED = "gas-nitrided"
    NITROCARBURISED = "nitrocarburised"

    @property
    def hard_surface(self) -> bool:
        """Whether the surface is hardened and not only the whole tooth."""
        return self is not Treatment.THROUGH_HARDENED


@dataclass(frozen=True, kw_only=True)
class Steel:
    """A gear steel, case-carburised where nothing else is said, with its hardness targets.

    Parameters
    ----------
    grade : str
        A name of the table of carburising steels; for another treatment of the table of heat-treatable and
        nitriding steels.
    quality : Quality
        Material quality of ISO 6336-5.
    surface_hardness_HV : float or array
        Lowest specified hardness of the finished flank.
    core_hardness_HV : float, array or None
        Lowest specified core hardness at the tooth root; of a through-hardened steel its hardness at the
        root, None where it is that of the flank.
    hardenability_HRC : float, array or None
        Lowest specified hardness at 12 mm from the quenched end; None where nothing is specified.
    treatment : Treatment
        How the teeth are hardened.
    """

    grade: str
    quality: Quality
    surface_hardness_HV: Number
    core_hardness_HV: Number
    hardenability_HRC: Number = None
    treatment: Treatment = Treatment.CASE_CARBURISED


class LubricantKind(StrEnum):
    """What the base oil is."""

    MINERAL = "mineral oil"
    PAO = "polyalphaolefin"
    PAG = "polyglycol"


class OilSupply(StrEnum):
    """How the oil comes to the mesh."""

    DIP = "dip"
    SPRAY = "spray"
    SUBMERGED = "submerged"


@dataclass(frozen=True, kw_only=True)
class Lubricant:
    """The lubricant; pitting asks for the first value alone, scuffing and micropitting for all.

    Parameters
    ----------
    viscosity_40C_mm2_s : float or array
        Nominal kinematic viscosity at 40 °C, ν_40, in mm²/s.
    viscosity_100C_mm2_s : float, array or None
        Kinematic viscosity at 100 °C, ν_100, in mm²/s.
    density_15C_kg_m3 : float, array or None
        Density at 15 °C, ρ_15, in kg/m³.
    oil_temperature_C : float, array or None
        Temperature of the oil as it comes to the mesh, θ_oil, in °C.
    fzg_stage : float, array or None
        Load stage of the scuffing test A/8,3/90 at which the oil failed.
    kind : LubricantKind or None
        What the base oil is.
    supply : OilSupply or None
        How the oil comes to the mesh.
    """

    viscosity_40C_mm2_s: Number
    viscosity_100C_mm2_s: Number = None
    density_15C_kg_m3: Number = None
    oil_temperature_C: Number = None
    fzg_stage: Number = None
    kind: LubricantKind | None = None
    supply: OilSupply | None = None
