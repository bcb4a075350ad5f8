"""What the geometry needs to know of one gear."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class Hand(StrEnum):
    """Hand of the helix: of a right-hand gear that stands upright the teeth in front rise to the right."""

    RIGHT = "right"
    LEFT = "left"


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


class ReliefForm(StrEnum):
    """How a relief grows from its start: in a straight line, or as a parabola."""

    LINEAR = "linear"
    PARABOLIC = "parabolic"


class MeasuringBody(StrEnum):
    """What is laid in the tooth spaces."""

    BALLS = "balls"
    PINS = "pins"


class SizeMeasure(StrEnum):
    """By what the size of a tooth is measured."""

    SPAN = "span"
    BALLS = "balls"
    PINS = "pins"


@dataclass(frozen=True, kw_only=True)
class SizeSpecification:
    """The tooth thickness that a drawing allows, and by what it is measured.

    Parameters
    ----------
    allowance_min_mm, allowance_max_mm : float or array
        Lower and upper allowance of the normal thickness on the reference circle against that of the profile
        shift; negative for a thinner tooth.
    measure : SizeMeasure
        Span, balls or pins.
    span_teeth : int or None
        k, with a span.
    body_diameter_mm : float, array or None
        D_M, with balls or pins.
    """

    allowance_min_mm: Number
    allowance_max_mm: Number
    measure: SizeMeasure
    span_teeth: Number = None
    body_diameter_mm: Number = None


@dataclass(frozen=True, kw_only=True)
class BacklashConditions:
    """What the backlash of a mesh rests on besides both tooth thicknesses.

    Parameters
    ----------
    distance_min_mm, distance_max_mm : float or array
        Lower and upper allowance of the centre distance.
    gear_cold_C, gear_warm_C, mate_cold_C, mate_warm_C, housing_cold_C, housing_warm_C : float or array
        Temperatures of gear, mate and housing when cold and when warm.
    housing_expansion_um_m_K : float or array
        Linear thermal expansion of the housing in µm/(m·K).
    runout_share : float or array
        Share of the runouts of both gears that counts: 1 where their high teeth meet, 0 where the measured
        size already holds it.
    """

    distance_min_mm: Number
    distance_max_mm: Number
    gear_cold_C: Number
    gear_warm_C: Number
    mate_cold_C: Number
    mate_warm_C: Number
    housing_cold_C: Number
    housing_warm_C: Number
    housing_expansion_um_m_K: Number
    runout_share: Number
