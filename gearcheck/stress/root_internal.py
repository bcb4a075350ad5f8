"""Form of the tooth root of an internal gear: form factor and stress correction by its replacement rack."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import term
from gearcheck.gear.involute import arc_cosine, root
from gearcheck.gear.notices import flagged
from gearcheck.stress import root_form as external
from gearcheck.stress.inputs import StressEdition
from gearcheck.stress.root_form import LoadPoint, RootForm
from gearcheck.stress.root_virtual import notices_of_load, virtual_gear

METHOD = replace(
    external.METHOD,
    key="iso6336_3.internal_root_form",
    title="Form of the tooth root of an internal gear",
    implements=(
        "internal gears by their replacement rack, critical section at the 60° tangent",
        "load at the outer point of single contact of the virtual spur gear, at that of double contact, or "
        "at the tip",
        "f_ε of the 2019 edition",
    ),
    leaves_out=(
        "fillet as the pinion cutter leaves it: the root radius is taken as given",
        "place of load of gears with ε_αn of 2 or more and less than a whole overlap: a stop, unless the "
        "outer point of double contact or the tip is chosen",
    ),
    departures=(
        "Teeth and diameters are positive numbers here, where the standard has negative ones.",
        "The depth of the rack counts from the line on which its tooth is half a pitch thick, so that the "
        "profile shift changes the root chord as it does the tooth; from memory the standard has "
        "(d_n - d_fn)/2, which is the same without shift.",
        "f_ε stands inside Y_F.",
    ),
)

METHOD_2006 = replace(
    METHOD,
    key="iso6336_3_2006.internal_root_form",
    edition="2006",
    implements=tuple(text for text in METHOD.implements if "f_ε" not in text),
    departures=tuple(text for text in METHOD.departures if "f_ε" not in text),
)

_RACK = "none: the rack is straight"


@dataclass(frozen=True, kw_only=True)
class InternalRootForm(RootForm):
    """The critical section of the replacement rack at the 60° tangent, with Y_F and Y_S."""

    method: ClassVar[Method] = METHOD
    rack_radius_mm: Number = term("Root radius", "ρ_fP", "mm")
    load_diameter_mm: Number = term(
        "Virtual diameter at the point of load",
        "d_en",
        "mm",
        words="2·√((√(d_an²/4 - d_bn²/4) + π·m_n·cos(α_n)·(ε_αn - 1))² + d_bn²/4); ε_αn - 2, not below 0, "
        "for double contact; d_an for load at the tip",
    )
    load_half_angle_deg: Number = term(
        "Half angle of the tooth at the point of load", "γ_e", "°", words=_RACK
    )
    load_angle_deg: Number = term("Load direction angle", "α_Fen", "°", "α_n")
    rack_offset_mm: Number = term(
        "Distance of the rack radius centre from the tooth centre line", "E", "mm", words=_RACK
    )
    rack_depth: Number = term(
        "Depth of the root below the point of load, in modules",
        "G",
        "",
        "(d_n + 2·(h_fP - x·m_n) - d_en)/(2·m_n)",
    )
    rack_angle: Number = term(
        "Half the thickness of the rack's tooth at the point of load, in modules",
        "H",
        "",
        "π/4 + (h_fP/m_n - G)·tan(α_n)",
    )
    tangent_angle_deg: Number = term("Angle of the tangent", "θ", "°", words="60°")
    root_chord_mm: Number = term(
        "Root chord at the critical section",
        "s_Fn",
        "mm",
        "2·m_n·(π/4 + (h_fP - ρ_fP)/m_n·tan(α_n) + (ρ_fP - s_pr)/(m_n·cos(α_n)) - ρ_fP/m_n·cos(π/6))",
    )
    root_radius_mm: Number = term("Radius of the fillet at the critical section", "ρ_F", "mm", "ρ_fP")
    bending_arm_mm: Number = term("Bending arm", "h_Fe", "mm", "m_n·(G - H·tan(α_n)) - ρ_fP·(1 - sin(π/6))")


@dataclass(frozen=True, kw_only=True)
class InternalRootForm2006(InternalRootForm):
    """The same by the 2006 edition, without f_ε."""

    method: ClassVar[Method] = METHOD_2006
    load_distribution_factor: Number = term(
        "Load distribution factor", "f_ε", words="1: not in the 2006 edition"
    )
    form_factor: Number = term("Form factor", "Y_F", "", "6·h_Fe/m_n/(s_Fn/m_n)^2")


def internal_root_form(
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
) -> RootForm:
    """Return form factor and stress correction of the root of an internal gear.

    Y_F = 6 h_Fe/m_n / (s_Fn/m_n)² · f_ε; Y_S = (1.2 + 0.13 L) q_s^(1/(1.21 + 2.3/L)), on the rack that makes
    the counterpart of the internal gear

    Parameters
    ----------
    teeth, normal_module_mm, pressure_angle_deg, helix_angle_deg, profile_shift : float or array
        z, m_n in mm, α_n and β in degrees, x with the sign of ISO 21771; z positive.
    tip_diameter_mm : float or array
        d_a in mm, positive.
    rack_dedendum, rack_root_radius : float or array
        h_fP and the radius of the root fillet, in modules.
    residual_undercut_mm : float or array
        s_pr in mm, normal to the flank; 0 without protuberance.
    virtual_contact_ratio, overlap_ratio : float or array
        ε_αn and ε_β.
    load_point : LoadPoint
        Outer point of single contact, that of double contact, or tip.
    edition : StressEdition
        Edition of ISO 6336-3; that of 2006 has no f_ε.

    Returns
    -------
    InternalRootForm
        Y_F, Y_S with the critical section; a caution where q_s leaves 1 to 8, a stop without a section.

    Notes
    -----
    Source: ISO 6336-3:2019 and :2006, clauses 6 and 7, internal gears, from memory.
    Valid for: internal gears, 1 <= q_s < 8.
    Departures: the depth of the rack with a profile shift; f_ε stands inside Y_F.
    Checked: ISO3-INTERNAL.

    Examples
    --------
    >>> form = internal_root_form(
    ...     teeth=80, normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, profile_shift=0,
    ...     tip_diameter_mm=78, rack_dedendum=1.25, rack_root_radius=0.15, residual_undercut_mm=0,
    ...     virtual_contact_ratio=1.6, overlap_ratio=0, load_point=LoadPoint.TIP)
    >>> round(form.form_factor, 3), round(form.stress_correction_factor, 2)
    (2.053, 2.65)
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
    values |= _load(values, load_point)
    values |= _section(values)
    values |= external.factors_of_section(values, edition)
    kind = InternalRootForm if edition is StressEdition.ISO_6336_2019 else InternalRootForm2006
    return kind(**values, notices=_notices(values, load_point, kind.method))


def _load(values: dict[str, Any], load_point: LoadPoint) -> dict[str, Any]:
    """From the tip inwards the radius of curvature of the concave flank grows."""
    alpha, base = np.radians(values["pressure_angle_deg"]), values["virtual_base_diameter_mm"]
    module, diameter = values["normal_module_mm"], values["virtual_tip_diameter_mm"]
    if load_point is not LoadPoint.TIP:
        pitches = external.base_pitches_from_tip(values, load_point)
        length = root(diameter**2 - base**2) / 2 + np.pi * module * np.cos(alpha) * pitches
        diameter = np.sqrt(4 * length**2 + base**2)
    bottom = values["virtual_reference_diameter_mm"] + 2 * (
        values["dedendum_mm"] - values["profile_shift"] * module
    )
    depth = (bottom - diameter) / (2 * module)
    return {
        "load_diameter_mm": diameter,
        "load_pressure_angle_deg": np.degrees(arc_cosine(base / diameter)),
        "load_half_angle_deg": np.full_like(depth, np.nan),
        "load_angle_deg": values["pressure_angle_deg"],
        "rack_offset_mm": np.full_like(depth, np.nan),
        "rack_depth": depth,
        "rack_angle": np.pi / 4 + (values["dedendum_mm"] / module - depth) * np.tan(alpha),
        "tangent_angle_deg": np.full_like(depth, 60.0),
    }


def _section(values: dict[str, Any]) -> dict[str, Any]:
    alpha, module = np.radians(values["pressure_angle_deg"]), values["normal_module_mm"]
    radius = values["rack_radius_mm"]
    flank = (values["dedendum_mm"] - radius) * np.tan(alpha)
    corner = (radius - values["residual_undercut_mm"]) / np.cos(alpha) - radius * np.cos(np.pi / 6)
    chord = 2 * (np.pi / 4 * module + flank + corner)
    arm = module * (values["rack_depth"] - values["rack_angle"] * np.tan(alpha)) - radius / 2
    sound = (chord > 0) & (arm > 0) & (radius > 0)
    return {
        "root_chord_mm": np.where(sound, chord, np.nan),
        "root_radius_mm": np.where(sound, radius, np.nan),
        "bending_arm_mm": np.where(sound, arm, np.nan),
    }


def _notices(values: dict[str, Any], load_point: LoadPoint, method: Method) -> tuple[Notice, ...]:
    found = method.outside(
        notch_parameter=values["notch_parameter"], virtual_contact_ratio=values["virtual_contact_ratio"]
    )
    if load_point is LoadPoint.OUTER_SINGLE_CONTACT:
        found += notices_of_load(values)
    given = ~np.isnan(values["load_diameter_mm"])
    return found + tuple(
        flagged(
            np.asarray(given & np.isnan(values["form_factor"])),
            Level.STOP,
            "iso6336_3.no_section",
            "The replacement rack has no root section under the load: root radius {radius:.4g} mm, depth "
            "below the point of load {depth:.4g} modules.",
            radius=values["rack_radius_mm"],
            depth=values["rack_depth"],
        )
    )
