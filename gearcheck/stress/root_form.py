"""Form of the tooth root of an external gear: form factor and stress correction of ISO 6336-3, method B."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.involute import arc_cosine, involute, root
from gearcheck.gear.notices import flagged
from gearcheck.stress.inputs import StressEdition
from gearcheck.stress.root_factors import load_distribution_factor
from gearcheck.stress.root_virtual import no_single_contact, notices_of_load, virtual_gear

STEPS = 8

METHOD = Method(
    key="iso6336_3.root_form",
    title="Form of the tooth root",
    source="ISO 6336-3",
    edition="2019",
    clause="clauses 6 and 7, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("notch_parameter", "q_s", 1, 8),
        Range("virtual_contact_ratio", "ε_αn", 1, 2.5),
    ),
    implements=(
        "external gears cut by a rack",
        "load at the outer point of single contact of the virtual spur gear, at that of double contact, at "
        "the tip, or at a given diameter, as in a pulsator",
        "protuberance: the undercut that is left below the finished flank",
        "f_ε of the 2019 edition",
    ),
    leaves_out=(
        "gears cut by a pinion cutter",
        "place of load of gears with ε_αn of 2 or more and less than a whole overlap: a stop, unless the "
        "outer point of double contact or the tip is chosen",
    ),
    departures=(
        "The finished basic rack stands for the hob; protuberance less stock is the undercut.",
        "f_ε stands inside Y_F.",
        "The outer point of double contact is ours, for ε_αn of 2 or more; below 2 it is the tip.",
    ),
)

METHOD_2006 = replace(
    METHOD,
    key="iso6336_3_2006.root_form",
    edition="2006",
    implements=tuple(text for text in METHOD.implements if "f_ε" not in text),
    departures=tuple(text for text in METHOD.departures if "f_ε" not in text),
)


class LoadPoint(StrEnum):
    """Where on the flank the load acts."""

    TIP = "tip"
    OUTER_SINGLE_CONTACT = "outer point of single contact"
    OUTER_DOUBLE_CONTACT = "outer point of double contact"
    GIVEN_DIAMETER = "given diameter"


@dataclass(frozen=True, kw_only=True)
class RootForm(Result):
    """The critical section at the 30° tangent, with form factor and stress correction."""

    method: ClassVar[Method] = METHOD
    teeth: Number = term("Teeth", "z")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle", "β", "°")
    profile_shift: Number = term("Profile shift coefficient", "x")
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm")
    dedendum_mm: Number = term("Dedendum of the basic rack", "h_fP", "mm")
    rack_radius_mm: Number = term("Root radius of the basic rack", "ρ_fP", "mm")
    residual_undercut_mm: Number = term("Undercut left by the protuberance", "s_pr", "mm")
    virtual_contact_ratio: Number = term("Contact ratio of the virtual spur gears", "ε_αn")
    overlap_ratio: Number = term("Overlap ratio", "ε_β")
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))")
    virtual_teeth: Number = term("Virtual teeth", "z_n", "", "z/(cos(β_b)^2·cos(β))")
    virtual_reference_diameter_mm: Number = term("Virtual reference diameter", "d_n", "mm", "m_n·z_n")
    virtual_base_diameter_mm: Number = term("Virtual base diameter", "d_bn", "mm", "d_n·cos(α_n)")
    virtual_tip_diameter_mm: Number = term("Virtual tip diameter", "d_an", "mm", "d_n + d_a - z·m_n/cos(β)")
    load_diameter_mm: Number = term(
        "Virtual diameter at the point of load",
        "d_en",
        "mm",
        words="2·√((√(d_an²/4 - d_bn²/4) - π·m_n·cos(α_n)·(ε_αn - 1))² + d_bn²/4); ε_αn - 2, not below 0, "
        "for double contact; d_an for load at the tip; d_an less what a given diameter lies below the tip",
    )
    load_pressure_angle_deg: Number = term(
        "Pressure angle at the point of load", "α_en", "°", "acos(d_bn/d_en)"
    )
    load_half_angle_deg: Number = term(
        "Half angle of the tooth at the point of load",
        "γ_e",
        "°",
        "(π/2 + 2·x·tan(α_n))/z_n + inv(α_n) - inv(α_en)",
    )
    load_angle_deg: Number = term("Load direction angle", "α_Fen", "°", "α_en - γ_e")
    rack_offset_mm: Number = term(
        "Distance of the rack radius centre from the tooth centre line",
        "E",
        "mm",
        "π/4·m_n - h_fP·tan(α_n) + s_pr/cos(α_n) - (1 - sin(α_n))·ρ_fP/cos(α_n)",
    )
    rack_depth: Number = term("Auxiliary value", "G", "", "ρ_fP/m_n - h_fP/m_n + x")
    rack_angle: Number = term("Auxiliary value", "H", "", "2/z_n·(π/2 - E/m_n) - π/3")
    tangent_angle_deg: Number = term(
        "Rolling angle of the critical point, solved", "θ", "°", "2·G/z_n·tan(θ) - H"
    )
    root_chord_mm: Number = term(
        "Root chord at the critical section",
        "s_Fn",
        "mm",
        "m_n·(z_n·sin(π/3 - θ) + √(3)·(G/cos(θ) - ρ_fP/m_n))",
    )
    root_radius_mm: Number = term(
        "Radius of the fillet at the critical section",
        "ρ_F",
        "mm",
        "ρ_fP + m_n·2·G^2/(cos(θ)·(z_n·cos(θ)^2 - 2·G))",
    )
    bending_arm_mm: Number = term(
        "Bending arm",
        "h_Fe",
        "mm",
        "m_n/2·((cos(γ_e) - sin(γ_e)·tan(α_Fen))·d_en/m_n - z_n·cos(π/3 - θ) - (G/cos(θ) - ρ_fP/m_n))",
    )
    slenderness: Number = term("Root chord over bending arm", "L", "", "s_Fn/h_Fe")
    notch_parameter: Number = term("Notch parameter", "q_s", "", "s_Fn/(2·ρ_F)")
    load_distribution_factor: Number = term(
        "Load distribution factor",
        "f_ε",
        words="spur: 1, from ε_αn = 2 on 0.7; ε_β below 1: √(1 - ε_β + ε_β/ε_αn), "
        "from ε_αn = 2 on √((1 - ε_β)/2 + ε_β/ε_αn); ε_β from 1: 1/√ε_αn",
    )
    form_factor: Number = term("Form factor", "Y_F", "", "6·h_Fe/m_n·cos(α_Fen)/((s_Fn/m_n)^2·cos(α_n))·f_ε")
    stress_correction_factor: Number = term(
        "Stress correction factor", "Y_S", "", "(1.2 + 0.13·L)·q_s^(1/(1.21 + 2.3/L))"
    )


@dataclass(frozen=True, kw_only=True)
class RootForm2006(RootForm):
    """The same by the 2006 edition, which has no load distribution factor."""

    method: ClassVar[Method] = METHOD_2006
    load_distribution_factor: Number = term(
        "Load distribution factor", "f_ε", words="1: not in the 2006 edition"
    )


def root_form(
    *,
    teeth: Number,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    profile_shift: Number,
    tip_diameter_mm: Number,
    rack_dedendum: Number,
    rack_root_radius: Number,
    residual_undercut_mm: Number,
    virtual_contact_ratio: Number,
    overlap_ratio: Number,
    load_point: LoadPoint,
    edition: StressEdition = StressEdition.ISO_6336_2019,
    load_diameter_mm: Number = None,
) -> RootForm:
    """Return form factor and stress correction of the root of an external gear.

    Y_F = 6 h_Fe/m_n cos α_Fen / ((s_Fn/m_n)² cos α_n) · f_ε; Y_S = (1.2 + 0.13 L) q_s^(1/(1.21 + 2.3/L))

    Parameters
    ----------
    teeth, normal_module_mm, pressure_angle_deg, helix_angle_deg, profile_shift : float or array
        z, m_n in mm, α_n and β in degrees, x.
    tip_diameter_mm : float or array
        d_a in mm.
    rack_dedendum, rack_root_radius : float or array
        h_fP and ρ_fP in modules.
    residual_undercut_mm : float or array
        s_pr in mm, normal to the flank; 0 without protuberance.
    virtual_contact_ratio, overlap_ratio : float or array
        ε_αn and ε_β.
    load_point : LoadPoint
        Outer point of single or of double contact, tip, or a given diameter.
    edition : StressEdition
        Edition of ISO 6336-3: f_ε is of 2019.
    load_diameter_mm : float, array or None
        The diameter of the gear at which the load acts, where it is given.

    Returns
    -------
    RootForm
        Y_F, Y_S with the critical section; a caution where q_s leaves 1 to 8, a stop without a section.

    Notes
    -----
    Source: ISO 6336-3:2019, clauses 6 and 7, from memory.
    Valid for: external gears cut by a rack, 1 <= q_s < 8.
    Departures: f_ε stands inside Y_F.
    Checked: ISO3-01, ISO3-02.

    Examples
    --------
    >>> form = root_form(
    ...     teeth=20, normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, profile_shift=0,
    ...     tip_diameter_mm=22, rack_dedendum=1.25, rack_root_radius=0.38, residual_undercut_mm=0,
    ...     virtual_contact_ratio=1.6, overlap_ratio=0, load_point=LoadPoint.TIP)
    >>> round(form.form_factor, 3), round(form.stress_correction_factor, 3)
    (2.8, 1.553)
    """
    values: dict[str, Any] = {
        "teeth": array(teeth),
        "normal_module_mm": array(normal_module_mm),
        "pressure_angle_deg": array(pressure_angle_deg),
        "helix_angle_deg": array(helix_angle_deg),
        "profile_shift": array(profile_shift),
        "tip_diameter_mm": array(tip_diameter_mm),
        "dedendum_mm": array(rack_dedendum) * array(normal_module_mm),
        "rack_radius_mm": array(rack_root_radius) * array(normal_module_mm),
        "residual_undercut_mm": array(residual_undercut_mm),
        "virtual_contact_ratio": array(virtual_contact_ratio),
        "overlap_ratio": array(overlap_ratio),
    }
    values |= virtual_gear(values)
    values |= _load(values, load_point, load_diameter_mm)
    values |= _rolling(values)
    values |= _section(values)
    values |= factors_of_section(values, edition)
    kind = RootForm if edition is StressEdition.ISO_6336_2019 else RootForm2006
    return kind(**values, notices=_notices(values, load_point, kind.method))


def _load(values: dict[str, Any], load_point: LoadPoint, given: Number) -> dict[str, Any]:
    alpha, base = np.radians(values["pressure_angle_deg"]), values["virtual_base_diameter_mm"]
    diameter = values["virtual_tip_diameter_mm"]
    if load_point is LoadPoint.GIVEN_DIAMETER:
        diameter = diameter - (values["tip_diameter_mm"] - array(given))
    elif load_point is not LoadPoint.TIP:
        pitches = base_pitches_from_tip(values, load_point)
        back = np.pi * values["normal_module_mm"] * np.cos(alpha) * pitches
        length = root(diameter**2 - base**2) / 2 - back
        diameter = np.sqrt(4 * np.where(length > 0, length, np.nan) ** 2 + base**2)
    angle = arc_cosine(base / diameter)
    thickness = (np.pi / 2 + 2 * values["profile_shift"] * np.tan(alpha)) / values["virtual_teeth"]
    half = thickness + involute(alpha) - involute(angle)
    return {
        "load_diameter_mm": diameter,
        "load_pressure_angle_deg": np.degrees(angle),
        "load_half_angle_deg": np.degrees(half),
        "load_angle_deg": np.degrees(angle - half),
    }


def base_pitches_from_tip(values: dict[str, Any], load_point: LoadPoint) -> Array:
    """Return how far from the tip the load acts along the path of contact.

    Parameters
    ----------
    values : dict
        What was given and worked out so far, by the fields of the result.
    load_point : LoadPoint
        One of the outer points.

    Returns
    -------
    array
        In base pitches; NaN without single contact.
    """
    ratio = array(values["virtual_contact_ratio"])
    if load_point is LoadPoint.OUTER_DOUBLE_CONTACT:
        return np.maximum(ratio - 2, 0.0)
    return np.where(no_single_contact(values), np.nan, ratio) - 1


def _rolling(values: dict[str, Any]) -> dict[str, Any]:
    """The place of the rack at which it cuts the point of the fillet with the 30° tangent."""
    alpha, module = np.radians(values["pressure_angle_deg"]), values["normal_module_mm"]
    dedendum, radius = values["dedendum_mm"], values["rack_radius_mm"]
    round_share = (values["residual_undercut_mm"] - (1 - np.sin(alpha)) * radius) / np.cos(alpha)
    offset = np.pi / 4 * module - dedendum * np.tan(alpha) + round_share
    depth = radius / module - dedendum / module + values["profile_shift"]
    rack_angle = 2 / values["virtual_teeth"] * (np.pi / 2 - offset / module) - np.pi / 3
    slope = 2 * depth / values["virtual_teeth"]
    angle = np.full(np.broadcast_shapes(slope.shape, rack_angle.shape), np.pi / 6)
    for _ in range(STEPS):
        tangent = np.tan(angle)
        angle = angle - (angle - slope * tangent + rack_angle) / (1 - slope * (1 + tangent**2))
    return {
        "rack_offset_mm": offset,
        "rack_depth": depth,
        "rack_angle": rack_angle,
        "tangent_angle_deg": np.degrees(angle),
    }


def _section(values: dict[str, Any]) -> dict[str, Any]:
    module, teeth, depth = values["normal_module_mm"], values["virtual_teeth"], values["rack_depth"]
    theta, gamma = np.radians(values["tangent_angle_deg"]), np.radians(values["load_half_angle_deg"])
    radius = values["rack_radius_mm"] / module
    centre = depth / np.cos(theta) - radius
    chord = module * (teeth * np.sin(np.pi / 3 - theta) + np.sqrt(3) * centre)
    fillet = radius + 2 * depth**2 / (np.cos(theta) * (teeth * np.cos(theta) ** 2 - 2 * depth))
    tilt = np.cos(gamma) - np.sin(gamma) * np.tan(np.radians(values["load_angle_deg"]))
    arm = tilt * values["load_diameter_mm"] / module - teeth * np.cos(np.pi / 3 - theta) - centre
    sound = (chord > 0) & (fillet > 0) & (arm > 0)
    return {
        "root_chord_mm": np.where(sound, chord, np.nan),
        "root_radius_mm": np.where(sound, fillet * module, np.nan),
        "bending_arm_mm": np.where(sound, arm * module / 2, np.nan),
    }


def factors_of_section(values: dict[str, Any], edition: StressEdition) -> dict[str, Any]:
    """Return form factor and stress correction of a critical section, external or on a replacement rack.

    Parameters
    ----------
    values : dict
        What was given and worked out so far, by the fields of the result.
    edition : StressEdition
        Edition of ISO 6336-3.

    Returns
    -------
    dict
        By the fields of the result.
    """
    module, alpha = values["normal_module_mm"], np.radians(values["pressure_angle_deg"])
    chord, arm = values["root_chord_mm"], values["bending_arm_mm"]
    slenderness, notch = chord / arm, chord / (2 * values["root_radius_mm"])
    sharing = np.ones(())
    if edition is StressEdition.ISO_6336_2019:
        sharing = load_distribution_factor(
            virtual_contact_ratio=values["virtual_contact_ratio"], overlap_ratio=values["overlap_ratio"]
        )
    bending = 6 * arm / module * np.cos(np.radians(values["load_angle_deg"]))
    return {
        "slenderness": slenderness,
        "notch_parameter": notch,
        "load_distribution_factor": sharing,
        "form_factor": bending / ((chord / module) ** 2 * np.cos(alpha)) * sharing,
        "stress_correction_factor": (1.2 + 0.13 * slenderness) * notch ** (1 / (1.21 + 2.3 / slenderness)),
    }


def _notices(values: dict[str, Any], load_point: LoadPoint, method: Method) -> tuple[Notice, ...]:
    found = method.outside(
        notch_parameter=values["notch_parameter"], virtual_contact_ratio=values["virtual_contact_ratio"]
    )
    if load_point is LoadPoint.OUTER_SINGLE_CONTACT:
        found += notices_of_load(values)
    load, tip = np.isnan(values["load_diameter_mm"]), np.isnan(values["virtual_tip_diameter_mm"])
    ratio = values["virtual_contact_ratio"]
    below = load & ~tip & ~np.isnan(ratio)
    if load_point is LoadPoint.OUTER_SINGLE_CONTACT:
        below = below & ~no_single_contact(values)
    found += tuple(
        flagged(
            np.asarray(below),
            Level.STOP,
            "iso6336_3.load_below_base",
            "With ε_αn = {ratio:.4g} the point of load would lie below the base circle.",
            ratio=ratio,
        )
    )
    given = ~load & ~np.isnan(values["profile_shift"])
    return found + tuple(
        flagged(
            given & np.isnan(values["form_factor"]),
            Level.STOP,
            "iso6336_3.no_section",
            "The rack leaves no root section with a 30° tangent at x = {shift:.4g}.",
            shift=values["profile_shift"],
        )
    )
