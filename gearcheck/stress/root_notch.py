"""Stress correction of a fillet in which grinding has left a notch, ISO 6336-3."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged
from gearcheck.stress.inputs import GrindingNotch
from gearcheck.stress.root_form import RootForm

METHOD = Method(
    key="iso6336_3.notch",
    title="Stress correction of a fillet with a grinding notch",
    source="ISO 6336-3",
    edition="2019",
    clause="stress correction factor, notches in the fillet",
    status=Status.FROM_MEMORY,
    valid=(Range("notch_ratio", "√(t_g/ρ_g)", 0, 2, level=Level.STOP),),
    implements=("a notch near the critical section; the same in the 2006 edition",),
    leaves_out=("hardened metal and compressive residual stress that grinding takes away",),
    departures=("The notch parameter is that of a smooth fillet with the same stress correction.",),
)


@dataclass(frozen=True, kw_only=True)
class NotchedFillet(Result):
    """Stress correction factor and notch parameter of a fillet with a grinding notch."""

    method: ClassVar[Method] = METHOD
    depth_mm: Number = term("Depth of the notch", "t_g", "mm")
    radius_mm: Number = term("Radius of the notch", "ρ_g", "mm")
    stress_correction_factor: Number = term("Stress correction factor of the smooth fillet", "Y_S")
    slenderness: Number = term("Root chord over bending arm", "L")
    notch_ratio: Number = term("Sharpness of the notch", "n_g", "", "√(t_g/ρ_g)")
    notched_correction_factor: Number = term(
        "Stress correction factor with the notch", "Y_Sg", "", "1.3·Y_S/(1.3 - 0.6·n_g)"
    )
    notched_parameter: Number = term(
        "Notch parameter with the notch", "q_sg", "", "(Y_Sg/(1.2 + 0.13·L))^(1.21 + 2.3/L)"
    )


def notched_stress_correction(*, stress_correction_factor: Number, notch_ratio: Number) -> Array:
    """Return the stress correction factor of a fillet with a grinding notch.

    Y_Sg = 1.3 Y_S/(1.3 - 0.6 √(t_g/ρ_g))

    Parameters
    ----------
    stress_correction_factor : float or array
        Y_S of the fillet without notch.
    notch_ratio : float or array
        √(t_g/ρ_g), from the depth t_g and the radius ρ_g of the notch; 0 without.

    Returns
    -------
    ndarray of float
        Y_Sg; Y_S at a depth of 0, NaN beyond a ratio of 2.

    Notes
    -----
    Source: ISO 6336-3, clause on notches in the fillet, from memory.
    Valid for: √(t_g/ρ_g) up to 2, a notch near the critical section.
    Departures: none.
    Checked: ISO3-NOTCH.

    Examples
    --------
    >>> print(notched_stress_correction(stress_correction_factor=2, notch_ratio=[0, 0.5, 1]).round(3))
    [2.    2.6   3.714]
    """
    value = table("iso6336_3_notch").value
    ratio = array(notch_ratio)
    inside = np.where(ratio <= value("largest ratio"), ratio, np.nan)
    constant = value("constant")
    rise = constant / (constant - value("slope") * inside)
    return array(array(stress_correction_factor) * rise)


def notch_parameter_of(*, stress_correction_factor: Number, slenderness: Number) -> Array:
    """Return the notch parameter of a smooth fillet with the same stress correction factor.

    q_sg = (Y_Sg/(1.2 + 0.13 L))^(1.21 + 2.3/L)

    Parameters
    ----------
    stress_correction_factor : float or array
        Y_Sg.
    slenderness : float or array
        L, root chord over bending arm.

    Returns
    -------
    ndarray of float
        q_sg; q_s where Y_Sg is Y_S.

    Examples
    --------
    >>> print(round(float(notch_parameter_of(stress_correction_factor=1.55251, slenderness=1.02046)), 3))
    1.697
    """
    ratio = array(slenderness)
    return array((array(stress_correction_factor) / (1.2 + 0.13 * ratio)) ** (1.21 + 2.3 / ratio))


def notched_fillet(*, form: RootForm, notch: GrindingNotch) -> NotchedFillet:
    """Return the stress correction of a fillet with a grinding notch.

    Parameters
    ----------
    form : RootForm
        The fillet without the notch.
    notch : GrindingNotch
        Its depth and radius.

    Returns
    -------
    NotchedFillet
        Y_Sg and q_sg; a caution wherever there is a notch, a stop beyond the range of its sharpness.

    Raises
    ------
    InputError
        A depth below 0, a radius that is not above 0.
    """
    depth, radius = array(notch.depth_mm), array(notch.radius_mm)
    faults = Faults()
    faults.need(not np.any(depth < 0), "depth_mm", notch.depth_mm, "a depth of 0 mm or more")
    faults.need(not np.any(radius <= 0), "radius_mm", notch.radius_mm, "a radius above 0 mm")
    faults.check()
    ratio, Y_S = np.sqrt(depth / radius), array(form.stress_correction_factor)
    Y_Sg = notched_stress_correction(stress_correction_factor=Y_S, notch_ratio=ratio)
    caution = flagged(
        np.asarray(depth > 0),
        Level.CAUTION,
        "iso6336_3.notch_in_case",
        "A grinding notch {depth:.3g} mm deep also takes away hardened metal and compressive residual "
        "stress; neither is counted.",
        depth=depth,
    )
    return NotchedFillet(
        depth_mm=depth,
        radius_mm=radius,
        stress_correction_factor=Y_S,
        slenderness=form.slenderness,
        notch_ratio=ratio,
        notched_correction_factor=Y_Sg,
        notched_parameter=notch_parameter_of(stress_correction_factor=Y_Sg, slenderness=form.slenderness),
        notices=(*METHOD.outside(notch_ratio=ratio), *caution),
    )
