"""The root form circle of an internal gear, as its pinion cutter leaves it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.faults import need_cutter
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.inputs import PinionCutter
from gearcheck.gear.involute import involute, involute_angle, root
from gearcheck.gear.notices import flagged

SHAPED = Method(
    key="iso21771.shaped_root",
    title="Root form circle of an internal gear cut by a pinion cutter",
    source="ISO 21771",
    edition="2007",
    clause="generating gear pair of internal gear and pinion cutter",
    status=Status.FROM_MEMORY,
    implements=("end of the involute that the flank of the cutter generates; root diameter that it leaves",),
    leaves_out=(
        "grinding stock and protuberance of the cutter: the flank stands as cut",
        "interference of cutter and gear in feeding and in running",
    ),
    departures=(
        "The round of the cutter's tip is an arc in the transverse section, touching tip circle and flank.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class ShapedRoot(Result):
    """What the cutter leaves of the root; positive numbers, profile shifts with the signs of ISO 21771."""

    method: ClassVar[Method] = SHAPED
    teeth: Number = term("Number of teeth of the internal gear", "z_2")
    profile_shift: Number = term("Profile shift coefficient of the internal gear", "x_2")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    transverse_pressure_angle_deg: Number = term("Transverse pressure angle", "α_t", "°", digits=6)
    base_diameter_mm: Number = term("Base diameter of the internal gear", "d_b2", "mm", digits=6)
    drawn_root_diameter_mm: Number = term("Root diameter of the internal gear", "d_f2", "mm", digits=6)
    cutter_teeth: Number = term("Number of teeth of the cutter", "z_0")
    cutter_shift: Number = term("Profile shift coefficient of the cutter", "x_0")
    cutter_tip_diameter_mm: Number = term("Tip diameter of the cutter", "d_a0", "mm", digits=6)
    cutter_tip_radius_mm: Number = term("Radius of the round at the cutter's tip", "ρ_a0", "mm")
    cutter_base_diameter_mm: Number = term(
        "Base diameter of the cutter", "d_b0", "mm", "d_b2·z_0/z_2", digits=6
    )
    generating_angle_deg: Number = term(
        "Generating pressure angle",
        "α_w0",
        "°",
        words="inv α_w0 = inv α_t + 2·(x_2 + x_0)·tan α_n/(z_0 - z_2), by iteration",
        digits=6,
    )
    generating_distance_mm: Number = term(
        "Generating centre distance", "a_0", "mm", "(d_b2 - d_b0)/(2·cos(α_w0))", digits=6
    )
    cutter_flank_radius_mm: Number = term(
        "Radius of curvature where the cutter's flank ends",
        "ρ_F0",
        "mm",
        "√((d_a0/2 - ρ_a0)² - d_b0²/4) + ρ_a0",
    )
    root_diameter_mm: Number = term(
        "Root diameter that the cutter leaves", "d_f0", "mm", "2·a_0 + d_a0", digits=6
    )
    form_diameter_mm: Number = term(
        "Root form diameter", "d_Ff2", "mm", "√(d_b2² + 4·(a_0·sin(α_w0) + ρ_F0)²)", digits=6
    )


def shaped_root(*, gear: GearGeometry, cutter: PinionCutter) -> ShapedRoot:
    """Return the root form circle of an internal gear, up to which its cutter makes an involute.

    d_Ff2² = d_b2² + 4·(a_0·sin α_w0 + ρ_F0)²

    Parameters
    ----------
    gear : GearGeometry
        The internal gear.
    cutter : PinionCutter
        Its pinion cutter, of the same module and pressure angle.

    Returns
    -------
    ShapedRoot
        A caution where the cutter leaves another root diameter than drawn, a stop where it has no flank or
        fits no generating position.

    Raises
    ------
    InputError
        A cutter that no formula can use, or as many teeth in it as in the gear.

    Notes
    -----
    Source: ISO 21771:2007 and the law of gearing, from memory.
    Valid for: internal gears as cut, without stock left.
    Departures: the round of the cutter's tip is an arc in the transverse section.
    Checked: SHAPED-01.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(face_width_mm=32, rack_dedendum=1.25, rack_root_radius=0.2, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=100,
    ...     pinion=Tooth(teeth=20, profile_shift=0.0, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=70, profile_shift=0.0, tip_diameter_mm=273.6, internal=True, **gear))
    >>> cutter = PinionCutter(teeth=25, profile_shift=0.0, tip_diameter_mm=110, tip_radius_mm=0.8)
    >>> root = shaped_root(gear=pair.wheel, cutter=cutter)
    >>> round(root.form_diameter_mm, 3), round(root.root_diameter_mm, 3)
    (288.038, 290.0)
    """
    faults = Faults()
    need_cutter(faults, cutter)
    fewer = bool(np.all(array(cutter.teeth) < array(gear.teeth)))
    faults.need(fewer, "cutter.teeth", cutter.teeth, "fewer teeth than the internal gear")
    faults.need(gear.internal, "gear", "external", "an internal gear")
    faults.check()
    given: dict[str, Any] = {
        "teeth": array(gear.teeth),
        "profile_shift": array(gear.profile_shift),
        "normal_module_mm": gear.normal_module_mm,
        "pressure_angle_deg": gear.pressure_angle_deg,
        "transverse_pressure_angle_deg": gear.transverse_pressure_angle_deg,
        "base_diameter_mm": array(gear.base_diameter_mm),
        "drawn_root_diameter_mm": array(gear.root_diameter_mm),
        "cutter_teeth": array(cutter.teeth),
        "cutter_shift": array(cutter.profile_shift),
        "cutter_tip_diameter_mm": array(cutter.tip_diameter_mm),
        "cutter_tip_radius_mm": array(cutter.tip_radius_mm),
    }
    steps = _steps(given)
    return ShapedRoot(**given, **steps, notices=_notices(given, steps))


def _steps(given: dict[str, Any]) -> dict[str, Array]:
    d_b2, z_0, z_2 = given["base_diameter_mm"], given["cutter_teeth"], given["teeth"]
    d_b0 = d_b2 * z_0 / z_2
    tangent = np.tan(np.radians(array(given["pressure_angle_deg"])))
    alpha_t = np.radians(array(given["transverse_pressure_angle_deg"]))
    moved = 2.0 * (given["profile_shift"] + given["cutter_shift"]) * tangent / (z_0 - z_2)
    alpha = involute_angle(involute(alpha_t) + moved)
    distance = (d_b2 - d_b0) / (2.0 * np.cos(alpha))
    corner = given["cutter_tip_radius_mm"]
    inner = given["cutter_tip_diameter_mm"] / 2.0 - corner
    flank = root(np.where(inner > 0.0, inner**2 - d_b0**2 / 4.0, np.nan)) + corner
    return {
        "cutter_base_diameter_mm": d_b0,
        "generating_angle_deg": np.degrees(alpha),
        "generating_distance_mm": distance,
        "cutter_flank_radius_mm": flank,
        "root_diameter_mm": 2.0 * distance + given["cutter_tip_diameter_mm"],
        "form_diameter_mm": np.hypot(d_b2, 2.0 * (distance * np.sin(alpha) + flank)),
    }


def _notices(given: dict[str, Any], steps: dict[str, Array]) -> tuple[Notice, ...]:
    drawn, left = given["drawn_root_diameter_mm"], steps["root_diameter_mm"]
    apart = np.abs(left - drawn) > 0.02 * array(given["normal_module_mm"])
    none = np.isnan(steps["form_diameter_mm"]) & ~np.isnan(given["base_diameter_mm"])
    return (
        *flagged(
            np.asarray(none),
            Level.STOP,
            "shaped_root.cutter",
            "The cutter with {z:.0f} teeth and {d_a:.3f} mm tip diameter has no flank that could generate "
            "the internal gear.",
            z=given["cutter_teeth"],
            d_a=given["cutter_tip_diameter_mm"],
        ),
        *flagged(
            np.asarray(apart),
            Level.CAUTION,
            "shaped_root.root_diameter",
            "The cutter leaves a root diameter of {left:.3f} mm, where {drawn:.3f} mm is drawn.",
            left=left,
            drawn=drawn,
        ),
    )
