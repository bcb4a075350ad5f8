"""Rim thickness factor of the tooth root stress, ISO 6336-3."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.gear import GearGeometry
from gearcheck.stress.inputs import Blank
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="iso6336_3.rim",
    title="Rim thickness factor of the root",
    source="ISO 6336-3",
    edition="2019",
    clause="rim thickness factor",
    status=Status.FROM_MEMORY,
    valid=(
        Range("rim_ratio", "s_R/h_t", 0.5, np.inf, level=Level.STOP),
        Range("internal_rim_ratio", "s_R/m_n", 1.75, np.inf, level=Level.STOP),
    ),
    implements=("external and internal gears; the same in the 2006 edition",),
    leaves_out=("stress of a rim by fits, keyways, bolts and centrifugal force",),
    departures=(
        "Of a disc with a bore, the rim is what is left between bore and root.",
        "Y_B is not below 1, where the line of an internal gear ends at 0.996.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class RimFactor(Result):
    """Rim thickness factor of one gear."""

    method: ClassVar[Method] = METHOD
    rim_thickness_mm: Number = term("Rim thickness below the root", "s_R", "mm")
    tooth_height_mm: Number = term("Tooth height", "h_t", "mm")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    rim_ratio: Number = term("Relative rim thickness", "r_R", words="s_R/h_t, of an internal gear s_R/m_n")
    factor: Number = term(
        "Rim thickness factor",
        "Y_B",
        words="1.6·ln(2.242/r_R), 1 from r_R = 1.2 on; internal 1.15·ln(8.324/r_R), 1 from r_R = 3.5 on",
    )


def rim_factor(*, rim_ratio: Number, internal: bool = False) -> Array:
    """Return the rim thickness factor of the root stress.

    Y_B = 1.6 ln(2.242 h_t/s_R) below s_R/h_t = 1.2; internal 1.15 ln(8.324 m_n/s_R) below s_R/m_n = 3.5

    Parameters
    ----------
    rim_ratio : float or array
        Rim thickness over tooth height, s_R/h_t; over the normal module, s_R/m_n, for an internal gear.
    internal : bool
        Whether the teeth point inwards.

    Returns
    -------
    ndarray of float
        Y_B, 1 for a thick rim; NaN for a rim below the least ratio, 0.5 or 1.75.

    Notes
    -----
    Source: ISO 6336-3, clause on the rim thickness factor, from memory.
    Valid for: rims that bear along the whole face, without stress from a fit or a keyway.
    Departures: not below 1, where the line of an internal gear ends at 0.996.
    Checked: ISO3-RIM.

    Examples
    --------
    >>> print(rim_factor(rim_ratio=[0.4, 0.8, 1.2, 2]).round(3))
    [  nan 1.649 1.    1.   ]
    """
    row = table("iso6336_3_rim").row("internal" if internal else "external")
    ratio = array(rim_ratio)
    sound = np.where(ratio >= row["least_ratio"], ratio, np.nan)
    thin = row["factor"] * np.log(row["numerator"] / sound)
    thick = np.where(sound >= row["thick_from"], 1.0, np.maximum(thin, 1.0))
    return np.where(np.isnan(sound), np.nan, thick)


def rim_of(*, gear: GearGeometry, blank: Blank | None) -> RimFactor | None:
    """Return the rim thickness factor of a gear with its blank.

    Parameters
    ----------
    gear : GearGeometry
        The toothing.
    blank : Blank or None
        The body behind it.

    Returns
    -------
    RimFactor or None
        None where the body is solid; a stop, and no factor, where the rim is too thin.
    """
    rim = _thickness(gear, blank)
    if rim is None:
        return None
    internal = gear.internal
    height = np.abs(array(gear.tip_diameter_mm) - array(gear.root_diameter_mm)) / 2
    ratio = array(rim) / (array(gear.normal_module_mm) if internal else height)
    return RimFactor(
        rim_thickness_mm=rim,
        tooth_height_mm=height,
        normal_module_mm=gear.normal_module_mm,
        rim_ratio=ratio,
        factor=rim_factor(rim_ratio=ratio, internal=internal),
        notices=METHOD.outside(**{"internal_rim_ratio" if internal else "rim_ratio": ratio}),
    )


def _thickness(gear: GearGeometry, blank: Blank | None) -> Number:
    if blank is None:
        return None
    if blank.rim_thickness_mm is not None:
        checked_above_zero(rim_thickness_mm=blank.rim_thickness_mm)
        return blank.rim_thickness_mm
    if blank.bore_mm is None or gear.internal:
        return None
    return (array(gear.root_diameter_mm) - array(blank.bore_mm)) / 2
