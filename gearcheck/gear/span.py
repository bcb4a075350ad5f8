"""The span over k teeth, how many teeth to span, and the thickness that a measured span gives back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.involute import involute, root
from gearcheck.gear.measured import Flank, ToothTerms, flank_of, tooth_arguments
from gearcheck.gear.notices import Mask, any_of, flagged

SPAN = Method(
    key="iso21771.span",
    title="Span over k teeth of an external gear",
    source="ISO 21771",
    edition="2007",
    clause="base tangent length",
    status=Status.FROM_MEMORY,
    implements=(
        "span over k teeth; where the anvils touch; the face width that a helical gear needs; number of "
        "teeth to span; normal thickness from a measured span",
    ),
    leaves_out=("internal gears",),
    departures=("Profile and helix of the measured tooth are taken without deviations and modifications.",),
)


@dataclass(frozen=True, kw_only=True)
class Span(ToothTerms, Result):
    """The span over k teeth, and the circle on which the anvils touch."""

    method: ClassVar[Method] = SPAN
    span_teeth: Number = term("Number of teeth spanned", "k")
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", "z·m_n·cos(α_t)/cos(β)", digits=6)
    span_mm: Number = term(
        "Span",
        "W_k",
        "mm",
        "m_n·cos(α_n)·(π·(k - 0.5) + z·inv(α_t)) + 2·x·m_n·sin(α_n)",
        digits=6,
    )
    contact_diameter_mm: Number = term(
        "Diameter on which the anvils touch", "d_M", "mm", "√(d_b² + (W_k·cos(β_b))²)", digits=6
    )
    least_face_width_mm: Number = term("Face width that the span needs", "b_M", "mm", "W_k·sin(β_b)")


@dataclass(frozen=True, kw_only=True)
class SpanThickness(ToothTerms, Result):
    """The tooth thickness that a measured span stands for."""

    method: ClassVar[Method] = SPAN
    profile_shift: Number = term("Profile shift coefficient, nominal", "x")
    span_teeth: Number = term("Number of teeth spanned", "k")
    span_mm: Number = term("Span, measured", "W_k", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    generating_shift: Number = term(
        "Generating profile shift",
        "x_E",
        "",
        "(W_k - m_n·cos(α_n)·(π·(k - 0.5) + z·inv(α_t)))/(2·m_n·sin(α_n))",
        digits=6,
    )
    thickness_mm: Number = term("Normal tooth thickness", "s_n", "mm", "m_n·(π/2 + 2·x_E·tan(α_n))", digits=6)
    allowance_mm: Number = term("Allowance of the normal thickness", "A_sn", "mm", "2·m_n·tan(α_n)·(x_E - x)")


def span(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    span_teeth: Number,
    form_diameter_mm: Number = None,
    tip_diameter_mm: Number = None,
    face_width_mm: Number = None,
) -> Span:
    """Return the span over k teeth (base tangent length).

    W_k = m_n·cos α_n·[π·(k - 0.5) + z·inv α_t] + 2·x·m_n·sin α_n.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    span_teeth : int or array
        k.
    form_diameter_mm, tip_diameter_mm : float, array or None
        Between which the anvils have to touch, in mm; None where that is not to be looked at.
    face_width_mm : float, array or None
        Face width b in mm; None likewise.

    Returns
    -------
    Span
        With the diameter on which the anvils touch and the face width that a helical gear needs; a stop, and
        no span, where the anvils do not touch on the involute or the face is too narrow.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears.
    Departures: none known.
    Checked: GEO-10, GEO-11.

    Examples
    --------
    >>> round(span(normal_module_mm=3, pressure_angle_deg=20, helix_angle_deg=0, teeth=24,
    ...            profile_shift=0.4, span_teeth=4).span_mm, 4)
    32.8266
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given["span_teeth"] = span_teeth
    flank = flank_of(given)
    m_n, alpha_n, d_b = flank.module, flank.pressure_angle, flank.base_diameter
    cos_b, sin_b = np.cos(flank.base_helix), np.sin(flank.base_helix)
    length = m_n * np.cos(alpha_n) * _rolled(flank, array(span_teeth))
    length = length + 2.0 * flank.shift * m_n * np.sin(alpha_n)
    limits = (array(form_diameter_mm), array(tip_diameter_mm), array(face_width_mm))
    notices, stopped = _notices(length, np.hypot(d_b, length * cos_b), length * sin_b, *limits)
    length = np.where(stopped, np.nan, length)
    return Span(
        **given,
        transverse_pressure_angle_deg=np.degrees(flank.transverse_angle),
        base_helix_angle_deg=np.degrees(flank.base_helix),
        base_diameter_mm=d_b,
        span_mm=length,
        contact_diameter_mm=np.hypot(d_b, length * cos_b),
        least_face_width_mm=length * sin_b,
        notices=notices,
    )


def span_teeth_proposed(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    face_width_mm: Number = None,
) -> Array:
    """Return how many teeth to span so that the anvils touch near the middle of the tooth, at d + 2·x·m_n.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    face_width_mm : float, array or None
        Face width b in mm: a helical gear too narrow for the best number gets the largest that fits.

    Returns
    -------
    array
        k, a whole number of 2 or more; NaN where the face is too narrow for two teeth, and where d + 2·x·m_n
        lies inside the base circle.

    Examples
    --------
    >>> float(span_teeth_proposed(normal_module_mm=3, pressure_angle_deg=20, helix_angle_deg=0, teeth=24,
    ...                           profile_shift=0.4))
    4.0
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    flank = flank_of(given)
    middle = flank.teeth * flank.module / np.cos(flank.helix_angle) + 2.0 * flank.shift * flank.module
    wanted = root(middle**2 - flank.base_diameter**2) / np.cos(flank.base_helix)
    best = np.maximum(np.round(_teeth_in(flank, wanted)), 2.0)
    if face_width_mm is None:
        return np.asarray(best)
    with np.errstate(divide="ignore"):  # a spur gear can be as narrow as it likes
        widest = array(face_width_mm) / np.sin(flank.base_helix)
    fitting = np.minimum(best, np.floor(_teeth_in(flank, widest)))
    return np.where(fitting >= 2.0, fitting, np.nan)


def thickness_from_span(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    span_teeth: Number,
    span_mm: Number,
) -> SpanThickness:
    """Return the normal tooth thickness of a gear from its measured span.

    x_E = [W_k - m_n·cos α_n·(π·(k - 0.5) + z·inv α_t)]/(2·m_n·sin α_n); s_n = m_n·(π/2 + 2·x_E·tan α_n).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z, and x of the nominal tooth.
    span_teeth : int or array
        k.
    span_mm : float or array
        Measured W_k in mm.

    Returns
    -------
    SpanThickness
        With the allowance against the nominal tooth.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears.
    Departures: none known.
    Checked: BACK-01, and as the inverse of `span`.

    Examples
    --------
    >>> round(thickness_from_span(normal_module_mm=3, pressure_angle_deg=20, helix_angle_deg=0, teeth=24,
    ...                           profile_shift=0.4, span_teeth=4, span_mm=32.8266).generating_shift, 4)
    0.4
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given |= {"span_teeth": span_teeth, "span_mm": span_mm}
    flank = flank_of(given)
    m_n, alpha_n, x = flank.module, flank.pressure_angle, flank.shift
    without = m_n * np.cos(alpha_n) * _rolled(flank, array(span_teeth))
    x_E = (array(span_mm) - without) / (2.0 * m_n * np.sin(alpha_n))
    return SpanThickness(
        **given,
        transverse_pressure_angle_deg=np.degrees(flank.transverse_angle),
        generating_shift=x_E,
        thickness_mm=m_n * (np.pi / 2.0 + 2.0 * x_E * np.tan(alpha_n)),
        allowance_mm=2.0 * m_n * np.tan(alpha_n) * (x_E - x),
    )


def _rolled(flank: Flank, k: Array) -> Array:
    return np.asarray(np.pi * (k - 0.5) + flank.teeth * involute(flank.transverse_angle))


def _teeth_in(flank: Flank, length: Array) -> Array:
    """How many teeth a span of this length holds, as a real number."""
    shifted = length - 2.0 * flank.shift * flank.module * np.sin(flank.pressure_angle)
    pitches = shifted / (flank.module * np.cos(flank.pressure_angle))
    return np.asarray((pitches - _rolled(flank, array(0.0))) / np.pi)


def _notices(
    length: Array, touching: Array, needed: Array, form: Array, tip: Array, width: Array
) -> tuple[tuple[Notice, ...], Mask]:
    """Return why the span cannot be measured, and where; what is not known is NaN and says nothing."""
    low, high, narrow = touching < form, touching > tip, width < needed
    below = (
        "The anvils touch on {d:.3f} mm diameter, below the form circle of {form:.3f} mm: span more teeth."
    )
    above = (
        "The anvils touch on {d:.3f} mm diameter, outside the tip circle of {tip:.3f} mm: span fewer teeth."
    )
    wide = (
        "A span of {length:.3f} mm needs a face of {needed:.1f} mm, and the gear has {width:.1f} mm: span "
        "fewer teeth, or measure over balls."
    )
    found = (
        *flagged(low, Level.STOP, "span.below_form", below, d=touching, form=form),
        *flagged(high, Level.STOP, "span.above_tip", above, d=touching, tip=tip),
        *flagged(narrow, Level.STOP, "span.narrow", wide, length=length, needed=needed, width=width),
    )
    return found, any_of(low, high, narrow)
