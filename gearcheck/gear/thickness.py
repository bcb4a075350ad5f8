"""Tooth thickness in the normal section, its chord, and the profile shift that an allowance stands for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.inputs import MeasuringBody
from gearcheck.gear.involute import arc_cosine, involute
from gearcheck.gear.measured import ToothTerms, flank_of, tooth_arguments
from gearcheck.gear.notices import flagged
from gearcheck.gear.over_bodies import OverBodies, dimension_over_bodies
from gearcheck.gear.span import Span, span

__all__ = [
    "ChordAt",
    "ChordalThickness",
    "MeasuringBody",
    "OverBodies",
    "Span",
    "chord_at",
    "chordal_thickness",
    "dimension_over_bodies",
    "generating_shift",
    "span",
]

THICKNESS = Method(
    key="iso21771.thickness",
    title="Tooth thickness of an external gear and its chord",
    source="ISO 21771",
    edition="2007",
    clause="tooth thickness; thickness allowance and generating profile shift",
    status=Status.FROM_MEMORY,
    implements=("normal and chordal thickness at the reference circle and at any other",),
    leaves_out=("the chord of an internal tooth",),
    departures=(
        "The chord of a helical gear is that of a spur gear with the curvature of the normal section.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class ChordalThickness(ToothTerms, Result):
    """Tooth thickness at the reference circle, in the normal section."""

    method: ClassVar[Method] = THICKNESS
    addendum_mm: Number = term("Addendum, from the reference circle", "h_a", "mm")
    thickness_mm: Number = term("Normal tooth thickness", "s_n", "mm", "m_n·(π/2 + 2·x·tan(α_n))", digits=6)
    virtual_teeth: Number = term("Number of teeth of the normal section", "z_v", "", "z/cos(β)³", digits=6)
    half_angle_deg: Number = term("Half the tooth angle", "ψ", "°", "s_n/(m_n·z_v)", digits=6)
    chord_mm: Number = term("Chordal thickness", "s_c", "mm", "m_n·z_v·sin(ψ)", digits=6)
    height_mm: Number = term("Height above the chord", "h_c", "mm", "h_a + m_n·z_v·(1 - cos(ψ))/2", digits=6)


@dataclass(frozen=True, kw_only=True)
class ChordAt(ToothTerms, Result):
    """Tooth thickness and its chord on any circle, in the normal section."""

    method: ClassVar[Method] = THICKNESS
    diameter_mm: Number = term("Diameter of the circle", "d_y", "mm", digits=6)
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    pressure_angle_there_deg: Number = term(
        "Transverse pressure angle on the circle", "α_y", "°", "acos(z·m_n·cos(α_t)/(cos(β)·d_y))", digits=6
    )
    helix_angle_there_deg: Number = term(
        "Helix angle on the circle", "β_y", "°", "atan(d_y·sin(β)/(z·m_n))", digits=6
    )
    thickness_mm: Number = term(
        "Normal tooth thickness on the circle",
        "s_y",
        "mm",
        "d_y·cos(β_y)·((π/2 + 2·x·tan(α_n))/z + inv(α_t) - inv(α_y))",
        digits=6,
    )
    chord_mm: Number = term(
        "Chordal thickness", "s_c", "mm", "d_y/cos(β_y)²·sin(s_y·cos(β_y)²/d_y)", digits=6
    )
    height_mm: Number = term(
        "Height above the chord",
        "h_c",
        "mm",
        "(d_a - d_y)/2 + d_y/(2·cos(β_y)²)·(1 - cos(s_y·cos(β_y)²/d_y))",
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
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given["addendum_mm"] = addendum_mm
    m_n, alpha_n, beta, z, x, *_ = flank_of(given)
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


def chord_at(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    diameter_mm: Number,
    tip_diameter_mm: Number,
) -> ChordAt:
    """Return tooth thickness, chord and height above the chord on any circle.

    s_y = d_y·cos β_y·[(π/2 + 2·x·tan α_n)/z + inv α_t - inv α_y]; s_c = d_y/cos²β_y·sin(s_y·cos²β_y/d_y).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z and x.
    diameter_mm, tip_diameter_mm : float or array
        Diameter d_y of the circle and tip diameter d_a in mm.

    Returns
    -------
    ChordAt
        Lengths in mm; a stop, and no chord, inside the base circle and outside the tip circle.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: external gears, on the involute.
    Departures: circle with the curvature of the normal section in place of the section itself.
    Checked: CHORD-01, and on the reference circle against `chordal_thickness`.

    Examples
    --------
    >>> round(chord_at(normal_module_mm=10, pressure_angle_deg=20, helix_angle_deg=0, teeth=12,
    ...                profile_shift=0.3, diameter_mm=120, tip_diameter_mm=146).chord_mm, 4)
    17.8256
    """
    given = tooth_arguments(normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift)
    given |= {"diameter_mm": diameter_mm, "tip_diameter_mm": tip_diameter_mm}
    m_n, alpha_n, beta, z, x, alpha_t, _, d_b = flank_of(given)
    d_y, d_a = array(diameter_mm), array(tip_diameter_mm)
    alpha_y = arc_cosine(np.where(d_y > d_a, np.nan, d_b / d_y))
    beta_y = np.arctan(d_y * np.sin(beta) / (z * m_n))
    half = (np.pi / 2.0 + 2.0 * x * np.tan(alpha_n)) / z + involute(alpha_t) - involute(alpha_y)
    s_y = d_y * np.cos(beta_y) * half
    turned = s_y * np.cos(beta_y) ** 2 / d_y
    text = "No tooth flank on a diameter of {d_y:.3f} mm: it runs from {d_b:.3f} to {d_a:.3f} mm."
    return ChordAt(
        **given,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        pressure_angle_there_deg=np.degrees(alpha_y),
        helix_angle_there_deg=np.degrees(beta_y),
        thickness_mm=s_y,
        chord_mm=d_y / np.cos(beta_y) ** 2 * np.sin(turned),
        height_mm=(d_a - d_y) / 2.0 + d_y / (2.0 * np.cos(beta_y) ** 2) * (1.0 - np.cos(turned)),
        notices=tuple(
            flagged(np.isnan(alpha_y), Level.STOP, "chord.off_flank", text, d_y=d_y, d_b=d_b, d_a=d_a)
        ),
    )


def generating_shift(
    *, normal_module_mm: Number, pressure_angle_deg: Number, profile_shift: Number, allowance_mm: Number
) -> Array:
    """Return the profile shift of a tooth with its allowance of thickness.

    x_E = x + A_sn/(2·m_n·tan α_n).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg : float or array
        α_n in degrees.
    profile_shift : float or array
        x of the nominal tooth.
    allowance_mm : float or array
        A_sn, what the normal thickness on the reference circle differs from the nominal one, in mm; negative
        for a thinner tooth.

    Returns
    -------
    array
        x_E: with it in place of x every measure is that of the tooth with its allowance.

    Examples
    --------
    >>> round(float(generating_shift(normal_module_mm=5, pressure_angle_deg=20, profile_shift=0.3,
    ...                              allowance_mm=-0.1)), 5)
    0.27253
    """
    tangent = np.tan(np.radians(array(pressure_angle_deg)))
    return np.asarray(array(profile_shift) + array(allowance_mm) / (2.0 * array(normal_module_mm) * tangent))
