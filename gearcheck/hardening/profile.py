"""Hardness over depth of a carburised case."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

CRITERION_HV = 550.0
"""The hardness that defines the case depth of a carburised case, ISO 18203."""

PROFILE = Method(
    key="lang.hardness_profile",
    title="Hardness over depth",
    source="Lang, published profile model",
    edition="1979",
    clause="",
    status=Status.FROM_MEMORY,
    valid=(
        Range("depth_mm", "z", 0, np.inf, "mm", Level.STOP),
        Range("case_depth_mm", "CHD", 0, np.inf, "mm", Level.STOP),
    ),
    implements=(
        "hardness falling from the surface to the core with the square of the depth in the exponent",
    ),
    leaves_out=(
        "a soft skin of retained austenite or surface oxidation",
        "grinding burn",
        "curvature of tip and root",
    ),
    departures=(
        "The depth is scaled so that 550 HV is met exactly at the case depth for every surface and core; "
        "unscaled, the model misses by 1 HV for 700 over 400 HV and by 40 HV for 720 over 300 HV.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class HardnessProfile(Result):
    """Hardness at each depth below the finished surface; depths on the last axis."""

    method: ClassVar[Method] = PROFILE
    surface_hardness_HV: Number = term("Surface hardness", "HV_s", "HV")
    core_hardness_HV: Number = term("Core hardness", "HV_c", "HV")
    case_depth_mm: Number = term("Case depth at 550 HV", "CHD", "mm")
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    depth_at_550_HV: Number = term(
        "Depth variable of the model at 550 HV",
        "X_550",
        "",
        "(√(0.0381² - 4·0.2662·log10((550-HV_c)/(HV_s-HV_c))) - 0.0381)/(2·0.2662)",
    )
    relative_depth: Number = term("Depth variable of the model", "X", "", "X_550·z/CHD")
    hardness_HV: Number = term("Hardness", "HV", "HV", "HV_c + (HV_s-HV_c)·10^(-(0.0381·X+0.2662·X²))")


def model_depth(rise: Array) -> Array:
    """Return the depth variable X at which the case keeps `rise` of the hardness above the core.

    Parameters
    ----------
    rise : ndarray
        (HV - core)/(surface - core), from 0 (X infinite) to 1 (X = 0); NaN outside.

    Returns
    -------
    ndarray of float
        X of the model, before scaling.
    """
    coefficients = table("lang_profile")
    linear, square = coefficients.value("linear"), coefficients.value("square")
    with np.errstate(divide="ignore", invalid="ignore"):
        fall = -np.log10(rise)
        return array((np.sqrt(linear**2 + 4 * square * fall) - linear) / (2 * square))


def case_notices(*, surface_hardness_HV: Number, core_hardness_HV: Number) -> tuple[Notice, ...]:
    """Return a stop notice where surface or core stands on the wrong side of 550 HV.

    Parameters
    ----------
    surface_hardness_HV, core_hardness_HV : float or array
        Hardness in HV.

    Returns
    -------
    tuple of Notice
        Empty where the case depth at 550 HV exists.
    """
    found = []
    surface, core = array(surface_hardness_HV), array(core_hardness_HV)
    if (surface <= CRITERION_HV).any():
        text = (
            f"Surface hardness {surface.min():.4g} HV is not above 550 HV: there is no case depth at 550 HV."
        )
        found.append(Notice(Level.STOP, "lang.hardness_profile.surface", text))
    if (core >= CRITERION_HV).any():
        text = f"Core hardness {core.max():.4g} HV is not below 550 HV: there is no case depth at 550 HV."
        found.append(Notice(Level.STOP, "lang.hardness_profile.core", text))
    return tuple(found)


def hardness_profile(
    *, depth_mm: Number, surface_hardness_HV: Number, core_hardness_HV: Number, case_depth_mm: Number
) -> HardnessProfile:
    """Return the hardness over depth of a case with a given depth at 550 HV.

    HV(z) = HV_c + (HV_s - HV_c) · 10^-(0.0381 X + 0.2662 X²), X = X_550 z/CHD

    Parameters
    ----------
    depth_mm : float or array
        z below the finished surface, mm; depths on the last axis.
    surface_hardness_HV, core_hardness_HV : float or array
        HV_s and HV_c of the finished flank, shape (samples).
    case_depth_mm : float or array
        CHD at 550 HV of the finished flank, mm, shape (samples).

    Returns
    -------
    HardnessProfile
        HV at each depth, shape (samples, depths); a stop notice and no value where the surface is not above
        550 HV or the core not below it.

    Notes
    -----
    Source: Lang, coefficients from memory.
    Valid for: gas-carburised cases with a hardness that falls from the surface.
    Departures: scaled so that 550 HV is met exactly at the case depth; X_550 is 1 without it.
    Checked: PROFILE-550, PROFILE-K.

    Examples
    --------
    >>> profile = hardness_profile(depth_mm=[0.0, 1.0, 3.0], surface_hardness_HV=700, core_hardness_HV=400,
    ...     case_depth_mm=1.0)
    >>> [round(hardness) for hardness in profile.hardness_HV.tolist()]
    [700, 550, 401]
    """
    z = array(depth_mm)
    last = (..., None) if z.ndim else ...
    surface, core = array(surface_hardness_HV), array(core_hardness_HV)
    case = array(case_depth_mm)
    possible = (surface > CRITERION_HV) & (core < CRITERION_HV) & (case > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        X_550 = np.where(possible, model_depth((CRITERION_HV - core) / (surface - core)), np.nan)
        X = np.where(z < 0, np.nan, z) * (X_550 / case)[last]
    line = table("lang_profile")
    fall = line.value("linear") * X + line.value("square") * X**2
    notices = PROFILE.outside(depth_mm=z, case_depth_mm=case)
    if (case == 0).any():
        notices += (
            Notice(Level.STOP, "lang.hardness_profile.no_case", "A case depth of 0 mm has no profile."),
        )
    return HardnessProfile(
        surface_hardness_HV=surface,
        core_hardness_HV=core,
        case_depth_mm=case,
        depth_mm=z,
        depth_at_550_HV=X_550,
        relative_depth=X,
        hardness_HV=core[last] + (surface - core)[last] * np.exp(-np.log(10) * fall),
        notices=notices + case_notices(surface_hardness_HV=surface, core_hardness_HV=core),
    )
