"""What the rating by ANSI/AGMA 2101 needs to know beside the geometry."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number
from gearcheck.stress.inputs import Bending


class AgmaHardening(StrEnum):
    """How the teeth are hardened."""

    CARBURISED = "carburised and hardened"
    THROUGH_HARDENED = "through-hardened"


class AgmaGrade(StrEnum):
    """Metallurgical grade of ANSI/AGMA 2101; grade 3 is of carburised gears only."""

    GRADE_1 = "grade 1"
    GRADE_2 = "grade 2"
    GRADE_3 = "grade 3"


class AgmaService(StrEnum):
    """Which line the stress cycle factors follow beyond the knee."""

    GENERAL = "general"
    CRITICAL = "critical"


class ReliabilityFit(StrEnum):
    """Whether Y_Z is read from its table or worked out by the formula fitted to it; they differ at 0.90."""

    TABLE = "table"
    FORMULA = "formula"


class Enclosure(StrEnum):
    """How exactly the axes of the mesh are held, for the misalignment in K_H."""

    OPEN = "open gearing"
    COMMERCIAL = "commercial enclosed gear units"
    PRECISION = "precision enclosed gear units"
    EXTRA_PRECISION = "extra precision enclosed gear units"


@dataclass(frozen=True, kw_only=True)
class AgmaMember:
    """One gear of the pair, as ANSI/AGMA 2101 sees it.

    Parameters
    ----------
    hardening : AgmaHardening
        How the teeth are hardened.
    grade : AgmaGrade
        Metallurgical grade.
    load_cycles : float or array
        Stress cycles n_L of this gear.
    tooth_thinning : float or array
        Thinning of the tooth at the reference circle in the normal section, in modules; 0 for nominal teeth,
        0.024 in the tables of AGMA 908.
    hardness_HB : float, array or None
        Brinell hardness of a through-hardened gear; None for a carburised one.
    surface_hardness_HRC : float, array or None
        Surface hardness of a carburised gear; None for a through-hardened one.
    rim_thickness_mm : float, array or None
        Rim thickness below the tooth root; None for a solid body.
    size_factor : float or array
        K_s as given; 1 for most gears.
    flank_roughness_Ra_um : float, array or None
        Ra of the flank; needed of a carburised pinion that runs with a through-hardened wheel.
    bending : Bending
        How the root is bent over its life; both ways takes 70 % of σ_FP.
    modulus_MPa, poisson : float or array
        Modulus of elasticity and Poisson's ratio.
    """

    hardening: AgmaHardening
    grade: AgmaGrade
    load_cycles: Number
    tooth_thinning: Number
    hardness_HB: Number = None
    surface_hardness_HRC: Number = None
    rim_thickness_mm: Number = None
    size_factor: Number = 1.0
    flank_roughness_Ra_um: Number = None
    bending: Bending = Bending.ONE_WAY
    modulus_MPa: Number = 206000.0
    poisson: Number = 0.3
