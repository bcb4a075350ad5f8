"""Geometry factor of the bending strength Y_J, worked out from the generated fillet by AGMA 908."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.involute import involute, root
from gearcheck.gear.notices import Mask, any_of, flagged
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.stress.agma_fillet import critical_angle, fillet
from gearcheck.stress.agma_pitting import AgmaPitting, internal_wheel, low_overlap
from gearcheck.stress.inputs import PRIMARY, HelicalRootFactor, Member, Readings

METHOD = Method(
    key="agma908.bending",
    title="Geometry factor of the bending strength",
    source="AGMA 908",
    edition="B89",
    clause="geometry factor J",
    status=Status.FROM_MEMORY,
    valid=(
        Range("pressure_angle_deg", "α_n", 14.5, 25, "°"),
        Range("helix_angle_deg", "β", 0, 50, "°"),
    ),
    implements=(
        "external gears cut by a rack; load at the highest point of single contact of spur gears and of "
        "helical gears with an axial contact ratio up to 1, at the tip of conventional helical gears",
        "stress correction K_f",
    ),
    leaves_out=(
        "internal gears and gears cut by a pinion cutter",
        "load at the tip of spur gears that do not share the load",
    ),
    departures=(
        "The symbols are those of ISO 21771; lengths are in normal modules.",
        "The finished basic rack stands for the hob; protuberance less the smallest stock is the undercut.",
        "The fillet follows from the rack alone, where the text rolls a cutter of many teeth.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class AgmaBending(Result):
    """Y_J of one gear with its critical section; lengths without unit are in normal modules."""

    method: ClassVar[Method] = METHOD
    teeth: Number = term("Teeth", "z")
    mate_teeth: Number = term("Teeth of the mate", "z_m")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle", "β", "°")
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°")
    profile_shift: Number = term("Profile shift coefficient", "x")
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm")
    mate_tip_diameter_mm: Number = term("Tip diameter of the mate", "d_am", "mm")
    rack_dedendum: Number = term("Addendum of the tool", "h_fP")
    rack_root_radius: Number = term("Tip radius of the tool", "ρ_fP")
    residual_undercut: Number = term("Undercut left by the protuberance", "s_pr")
    tooth_thinning: Number = term("Tooth thinning", "Δs_n")
    axial_contact_ratio: Number = term("Axial contact ratio (overlap ratio)", "ε_β")
    load_sharing_ratio: Number = term("Load sharing ratio", "m_N")
    helical_overlap_factor: Number = term("Helical overlap factor", "C_ψ")
    virtual_teeth: Number = term("Virtual teeth", "z_n", "", "z/cos(β)^3")
    virtual_mate_teeth: Number = term("Virtual teeth of the mate", "z_nm", "", "z_m/cos(β)^3")
    virtual_radius: Number = term("Virtual reference radius", "r_n", "", "z_n/2")
    virtual_base_radius: Number = term("Virtual base radius", "r_bn", "", "r_n·cos(α_n)")
    virtual_tip_radius: Number = term("Virtual tip radius", "r_an", "", "r_n + d_a/(2·m_n) - z/(2·cos(β))")
    mate_base_radius: Number = term("Virtual base radius of the mate", "r_bnm", "", "z_nm/2·cos(α_n)")
    mate_tip_radius: Number = term(
        "Virtual tip radius of the mate", "r_anm", "", "z_nm/2 + d_am/(2·m_n) - z_m/(2·cos(β))"
    )
    working_normal_angle_deg: Number = term(
        "Operating normal pressure angle", "α_wn", "°", "asin(cos(β_b)·sin(α_wt))"
    )
    working_helix_angle_deg: Number = term("Operating helix angle", "β_w", "°", "atan(tan(β_b)/cos(α_wt))")
    highest_single: Number = term(
        "Highest point of single contact, from the base circle",
        "C_n4",
        "",
        "(r_bn + r_bnm)·tan(α_wn) - √(r_anm² - r_bnm²) + π·cos(α_n)",
    )
    load_pressure_angle_deg: Number = term(
        "Pressure angle at the point of load",
        "α_nW",
        "°",
        words="atan(C_n4/r_bn) for ε_β up to 1; acos(r_bn/r_an), the tip, above",
    )
    tooth_thickness: Number = term(
        "Tooth thickness at the reference circle", "s_n", "", "π/2 + 2·x·tan(α_n) - Δs_n"
    )
    load_angle_deg: Number = term("Load angle", "α_nL", "°", "tan(α_nW) - inv(α_n) - s_n/z_n")
    load_radius: Number = term("Radius where the load meets the centre line", "r_nL", "", "r_bn/cos(α_nL)")
    generating_shift: Number = term("Generating shift", "x_g", "", "x - Δs_n/(2·tan(α_n))")
    tool_depth: Number = term(
        "Centre of the tool's tip radius below the pitch line", "G", "", "h_fP - x_g - ρ_fP"
    )
    tool_offset: Number = term(
        "Its distance from the tooth centre line",
        "U",
        "",
        "π/4 + h_fP·tan(α_n) + ρ_fP·(1 - sin(α_n))/cos(α_n) - s_pr/cos(α_n)",
    )
    rolling_angle_deg: Number = term("Rolling angle of the critical point", "γ", "°", "(U + G·tan(θ))/r_n")
    critical_angle_deg: Number = term(
        "Angle of the fillet normal at the critical point, solved", "θ", "°", "atan(4·h_F/s_F) - γ"
    )
    root_chord: Number = term(
        "Root chord at the critical section",
        "s_F",
        "",
        "2·(r_n·sin(γ) - (G/cos(θ) + ρ_fP)·sin(γ + θ))",
    )
    bending_arm: Number = term(
        "Height of the parabola", "h_F", "", "r_nL - r_n·cos(γ) + (G/cos(θ) + ρ_fP)·cos(γ + θ)"
    )
    fillet_radius: Number = term("Smallest radius of the fillet", "ρ_F", "", "ρ_fP + G²/(r_n + G)")
    correction_constant: Number = term("Constant of K_f", "H", "", "0.331 - 0.436·α_n")
    radius_exponent: Number = term("Exponent of K_f", "L", "", "0.324 - 0.492·α_n")
    arm_exponent: Number = term("Exponent of K_f", "M", "", "0.261 + 0.545·α_n")
    stress_correction_factor: Number = term(
        "Stress correction factor", "K_f", "", "H + (s_F/ρ_F)^L·(s_F/h_F)^M"
    )
    contact_line_angle_deg: Number = term("Angle of the line of contact", "ω", "°", "atan(tan(β)·sin(α_n))")
    helical_factor: Number = term(
        "Helical factor",
        "C_h",
        words="1 for ε_β up to 1; above 1/(1 - √(ω/100·(1 - ω/100))) with ω in degrees",
    )
    helix_angle_factor: Number = term(
        "Helix angle factor",
        "K_ψ",
        words="1 for ε_β up to 1; above cos β_w·cos β, by the other reading cos ω·cos β",
    )
    form_factor: Number = term(
        "Tooth form factor",
        "Y",
        "",
        "K_ψ/(cos(α_nL)/cos(α_wn)·(6·h_F/(s_F²·C_h) - tan(α_nL)/s_F))",
    )
    geometry_factor: Number = term("Geometry factor for bending strength", "Y_J", "", "Y·C_ψ/(K_f·m_N)")


def agma_bending(
    *,
    pair: PairGeometry,
    member: Member,
    pitting: AgmaPitting,
    tooth_thinning: Number,
    readings: Readings = PRIMARY,
) -> AgmaBending:
    """Return the geometry factor of the bending strength of one gear.

    Y_J = Y C_ψ/(K_f m_N); K_f = H + (s_F/ρ_F)^L (s_F/h_F)^M; the section where the parabola from the load
    touches the fillet

    Parameters
    ----------
    pair : PairGeometry
        The external pair.
    member : Member
        Which gear.
    pitting : AgmaPitting
        Of the same pair: the sharing of the load.
    tooth_thinning : float or array
        Δs_n in normal modules.
    readings : Readings
        The slope of the line of contact.

    Returns
    -------
    AgmaBending
        Y_J with its steps; a stop where there is no critical section.

    Raises
    ------
    InputError
        A thinning below 0 or from 0.5 modules.

    Notes
    -----
    Source: AGMA 908-B89, from memory.
    Valid for: external gears cut by a rack, α_n from 14.5° to 25°, β up to 50°.
    Departures: the fillet follows from the rack; symbols of ISO 21771.
    Checked: AGMA-03-J, AGMA-10.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.stress.agma_pitting import agma_pitting
    >>> gear = dict(face_width_mm=20, rack_dedendum=1.25, rack_root_radius=0.25, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0, profile_shift=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=2, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=47,
    ...     pinion=Tooth(teeth=21, tip_diameter_mm=46, **gear),
    ...     wheel=Tooth(teeth=26, tip_diameter_mm=56, **gear))
    >>> form = agma_bending(
    ...     pair=pair, member=Member.PINION, pitting=agma_pitting(pair=pair), tooth_thinning=0.024)
    >>> round(form.geometry_factor, 2)
    0.33
    """
    thinning, faults = array(tooth_thinning), Faults()
    inside = ~np.any((thinning < 0) | (thinning >= 0.5))
    faults.need(bool(inside), f"{member}.tooth_thinning", tooth_thinning, "a number from 0 to below 0.5")
    faults.check()
    values = _given(pair, member, pitting, thinning)
    values |= _virtual(values)
    values |= _load(values)
    values |= _section(values)
    values |= _factors(values, readings)
    J = values["form_factor"] * values["helical_overlap_factor"]
    J = J / (values["stress_correction_factor"] * values["load_sharing_ratio"])
    notices, stopped = _notices(pair, member, values)
    stopped = any_of(stopped, np.isnan(array(pitting.geometry_factor)))
    return AgmaBending(**values, geometry_factor=np.where(stopped, np.nan, J), notices=notices)


def _given(pair: PairGeometry, member: Member, pitting: AgmaPitting, thinning: Array) -> dict[str, Any]:
    own: GearGeometry = pair.pinion if member is Member.PINION else pair.wheel
    # the smallest stock leaves the deepest undercut
    left = np.maximum(array(own.protuberance_mm) - array(own.stock_min_mm), 0.0)
    return {
        "teeth": array(own.teeth),
        "mate_teeth": array(own.mate_teeth),
        "normal_module_mm": array(pair.normal_module_mm),
        "pressure_angle_deg": array(pair.pressure_angle_deg),
        "helix_angle_deg": array(pair.helix_angle_deg),
        "base_helix_angle_deg": array(pair.base_helix_angle_deg),
        "working_pressure_angle_deg": array(pair.working_pressure_angle_deg),
        "profile_shift": array(own.profile_shift),
        "tip_diameter_mm": array(own.tip_diameter_mm),
        "mate_tip_diameter_mm": array(own.mate_tip_diameter_mm),
        "rack_dedendum": array(own.rack_dedendum),
        "rack_root_radius": array(own.rack_root_radius),
        "residual_undercut": left / array(pair.normal_module_mm),
        "tooth_thinning": thinning,
        "axial_contact_ratio": array(pair.overlap_ratio),
        "load_sharing_ratio": array(pitting.load_sharing_ratio),
        "helical_overlap_factor": array(pitting.helical_overlap_factor),
    }


def _virtual(values: dict[str, Any]) -> dict[str, Any]:
    """The virtual spur gears in the normal section."""
    z, z_m, m_n = values["teeth"], values["mate_teeth"], values["normal_module_mm"]
    beta, alpha_n = np.radians(values["helix_angle_deg"]), np.radians(values["pressure_angle_deg"])
    beta_b, alpha_wt = (
        np.radians(values[f"{name}_angle_deg"]) for name in ("base_helix", "working_pressure")
    )
    z_n, z_nm = z / np.cos(beta) ** 3, z_m / np.cos(beta) ** 3
    return {
        "virtual_teeth": z_n,
        "virtual_mate_teeth": z_nm,
        "virtual_radius": z_n / 2,
        "virtual_base_radius": z_n / 2 * np.cos(alpha_n),
        "virtual_tip_radius": z_n / 2 + values["tip_diameter_mm"] / (2 * m_n) - z / (2 * np.cos(beta)),
        "mate_base_radius": z_nm / 2 * np.cos(alpha_n),
        "mate_tip_radius": z_nm / 2 + values["mate_tip_diameter_mm"] / (2 * m_n) - z_m / (2 * np.cos(beta)),
        "working_normal_angle_deg": np.degrees(np.arcsin(np.cos(beta_b) * np.sin(alpha_wt))),
        "working_helix_angle_deg": np.degrees(np.arctan(np.tan(beta_b) / np.cos(alpha_wt))),
    }


def _load(values: dict[str, Any]) -> dict[str, Any]:
    """Where the load acts, and where it meets the centre line of the tooth."""
    alpha_n = np.radians(values["pressure_angle_deg"])
    r_bn, r_bnm = values["virtual_base_radius"], values["mate_base_radius"]
    whole = (r_bn + r_bnm) * np.tan(np.radians(values["working_normal_angle_deg"]))
    highest = whole - root(values["mate_tip_radius"] ** 2 - r_bnm**2) + np.pi * np.cos(alpha_n)
    tip = root(values["virtual_tip_radius"] ** 2 - r_bn**2)
    alpha_nW = np.arctan(np.where(low_overlap(values["axial_contact_ratio"]), highest, tip) / r_bn)
    s_n = np.pi / 2 + 2 * values["profile_shift"] * np.tan(alpha_n) - values["tooth_thinning"]
    alpha_nL = np.tan(alpha_nW) - involute(alpha_n) - s_n / values["virtual_teeth"]
    return {
        "highest_single": highest,
        "load_pressure_angle_deg": np.degrees(alpha_nW),
        "tooth_thickness": s_n,
        "load_angle_deg": np.degrees(alpha_nL),
        "load_radius": r_bn / np.cos(alpha_nL),
    }


def _section(values: dict[str, Any]) -> dict[str, Any]:
    """The fillet that the rack cuts, and the section where the parabola touches it."""
    alpha_n, h, rho = (
        np.radians(values["pressure_angle_deg"]),
        values["rack_dedendum"],
        values["rack_root_radius"],
    )
    x_g = values["profile_shift"] - values["tooth_thinning"] / (2 * np.tan(alpha_n))
    depth, r_n = h - x_g - rho, values["virtual_radius"]
    corner = rho * (1 - np.sin(alpha_n)) - values["residual_undercut"]
    offset = np.pi / 4 + h * np.tan(alpha_n) + corner / np.cos(alpha_n)
    shape = {"radius": r_n, "depth": depth, "offset": offset, "edge": rho}
    theta = critical_angle(load_radius=values["load_radius"], **shape)
    gamma, half, height = fillet(theta=theta, **shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        rho_F = rho + depth**2 / (r_n + depth)
    return {
        "generating_shift": x_g,
        "tool_depth": depth,
        "tool_offset": offset,
        "rolling_angle_deg": np.degrees(gamma),
        "critical_angle_deg": np.degrees(theta),
        "root_chord": 2 * half,
        "bending_arm": values["load_radius"] - height,
        "fillet_radius": rho_F,
    }


def _factors(values: dict[str, Any], readings: Readings) -> dict[str, Any]:
    """K_f and the tooth form factor with what the helix does to it."""
    number = table("agma2101").value
    alpha_n, beta = np.radians(values["pressure_angle_deg"]), np.radians(values["helix_angle_deg"])
    s_F, h_F = values["root_chord"], values["bending_arm"]
    H, L, M = (number(f"K_f, {name}") + number(f"K_f, {name} per radian") * alpha_n for name in "HLM")
    omega, low = np.arctan(np.tan(beta) * np.sin(alpha_n)), low_overlap(values["axial_contact_ratio"])
    share = np.degrees(omega) / 100
    C_h = np.where(low, 1.0, 1 / (1 - np.sqrt(share * (1 - share))))
    by_helix = readings.helical_root_factor is HelicalRootFactor.HELIX
    slope = np.radians(values["working_helix_angle_deg"]) if by_helix else omega
    K_psi = np.where(low, 1.0, np.cos(slope) * np.cos(beta))
    alpha_nL, alpha_wn = (np.radians(values[f"{name}_angle_deg"]) for name in ("load", "working_normal"))
    with np.errstate(invalid="ignore", divide="ignore"):
        bent = 6 * h_F / (s_F**2 * C_h) - np.tan(alpha_nL) / s_F
        K_f = H + (s_F / values["fillet_radius"]) ** L * (s_F / h_F) ** M
        Y = K_psi / (np.cos(alpha_nL) / np.cos(alpha_wn) * bent)
    return {
        "correction_constant": H,
        "radius_exponent": L,
        "arm_exponent": M,
        "stress_correction_factor": K_f,
        "contact_line_angle_deg": np.degrees(omega),
        "helical_factor": C_h,
        "helix_angle_factor": K_psi,
        "form_factor": Y,
    }


def _notices(pair: PairGeometry, member: Member, values: dict[str, Any]) -> tuple[tuple[Notice, ...], Mask]:
    known = ~np.isnan(values["load_radius"])
    s_F, h_F, theta = (values[name] for name in ("root_chord", "bending_arm", "critical_angle_deg"))
    none = known & ~((s_F > 0) & (h_F > 0) & (values["form_factor"] > 0) & (values["fillet_radius"] > 0))
    none = none & ~internal_wheel(pair)  # the pitting factor has said so
    above = known & ~none & (theta > 90 - values["pressure_angle_deg"])
    found = (
        *flagged(
            none,
            Level.STOP,
            f"agma908.bending.section.{member}",
            f"The fillet of the {member} has no section that the parabola of AGMA 908-B89 touches "
            "(z = {z:.0f}, x = {x:.3f}).",
            z=values["teeth"],
            x=values["profile_shift"],
        ),
        *flagged(
            above,
            Level.CAUTION,
            f"agma908.bending.above.{member}",
            f"The parabola of AGMA 908-B89 touches the {member} above its fillet, at {{theta:.1f}}°.",
            theta=theta,
        ),
        *METHOD.outside(
            pressure_angle_deg=values["pressure_angle_deg"], helix_angle_deg=values["helix_angle_deg"]
        ),
    )
    return found, none
