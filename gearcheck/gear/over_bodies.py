"""The dimension over two balls or pins in the spaces of an external gear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.inputs import MeasuringBody
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.gear.measured import ToothTerms, flank_of, tooth_arguments
from gearcheck.gear.notices import Mask, any_of, flagged

SLIDE_STEPS = 25
"""Steps of Newton's rule for the slide of a pin; it runs down to the root from above."""

OVER = Method(
    key="iso21771.over_bodies",
    title="Dimension over balls or pins of an external gear",
    source="ISO 21771",
    edition="2007",
    clause="dimension over balls and over rollers",
    status=Status.FROM_MEMORY,
    implements=(
        "two balls or two pins, even and odd numbers of teeth, spur and helical; where the bodies touch",
    ),
    leaves_out=("one ball and the bore; three pins",),
    departures=(
        "Over pins in a helical gear with an odd number of teeth one pin slides along its space until the "
        "axes are closest: the dimension is the least that flat anvils find.",
        "A pin is as long as the place asks for where the anvils touch it.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class OverBodies(ToothTerms, Result):
    """The dimension over two balls or pins."""

    method: ClassVar[Method] = OVER
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
        "inv(α_t) + D_M/(m_n·z·cos(α_n)) - π/(2·z) + 2·x·tan(α_n)/z",
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
        "√(d_b² + (d_b·tan(α_K) - D_M·cos(β_b))²)",
        digits=6,
    )
    centre_helix_angle_deg: Number = term(
        "Helix angle on the circle of centres", "β_K", "°", "atan(d_K·sin(β)/(z·m_n))", digits=6
    )
    slide_deg: Number = term(
        "Angle by which a pin slides along its space",
        "λ",
        "°",
        words="the root of λ = tan²β_K·sin(180°/z + λ) over pins with an odd number of teeth; else 0",
    )
    dimension_mm: Number = term(
        "Dimension over both",
        "M_d",
        "mm",
        words="d_K + D_M with an even number of teeth; d_K·cos(90°/z) + D_M with an odd one; over pins in a "
        "helical gear with an odd one d_K·√(cos²(90°/z + λ/2) + tan²β_K·sin²(180°/z + λ)/4) + D_M",
        digits=6,
    )


def dimension_over_bodies(
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
) -> OverBodies:
    """Return the dimension over two balls or pins.

    inv α_K = inv α_t + D_M/(m_n·z·cos α_n) - π/(2·z) + 2·x·tan α_n/z; d_K = d_b/cos α_K; M = d_K + D_M, and
    d_K·cos(90°/z) + D_M with an odd number of teeth. Over pins in a helical gear with an odd number one pin
    slides by λ = tan²β_K·sin(180°/z + λ).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    body_diameter_mm : float or array
        D_M in mm.
    body : MeasuringBody
        Balls or pins.
    form_diameter_mm, tip_diameter_mm : float, array or None
        Between which the bodies have to touch, in mm; None where that is not to be looked at.

    Returns
    -------
    OverBodies
        A stop notice and no dimension where the body drops below the base circle, touches off the involute
        or does not reach past the tip circle, and where pins slide along the spaces of a steep gear.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears; the body must touch the involute and stand proud of the tip.
    Departures: the least dimension that flat anvils find over pins with an odd number of teeth.
    Checked: GEO-13, GEO-14, OVER-01, OVER-02.

    Examples
    --------
    >>> round(dimension_over_bodies(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, teeth=20,
    ...     profile_shift=0, body_diameter_mm=1.7, body=MeasuringBody.PINS).dimension_mm, 4)
    22.2941
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given["body_diameter_mm"] = body_diameter_mm
    flank, D_M = flank_of(given), array(body_diameter_mm)
    z, alpha_n, d_b = flank.teeth, flank.pressure_angle, flank.base_diameter
    added = D_M / (flank.module * np.cos(alpha_n)) - np.pi / 2.0 + 2.0 * flank.shift * np.tan(alpha_n)
    inv_K = involute(flank.transverse_angle) + added / z
    alpha_K = involute_angle(inv_K)
    d_K = d_b / np.cos(alpha_K)
    rolled = d_b * np.tan(alpha_K) - D_M * np.cos(flank.base_helix)
    tangent = d_K * np.sin(flank.helix_angle) / (z * flank.module)
    share, slide = across(z, tangent, body)
    touching = np.where(rolled >= 0.0, np.hypot(d_b, rolled), 0.0)
    limits = (array(form_diameter_mm), array(tip_diameter_mm))
    notices, stopped = _notices(D_M, inv_K, touching, d_K, share, *limits)
    return OverBodies(
        **given,
        transverse_pressure_angle_deg=np.degrees(flank.transverse_angle),
        base_helix_angle_deg=np.degrees(flank.base_helix),
        base_diameter_mm=d_b,
        centre_involute=inv_K,
        centre_angle_deg=np.degrees(alpha_K),
        centre_diameter_mm=d_K,
        contact_diameter_mm=np.hypot(d_b, rolled),
        centre_helix_angle_deg=np.degrees(np.arctan(tangent)),
        slide_deg=np.degrees(slide),
        dimension_mm=np.where(stopped, np.nan, d_K * share + D_M),
        notices=notices,
    )


def across(teeth: Array, tangent: Array, body: MeasuringBody) -> tuple[Array, Array]:
    """Return the distance of the two centres as a share of the circle of centres, and the slide of a pin.

    Parameters
    ----------
    teeth : array
        z.
    tangent : array
        tan β_K.
    body : MeasuringBody
        Balls or pins.

    Returns
    -------
    share, slide : tuple of array
        1 with an even number of teeth; λ in radians. NaN over pins with an odd number where β_K reaches 45°:
        there the pins slide away.
    """
    odd = np.mod(teeth, 2.0) == 1.0
    if body is MeasuringBody.BALLS:
        share = np.where(odd, np.cos(np.pi / (2.0 * teeth)), 1.0)
        return share, share * 0.0
    square, start = np.where(tangent < 1.0, tangent**2, np.nan), np.pi / teeth
    slide = square + 0.0 * start
    for _ in range(SLIDE_STEPS):
        turned = start + slide
        slide = slide - (slide - square * np.sin(turned)) / (1.0 - square * np.cos(turned))
    turned = start + slide
    distance = np.sqrt(np.cos(turned / 2.0) ** 2 + square * np.sin(turned) ** 2 / 4.0)
    return np.where(odd, distance, 1.0), np.where(odd, slide, 0.0)


def _notices(
    size: Array, inv_K: Array, touching: Array, centres: Array, share: Array, form: Array, tip: Array
) -> tuple[tuple[Notice, ...], Mask]:
    """Return why the bodies cannot measure this tooth, and where; NaN limits say nothing."""
    deep, steep = inv_K < 0.0, np.isnan(share)
    low, high, sunk = touching < form, touching > tip, centres + size <= tip
    below = "A body of {D:.3f} mm drops below the base circle (inv α_K = {inv:.5f}, above 0 needed)."
    slides = (
        "Pins slide along the spaces of a helical gear with an odd number of teeth where its helix angle "
        "reaches 45°; measure over balls."
    )
    foot = (
        "A body of {D:.3f} mm touches on {d:.3f} mm diameter, below the form circle of {form:.3f} mm: a "
        "larger body is needed."
    )
    head = (
        "A body of {D:.3f} mm touches on {d:.3f} mm diameter, outside the tip circle of {tip:.3f} mm: a "
        "smaller body is needed."
    )
    inside = (
        "A body of {D:.3f} mm reaches {top:.3f} mm diameter only, not past the tip circle of {tip:.3f} mm: a "
        "larger body is needed."
    )
    found = (
        *flagged(deep, Level.STOP, "over_bodies.deep", below, D=size, inv=inv_K),
        *flagged(steep, Level.STOP, "over_bodies.steep", slides),
        *flagged(low & ~deep, Level.STOP, "over_bodies.below_form", foot, D=size, d=touching, form=form),
        *flagged(high, Level.STOP, "over_bodies.above_tip", head, D=size, d=touching, tip=tip),
        *flagged(sunk, Level.STOP, "over_bodies.sunk", inside, D=size, top=centres + size, tip=tip),
    )
    return found, any_of(deep, steep, low, high, sunk)
