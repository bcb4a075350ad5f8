"""Case depth by the figures of the standards: how deep it must be, and how deep it may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.inputs import CaseDepthRule, DepthRule
from gearcheck.materials.inputs import Quality

FIGURES = Method(
    key="iso6336_5.case_depth",
    title="Case depth figures",
    source="ISO 6336-5:2016 and ANSI/AGMA 2101-D04",
    edition="",
    clause="recommended effective case depth of carburised gears",
    status=Status.FROM_MEMORY,
    valid=(Range("normal_module_mm", "m_n", 1.27, 25.4, "mm", Level.NOTE),),
    implements=(
        "depth against case crushing (ISO), by shear, by normal and by heavy curve (AGMA)",
        "range at the root and largest depth (ISO), limit at the tip (AGMA)",
    ),
    leaves_out=(
        "the least depth for thin cases",
        "the optimum curve of ISO",
        "induction-hardened and nitrided gears",
    ),
    departures=(
        "The AGMA figures are depths at 50 HRC (513 HV); asked for at 550 HV they ask for slightly more.",
        "The AGMA depth by shear is worked out with σ_H of ISO 6336-2 and its load factors.",
        "The AGMA curves are straight lines in logarithms, fitted to the printed curves in inches.",
    ),
)

_INCH = 25.4  # mm


@dataclass(frozen=True, kw_only=True)
class CaseDepthLimits(Result):
    """How deep the case may be; it follows from the tooth alone."""

    method: ClassVar[Method] = FIGURES
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    tip_thickness_mm: Number = term("Normal tooth thickness at the tip", "s_an", "mm")
    largest_mm: Number = term(
        "Largest case depth on the flank, ISO 6336-5", "CHD_max", "mm", "min(0.4·m_n, 6)"
    )
    tip_limit_mm: Number = term(
        "Largest case depth at the tip, AGMA 2101-D04", "CHD_a", "mm", "min(0.4·m_n, 0.56·s_an)"
    )


@dataclass(frozen=True, kw_only=True)
class CaseDepthFigures(Result):
    """All figures side by side; depths on the finished flank unless said otherwise."""

    method: ClassVar[Method] = FIGURES
    flank_stress_MPa: Number = term("Contact stress of this gear", "σ_H", "MPa")
    pinion_working_diameter_mm: Number = term("Working pitch diameter of the pinion", "d_w1", "mm")
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°")
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    gear_ratio: Number = term("Gear ratio", "u")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    tip_thickness_mm: Number = term("Normal tooth thickness at the tip", "s_an", "mm")
    crushing_hardness_MPa: Number = term(
        "Hardening process factor, ISO", "U_H", "MPa", words="by material quality"
    )
    shear_hardness_MPa: Number = term("Hardening process factor, AGMA", "U_A", "MPa", words="case-carburised")
    crushing_mm: Number = term(
        "Least case depth against case crushing, ISO 6336-5",
        "CHD_c",
        "mm",
        "σ_H·d_w1·sin(α_wt)/(U_H·cos(β_b))·u/(u+1)",
    )
    shear_mm: Number = term(
        "Least case depth by shear, AGMA 2101-D04",
        "h_e",
        "mm",
        "σ_H·d_w1·sin(α_wt)/(U_A·cos(β_b))·u/(u+1)",
    )
    normal_mm: Number = term(
        "Least case depth, normal curve, AGMA 2101-D04", "h_en", "mm", "25.4·0.119935·(m_n/25.4)^0.86105"
    )
    heavy_mm: Number = term(
        "Least case depth, heavy curve, AGMA 2101-D04", "h_eh", "mm", "25.4·0.264693·(m_n/25.4)^1.12481"
    )
    root_least_mm: Number = term("Least case depth at the root, ISO 6336-5", "CHD_F1", "mm", "0.1·m_n")
    root_largest_mm: Number = term("Largest case depth at the root, ISO 6336-5", "CHD_F2", "mm", "0.2·m_n")
    largest_mm: Number = term(
        "Largest case depth on the flank, ISO 6336-5", "CHD_max", "mm", "min(0.4·m_n, 6)"
    )
    tip_limit_mm: Number = term(
        "Largest case depth at the tip, AGMA 2101-D04", "CHD_a", "mm", "min(0.4·m_n, 0.56·s_an)"
    )


def case_depth_limits(*, normal_module_mm: Number, tip_thickness_mm: Number) -> CaseDepthLimits:
    """Return how deep the case may be on the flank by ISO 6336-5 and at the tip by ANSI/AGMA 2101-D04.

    CHD_max = min(0.4 m_n, 6 mm), CHD_a = min(0.4 m_n, 0.56 s_an)

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm.
    tip_thickness_mm : float or array
        s_an in mm, normal to the tooth.

    Returns
    -------
    CaseDepthLimits
        Both in mm.

    Notes
    -----
    Source: ISO 6336-5:2016, ANSI/AGMA 2101-D04, from memory.
    Valid for: case-carburised external gears.
    Departures: none.
    Checked: CASE-07.

    Examples
    --------
    >>> limits = case_depth_limits(normal_module_mm=5, tip_thickness_mm=3.0)
    >>> round(limits.largest_mm, 2), round(limits.tip_limit_mm, 2)
    (2.0, 1.68)
    """
    values = table("case_depth_figures").value
    m_n, s_an = array(normal_module_mm), array(tip_thickness_mm)
    largest = values("largest depth") * m_n
    return CaseDepthLimits(
        normal_module_mm=m_n,
        tip_thickness_mm=s_an,
        largest_mm=np.minimum(largest, values("ISO 6336-5 largest depth")),
        tip_limit_mm=np.minimum(largest, values("AGMA share of top land") * s_an),
    )


def case_depth_figures(
    *, pair: PairGeometry, gear: GearGeometry, flank_stress_MPa: Number, quality: Quality
) -> CaseDepthFigures:
    """Return the case depth by every figure of ISO 6336-5 and ANSI/AGMA 2101-D04.

    Crushing and shear: σ_H d_w1 sin α_wt/(U cos β_b) · u/(u + 1), that is 2 σ_H ρ_C/U at the pitch point

    Parameters
    ----------
    pair : PairGeometry
        For d_w1, α_wt, β_b, u and m_n.
    gear : GearGeometry
        The gear whose case it is, for its tooth thickness at the tip.
    flank_stress_MPa : float or array
        σ_H of this gear in MPa, with all load factors.
    quality : Quality
        Material quality of ISO 6336-5, for U_H.

    Returns
    -------
    CaseDepthFigures
        Least depths, range at the root, largest depth on the flank and at the tip, in mm.

    Notes
    -----
    Source: ISO 6336-5:2016, ANSI/AGMA 2101-D04; all coefficients from memory.
    Valid for: case-carburised external gears; a note where m_n lies outside the AGMA curves.
    Departures: AGMA depths are at 50 HRC and are asked for here at 550 HV.
    Checked: CASE-01, CASE-04, CASE-06, CASE-07, CASE-UH.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(face_width_mm=32, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.35,
    ...     protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...     centre_distance_mm=120, pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> figures = case_depth_figures(pair=pair, gear=pair.pinion, flank_stress_MPa=1400, quality=Quality.MQ)
    >>> round(figures.crushing_mm, 3), round(figures.normal_mm, 3), round(figures.largest_mm, 1)
    (0.387, 0.62, 1.6)
    """
    values = table("case_depth_figures").value
    m_n = array(pair.normal_module_mm)
    u, sigma_H = array(pair.gear_ratio), array(flank_stress_MPa)
    alpha_wt, beta_b = (
        np.radians(array(angle)) for angle in (pair.working_pressure_angle_deg, pair.base_helix_angle_deg)
    )
    d_w1 = array(pair.pinion.working_pitch_diameter_mm)
    depth_stress = sigma_H * d_w1 * np.sin(alpha_wt) / np.cos(beta_b) * u / (u + 1)
    U_H, U_A = values(f"ISO 6336-5 U_H {quality}"), values("AGMA 2101 U_H")
    limits = case_depth_limits(normal_module_mm=m_n, tip_thickness_mm=gear.tip_thickness_mm)
    return CaseDepthFigures(
        flank_stress_MPa=sigma_H,
        pinion_working_diameter_mm=d_w1,
        working_pressure_angle_deg=pair.working_pressure_angle_deg,
        base_helix_angle_deg=pair.base_helix_angle_deg,
        gear_ratio=u,
        normal_module_mm=m_n,
        tip_thickness_mm=limits.tip_thickness_mm,
        crushing_hardness_MPa=U_H,
        shear_hardness_MPa=U_A,
        crushing_mm=depth_stress / U_H,
        shear_mm=depth_stress / U_A,
        normal_mm=_curve(m_n, "normal"),
        heavy_mm=_curve(m_n, "heavy"),
        root_least_mm=values("ISO 6336-5 least root depth") * m_n,
        root_largest_mm=values("ISO 6336-5 largest root depth") * m_n,
        largest_mm=limits.largest_mm,
        tip_limit_mm=limits.tip_limit_mm,
        notices=FIGURES.outside(normal_module_mm=m_n),
    )


def _curve(m_n: Array, curve: str) -> Array:
    values = table("case_depth_figures").value
    factor, exponent = values(f"AGMA {curve} curve factor"), values(f"AGMA {curve} curve exponent")
    return array(_INCH * factor * (m_n / _INCH) ** exponent)


def governing_depth(figures: CaseDepthFigures, rule: CaseDepthRule) -> Number:
    """Return the least case depth by the one rule that governs.

    Parameters
    ----------
    figures : CaseDepthFigures
        All figures.
    rule : CaseDepthRule
        The one that governs.

    Returns
    -------
    float, ndarray or None
        In mm.
    """
    return {
        CaseDepthRule.ISO_6336_5: figures.crushing_mm,
        CaseDepthRule.AGMA_2101_SHEAR: figures.shear_mm,
        CaseDepthRule.AGMA_2101_NORMAL: figures.normal_mm,
        CaseDepthRule.AGMA_2101_HEAVY: figures.heavy_mm,
    }[rule]


def figure_beside(figures: CaseDepthFigures, rule: DepthRule) -> Number:
    """Return the figure that a solved depth is compared with.

    Parameters
    ----------
    figures : CaseDepthFigures
        All figures.
    rule : CaseDepthRule or Criterion
        What governs.

    Returns
    -------
    float, ndarray or None
        In mm; that of ISO 6336-5 where a criterion governs.
    """
    return governing_depth(figures, CaseDepthRule.ISO_6336_5 if isinstance(rule, Criterion) else rule)
