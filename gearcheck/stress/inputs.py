"""What the rating needs to know beside the geometry, and the readings of the standard it follows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class StressEdition(StrEnum):
    """The edition of the rating."""

    ISO_6336_2019 = "ISO 6336:2019"
    ISO_6336_2006 = "ISO 6336:2006"


class ScuffingMethod(StrEnum):
    """By which temperature scuffing is judged."""

    FLASH = "flash temperature"
    INTEGRAL = "integral temperature"


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


class DynamicAccuracyNumber(StrEnum):
    """The least accuracy number in the dynamic factor, ANSI/AGMA 2101-D04."""

    NOT_BELOW_6 = "not below 6"
    AS_IS = "as is"


class PittingPoint(StrEnum):
    """Where Z_I of spur and low-contact-ratio helical gears takes its radii, AGMA 908-B89."""

    LOWEST_SINGLE_CONTACT = "lowest point of single contact"
    PITCH_POINT = "pitch point"


class HelicalRootFactor(StrEnum):
    """How the slope of the contact line enters the geometry factor J of helical gears, AGMA 908-B89."""

    HELIX = "cosine of the helix angle"
    CONTACT_LINE = "cosine of the angle of the contact line"


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
    dynamic_accuracy_number : DynamicAccuracyNumber
        A_v in the dynamic factor of ANSI/AGMA 2101-D04.
    pitting_point : PittingPoint
        Point of the radii in Z_I.
    helical_root_factor : HelicalRootFactor
        Slope of the contact line in Y_J of helical gears.
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
    dynamic_accuracy_number: DynamicAccuracyNumber = DynamicAccuracyNumber.NOT_BELOW_6
    pitting_point: PittingPoint = PittingPoint.LOWEST_SINGLE_CONTACT
    helical_root_factor: HelicalRootFactor = HelicalRootFactor.HELIX


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
    application_factor, mesh_load_factor : float or array
        K_A and K_γ.
    face_load_factor : float, array or None
        K_Hβ as given; None where it follows from the shaft.
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


@dataclass(frozen=True, kw_only=True)
class Blank:
    """The body behind the teeth of one gear; what is None is a solid disc.

    Parameters
    ----------
    bore_mm : float, array or None
        Bore of the disc, or inner diameter of the rim where a rim is given.
    rim_thickness_mm : float, array or None
        Rim thickness s_R below the tooth root.
    web_thickness_mm : float, array or None
        Web thickness b_s, where a rim is carried by a web.
    """

    bore_mm: Number = None
    rim_thickness_mm: Number = None
    web_thickness_mm: Number = None


@dataclass(frozen=True, kw_only=True)
class GrindingNotch:
    """The notch that a grinding wheel leaves in the fillet at the critical section.

    Parameters
    ----------
    depth_mm, radius_mm : float or array
        Largest depth t_g and radius ρ_g of the notch.
    """

    depth_mm: Number
    radius_mm: Number


class Bending(StrEnum):
    """How the root of a tooth is bent over its life."""

    ONE_WAY = "one way"
    IDLER = "both ways in each revolution"
    REVERSING = "reversing drive"


class ShaftLayout(StrEnum):
    """Where the pinion stands on its shaft, as far as the formula of the deflection tells them apart."""

    TOWARDS_TORQUE = "between bearings, offset towards the torqued end"
    AWAY_FROM_TORQUE = "between bearings, offset away from the torqued end"
    OVERHUNG = "overhung"


class LeadModification(StrEnum):
    """What is done to the lead of the flanks."""

    NONE = "none"
    CROWNING = "crowning"
    CROWNING_AGAINST_MANUFACTURE = "crowning against manufacture"
    END_RELIEF = "end relief"
    HELIX = "helix correction"
    HELIX_AND_CROWNING = "helix correction and crowning"


class ContactPattern(StrEnum):
    """Whether shaft deflection and manufacture are known to work against each other."""

    UNPROVEN = "not proven"
    FAVOURABLE = "favourable"


@dataclass(frozen=True, kw_only=True)
class Shaft:
    """The shaft of the pinion, its bearings, and how the flanks are made to bear along the face.

    Parameters
    ----------
    layout : ShaftLayout
        Place of the pinion between or beside its bearings.
    span_mm, offset_mm : float or array
        Bearing span l; distance s of the middle of the pinion from the middle of the span, or of an overhung
        pinion from the middle of the nearer bearing.
    diameter_mm : float or array
        Outer diameter d_sh of the shaft at the place of the largest bending.
    stiffened : bool
        Whether the pinion stiffens the shaft (one piece, or a tight fit and d_1/d_sh of 1.15 or more).
    lead_modification : LeadModification
        What is done to the lead.
    pattern : ContactPattern
        Whether the contact pattern is proven to be favourable.
    misalignment_um : float, array or None
        Misalignment of the mesh by manufacture f_ma; None where it follows from the helix tolerances.
    """

    layout: ShaftLayout
    span_mm: Number
    offset_mm: Number
    diameter_mm: Number
    stiffened: bool
    lead_modification: LeadModification = LeadModification.NONE
    pattern: ContactPattern = ContactPattern.UNPROVEN
    misalignment_um: Number = None
