"""The case depth that keeps the tooth from yielding below its case, solved along the path of contact."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.contact.field import axis_shear
from gearcheck.hardening.deepest import PEAK, Need, deepest
from gearcheck.hardening.exposure import CRUSHING, SubsurfaceExposure, permissible_share, subsurface_exposure
from gearcheck.hardening.profile import CRITERION_HV, case_notices, model_depth
from gearcheck.materials.hardness import YIELD_STRENGTH, yield_strength_MPa


@dataclass(frozen=True, kw_only=True)
class RequiredCaseDepth(Result):
    """Smallest case depth at 550 HV, with every step at the depth and the point of contact that govern it."""

    method: ClassVar[Method] = CRUSHING
    safety: Number = term("Safety against yielding below the surface", "S")
    surface_hardness_HV: Number = term("Surface hardness", "HV_s", "HV")
    core_hardness_HV: Number = term("Core hardness", "HV_c", "HV")
    governing_half_width_mm: Number = term("Half-width of the contact that governs", "b_H", "mm")
    governing_pressure_MPa: Number = term("Hertz pressure of the contact that governs", "p_0", "MPa")
    governing_depth_mm: Number = term(
        "Depth that governs",
        "z",
        "mm",
        words="where the case must be deepest, of all depths and points of contact",
    )
    relative_depth: Number = term("Depth that governs, in half-widths", "ζ", "", "z/b_H")
    shear_stress_MPa: Number = term(
        "Largest shear stress there", "τ_max", "MPa", "p_0·ζ/(√(1+ζ²)·(√(1+ζ²)+ζ))"
    )
    yield_strength_MPa: Number = term("Yield strength needed there", "σ_y", "MPa", "S·τ_max/(0.55·0.577)")
    hardness_HV: Number = term("Hardness needed there", "HV", "HV", "(σ_y+90.7)/2.876")
    rise: Number = term(
        "Its rise above the core, as a share of the surface's", "r", "", "(HV-HV_c)/(HV_s-HV_c)"
    )
    model_depth: Number = term(
        "Depth variable of the profile there", "X", "", "(√(0.0381²-4·0.2662·log10(r))-0.0381)/(2·0.2662)"
    )
    model_depth_at_550_HV: Number = term(
        "Depth variable of the profile at 550 HV",
        "X_550",
        "",
        "(√(0.0381²-4·0.2662·log10((550-HV_c)/(HV_s-HV_c)))-0.0381)/(2·0.2662)",
    )
    depth_mm: Number = term("Least case depth at 550 HV on the finished flank", "CHD", "mm", "X_550·z/X")
    change_per_percent_mm: Number = term(
        "Change of that depth when the constant 0.55 is 1 % larger",
        "Δ_CHD",
        "mm",
        "-CHD/X·σ_y/(100·2.876·(HV_s-HV_c)·r·ln(10)·(0.0381+2·0.2662·X))",
    )
    point: Number = term(
        "Point of the path that governs, counted from 0 at its start", "i", words="found with the depth"
    )
    half_width_mm: Number = None
    pressure_MPa: Number = None

    @cached_property
    def exposure(self) -> SubsurfaceExposure:
        """Stress, strength and exposure over depth at the solved depth; worked out when first read."""
        return subsurface_exposure(
            half_width_mm=self.half_width_mm,
            pressure_MPa=self.pressure_MPa,
            surface_hardness_HV=self.surface_hardness_HV,
            core_hardness_HV=self.core_hardness_HV,
            case_depth_mm=self.depth_mm,
            safety=self.safety,
        )


def required_case_depth(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    safety: Number,
    standard_depth_mm: Number | None = None,
) -> RequiredCaseDepth:
    """Return the smallest case depth at which no depth and no point of contact passes the limit of yielding.

    A(z) = S τ_max(z)/(0.55 · 0.577 σ_y(HV(z))) <= 1 at every depth z and point of the path

    Parameters
    ----------
    half_width_mm, pressure_MPa : float or array
        b_H in mm and p_0 in MPa along the path; points on the last axis, shape (samples, points).
    surface_hardness_HV, core_hardness_HV, safety : float or array
        HV_s, HV_c of the finished flank and the safety S against yielding below the surface, shape (samples).
    standard_depth_mm : float or array, optional
        The figure of the governing standard; a solved depth below it is a caution.

    Returns
    -------
    RequiredCaseDepth
        CHD at 550 HV in mm, shape (samples); a stop notice and no value where no case depth suffices.

    Notes
    -----
    Source: Pedersen and Rice; Pavlina and Van Tyne; Lang; all constants from memory.
    Valid for: steels of 130 to 650 HV at the depth that governs; a caution outside.
    Departures: shear on the load line, no residual stress. Because only the hardness depends on the case
    depth, the exposure at each depth falls as the case grows, and the smallest depth that suffices is the
    largest that any depth asks for: X_550 z/X(r(z)), with r(z) the rise of hardness above the core that the
    stress needs there. Every depth is assessed, down to where the core alone suffices.
    Checked: REQUIRED-SCAN-1, REQUIRED-SCAN-2, REQUIRED-SCAN-3, REQUIRED-SCAN-4, REQUIRED-NONE.

    Examples
    --------
    >>> required = required_case_depth(half_width_mm=[0.3], pressure_MPa=[1500], surface_hardness_HV=700,
    ...     core_hardness_HV=400, safety=1.2)
    >>> round(required.depth_mm, 2), round(required.governing_depth_mm, 2)
    (0.43, 0.32)
    """
    b, p_0 = np.atleast_1d(*np.broadcast_arrays(array(half_width_mm), array(pressure_MPa)))
    surface, core, S, _ = np.broadcast_arrays(
        array(surface_hardness_HV), array(core_hardness_HV), array(safety), b[..., 0]
    )
    b = np.broadcast_to(b, (*S.shape, b.shape[-1]))
    p_0 = np.broadcast_to(p_0, b.shape)
    stops, good = _stops(surface, core, S, b, p_0)
    # what has no answer is worked through with harmless numbers and dropped at the end
    every = good[..., None]
    work = _solved(
        np.where(good, surface, 700.0),
        np.where(good, core, 400.0),
        np.where(good, S, 1.0),
        np.where(every, b, 0.3),
        np.where(every, p_0, 1000.0),
    )
    known = {name: np.where(good, value, np.nan) for name, value in work.items()}
    return RequiredCaseDepth(
        safety=S,
        surface_hardness_HV=surface,
        core_hardness_HV=core,
        half_width_mm=b,
        pressure_MPa=p_0,
        **known,
        notices=stops + _cautions(known, S, core, standard_depth_mm),
    )


def _stops(
    surface: Array, core: Array, S: Array, b: Array, p_0: Array
) -> tuple[tuple[Notice, ...], NDArray[np.bool_]]:
    """Return the stop notices, and which samples have an answer."""
    found = list(CRUSHING.outside(safety=S))
    found += case_notices(surface_hardness_HV=surface, core_hardness_HV=core)
    case_exists = (surface > CRITERION_HV) & (core < CRITERION_HV) & (S >= 0)
    pressed = (np.isfinite(b) & np.isfinite(p_0)).all(axis=-1)
    if not pressed.all():
        text = "The contact pressure along the path has no value, so no case depth follows from it."
        found.append(Notice(Level.STOP, "required_case_depth.no_pressure", text))
    strong = core > -_line("intercept") / _line("slope")
    if (case_exists & ~strong).any():
        text = f"A core of {core[case_exists & ~strong][0]:.4g} HV has no yield strength: the core governs."
        found.append(Notice(Level.STOP, "required_case_depth.core", text))
    stress = axis_shear(z_over_b=PEAK) * p_0.max(axis=-1)
    allowed = permissible_share() * yield_strength_MPa(hardness_HV=surface)
    enough = ~(S * stress >= allowed)
    if (case_exists & ~enough).any():
        first = np.argmax(case_exists & ~enough)
        text = (
            f"No case depth suffices, the surface governs: {surface.flat[first]:.4g} HV allows a shear "
            f"stress of {allowed.flat[first] / S.flat[first]:.4g} MPa at a safety of {S.flat[first]:.3g}, "
            f"the contact brings {stress.flat[first]:.4g} MPa."
        )
        found.append(Notice(Level.STOP, "required_case_depth.surface", text))
    return tuple(found), case_exists & pressed & strong & enough


def _line(name: str) -> float:
    return table("yield_from_hardness").value(name)


def _governing(
    surface: Array, core: Array, S: Array, b: Array, p_0: Array
) -> tuple[Array, Array, Array, Array]:
    """Return the point of contact that asks for the deepest case, its b_H and p_0, and ζ where it asks."""
    slope, spread = _line("slope"), surface - core
    need = Need(
        (S / (permissible_share() * slope * spread))[..., None, None],
        ((_line("intercept") / slope + core) / spread)[..., None, None],
    )
    core_shear = permissible_share() * yield_strength_MPa(hardness_HV=core)[..., None]
    # τ_max is never more than p_0/(2 ζ)
    zeta = deepest(need, p_0, S[..., None] * p_0 / (2 * core_shear))
    asked = b * need.case(zeta[..., None], p_0[..., None])[..., 0]
    point = asked.argmax(axis=-1)

    return point, taken(b, point), taken(p_0, point), taken(zeta, point)


def _solved(surface: Array, core: Array, S: Array, b: Array, p_0: Array) -> dict[str, Array]:
    """Return every step at the depth and point that govern, by the names of the result."""
    slope, intercept, spread = _line("slope"), _line("intercept"), surface - core
    point, b_g, p_g, zeta_g = _governing(surface, core, S, b, p_0)
    tau = p_g * axis_shear(z_over_b=zeta_g)
    sigma_y = S * tau / permissible_share()
    hardness = (sigma_y - intercept) / slope
    rise = (hardness - core) / spread
    carried = rise <= 0  # by the core alone
    with np.errstate(divide="ignore", invalid="ignore"):
        X = np.where(carried, np.nan, model_depth(rise))
        X_550 = model_depth((CRITERION_HV - core) / spread)
        depth = np.where(carried, 0.0, X_550 * zeta_g * b_g / X)
        linear, square = (table("lang_profile").value(name) for name in ("linear", "square"))
        fall = sigma_y / (100 * slope * spread * rise * np.log(10) * (linear + 2 * square * X))
    return {
        "governing_half_width_mm": b_g,
        "governing_pressure_MPa": p_g,
        "governing_depth_mm": zeta_g * b_g,
        "relative_depth": zeta_g,
        "shear_stress_MPa": tau,
        "yield_strength_MPa": sigma_y,
        "hardness_HV": hardness,
        "rise": rise,
        "model_depth": X,
        "model_depth_at_550_HV": X_550,
        "depth_mm": depth,
        "change_per_percent_mm": np.where(carried, 0.0, -depth / X * fall),
        "point": point,
    }


def _cautions(
    known: dict[str, Array], S: Array, core: Array, standard_depth_mm: Number | None
) -> tuple[Notice, ...]:
    found = []
    depth = known["depth_mm"]
    if (depth == 0).any():
        text = f"The core alone carries the shear stress at a safety of {S[depth == 0].flat[0]:.3g}."
        found.append(Notice(Level.NOTE, "required_case_depth.core_alone", text))
    peak = PEAK * known["governing_half_width_mm"]
    if (depth < peak).any():
        text = (
            f"The solved case depth of {depth[depth < peak][0]:.3g} mm is less than the depth of the largest "
            f"shear stress, 0.786 b_H = {peak[depth < peak][0]:.3g} mm."
        )
        found.append(Notice(Level.CAUTION, "required_case_depth.shallow", text))
    figure = np.broadcast_to(array(standard_depth_mm), depth.shape)
    if (depth < figure).any():
        text = (
            f"The solved case depth of {depth[depth < figure][0]:.3g} mm is less than the figure of the "
            f"standard, {figure[depth < figure][0]:.3g} mm."
        )
        found.append(Notice(Level.CAUTION, "required_case_depth.below_standard", text))
    found += CRUSHING.outside(core_hardness_HV=core)
    found += YIELD_STRENGTH.outside(hardness_HV=known["hardness_HV"][depth > 0])
    return tuple(found)
