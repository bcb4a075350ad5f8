"""Geometry factor of the pitting resistance Z_I, worked out from the pair by AGMA 908."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.involute import root
from gearcheck.gear.notices import Mask, any_of, flagged
from gearcheck.gear.pair import InternalPairGeometry, PairGeometry
from gearcheck.stress.inputs import PRIMARY, PittingPoint, Readings

METHOD = Method(
    key="agma908.pitting",
    title="Geometry factor of the pitting resistance",
    source="AGMA 908",
    edition="B89",
    clause="geometry factor I",
    status=Status.FROM_MEMORY,
    implements=(
        "spur gears, helical gears with an axial contact ratio up to 1, conventional helical gears above 1",
        "radii at the lowest point of single contact of the pinion, conventional helical at its mean radius",
    ),
    leaves_out=("internal gears", "spur gears with a transverse contact ratio of 2 or more: a stop"),
    departures=(
        "The symbols are those of ISO 21771: α and β for φ and ψ, z for N; lengths are in mm.",
        "Textbooks take the radii at the pitch point, up to a quarter more: the other reading.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class AgmaPitting(Result):
    """Z_I with the line of contact, the radii of curvature and the sharing of the load."""

    method: ClassVar[Method] = METHOD
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°")
    centre_distance_mm: Number = term("Centre distance", "a", "mm")
    pinion_base_diameter_mm: Number = term("Base diameter, pinion", "d_b1", "mm")
    wheel_base_diameter_mm: Number = term("Base diameter, wheel", "d_b2", "mm")
    pinion_tip_diameter_mm: Number = term("Tip diameter, pinion", "d_a1", "mm")
    wheel_tip_diameter_mm: Number = term("Tip diameter, wheel", "d_a2", "mm")
    face_width_mm: Number = term("Net face width", "b", "mm")
    base_pitch_mm: Number = term("Transverse base pitch", "p_bt", "mm")
    axial_contact_ratio: Number = term("Axial contact ratio (overlap ratio)", "ε_β")
    working_pitch_diameter_mm: Number = term(
        "Operating pitch diameter of the pinion", "d_w1", "mm", "d_b1/cos(α_wt)"
    )
    line_mm: Number = term("Line of action between the base circles", "C_6", "mm", "a·sin(α_wt)")
    start_mm: Number = term(
        "Start of contact on the pinion, from its base circle", "C_1", "mm", "C_6 - √(d_a2² - d_b2²)/2"
    )
    end_mm: Number = term("End of contact on the pinion", "C_5", "mm", "√(d_a1² - d_b1²)/2")
    lowest_single_mm: Number = term("Lowest point of single contact of the pinion", "C_2", "mm", "C_5 - p_bt")
    pitch_point_mm: Number = term("Pitch point", "C_3", "mm", "C_6·d_b1/(d_b1 + d_b2)")
    transverse_contact_ratio: Number = term("Transverse contact ratio", "m_p", "", "(C_5 - C_1)/p_bt")
    mean_radius_mm: Number = term("Mean radius of the pinion", "R_m1", "mm", "(d_a1/2 + a - d_a2/2)/2")
    pinion_mean_curvature_mm: Number = term(
        "Radius of curvature at the mean radius, pinion", "ρ_m1", "mm", "√(R_m1² - d_b1²/4)"
    )
    wheel_mean_curvature_mm: Number = term(
        "Radius of curvature at the mean radius, wheel", "ρ_m2", "mm", "C_6 - ρ_m1"
    )
    pinion_curvature_mm: Number = term(
        "Radius of curvature, pinion",
        "ρ_1",
        "mm",
        words="C_2 of spur gears and for ε_β up to 1, by the other reading C_3; ρ_m1 for ε_β above 1",
    )
    wheel_curvature_mm: Number = term("Radius of curvature, wheel", "ρ_2", "mm", "C_6 - ρ_1")
    contact_length_mm: Number = term(
        "Least length of the lines of contact",
        "L_min",
        "mm",
        words="b for ε_β up to 1; above, with the parts n_r of m_p and n_a of ε_β behind the whole number: "
        "(m_p·b - n_a·n_r·p_x)/cos β_b where n_a is at most 1 - n_r, "
        "else (m_p·b - (1 - n_a)·(1 - n_r)·p_x)/cos β_b",
    )
    load_sharing_ratio: Number = term("Load sharing ratio", "m_N", "", "b/L_min")
    helical_overlap_factor: Number = term(
        "Helical overlap factor",
        "C_ψ",
        "",
        words="√(1 - ε_β·(1 - ρ_m1·ρ_m2·(C_5 - C_1)/(ρ_1·ρ_2·π·m_n·cos α_n))) for ε_β up to 1; 1 above",
    )
    geometry_factor: Number = term(
        "Geometry factor for pitting resistance",
        "Z_I",
        "",
        "cos(α_wt)·C_ψ²/((1/ρ_1 + 1/ρ_2)·d_w1·m_N)",
    )


def agma_pitting(*, pair: PairGeometry, readings: Readings = PRIMARY) -> AgmaPitting:
    """Return the geometry factor of the pitting resistance.

    Z_I = cos α_wt C_ψ² / ((1/ρ_1 + 1/ρ_2) d_w1 m_N)

    Parameters
    ----------
    pair : PairGeometry
        The external pair; every quantity may be an array.
    readings : Readings
        The point of the radii.

    Returns
    -------
    AgmaPitting
        Z_I with its steps; a stop where there is no point of single contact, and for internal gears.

    Notes
    -----
    Source: AGMA 908-B89, from memory.
    Valid for: external pairs; a transverse contact ratio below 2 where the axial one is at most 1.
    Departures: symbols of ISO 21771.
    Checked: AGMA-01-I, AGMA-03-I, AGMA-11.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(face_width_mm=20, rack_dedendum=1.25, rack_root_radius=0.25, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0, profile_shift=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=2, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=47,
    ...     pinion=Tooth(teeth=21, tip_diameter_mm=46, **gear),
    ...     wheel=Tooth(teeth=26, tip_diameter_mm=56, **gear))
    >>> round(agma_pitting(pair=pair).geometry_factor, 3)
    0.084
    """
    values = _line(pair)
    values |= _radii(values, readings)
    values |= _sharing(values)
    notices, stopped = _notices(pair, values)
    with np.errstate(invalid="ignore", divide="ignore"):
        curvature = 1 / values["pinion_curvature_mm"] + 1 / values["wheel_curvature_mm"]
        Z_I = (
            np.cos(np.radians(values["working_pressure_angle_deg"]))
            * values["helical_overlap_factor"] ** 2
            / (curvature * values["working_pitch_diameter_mm"] * values["load_sharing_ratio"])
        )
    return AgmaPitting(**values, geometry_factor=np.where(stopped, np.nan, Z_I), notices=notices)


def low_overlap(axial_contact_ratio: Array) -> Mask:
    """Return where a gear is spur or overlaps at most once, so that a point of single contact counts.

    Parameters
    ----------
    axial_contact_ratio : array
        ε_β.

    Returns
    -------
    array of bool
        Where ε_β is at most 1.
    """
    return np.asarray(axial_contact_ratio <= 1.0)


def _line(pair: PairGeometry) -> dict[str, Any]:
    """The stations along the transverse line of action."""
    alpha_wt, a = np.radians(array(pair.working_pressure_angle_deg)), array(pair.centre_distance_mm)
    d_b1, d_b2 = array(pair.pinion_base_diameter_mm), array(pair.wheel_base_diameter_mm)
    d_a1, d_a2 = array(pair.pinion_tip_diameter_mm), array(pair.wheel_tip_diameter_mm)
    line, end, p_bt = a * np.sin(alpha_wt), root(d_a1**2 - d_b1**2) / 2, array(pair.base_pitch_mm)
    start, mean = line - root(d_a2**2 - d_b2**2) / 2, (d_a1 / 2 + a - d_a2 / 2) / 2
    rho_m1 = root(mean**2 - d_b1**2 / 4)
    return {
        "normal_module_mm": array(pair.normal_module_mm),
        "pressure_angle_deg": array(pair.pressure_angle_deg),
        "base_helix_angle_deg": array(pair.base_helix_angle_deg),
        "working_pressure_angle_deg": array(pair.working_pressure_angle_deg),
        "centre_distance_mm": a,
        "pinion_base_diameter_mm": d_b1,
        "wheel_base_diameter_mm": d_b2,
        "pinion_tip_diameter_mm": d_a1,
        "wheel_tip_diameter_mm": d_a2,
        "face_width_mm": array(pair.common_face_width_mm),
        "base_pitch_mm": p_bt,
        "axial_contact_ratio": array(pair.overlap_ratio),
        "working_pitch_diameter_mm": d_b1 / np.cos(alpha_wt),
        "line_mm": line,
        "start_mm": start,
        "end_mm": end,
        "lowest_single_mm": end - p_bt,
        "pitch_point_mm": line * d_b1 / (d_b1 + d_b2),
        "transverse_contact_ratio": (end - start) / p_bt,
        "mean_radius_mm": mean,
        "pinion_mean_curvature_mm": rho_m1,
        "wheel_mean_curvature_mm": line - rho_m1,
    }


def _radii(values: dict[str, Any], readings: Readings) -> dict[str, Any]:
    at_pitch = readings.pitting_point is PittingPoint.PITCH_POINT
    single = values["pitch_point_mm"] if at_pitch else values["lowest_single_mm"]
    low = low_overlap(values["axial_contact_ratio"])
    rho_1 = np.where(low, single, values["pinion_mean_curvature_mm"])
    return {"pinion_curvature_mm": rho_1, "wheel_curvature_mm": values["line_mm"] - rho_1}


def _sharing(values: dict[str, Any]) -> dict[str, Any]:
    """Length of the lines of contact, and how a small overlap leads over from spur to helical gears."""
    low, m_F = low_overlap(values["axial_contact_ratio"]), values["axial_contact_ratio"]
    m_p, b = values["transverse_contact_ratio"], values["face_width_mm"]
    n_r, n_a = np.mod(m_p, 1.0), np.mod(m_F, 1.0)
    p_x = b / np.where(low, 1.0, m_F)
    missing = np.where(n_a <= 1 - n_r, n_a * n_r, (1 - n_a) * (1 - n_r)) * p_x
    length = (m_p * b - missing) / np.cos(np.radians(values["base_helix_angle_deg"]))
    p_bn = np.pi * values["normal_module_mm"] * np.cos(np.radians(values["pressure_angle_deg"]))
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = values["pinion_mean_curvature_mm"] * values["wheel_mean_curvature_mm"]
        chosen = values["pinion_curvature_mm"] * values["wheel_curvature_mm"]
        reached = mean * (values["end_mm"] - values["start_mm"]) / (chosen * p_bn)
    length = np.where(low, b, length)
    return {
        "contact_length_mm": length,
        "load_sharing_ratio": b / length,
        "helical_overlap_factor": np.where(low, root(1 - m_F * (1 - reached)), 1.0),
    }


def _notices(pair: PairGeometry, values: dict[str, Any]) -> tuple[tuple[Notice, ...], Mask]:
    low, m_p = low_overlap(values["axial_contact_ratio"]), values["transverse_contact_ratio"]
    internal = internal_wheel(pair)
    many = low & (m_p >= 2) & ~internal
    outside = ~internal & ((values["pinion_curvature_mm"] <= 0) | (values["wheel_curvature_mm"] <= 0))
    found = (
        *flagged(
            many,
            Level.STOP,
            "agma908.pitting.contact_ratio",
            "The transverse contact ratio {m_p:.3f} is 2 or more: there is no point of single contact, and "
            "AGMA 908-B89 gives no factor for an axial contact ratio up to 1.",
            m_p=m_p,
        ),
        *flagged(
            outside,
            Level.STOP,
            "agma908.pitting.curvature",
            "The point of the radii lies outside the line of action: ρ_1 = {rho:.3f} mm.",
            rho=values["pinion_curvature_mm"],
        ),
        *flagged(
            internal,
            Level.STOP,
            "agma908.pitting.internal",
            "The wheel is internal: AGMA 908-B89 is carried out for external gears only.",
        ),
    )
    return found, any_of(many, outside, internal, np.isnan(array(pair.transverse_contact_ratio)))


def internal_wheel(pair: PairGeometry) -> Mask:
    """Return whether the wheel of the pair is internal.

    Parameters
    ----------
    pair : PairGeometry
        Any pair.

    Returns
    -------
    array of bool
        Without axes: a pair is internal as a whole.
    """
    return np.asarray(isinstance(pair, InternalPairGeometry))
