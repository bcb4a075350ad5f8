"""Tooth thickness and how it is measured: chordal, span over teeth, over balls or pins."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.faults import need_numbers
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.gear.notices import flagged

THICKNESS = Method(
    key="iso21771.thickness",
    title="Nominal tooth thickness of an external gear and its measures",
    source="ISO 21771",
    edition="2007",
    clause="tooth thickness, base tangent length, dimension over balls",
    status=Status.FROM_MEMORY,
    implements=(
        "normal and chordal thickness; span over k teeth; over balls; over pins with an even tooth number",
    ),
    leaves_out=("internal gears; helical gears with an odd number of teeth over pins; allowances",),
    departures=("The chordal thickness of a helical gear is that of a spur gear with z/cos³β teeth.",),
)


class MeasuringBody(StrEnum):
    """What is laid in the tooth spaces."""

    BALLS = "balls"
    PINS = "pins"


@dataclass(frozen=True, kw_only=True)
class ChordalThickness(Result):
    """Tooth thickness at the reference circle, in the normal section."""

    method: ClassVar[Method] = THICKNESS
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    teeth: Number = term("Number of teeth", "z")
    profile_shift: Number = term("Profile shift coefficient", "x")
    addendum_mm: Number = term("Addendum, from the reference circle", "h_a", "mm")
    thickness_mm: Number = term("Normal tooth thickness", "s_n", "mm", "m_n·(π/2 + 2·x·tan(α_n))", digits=6)
    virtual_teeth: Number = term("Number of teeth of the normal section", "z_v", "", "z/cos(β)³", digits=6)
    half_angle_deg: Number = term("Half the tooth angle", "ψ", "°", "s_n/(m_n·z_v)", digits=6)
    chord_mm: Number = term("Chordal thickness", "s_c", "mm", "m_n·z_v·sin(ψ)", digits=6)
    height_mm: Number = term("Height above the chord", "h_c", "mm", "h_a + m_n·z_v·(1 - cos(ψ))/2", digits=6)


@dataclass(frozen=True, kw_only=True)
class Span(Result):
    """The span over k teeth, and the circle on which the anvils touch."""

    method: ClassVar[Method] = THICKNESS
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    teeth: Number = term("Number of teeth", "z")
    profile_shift: Number = term("Profile shift coefficient", "x")
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
class OverBodies(Result):
    """The dimension over two balls or pins."""

    method: ClassVar[Method] = THICKNESS
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    teeth: Number = term("Number of teeth", "z")
    profile_shift: Number = term("Profile shift coefficient", "x")
    body_diameter_mm: Number = term("Diameter of ball or pin", "D_M", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
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
    dimension_mm: Number = term(
        "Dimension over both",
        "M_d",
        "mm",
        words="d_K + D_M with an even number of teeth; d_K·cos(90°/z) + D_M with an odd one",
        digits=6,
    )


def chordal_thickness(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    addendum_mm: Number,
) -> ChordalThickness:
    """Return tooth thickness, chord and height above the chord in the normal section.

    s_n = m_n·(π/2 + 2·x·tan α_n); z_v = z/cos³β; s_c = m_n·z_v·sin ψ; h_c = h_a + m_n·z_v·(1 - cos ψ)/2.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    addendum_mm : float or array
        h_a from the reference circle to the tip in mm.

    Returns
    -------
    ChordalThickness
        Lengths in mm.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears.
    Departures: spur gear with z/cos³β teeth in place of the normal section.
    Checked: GEO-04, GEO-05, GEO-06.

    Examples
    --------
    >>> round(chordal_thickness(normal_module_mm=10, pressure_angle_deg=20, helix_angle_deg=0, teeth=12,
    ...                         profile_shift=0.3, addendum_mm=13).chord_mm, 4)
    17.8256
    """
    given = {**_rack(normal_module_mm, pressure_angle_deg, helix_angle_deg), **_gear(teeth, profile_shift)}
    given["addendum_mm"] = addendum_mm
    m_n, alpha_n, beta, z, x = _checked(given)
    s_n = m_n * (np.pi / 2.0 + 2.0 * x * np.tan(alpha_n))
    z_v = z / np.cos(beta) ** 3
    half = s_n / (m_n * z_v)
    return ChordalThickness(
        **given,
        thickness_mm=s_n,
        virtual_teeth=z_v,
        half_angle_deg=np.degrees(half),
        chord_mm=m_n * z_v * np.sin(half),
        height_mm=array(addendum_mm) + m_n * z_v * (1.0 - np.cos(half)) / 2.0,
    )


def span(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    span_teeth: Number,
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

    Returns
    -------
    Span
        With the diameter on which the anvils touch and the face width that a helical gear needs.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears; the diameter on which the anvils touch must lie on the involute.
    Departures: none known.
    Checked: GEO-10, GEO-11.

    Examples
    --------
    >>> round(span(normal_module_mm=3, pressure_angle_deg=20, helix_angle_deg=0, teeth=24,
    ...            profile_shift=0.4, span_teeth=4).span_mm, 4)
    32.8266
    """
    given = {**_rack(normal_module_mm, pressure_angle_deg, helix_angle_deg), **_gear(teeth, profile_shift)}
    given["span_teeth"] = span_teeth
    m_n, alpha_n, beta, z, x = _checked(given)
    alpha_t = np.arctan(np.tan(alpha_n) / np.cos(beta))
    beta_b = np.arcsin(np.sin(beta) * np.cos(alpha_n))
    d_b = z * m_n * np.cos(alpha_t) / np.cos(beta)
    rolled = np.pi * (array(span_teeth) - 0.5) + z * involute(alpha_t)
    length = m_n * np.cos(alpha_n) * rolled + 2.0 * x * m_n * np.sin(alpha_n)
    return Span(
        **given,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        base_helix_angle_deg=np.degrees(beta_b),
        base_diameter_mm=d_b,
        span_mm=length,
        contact_diameter_mm=np.hypot(d_b, length * np.cos(beta_b)),
        least_face_width_mm=length * np.sin(beta_b),
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
) -> OverBodies:
    """Return the dimension over two balls or pins.

    inv α_K = inv α_t + D_M/(m_n·z·cos α_n) - π/(2·z) + 2·x·tan α_n/z; d_K = d_b/cos α_K; M = d_K + D_M, and
    d_K·cos(90°/z) + D_M with an odd number of teeth.

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

    Returns
    -------
    OverBodies
        A stop notice and no dimension over pins on a helical gear with an odd number of teeth, and where
        the body drops below the base circle.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears; the body must touch the involute and stand proud of the tip.
    Departures: helical gears with an odd number of teeth over pins are left out.
    Checked: GEO-13, GEO-14.

    Examples
    --------
    >>> round(dimension_over_bodies(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, teeth=20,
    ...     profile_shift=0, body_diameter_mm=1.7, body=MeasuringBody.PINS).dimension_mm, 4)
    22.2941
    """
    given = {**_rack(normal_module_mm, pressure_angle_deg, helix_angle_deg), **_gear(teeth, profile_shift)}
    given["body_diameter_mm"] = body_diameter_mm
    m_n, alpha_n, beta, z, x = _checked(given)
    alpha_t = np.arctan(np.tan(alpha_n) / np.cos(beta))
    d_b = z * m_n * np.cos(alpha_t) / np.cos(beta)
    added = array(body_diameter_mm) / (m_n * np.cos(alpha_n)) - np.pi / 2.0 + 2.0 * x * np.tan(alpha_n)
    inv_K = involute(alpha_t) + added / z
    alpha_K = involute_angle(inv_K)
    d_K = d_b / np.cos(alpha_K)
    odd = np.mod(z, 2.0) == 1.0
    unbuilt = odd & (beta > 0.0) & (body is MeasuringBody.PINS)
    dimension = d_K * np.where(odd, np.cos(np.pi / (2.0 * z)), 1.0) + array(body_diameter_mm)
    pins = (
        "Over pins on a helical gear with an odd number of teeth ({z:.0f}) is not built; measure over balls."
    )
    deep = "A body of {D:.3f} mm drops below the base circle (inv α_K = {inv:.5f}, above 0 needed)."
    return OverBodies(
        **given,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        base_diameter_mm=d_b,
        centre_involute=inv_K,
        centre_angle_deg=np.degrees(alpha_K),
        centre_diameter_mm=d_K,
        dimension_mm=np.where(unbuilt, np.nan, dimension),
        notices=(
            *flagged(unbuilt, Level.STOP, "over_bodies.odd_helical", pins, z=z),
            *flagged(inv_K < 0, Level.STOP, "over_bodies.deep", deep, D=body_diameter_mm, inv=inv_K),
        ),
    )


def _rack(module: Number, pressure_angle: Number, helix_angle: Number) -> dict[str, Number]:
    return {
        "normal_module_mm": module,
        "pressure_angle_deg": pressure_angle,
        "helix_angle_deg": helix_angle,
    }


def _gear(teeth: Number, shift: Number) -> dict[str, Number]:
    return {"teeth": teeth, "profile_shift": shift}


def _checked(given: dict[str, Number]) -> tuple[Array, Array, Array, Array, Array]:
    """Return m_n, α_n, β (radians), z and x once every argument can be used."""
    faults = Faults()
    need_numbers(faults, **given)
    faults.check()
    return (
        array(given["normal_module_mm"]),
        np.radians(array(given["pressure_angle_deg"])),
        np.radians(array(given["helix_angle_deg"])),
        array(given["teeth"]),
        array(given["profile_shift"]),
    )
