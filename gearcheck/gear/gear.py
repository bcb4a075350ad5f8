"""The geometry of one gear in its mesh: circles, tooth, active profile, sliding."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

import numpy as np

from gearcheck.basics.methods import Notice
from gearcheck.basics.numbers import array
from gearcheck.gear.checks import gear_notices
from gearcheck.gear.gear_results import GearGeometry, InternalGear, InternalPinion, Mesh
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.internal_checks import pinion_notices, ring_notices
from gearcheck.gear.involute import arc_cosine, involute, root
from gearcheck.gear.notices import Mask
from gearcheck.gear.trochoid import fillet_end, fillet_of, fillet_point

__all__ = ["GearGeometry", "Mesh", "gear_geometry"]

Noticed: TypeAlias = Callable[[str, dict[str, Any]], tuple[tuple[Notice, ...], Mask]]


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
    values |= _tooth(mesh, values, _sign(tooth))
    values |= _no_root_form(values) if tooth.internal else _root_form(mesh, values)
    values |= _contact(mesh, values, _sign(tooth), _sign(mate))
    kind, noticed = _kind(tooth, mate)
    notices, stopped = noticed(name, values)
    tip = values["tip_thickness_mm"]
    values["tip_thickness_mm"] = np.where(tip > 0.0, tip, np.nan)
    for sliding in ("start_sliding", "tip_sliding"):
        values[sliding] = np.where(stopped, np.nan, values[sliding])
    return kind(**values, notices=notices), stopped


def _kind(tooth: Tooth, mate: Tooth) -> tuple[type[GearGeometry], Noticed]:
    if tooth.internal:
        return InternalGear, ring_notices
    return (InternalPinion, pinion_notices) if mate.internal else (GearGeometry, gear_notices)


def _sign(tooth: Tooth) -> float:
    """Return the sign of its teeth and diameters in ISO 21771."""
    return -1.0 if tooth.internal else 1.0


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
        "root_diameter_mm": d
        - _sign(tooth) * 2.0 * m_n * (array(tooth.rack_dedendum) - array(tooth.profile_shift)),
        "virtual_teeth": z / (np.cos(mesh.base_helix) ** 2 * np.cos(mesh.helix_angle)),
    }


def _tooth(mesh: Mesh, values: dict[str, Any], sign: float) -> dict[str, Any]:
    d, d_b, d_a = (values[f"{circle}_diameter_mm"] for circle in ("reference", "base", "tip"))
    s_n = mesh.normal_module * (np.pi / 2.0 + 2.0 * values["profile_shift"] * np.tan(mesh.pressure_angle))
    alpha_at = arc_cosine(d_b / d_a)
    beta_a = np.arctan(d_a / d * np.tan(mesh.helix_angle))
    root_side, tip_side = sign * involute(mesh.transverse_angle), sign * involute(alpha_at)
    half = s_n / (d * np.cos(mesh.helix_angle)) + root_side - tip_side
    return {
        "tooth_thickness_mm": s_n,
        "tip_pressure_angle_deg": np.degrees(alpha_at),
        "tip_helix_angle_deg": np.degrees(beta_a),
        "tip_thickness_mm": d_a * np.cos(beta_a) * half,
    }


def _root_form(mesh: Mesh, values: dict[str, Any]) -> dict[str, Any]:
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


def _no_root_form(values: dict[str, Any]) -> dict[str, Any]:
    names = ("rack_form_height_mm", "root_form_diameter_mm", "undercut_shift", "undercut_teeth")
    return dict.fromkeys(names, values["tip_diameter_mm"] * np.nan)


def _contact(mesh: Mesh, values: dict[str, Any], sign: float, mate: float) -> dict[str, Any]:
    """Curvature and clearance with the signs of ISO 21771 inside; a radius itself is positive."""
    d_b, d_a, mate_tip = values["base_diameter_mm"], values["tip_diameter_mm"], values["mate_tip_diameter_mm"]
    distance = mesh.side * mesh.centre_distance
    line = distance * np.sin(mesh.working_angle)
    start = sign * (line - mate * root(mate_tip**2 - values["mate_base_diameter_mm"] ** 2) / 2.0)
    rho_start, rho_tip = np.maximum(start, 0.0), root(d_a**2 - d_b**2) / 2.0
    ratio = values["teeth"] / values["mate_teeth"]
    return {
        "root_clearance_mm": distance - (sign * values["root_diameter_mm"] + mate * mate_tip) / 2.0,
        "start_of_active_profile_mm": np.hypot(2.0 * rho_start, d_b),
        "start_radius_mm": rho_start,
        "tip_radius_mm": rho_tip,
        "start_sliding": 1.0
        - ratio * (mate * (line - sign * rho_start)) / np.where(rho_start > 0.0, rho_start, np.nan),
        "tip_sliding": 1.0
        - ratio * (mate * (line - sign * rho_tip)) / np.where(rho_tip > 0.0, rho_tip, np.nan),
    }
