"""The dimension between two balls or pins in the spaces of an internal gear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.inputs import MeasuringBody
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.gear.measured import Flank, ToothTerms, flank_of, tooth_arguments
from gearcheck.gear.notices import Mask, any_of, flagged

BETWEEN = Method(
    key="iso21771.between_bodies",
    title="Dimension between balls or pins of an internal gear",
    source="ISO 21771",
    edition="2007",
    clause="dimension between balls, negative number of teeth",
    status=Status.FROM_MEMORY,
    implements=("two balls, or two pins in a spur gear; even and odd numbers of teeth",),
    leaves_out=("pins in helical gears, whose hollow flanks a straight pin meets at its ends alone: a stop",),
    departures=("Teeth and dimensions are positive numbers; the profile shift has the sign of ISO 21771.",),
)


@dataclass(frozen=True, kw_only=True)
class BetweenBodies(ToothTerms, Result):
    """The dimension between two balls or pins."""

    method: ClassVar[Method] = BETWEEN
    body_diameter_mm: Number = term("Diameter of ball or pin", "D_M", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", "z·m_n·cos(α_t)/cos(β)", digits=6)
    centre_involute: Number = term(
        "Involute of the angle at the centre of the body",
        "inv_K",
        "",
        "inv(α_t) - D_M/(m_n·z·cos(α_n)) + π/(2·z) - 2·x·tan(α_n)/z",
        digits=6,
    )
    centre_angle_deg: Number = term(
        "Pressure angle at the centre of the body",
        "α_K",
        "°",
        words="the angle whose involute is inv_K",
        digits=6,
    )
    centre_diameter_mm: Number = term(
        "Diameter of the circle of centres", "d_K", "mm", "d_b/cos(α_K)", digits=6
    )
    contact_diameter_mm: Number = term(
        "Diameter on which the bodies touch",
        "d_M",
        "mm",
        "√(d_b² + (d_b·tan(α_K) + D_M·cos(β_b))²)",
        digits=6,
    )
    dimension_mm: Number = term(
        "Dimension between both",
        "M_d",
        "mm",
        words="d_K - D_M with an even number of teeth; d_K·cos(90°/z) - D_M with an odd one",
        digits=6,
    )


def dimension_between_bodies(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    body_diameter_mm: Number,
    body: MeasuringBody,
    form_diameter_mm: Number = None,
    tip_diameter_mm: Number = None,
) -> BetweenBodies:
    """Return the dimension between two balls or pins in an internal gear.

    inv α_K = inv α_t - D_M/(m_n·z·cos α_n) + π/(2·z) - 2·x·tan α_n/z; d_K = d_b/cos α_K; M = d_K - D_M, and
    d_K·cos(90°/z) - D_M with an odd number of teeth.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z as a positive number, and x with the sign of ISO 21771: positive for a thicker tooth.
    body_diameter_mm : float or array
        D_M in mm.
    body : MeasuringBody
        Balls or pins.
    form_diameter_mm, tip_diameter_mm : float, array or None
        Between which the bodies have to touch, in mm; None where that is not to be looked at.

    Returns
    -------
    BetweenBodies
        A stop notice and no dimension with pins in a helical gear, and where the body is too large for the
        space, touches off the involute or does not reach inside the tip circle.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: internal gears; the body must touch the involute and stand proud of the tip.
    Departures: pins in helical gears are left out.
    Checked: BETWEEN-01, BETWEEN-02.

    Examples
    --------
    >>> round(dimension_between_bodies(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, teeth=40,
    ...     profile_shift=0.1, body_diameter_mm=1.9, body=MeasuringBody.PINS).dimension_mm, 4)
    36.2701
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given["body_diameter_mm"] = body_diameter_mm
    flank, size = flank_of(given), array(body_diameter_mm)
    z, alpha_n, d_b = flank.teeth, flank.pressure_angle, flank.base_diameter
    added = np.pi / 2.0 - size / (flank.module * np.cos(alpha_n)) - 2.0 * flank.shift * np.tan(alpha_n)
    inv_K = involute(flank.transverse_angle) + added / z
    alpha_K = involute_angle(inv_K)
    d_K = d_b / np.cos(alpha_K)
    share = np.where(np.mod(z, 2.0) == 1.0, np.cos(np.pi / (2.0 * z)), 1.0)
    touching = np.hypot(d_b, d_b * np.tan(alpha_K) + size * np.cos(flank.base_helix))
    unbuilt = np.asarray((flank.helix_angle > 0.0) & (body is MeasuringBody.PINS))
    limits = (array(form_diameter_mm), array(tip_diameter_mm))
    notices, stopped = _notices(flank, size, unbuilt, inv_K, touching, d_K, *limits)
    return BetweenBodies(
        **given,
        transverse_pressure_angle_deg=np.degrees(flank.transverse_angle),
        base_helix_angle_deg=np.degrees(flank.base_helix),
        base_diameter_mm=d_b,
        centre_involute=inv_K,
        centre_angle_deg=np.degrees(alpha_K),
        centre_diameter_mm=d_K,
        contact_diameter_mm=touching,
        dimension_mm=np.where(stopped, np.nan, d_K * share - size),
        notices=notices,
    )


def _notices(
    flank: Flank,
    size: Array,
    unbuilt: Mask,
    inv_K: Array,
    touching: Array,
    centres: Array,
    form: Array,
    tip: Array,
) -> tuple[tuple[Notice, ...], Mask]:
    """Return why the bodies cannot measure this gear, and where; NaN limits say nothing."""
    large, outer, inner = inv_K < 0.0, touching > form, touching < tip
    sunk = centres - size >= tip
    pins = (
        "A straight pin does not lie against the hollow flanks of a helical internal gear ({beta:.2f}°); "
        "measure between balls."
    )
    wide = "A body of {D:.3f} mm is too large for the space (inv α_K = {inv:.5f}, above 0 needed)."
    foot = (
        "A body of {D:.3f} mm touches on {d:.3f} mm diameter, outside the form circle of {form:.3f} mm: a "
        "larger body is needed."
    )
    head = (
        "A body of {D:.3f} mm touches on {d:.3f} mm diameter, inside the tip circle of {tip:.3f} mm: a "
        "smaller body is needed."
    )
    hidden = (
        "A body of {D:.3f} mm reaches in to {top:.3f} mm diameter only, not past the tip circle of "
        "{tip:.3f} mm: a larger body is needed."
    )
    beta = np.degrees(flank.helix_angle)
    found = (
        *flagged(unbuilt, Level.STOP, "between_bodies.helical_pins", pins, beta=beta),
        *flagged(large, Level.STOP, "between_bodies.large", wide, D=size, inv=inv_K),
        *flagged(outer, Level.STOP, "between_bodies.beyond_form", foot, D=size, d=touching, form=form),
        *flagged(inner, Level.STOP, "between_bodies.inside_tip", head, D=size, d=touching, tip=tip),
        *flagged(sunk, Level.STOP, "between_bodies.sunk", hidden, D=size, top=centres - size, tip=tip),
    )
    return found, any_of(unbuilt, large, outer, inner, sunk)
