"""The geometry of one external gear in its mesh: circles, tooth, active profile, sliding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.checks import gear_notices
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.involute import arc_cosine, involute, root
from gearcheck.gear.notices import Mask
from gearcheck.gear.trochoid import Fillet, fillet_end, fillet_of, fillet_point

GEAR = Method(
    key="iso21771.gear",
    title="Geometry of an external cylindrical gear in its mesh",
    source="ISO 21771",
    edition="2007",
    clause="cylindrical involute gears; virtual number of teeth as in ISO 6336-3",
    status=Status.FROM_MEMORY,
    implements=(
        "reference, base, working pitch, tip and root diameter; tip thickness; start of active "
        "profile; root form diameter of a plain rack; undercut limits; curvature and "
        "specific sliding at the ends of contact",
    ),
    leaves_out=("internal gears; tip chamfer and tip rounding; tooth thickness allowances",),
    departures=(
        "The root form diameter of an undercut gear is the crossing of the involute with the fillet that the "
        "rack's root round leaves, found by iteration.",
    ),
)


@dataclass(frozen=True, slots=True)
class Mesh:
    """What both gears of a pair share.

    Parameters
    ----------
    normal_module : array
        m_n in mm.
    pressure_angle_deg, helix_angle_deg : array
        α_n and β in degrees, as given.
    pressure_angle, helix_angle : array
        The same in radians.
    centre_distance : array
        a in mm.
    transverse_angle, base_helix, working_angle : array
        α_t, β_b and α_wt in radians.
    """

    normal_module: Array
    pressure_angle_deg: Array
    helix_angle_deg: Array
    pressure_angle: Array
    helix_angle: Array
    centre_distance: Array
    transverse_angle: Array
    base_helix: Array
    working_angle: Array


@dataclass(frozen=True, kw_only=True)
class GearGeometry(Result):
    """One gear of a pair; what a stop leaves without sense is None."""

    method: ClassVar[Method] = GEAR
    teeth: Number = term("Number of teeth", "z")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    face_width_mm: Number = term("Face width", "b", "mm")
    profile_shift: Number = term("Profile shift coefficient", "x")
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm", digits=6)
    rack_dedendum: Number = term("Dedendum of the basic rack, in modules", "h_fP")
    rack_root_radius: Number = term("Root radius of the basic rack, in modules", "ρ_fP")
    protuberance_mm: Number = term("Protuberance of the hob", "pr", "mm")
    stock_min_mm: Number = term("Smallest grinding stock", "q_min", "mm")
    stock_max_mm: Number = term("Largest grinding stock", "q_max", "mm")
    centre_distance_mm: Number = term("Centre distance", "a", "mm", digits=6)
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°", digits=6)
    mate_teeth: Number = term("Number of teeth of the mate", "z_mate")
    mate_tip_diameter_mm: Number = term("Tip diameter of the mate", "d_a_mate", "mm", digits=6)
    mate_base_diameter_mm: Number = term("Base diameter of the mate", "d_b_mate", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm", "z·m_n/cos(β)", digits=6)
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", "d·cos(α_t)", digits=6)
    working_pitch_diameter_mm: Number = term("Working pitch diameter", "d_w", "mm", "d_b/cos(α_wt)", digits=6)
    root_diameter_mm: Number = term("Root diameter", "d_f", "mm", "d - 2·m_n·(h_fP - x)", digits=6)
    virtual_teeth: Number = term("Virtual number of teeth", "z_n", "", "z/(cos(β_b)²·cos(β))")
    tooth_thickness_mm: Number = term(
        "Normal tooth thickness at the reference circle", "s_n", "mm", "m_n·(π/2 + 2·x·tan(α_n))"
    )
    tip_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the tip", "α_at", "°", "acos(d_b/d_a)", digits=6
    )
    tip_helix_angle_deg: Number = term("Helix angle at the tip", "β_a", "°", "atan(d_a/d·tan(β))", digits=6)
    tip_thickness_mm: Number = term(
        "Normal tooth thickness at the tip",
        "s_an",
        "mm",
        "d_a·cos(β_a)·(s_n/(d·cos(β)) + inv(α_t) - inv(α_at))",
    )
    rack_form_height_mm: Number = term(
        "Height of the rack's straight flank below the reference circle",
        "h_Ff",
        "mm",
        "m_n·(h_fP - ρ_fP·(1 - sin(α_n)) - x)",
    )
    root_form_diameter_mm: Number = term(
        "Root form diameter, plain rack",
        "d_Ff",
        "mm",
        words="√((d·sin α_t - 2·h_Ff/sin α_t)² + d_b²); with undercut the crossing of fillet and involute",
        digits=6,
    )
    undercut_shift: Number = term(
        "Least profile shift without undercut",
        "x_min",
        "",
        "h_fP - ρ_fP·(1 - sin(α_n)) - z·sin(α_t)²/(2·cos(β))",
    )
    undercut_teeth: Number = term(
        "Least number of teeth without undercut at no shift",
        "z_min",
        "",
        "2·cos(β)·(h_fP - ρ_fP·(1 - sin(α_n)))/sin(α_t)²",
    )
    root_clearance_mm: Number = term(
        "Clearance between root and the mate's tip", "c", "mm", "a - (d_f + d_a_mate)/2"
    )
    start_radius_mm: Number = term(
        "Transverse radius of curvature at the start of active profile",
        "ρ_Nf",
        "mm",
        "max(a·sin(α_wt) - √(d_a_mate² - d_b_mate²)/2, 0)",
    )
    start_of_active_profile_mm: Number = term(
        "Start of active profile", "d_Nf", "mm", "√(4·ρ_Nf² + d_b²)", digits=6
    )
    tip_radius_mm: Number = term("Transverse radius of curvature at the tip", "ρ_a", "mm", "√(d_a² - d_b²)/2")
    start_sliding: Number = term(
        "Specific sliding at the start of active profile",
        "ζ_f",
        "",
        "1 - z/z_mate·(a·sin(α_wt) - ρ_Nf)/ρ_Nf",
    )
    tip_sliding: Number = term(
        "Specific sliding at the tip", "ζ_a", "", "1 - z/z_mate·(a·sin(α_wt) - ρ_a)/ρ_a"
    )

    def fillet(self, clearance_mm: Number) -> Fillet:
        """Return its fillet for a protuberance that exceeds the stock by `clearance_mm`."""
        return fillet_of(
            teeth=array(self.teeth),
            normal_module=array(self.normal_module_mm),
            pressure_angle=np.radians(array(self.pressure_angle_deg)),
            helix_angle=np.radians(array(self.helix_angle_deg)),
            profile_shift=array(self.profile_shift),
            rack_dedendum=array(self.rack_dedendum),
            rack_root_radius=array(self.rack_root_radius),
            clearance=array(clearance_mm),
        )


def gear_geometry(*, name: str, mesh: Mesh, tooth: Tooth, mate: Tooth) -> tuple[GearGeometry, Mask]:
    """Return one gear of a pair, and where a stop stands against it; `pair_geometry` calls it for both.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``, for the sentences.
    mesh : Mesh
        What both gears share.
    tooth, mate : Tooth
        This gear and its mate.

    Returns
    -------
    GearGeometry, Mask
        The gear with its notices; true where it cannot work.
    """
    values = _given(mesh, tooth, mate)
    values |= _circles(mesh, tooth)
    values |= _tooth(mesh, values)
    values |= _root_form(mesh, tooth, values)
    values |= _contact(mesh, values)
    notices, stopped = gear_notices(name, values)
    tip = values["tip_thickness_mm"]
    values["tip_thickness_mm"] = np.where(tip > 0.0, tip, np.nan)
    for sliding in ("start_sliding", "tip_sliding"):
        values[sliding] = np.where(stopped, np.nan, values[sliding])
    return GearGeometry(**values, notices=notices), stopped


def _given(mesh: Mesh, tooth: Tooth, mate: Tooth) -> dict[str, Any]:
    names = tuple(name for name in Tooth.__dataclass_fields__ if name != "internal")
    mate_base = (
        array(mate.teeth) * mesh.normal_module / np.cos(mesh.helix_angle) * np.cos(mesh.transverse_angle)
    )
    return {name: array(getattr(tooth, name)) for name in names} | {
        "normal_module_mm": mesh.normal_module,
        "pressure_angle_deg": mesh.pressure_angle_deg,
        "helix_angle_deg": mesh.helix_angle_deg,
        "centre_distance_mm": mesh.centre_distance,
        "working_pressure_angle_deg": np.degrees(mesh.working_angle),
        "transverse_pressure_angle_deg": np.degrees(mesh.transverse_angle),
        "base_helix_angle_deg": np.degrees(mesh.base_helix),
        "mate_teeth": array(mate.teeth),
        "mate_tip_diameter_mm": array(mate.tip_diameter_mm),
        "mate_base_diameter_mm": mate_base,
    }


def _circles(mesh: Mesh, tooth: Tooth) -> dict[str, Any]:
    z, m_n = array(tooth.teeth), mesh.normal_module
    d = z * m_n / np.cos(mesh.helix_angle)
    d_b = d * np.cos(mesh.transverse_angle)
    return {
        "reference_diameter_mm": d,
        "base_diameter_mm": d_b,
        "working_pitch_diameter_mm": d_b / np.cos(mesh.working_angle),
        "root_diameter_mm": d - 2.0 * m_n * (array(tooth.rack_dedendum) - array(tooth.profile_shift)),
        "virtual_teeth": z / (np.cos(mesh.base_helix) ** 2 * np.cos(mesh.helix_angle)),
    }


def _tooth(mesh: Mesh, values: dict[str, Any]) -> dict[str, Any]:
    d, d_b, d_a = (values[f"{circle}_diameter_mm"] for circle in ("reference", "base", "tip"))
    s_n = mesh.normal_module * (np.pi / 2.0 + 2.0 * values["profile_shift"] * np.tan(mesh.pressure_angle))
    alpha_at = arc_cosine(d_b / d_a)
    beta_a = np.arctan(d_a / d * np.tan(mesh.helix_angle))
    half = s_n / (d * np.cos(mesh.helix_angle)) + involute(mesh.transverse_angle) - involute(alpha_at)
    return {
        "tooth_thickness_mm": s_n,
        "tip_pressure_angle_deg": np.degrees(alpha_at),
        "tip_helix_angle_deg": np.degrees(beta_a),
        "tip_thickness_mm": d_a * np.cos(beta_a) * half,
    }


def _root_form(mesh: Mesh, tooth: Tooth, values: dict[str, Any]) -> dict[str, Any]:
    x, cos_helix = values["profile_shift"], np.cos(mesh.helix_angle)
    flank = values["rack_dedendum"] - values["rack_root_radius"] * (1.0 - np.sin(mesh.pressure_angle))
    sine = np.sin(mesh.transverse_angle)
    x_min = flank - values["teeth"] * sine**2 / (2.0 * cos_helix)
    fillet = fillet_of(
        teeth=values["teeth"],
        normal_module=mesh.normal_module,
        pressure_angle=mesh.pressure_angle,
        helix_angle=mesh.helix_angle,
        profile_shift=x,
        rack_dedendum=values["rack_dedendum"],
        rack_root_radius=values["rack_root_radius"],
        clearance=array(0.0),
    )
    radius, _ = fillet_point(fillet, fillet_end(fillet, cuts=x < x_min))
    return {
        "rack_form_height_mm": mesh.normal_module * (flank - x),
        "root_form_diameter_mm": np.where(fillet.centre > -1e-9 * fillet.reach, 2.0 * radius, np.nan),
        "undercut_shift": x_min,
        "undercut_teeth": 2.0 * cos_helix * flank / sine**2,
    }


def _contact(mesh: Mesh, values: dict[str, Any]) -> dict[str, Any]:
    d_b, d_a, mate_tip = values["base_diameter_mm"], values["tip_diameter_mm"], values["mate_tip_diameter_mm"]
    line = mesh.centre_distance * np.sin(mesh.working_angle)
    start = line - root(mate_tip**2 - values["mate_base_diameter_mm"] ** 2) / 2.0
    rho_start, rho_tip = np.maximum(start, 0.0), root(d_a**2 - d_b**2) / 2.0
    ratio = values["teeth"] / values["mate_teeth"]
    return {
        "root_clearance_mm": mesh.centre_distance - (values["root_diameter_mm"] + mate_tip) / 2.0,
        "start_of_active_profile_mm": np.hypot(2.0 * rho_start, d_b),
        "start_radius_mm": rho_start,
        "tip_radius_mm": rho_tip,
        "start_sliding": 1.0 - ratio * (line - rho_start) / np.where(rho_start > 0.0, rho_start, np.nan),
        "tip_sliding": 1.0 - ratio * (line - rho_tip) / np.where(rho_tip > 0.0, rho_tip, np.nan),
    }
