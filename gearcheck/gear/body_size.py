"""The ball or pin to measure a gear with, and the thickness that a measured dimension gives back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.between import BETWEEN
from gearcheck.gear.inputs import MeasuringBody
from gearcheck.gear.involute import arc_cosine, involute, root
from gearcheck.gear.measured import Flank, ToothTerms, flank_of, tooth_arguments
from gearcheck.gear.notices import flagged
from gearcheck.gear.over_bodies import OVER, across

STEPS = 20
"""Steps of Newton's rule, and of the search for the circle of centres over sliding pins."""


@dataclass(frozen=True, kw_only=True)
class BodiesThickness(ToothTerms, Result):
    """The tooth thickness that a measured dimension over two balls or pins stands for."""

    method: ClassVar[Method] = OVER
    profile_shift: Number = term("Profile shift coefficient, nominal", "x")
    body_diameter_mm: Number = term("Diameter of ball or pin", "D_M", "mm", digits=6)
    dimension_mm: Number = term("Dimension, measured", "M_d", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    centre_diameter_mm: Number = term(
        "Diameter of the circle of centres", "d_K", "mm", words="from M_d, as the dimension is made", digits=6
    )
    centre_angle_deg: Number = term(
        "Pressure angle at the centre of the body", "α_K", "°", "acos(z·m_n·cos(α_t)/(cos(β)·d_K))", digits=6
    )
    generating_shift: Number = term(
        "Generating profile shift",
        "x_E",
        "",
        "(z·(inv(α_K) - inv(α_t)) - D_M/(m_n·cos(α_n)) + π/2)/(2·tan(α_n))",
        digits=6,
    )
    thickness_mm: Number = term("Normal tooth thickness", "s_n", "mm", "m_n·(π/2 + 2·x_E·tan(α_n))", digits=6)
    allowance_mm: Number = term("Allowance of the normal thickness", "A_sn", "mm", "2·m_n·tan(α_n)·(x_E - x)")


@dataclass(frozen=True, kw_only=True)
class InnerThickness(BodiesThickness):
    """The tooth thickness that a measured dimension between two balls or pins stands for."""

    method: ClassVar[Method] = BETWEEN
    generating_shift: Number = term(
        "Generating profile shift",
        "x_E",
        "",
        "(z·(inv(α_t) - inv(α_K)) - D_M/(m_n·cos(α_n)) + π/2)/(2·tan(α_n))",
        digits=6,
    )


def body_diameter_proposed(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    internal: bool,
) -> Array:
    """Return the diameter of the ball or pin that touches near the middle of the tooth, at d + 2·x·m_n.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    internal : bool
        Whether the teeth point inwards; the circle is then d - 2·x·m_n.

    Returns
    -------
    array
        D_M in mm, to be taken to the next size at hand; NaN where that circle lies inside the base circle.

    Examples
    --------
    >>> round(float(body_diameter_proposed(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0,
    ...                                    teeth=20, profile_shift=0, internal=False)), 3)
    1.724
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    flank, side = flank_of(given), -1.0 if internal else 1.0
    middle = flank.teeth * flank.module / np.cos(flank.helix_angle)
    middle = middle + side * 2.0 * flank.shift * flank.module
    touching = root(middle**2 - flank.base_diameter**2) / flank.base_diameter  # tan of its pressure angle
    half = np.pi / 2.0 - 2.0 * flank.shift * np.tan(flank.pressure_angle)
    offset = half / flank.teeth - side * involute(flank.transverse_angle)
    cosine = np.cos(flank.base_helix)
    ratio = touching * 0.0
    for _ in range(STEPS):  # ratio: D_M/d_b
        centre = touching + side * ratio * cosine
        over = ratio * (1.0 / cosine - cosine) + side * np.arctan(centre) - side * touching - offset
        ratio = ratio - over / (1.0 / cosine - cosine + cosine / (1.0 + centre**2))
    return np.asarray(np.where(ratio > 0.0, ratio * flank.base_diameter, np.nan))


def thickness_from_bodies(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    body_diameter_mm: Number,
    body: MeasuringBody,
    dimension_mm: Number,
    internal: bool,
) -> BodiesThickness:
    """Return the normal tooth thickness of a gear from its measured dimension over or between two bodies.

    cos α_K = d_b/d_K; x_E = [z·(inv α_K - inv α_t) - D_M/(m_n·cos α_n) + π/2]/(2·tan α_n), with the other
    sign of the first term inside; s_n = m_n·(π/2 + 2·x_E·tan α_n).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z, and x of the nominal tooth.
    body_diameter_mm : float or array
        D_M in mm.
    body : MeasuringBody
        Balls or pins.
    dimension_mm : float or array
        Measured M_d in mm.
    internal : bool
        Whether the teeth point inwards.

    Returns
    -------
    BodiesThickness
        With the allowance against the nominal tooth; a stop where no flank gives that dimension.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: as the dimension itself.
    Departures: as the dimension itself.
    Checked: BACK-02, BACK-03, and as the inverse of the dimension.

    Examples
    --------
    >>> round(thickness_from_bodies(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, teeth=20,
    ...     profile_shift=0, body_diameter_mm=1.7, body=MeasuringBody.PINS, dimension_mm=22.2941,
    ...     internal=False).thickness_mm, 4)
    1.5708
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given |= {"body_diameter_mm": body_diameter_mm, "dimension_mm": dimension_mm}
    flank, D_M, side = flank_of(given), array(body_diameter_mm), -1.0 if internal else 1.0
    m_n, alpha_n, x = flank.module, flank.pressure_angle, flank.shift
    d_K = _circle(flank, array(dimension_mm) - side * D_M, MeasuringBody.BALLS if internal else body)
    alpha_K = arc_cosine(flank.base_diameter / d_K)
    turned = side * flank.teeth * (involute(alpha_K) - involute(flank.transverse_angle))
    x_E = (turned - D_M / (m_n * np.cos(alpha_n)) + np.pi / 2.0) / (2.0 * np.tan(alpha_n))
    text = "No tooth flank gives a dimension of {M:.3f} mm with bodies of {D:.3f} mm."
    kind = InnerThickness if internal else BodiesThickness
    return kind(
        **given,
        transverse_pressure_angle_deg=np.degrees(flank.transverse_angle),
        centre_diameter_mm=d_K,
        centre_angle_deg=np.degrees(alpha_K),
        generating_shift=x_E,
        thickness_mm=m_n * (np.pi / 2.0 + 2.0 * x_E * np.tan(alpha_n)),
        allowance_mm=2.0 * m_n * np.tan(alpha_n) * (x_E - x),
        notices=tuple(flagged(np.isnan(x_E), Level.STOP, "bodies.no_thickness", text, M=dimension_mm, D=D_M)),
    )


def _circle(flank: Flank, distance: Array, body: MeasuringBody) -> Array:
    """The circle of centres of which two bodies are this far apart: its share moves little with it."""
    circle = distance
    for _ in range(STEPS):
        tangent = circle * np.sin(flank.helix_angle) / (flank.teeth * flank.module)
        circle = distance / across(flank.teeth, tangent, body)[0]
    return np.asarray(circle)
