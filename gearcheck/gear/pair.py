"""The geometry of a spur or helical pair, external or internal, at its centre distance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.checks import TOUCH
from gearcheck.gear.faults import need_numbers, need_outer_pinion, need_tooth
from gearcheck.gear.gear import GearGeometry, Mesh, gear_geometry
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.internal_passage import internal_passage, passage_notices
from gearcheck.gear.involute import arc_cosine, involute, root
from gearcheck.gear.notices import Mask, any_of, flagged, limit

__all__ = ["GearGeometry", "InternalPairGeometry", "PairGeometry", "pair_geometry"]

PAIR = Method(
    key="iso21771.pair",
    title="Geometry of an external spur or helical gear pair",
    source="ISO 21771",
    edition="2007",
    clause="cylindrical gear pairs with parallel axes",
    status=Status.FROM_MEMORY,
    implements=(
        "transverse quantities; working pressure angle from the centre distance; contact and overlap ratio; "
        "backlash from centre distance and nominal profile shifts; relative curvature at the pitch point",
    ),
    leaves_out=("deviations of the axes; tooth thickness and centre distance allowances",),
)

INTERNAL_PAIR = Method(
    key="iso21771.internal_pair",
    title="Geometry of a pinion with an internal gear",
    source="ISO 21771",
    edition="2007",
    clause="cylindrical gear pairs with parallel axes; negative number of teeth for an internal gear",
    status=Status.FROM_MEMORY,
    implements=(
        "transverse quantities; working pressure angle from the centre distance; contact and overlap ratio; "
        "backlash from centre distance and nominal profile shifts; relative curvature at the pitch point",
        "interference of the tips outside the path of contact; whether the pinion can be moved in radially",
    ),
    leaves_out=("deviations of the axes; tooth thickness and centre distance allowances",),
    departures=(
        "Teeth, diameters and centre distance are positive numbers here, where ISO 21771 has negative ones "
        "with an internal gear; profile shifts and gear ratio keep its signs: u = -z_2/z_1.",
        "The interference of the tips and the radial assembly are textbook geometry of sharp tips, with the "
        "teeth in contact on one flank.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class PairGeometry(Result):
    """A pair at its centre distance; where it cannot work its contact ratio is None, and the notices say why.

    `notices` are those of the pair and of both gears.
    """

    method: ClassVar[Method] = PAIR
    internal: ClassVar[bool] = False
    side: ClassVar[float] = 1.0
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    centre_distance_mm: Number = term("Centre distance", "a", "mm", digits=6)
    pinion_teeth: Number = term("Number of teeth, pinion", "z_1")
    wheel_teeth: Number = term("Number of teeth, wheel", "z_2")
    pinion_profile_shift: Number = term("Profile shift coefficient, pinion", "x_1")
    wheel_profile_shift: Number = term("Profile shift coefficient, wheel", "x_2")
    pinion_face_width_mm: Number = term("Face width, pinion", "b_1", "mm")
    wheel_face_width_mm: Number = term("Face width, wheel", "b_2", "mm")
    pinion_tip_diameter_mm: Number = term("Tip diameter, pinion", "d_a1", "mm", digits=6)
    wheel_tip_diameter_mm: Number = term("Tip diameter, wheel", "d_a2", "mm", digits=6)
    transverse_module_mm: Number = term("Transverse module", "m_t", "mm", "m_n/cos(β)", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    pinion_base_diameter_mm: Number = term(
        "Base diameter, pinion", "d_b1", "mm", "z_1·m_t·cos(α_t)", digits=6
    )
    wheel_base_diameter_mm: Number = term("Base diameter, wheel", "d_b2", "mm", "z_2·m_t·cos(α_t)", digits=6)
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle", "α_wt", "°", "acos((d_b1 + d_b2)/(2·a))", digits=6
    )
    gear_ratio: Number = term("Gear ratio", "u", "", "max(z_1, z_2)/min(z_1, z_2)")
    common_face_width_mm: Number = term("Common face width", "b", "mm", "min(b_1, b_2)")
    base_pitch_mm: Number = term(
        "Transverse base pitch on the path of contact", "p_et", "mm", "π·m_t·cos(α_t)"
    )
    path_length_mm: Number = term(
        "Length of path of contact",
        "g_α",
        "mm",
        "(√(d_a1² - d_b1²) + √(d_a2² - d_b2²))/2 - a·sin(α_wt)",
    )
    transverse_contact_ratio: Number = term("Transverse contact ratio", "ε_α", "", "g_α/p_et")
    overlap_ratio: Number = term("Overlap ratio", "ε_β", "", "b·sin(β)/(π·m_n)")
    total_contact_ratio: Number = term("Total contact ratio", "ε_γ", "", "ε_α + ε_β")
    normal_backlash_mm: Number = term(
        "Normal backlash from centre distance and nominal shifts",
        "j_bn",
        "mm",
        "m_n·cos(α_n)·((z_1 + z_2)·(inv(α_wt) - inv(α_t)) - 2·(x_1 + x_2)·tan(α_n))",
    )
    reduced_radius_mm: Number = term(
        "Radius of relative curvature at the pitch point, normal to the flank",
        "ρ_C",
        "mm",
        "d_b1·d_b2·tan(α_wt)/(2·(d_b1 + d_b2)·cos(β_b))",
    )
    pinion: GearGeometry
    wheel: GearGeometry


@dataclass(frozen=True, kw_only=True)
class InternalPairGeometry(PairGeometry):
    """A pinion with an internal gear; positive numbers, shifts and gear ratio with the signs of ISO 21771."""

    method: ClassVar[Method] = INTERNAL_PAIR
    internal: ClassVar[bool] = True
    side: ClassVar[float] = -1.0
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle", "α_wt", "°", "acos((d_b2 - d_b1)/(2·a))", digits=6
    )
    gear_ratio: Number = term("Gear ratio, negative with an internal gear", "u", "", "-z_2/z_1")
    path_length_mm: Number = term(
        "Length of path of contact",
        "g_α",
        "mm",
        "(√(d_a1² - d_b1²) - √(d_a2² - d_b2²))/2 + a·sin(α_wt)",
    )
    normal_backlash_mm: Number = term(
        "Normal backlash from centre distance and nominal shifts",
        "j_bn",
        "mm",
        "m_n·cos(α_n)·((z_1 - z_2)·(inv(α_wt) - inv(α_t)) - 2·(x_1 + x_2)·tan(α_n))",
    )
    reduced_radius_mm: Number = term(
        "Radius of relative curvature at the pitch point, normal to the flank",
        "ρ_C",
        "mm",
        "d_b1·d_b2·tan(α_wt)/(2·(d_b2 - d_b1)·cos(β_b))",
    )
    tip_passage_mm: Number = term(
        "Room between the tips where they pass outside the path of contact, on the wheel's tip circle",
        "e_a",
        "mm",
        "d_a2/2·(z_1/z_2·(acos((d_a2² - d_a1² - 4·a²)/(4·a·d_a1)) + inv(acos(d_b1/d_a1)) - inv(α_wt))"
        " + inv(α_wt) - inv(acos(d_b2/d_a2)) - acos((4·a² + d_a2² - d_a1²)/(4·a·d_a2)))",
    )
    radial_assembly_mm: Number = term(
        "Least room when the pinion is moved in radially, on the pinion's tip circle",
        "e_r",
        "mm",
        words="d_a1/2·(ϑ_1 + inv α_a1 - inv α_wt - z_2/z_1·(ϑ_2 + inv α_a2 - inv α_wt)), "
        "sin²ϑ_1 = (1 - cos²α_a1/cos²α_a2)/(1 - z_1²/z_2²), d_a1·sin ϑ_1 = d_a2·sin ϑ_2",
    )


def pair_geometry(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    centre_distance_mm: Number,
    pinion: Tooth,
    wheel: Tooth,
) -> PairGeometry:
    """Return the geometry of a spur or helical pair at its centre distance.

    cos α_wt = (d_b1 + d_b2)/(2·a); ε_α = [(√(d_a1² - d_b1²) + √(d_a2² - d_b2²))/2 - a·sin α_wt]/p_et.
    With an internal wheel d_b2, its root and a count negative (ISO 21771), but are given and shown positive.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm, any shape; all arguments broadcast against one another.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees; β without a sign for the hand.
    centre_distance_mm : float or array
        a in mm.
    pinion, wheel : Tooth
        The two gears; the pinion has the fewer teeth, and the wheel may be internal: the profile shift of an
        internal gear has the sign of ISO 21771, positive for a thicker tooth.

    Returns
    -------
    PairGeometry
        With the geometry of both gears; a stop notice, and no contact ratio, where the pair cannot work.

    Raises
    ------
    InputError
        All arguments that no formula can use: not finite, negative lengths, teeth that are not whole; an
        internal pinion, or an internal wheel without more teeth than its pinion.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: cylindrical gears with parallel axes.
    Departures: the root form diameter of an undercut gear is found by iteration.
    Checked: GEO-01, GEO-02, GEO-03a to GEO-03g, GEO-17, GEO-19.

    Examples
    --------
    >>> gear = dict(face_width_mm=32, rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120,
    ...     pinion=Tooth(teeth=20, profile_shift=0.0, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, profile_shift=0.0, tip_diameter_mm=168, **gear))
    >>> round(pair.transverse_contact_ratio, 4)
    1.6352
    """
    faults = Faults()
    need_numbers(
        faults,
        normal_module_mm=normal_module_mm,
        pressure_angle_deg=pressure_angle_deg,
        helix_angle_deg=helix_angle_deg,
        centre_distance_mm=centre_distance_mm,
    )
    need_tooth(faults, "pinion", pinion)
    need_tooth(faults, "wheel", wheel)
    need_outer_pinion(faults, pinion, wheel)
    faults.check()
    kind = InternalPairGeometry if wheel.internal else PairGeometry
    values = _given(normal_module_mm, pressure_angle_deg, helix_angle_deg, centre_distance_mm, pinion, wheel)
    mesh = _mesh(values, kind.side)
    values |= _transverse(mesh, values)
    values |= _engagement(mesh, values)
    first, first_stopped = gear_geometry(name="Pinion", mesh=mesh, tooth=pinion, mate=wheel)
    second, second_stopped = gear_geometry(name="Wheel", mesh=mesh, tooth=wheel, mate=pinion)
    if wheel.internal:
        values |= internal_passage(values)
    notices, stopped = _notices(values, kind.side)
    stopped = any_of(stopped, first_stopped, second_stopped)
    for name in ("path_length_mm", "transverse_contact_ratio", "total_contact_ratio"):
        values[name] = np.where(stopped, np.nan, values[name])
    return kind(**values, pinion=first, wheel=second, notices=(*notices, *first.notices, *second.notices))


def _given(
    m_n: Number, alpha_n: Number, beta: Number, a: Number, pinion: Tooth, wheel: Tooth
) -> dict[str, Any]:
    values = {
        "normal_module_mm": array(m_n),
        "pressure_angle_deg": array(alpha_n),
        "helix_angle_deg": array(beta),
        "centre_distance_mm": array(a),
    }
    for name in ("teeth", "profile_shift", "face_width_mm", "tip_diameter_mm"):
        values[f"pinion_{name}"] = array(getattr(pinion, name))
        values[f"wheel_{name}"] = array(getattr(wheel, name))
    return values


def _mesh(values: dict[str, Any], side: float) -> Mesh:
    m_n, a = values["normal_module_mm"], values["centre_distance_mm"]
    alpha_n, beta = np.radians(values["pressure_angle_deg"]), np.radians(values["helix_angle_deg"])
    alpha_t = np.arctan(np.tan(alpha_n) / np.cos(beta))
    teeth = side * values["pinion_teeth"] + values["wheel_teeth"]
    base_sum = teeth * m_n / np.cos(beta) * np.cos(alpha_t)
    return Mesh(
        normal_module=m_n,
        pressure_angle_deg=values["pressure_angle_deg"],
        helix_angle_deg=values["helix_angle_deg"],
        pressure_angle=alpha_n,
        helix_angle=beta,
        centre_distance=a,
        transverse_angle=alpha_t,
        base_helix=np.arcsin(np.sin(beta) * np.cos(alpha_n)),
        working_angle=arc_cosine(base_sum / (2.0 * a)),
        side=side,
    )


def _transverse(mesh: Mesh, values: dict[str, Any]) -> dict[str, Any]:
    z_1, z_2 = values["pinion_teeth"], values["wheel_teeth"]
    m_t = mesh.normal_module / np.cos(mesh.helix_angle)
    base = m_t * np.cos(mesh.transverse_angle)
    return {
        "transverse_module_mm": m_t,
        "transverse_pressure_angle_deg": np.degrees(mesh.transverse_angle),
        "base_helix_angle_deg": np.degrees(mesh.base_helix),
        "pinion_base_diameter_mm": z_1 * base,
        "wheel_base_diameter_mm": z_2 * base,
        "working_pressure_angle_deg": np.degrees(mesh.working_angle),
        "gear_ratio": mesh.side * np.maximum(z_1, z_2) / np.minimum(z_1, z_2),
        "common_face_width_mm": np.minimum(values["pinion_face_width_mm"], values["wheel_face_width_mm"]),
        "base_pitch_mm": np.pi * base,
    }


def _engagement(mesh: Mesh, values: dict[str, Any]) -> dict[str, Any]:
    d_b1, d_b2 = values["pinion_base_diameter_mm"], mesh.side * values["wheel_base_diameter_mm"]
    tips = root(values["pinion_tip_diameter_mm"] ** 2 - d_b1**2) + mesh.side * root(
        values["wheel_tip_diameter_mm"] ** 2 - d_b2**2
    )
    path = tips / 2.0 - mesh.side * mesh.centre_distance * np.sin(mesh.working_angle)
    eps_alpha = path / values["base_pitch_mm"]
    eps_beta = values["common_face_width_mm"] * np.sin(mesh.helix_angle) / (np.pi * mesh.normal_module)
    rolled = (values["pinion_teeth"] + mesh.side * values["wheel_teeth"]) * (
        involute(mesh.working_angle) - involute(mesh.transverse_angle)
    )
    shifted = (
        2.0 * (values["pinion_profile_shift"] + values["wheel_profile_shift"]) * np.tan(mesh.pressure_angle)
    )
    radius = d_b1 * d_b2 * np.tan(mesh.working_angle) / (2.0 * (d_b1 + d_b2) * np.cos(mesh.base_helix))
    return {
        "path_length_mm": path,
        "transverse_contact_ratio": eps_alpha,
        "overlap_ratio": eps_beta,
        "total_contact_ratio": eps_alpha + eps_beta,
        "normal_backlash_mm": mesh.normal_module * np.cos(mesh.pressure_angle) * (rolled - shifted),
        "reduced_radius_mm": radius,
    }


def _notices(values: dict[str, Any], side: float) -> tuple[tuple[Notice, ...], Mask]:
    """Return the notices of the pair itself, and where a stop stands against it."""
    a, m_n = values["centre_distance_mm"], values["normal_module_mm"]
    least = (side * values["pinion_base_diameter_mm"] + values["wheel_base_diameter_mm"]) / 2.0
    apart = a <= least
    short = values["transverse_contact_ratio"] < 1.0
    overlap = -values["normal_backlash_mm"]
    jammed = overlap > limit("overlap from rounded shifts") * m_n
    found = [
        *flagged(
            apart,
            Level.STOP,
            "pair.centre_distance",
            "The centre distance {a:.3f} mm is not above the "
            + ("sum" if side > 0 else "difference")
            + " of the base radii, {least:.3f} mm.",
            a=a,
            least=least,
        ),
        *flagged(
            short,
            Level.STOP,
            "pair.contact_ratio",
            "The transverse contact ratio ε_α = {ratio:.3f} is below 1: contact is lost between the teeth.",
            ratio=values["transverse_contact_ratio"],
        ),
        *flagged(
            jammed,
            Level.STOP,
            "pair.backlash",
            "No backlash: the nominal teeth overlap by {overlap:.4f} mm normal to the flank.",
            overlap=overlap,
        ),
        *_small_overlap(~jammed & (overlap > TOUCH * m_n), overlap),
        *_names(values),
    ]
    fouled = np.asarray(side * values.get("tip_passage_mm", array(0.0)) > 0.0)
    if side < 0:
        found += passage_notices(values)
    return tuple(found), any_of(apart, short, jammed, fouled)


def _small_overlap(tight: Mask, overlap: Array) -> Iterator[Notice]:
    text = (
        "The nominal teeth overlap by {overlap:.4f} mm normal to the flank, as from rounded profile shifts; "
        "the tooth thickness allowances must give that and the backlash."
    )
    return flagged(tight, Level.NOTE, "pair.overlap", text, overlap=overlap)


def _names(values: dict[str, Any]) -> Iterator[Notice]:
    z_1, z_2 = values["pinion_teeth"], values["wheel_teeth"]
    text = "The gear named pinion has {z_1:.0f} teeth, more than the {z_2:.0f} of the wheel."
    return flagged(z_1 > z_2, Level.NOTE, "pair.names", text, z_1=z_1, z_2=z_2)
