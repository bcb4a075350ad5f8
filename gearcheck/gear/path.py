"""The path of contact: curvature and sliding from the start at the pinion's root to the end at its tip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.pair import PairGeometry

PATH = Method(
    key="iso21771.path",
    title="Path of contact of a gear pair",
    source="ISO 21771",
    edition="2007",
    clause="path of contact, sliding; points A to E as in ISO/TR 13989-1",
    status=Status.FROM_MEMORY,
    implements=(
        "radii of curvature, sliding speed and specific sliding along the transverse path of contact",
    ),
    leaves_out=("contact outside the path of contact, as from deflected teeth",),
    departures=(
        "The radius of curvature of an internal gear is a positive number, where ISO 21771 has a sign.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class ContactPath(Result):
    """Points along the transverse path of contact, on the last axis; the pinion's root is at the start A.

    With a contact ratio of 2 or more B lies behind D and no stretch of single contact is left.
    """

    method: ClassVar[Method] = PATH
    position_mm: Number = term("Distance from the start A along the path", "g_y", "mm")
    mark_A_mm: Number = term("Start A, tip of the wheel", "g_A", "mm")
    base_pitch_mm: Number = term("Transverse base pitch on the path of contact", "p_et", "mm")
    path_length_mm: Number = term("Length of path of contact", "g_α", "mm")
    mark_B_mm: Number = term("Inner point of single contact B", "g_B", "mm", "g_α - p_et")
    mark_C_mm: Number = term("Pitch point C", "g_C", "mm", "d_b1·tan(α_wt)/2 - ρ_A1")
    mark_D_mm: Number = term("Outer point of single contact D", "g_D", "mm", "g_A + p_et")
    mark_E_mm: Number = term("End E, tip of the pinion", "g_E", "mm", "g_A + g_α")
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°", digits=6)
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", digits=6)
    pinion_base_diameter_mm: Number = term("Base diameter, pinion", "d_b1", "mm", digits=6)
    wheel_base_diameter_mm: Number = term("Base diameter, wheel", "d_b2", "mm", digits=6)
    pinion_start_radius_mm: Number = term("Transverse radius of curvature at A, pinion", "ρ_A1", "mm")
    pinion_radius_mm: Number = term("Transverse radius of curvature, pinion", "ρ_y1", "mm", "ρ_A1 + g_y")
    wheel_radius_mm: Number = term(
        "Transverse radius of curvature, wheel", "ρ_y2", "mm", "(d_b1 + d_b2)·tan(α_wt)/2 - ρ_y1"
    )
    reduced_radius_mm: Number = term(
        "Radius of relative curvature normal to the flank",
        "ρ_red",
        "mm",
        "ρ_y1·ρ_y2/((ρ_y1 + ρ_y2)·cos(β_b))",
    )
    pinion_diameter_mm: Number = term("Diameter on the pinion", "d_y1", "mm", "√(d_b1² + 4·ρ_y1²)", digits=6)
    wheel_diameter_mm: Number = term("Diameter on the wheel", "d_y2", "mm", "√(d_b2² + 4·ρ_y2²)", digits=6)
    sliding_speed: Number = term(
        "Sliding speed per unit pitch-line speed, positive towards the pinion's tip",
        "K_g",
        "",
        "2·(g_y - g_C)·cos(α_wt)·(1/d_b1 + 1/d_b2)",
    )
    pinion_sliding: Number = term("Specific sliding, pinion", "ζ_1", "", "1 - d_b1·ρ_y2/(d_b2·ρ_y1)")
    wheel_sliding: Number = term("Specific sliding, wheel", "ζ_2", "", "1 - d_b2·ρ_y1/(d_b1·ρ_y2)")


@dataclass(frozen=True, kw_only=True)
class InternalContactPath(ContactPath):
    """The path of contact with an internal gear, whose concave flank has a positive radius here."""

    wheel_radius_mm: Number = term(
        "Transverse radius of curvature, concave flank of the wheel",
        "ρ_y2",
        "mm",
        "ρ_y1 + (d_b2 - d_b1)·tan(α_wt)/2",
    )
    reduced_radius_mm: Number = term(
        "Radius of relative curvature normal to the flank",
        "ρ_red",
        "mm",
        "ρ_y1·ρ_y2/((ρ_y2 - ρ_y1)·cos(β_b))",
    )
    sliding_speed: Number = term(
        "Sliding speed per unit pitch-line speed, positive towards the pinion's tip",
        "K_g",
        "",
        "2·(g_y - g_C)·cos(α_wt)·(1/d_b1 - 1/d_b2)",
    )


def contact_path(*, pair: PairGeometry, points: int = 41) -> ContactPath:
    """Return curvature and sliding at points along the path of contact.

    ρ_y1 + ρ_y2 = a·sin α_wt; ρ_red = ρ_y1·ρ_y2/[(ρ_y1 + ρ_y2)·cos β_b]; v_g/v_t = 2·g·(1/d_w1 + 1/d_w2).
    With an internal wheel ρ_y2, a and d_w2 count negative.

    Parameters
    ----------
    pair : PairGeometry
        Any shape of samples.
    points : int
        Number of points from A to E, both included; 2 or more.

    Returns
    -------
    ContactPath
        Arrays of shape samples + (points,); marks of the shape of the samples. NaN where the pair stops.

    Raises
    ------
    InputError
        Fewer than 2 points.

    Notes
    -----
    Source: ISO 21771:2007, from memory; marks A to E as in ISO/TR 13989-1.
    Valid for: pairs without interference.
    Departures: none known.
    Checked: PATH-01.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> contact_path(pair=pair, points=3).pinion_radius_mm.round(3)
    array([10.758, 20.521, 30.284])
    """
    faults = Faults()
    faults.need(points >= 2, "points", points, "2 points or more")
    faults.check()
    start, length = array(pair.pinion.start_radius_mm), array(pair.path_length_mm)
    pitch, line = array(pair.base_pitch_mm), _line(pair)
    d_b1, d_b2 = array(pair.pinion_base_diameter_mm), array(pair.wheel_base_diameter_mm)
    start = np.where(np.isnan(length), np.nan, start)
    kind = InternalContactPath if pair.internal else ContactPath
    return kind(
        mark_A_mm=np.zeros_like(length),
        mark_B_mm=length - pitch,
        mark_C_mm=line * d_b1 / (d_b1 + pair.side * d_b2) - start,
        mark_D_mm=pitch,
        mark_E_mm=length,
        base_pitch_mm=pitch,
        path_length_mm=length,
        working_pressure_angle_deg=pair.working_pressure_angle_deg,
        base_helix_angle_deg=pair.base_helix_angle_deg,
        pinion_base_diameter_mm=d_b1,
        wheel_base_diameter_mm=d_b2,
        pinion_start_radius_mm=start,
        **_along(pair, start[..., None], (length[..., None] * np.linspace(0.0, 1.0, points))),
        notices=pair.stops,
    )


def _line(pair: PairGeometry) -> Array:
    """Return a·sin α_wt between the points where the line touches both base circles; signed as a is."""
    angle = np.radians(array(pair.working_pressure_angle_deg))
    return np.asarray(
        (array(pair.pinion_base_diameter_mm) + pair.side * array(pair.wheel_base_diameter_mm))
        * np.tan(angle)
        / 2.0
    )


def _along(pair: PairGeometry, start: Array, position: Array) -> dict[str, Any]:
    d_b1, d_b2 = array(pair.pinion_base_diameter_mm)[..., None], array(pair.wheel_base_diameter_mm)[..., None]
    line, side = _line(pair)[..., None], pair.side
    rho_1 = start + position
    rho_2 = side * (line - rho_1)
    pitch_radius = line * d_b1 / (d_b1 + side * d_b2)
    working = np.cos(np.radians(array(pair.working_pressure_angle_deg)))[..., None]
    cos_base = np.cos(np.radians(array(pair.base_helix_angle_deg)))[..., None]
    inner_1, inner_2 = (np.where(rho > 0.0, rho, np.nan) for rho in (rho_1, rho_2))
    return {
        "position_mm": position,
        "pinion_radius_mm": rho_1,
        "wheel_radius_mm": rho_2,
        "reduced_radius_mm": rho_1 * rho_2 / (side * line * cos_base),
        "pinion_diameter_mm": np.hypot(d_b1, 2.0 * rho_1),
        "wheel_diameter_mm": np.hypot(d_b2, 2.0 * rho_2),
        "sliding_speed": 2.0 * (rho_1 - pitch_radius) * working * (1.0 / d_b1 + side / d_b2),
        "pinion_sliding": 1.0 - d_b1 * rho_2 / (d_b2 * inner_1),
        "wheel_sliding": 1.0 - d_b2 * rho_1 / (d_b1 * inner_2),
    }
