"""What the rating needs to know beside the geometry, and the readings of the standard it follows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class StressEdition(StrEnum):
    """The edition of the rating."""

    ISO_6336_2019 = "ISO 6336:2019"


class Member(StrEnum):
    """Which gear of a pair; the pinion has the fewer teeth."""

    PINION = "pinion"
    WHEEL = "wheel"


class LifeAt1e10(StrEnum):
    """Life factor at 1e10 load cycles, ISO 6336-2 and -3."""

    LOWER = "0.85"
    OPTIMUM = "1.0"


class LimitedLife(StrEnum):
    """How the permissible stress is found between static and reference strength."""

    INTERPOLATED = "interpolated permissible stress"
    FACTORS = "life factor times reference factors"


class TipReliefInKv(StrEnum):
    """Whether B_k counts the tip relief in every class or only up to class 5, ISO 6336-1."""

    TO_CLASS_5 = "up to class 5"
    ALWAYS = "every class"


class LightLoadStiffness(StrEnum):
    """How the stiffness falls with the line load below 100 N/mm, ISO 6336-1."""

    FOURTH_ROOT = "fourth root"
    LINEAR = "linear"


class RootFaceWidth(StrEnum):
    """The face width in the root stress, ISO 6336-3."""

    COMMON_PLUS_TWO_MODULES = "at most common width plus two modules"
    COMMON = "common width"
    OWN = "full own width"


class SupercriticalKv(StrEnum):
    """Whether K_V above the main resonance may fall below 1, ISO 6336-1."""

    NOT_BELOW_1 = "not below 1"
    AS_COMPUTED = "as computed"


class DeviationInKHalpha(StrEnum):
    """The deviation in K_Hα, ISO 6336-1."""

    BASE_PITCH = "base pitch"
    LARGER_OF_BOTH = "larger of base pitch and profile form"


class ReliefFactor(StrEnum):
    """How the tip relief factor f_ZCa enters Z_B and Z_D of helical gears, ISO 6336-2:2019."""

    SQUARE_ROOT = "square root"
    FULL = "full"
    NONE = "1"


class HelixFactor(StrEnum):
    """The helix factor Z_β of the contact stress: 1/√(cos β) since 2008, √(cos β) before, ISO 6336-2."""

    RECIPROCAL_ROOT = "reciprocal root of the cosine"
    ROOT = "root of the cosine"


@dataclass(frozen=True, kw_only=True)
class Readings:
    """The reading followed at each clause that can be read two ways; each first value is the primary one.

    Parameters
    ----------
    life_at_1e10 : LifeAt1e10
        Life factor at 1e10 load cycles.
    limited_life : LimitedLife
        Permissible stress between static and reference strength.
    tip_relief_in_kv : TipReliefInKv
        Tip relief in B_k.
    light_load_stiffness : LightLoadStiffness
        Stiffness below 100 N/mm.
    root_face_width : RootFaceWidth
        Face width in the root stress.
    supercritical_kv : SupercriticalKv
        K_V above the main resonance.
    deviation_in_khalpha : DeviationInKHalpha
        Deviation in K_Hα and K_Fα.
    relief_factor : ReliefFactor
        Tip relief factor in Z_B and Z_D.
    helix_factor : HelixFactor
        Helix factor of the contact stress.
    """

    life_at_1e10: LifeAt1e10 = LifeAt1e10.LOWER
    limited_life: LimitedLife = LimitedLife.INTERPOLATED
    tip_relief_in_kv: TipReliefInKv = TipReliefInKv.TO_CLASS_5
    light_load_stiffness: LightLoadStiffness = LightLoadStiffness.FOURTH_ROOT
    root_face_width: RootFaceWidth = RootFaceWidth.COMMON_PLUS_TWO_MODULES
    supercritical_kv: SupercriticalKv = SupercriticalKv.NOT_BELOW_1
    deviation_in_khalpha: DeviationInKHalpha = DeviationInKHalpha.BASE_PITCH
    relief_factor: ReliefFactor = ReliefFactor.SQUARE_ROOT
    helix_factor: HelixFactor = HelixFactor.RECIPROCAL_ROOT


PRIMARY = Readings()
"""Every clause by its primary reading."""


@dataclass(frozen=True, kw_only=True)
class Load:
    """The load of one mesh, taken at the pinion.

    Parameters
    ----------
    torque_Nm : float or array
        Nominal torque on the pinion in this mesh.
    speed_rpm : float or array
        Pinion speed.
    application_factor, mesh_load_factor, face_load_factor : float or array
        K_A, K_γ and K_Hβ, given.
    """

    torque_Nm: Number
    speed_rpm: Number
    application_factor: Number
    mesh_load_factor: Number
    face_load_factor: Number


@dataclass(frozen=True, kw_only=True)
class Finish:
    """The surfaces of one gear.

    Parameters
    ----------
    flank_roughness_um, root_roughness_um : float or array
        Mean peak-to-valley roughness Rz of the finished flank and of the root.
    """

    flank_roughness_um: Number
    root_roughness_um: Number
