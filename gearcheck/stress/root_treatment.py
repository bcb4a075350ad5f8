"""Factors on the root limit that depend on the heat treatment: notch sensitivity, surface and size."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Treatment


def slip_layer(
    *, treatment: Treatment = Treatment.CASE_CARBURISED, yield_strength_MPa: Number = None
) -> Array:
    """Return the slip layer thickness of a steel.

    Parameters
    ----------
    treatment : Treatment
        How the teeth are hardened.
    yield_strength_MPa : float, array or None
        σ_0.2 of a through-hardened steel; of no effect for the others.

    Returns
    -------
    ndarray of float
        ρ' in mm; of a through-hardened steel by its yield strength, held at both ends of the table.
    """
    row = _of(treatment)
    if "slip_layer_mm" in row:
        return array(row["slip_layer_mm"])
    steps = table("iso6336_3_slip_layer")
    logarithm = np.interp(
        array(yield_strength_MPa), steps.column("yield_MPa"), np.log(steps.column("slip_layer_mm"))
    )
    return array(np.exp(logarithm))


def notch_sensitivity_factor(
    *,
    notch_parameter: Number,
    treatment: Treatment = Treatment.CASE_CARBURISED,
    yield_strength_MPa: Number = None,
) -> Array:
    """Return the relative notch sensitivity factor of a root, for long life.

    Y_δrelT = (1 + √(ρ' χ*))/(1 + √(ρ' χ*_T)), χ* = (1 + 2 q_s)/5; ρ' = 0.0030 mm for a case

    Parameters
    ----------
    notch_parameter : float or array
        q_s.
    treatment : Treatment
        How the teeth are hardened.
    yield_strength_MPa : float, array or None
        σ_0.2 of a through-hardened steel.

    Returns
    -------
    ndarray of float
        Y_δrelT: 1 at q_s = 2.5.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 12, from memory.
    Valid for: q_s from 1 to 8; through-hardened steel from 500 to 1000 MPa.
    Departures: ρ' of a through-hardened steel lies on a straight line of its logarithm between the rows.
    Checked: ISO3-03.

    Examples
    --------
    >>> print(notch_sensitivity_factor(notch_parameter=[1.5, 2.5]).round(5))
    [0.98961 1.     ]
    """
    value = table("iso6336_3_limits").value
    layer, divisor = (
        slip_layer(treatment=treatment, yield_strength_MPa=yield_strength_MPa),
        value("stress gradient divisor"),
    )
    tested = 1 + np.sqrt(layer * (1 + 2 * value("notch parameter of the test gear")) / divisor)
    return array((1 + np.sqrt(layer * (1 + 2 * array(notch_parameter)) / divisor)) / tested)


def static_notch_factor(
    *,
    stress_correction_factor: Number,
    treatment: Treatment = Treatment.CASE_CARBURISED,
    yield_strength_MPa: Number = None,
) -> Array:
    """Return the relative notch sensitivity factor of a root, for static strength.

    case: 0.44 Y_S + 0.12; nitrided: 0.20 Y_S + 0.60;
    through-hardened: (1 + 0.82 (Y_S - 1) (300/σ_0.2)^¼)/(1 + 0.82 (300/σ_0.2)^¼)

    Parameters
    ----------
    stress_correction_factor : float or array
        Y_S, with a grinding notch Y_Sg.
    treatment : Treatment
        How the teeth are hardened.
    yield_strength_MPa : float, array or None
        σ_0.2 of a through-hardened steel.

    Returns
    -------
    ndarray of float
        Y_δrelT, static: 1 at Y_S = 2; of a case up to the first crack.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 12, from memory.
    Valid for: Y_S from 1 to about 4.
    Departures: none.
    Checked: ISO3-STATIC.

    Examples
    --------
    >>> print(static_notch_factor(stress_correction_factor=[1.5, 2, 2.5]).round(3))
    [0.78 1.   1.22]
    """
    row, Y_S = _of(treatment), array(stress_correction_factor)
    if "static_slope" in row:
        return array(row["static_slope"] * Y_S + row["static_constant"])
    strength = (row["static_reference_MPa"] / array(yield_strength_MPa)) ** 0.25
    slope = row["static_coefficient"] * strength
    return array((1 + slope * (Y_S - 1)) / (1 + slope))


def root_surface_factor(
    *, root_roughness_um: Number, treatment: Treatment = Treatment.CASE_CARBURISED
) -> Array:
    """Return the relative surface factor of a root, for long life.

    Y_RrelT = 1.674 - 0.529 (Rz + 1)^0.1, 1.12 below 1 µm; nitrided 4.299 - 3.259 (Rz + 1)^0.005, 1.025 below

    Parameters
    ----------
    root_roughness_um : float or array
        Rz in µm.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    ndarray of float
        Y_RrelT.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 13, from memory.
    Valid for: up to 40 µm.
    Departures: none; the small step at 1 µm is the standard's own.
    Checked: SURFACE-01.

    Examples
    --------
    >>> print(root_surface_factor(root_roughness_um=[0.8, 10]).round(4))
    [1.12   1.0017]
    """
    row, rough = _of(treatment), array(root_roughness_um)
    curve = row["rough_constant"] - row["rough_slope"] * (rough + 1) ** row["rough_exponent"]
    smooth_to = table("iso6336_3_limits").value("Y_RrelT, smooth up to")
    smooth = np.where(rough < smooth_to, row["rough_smooth"], curve)
    return np.where(np.isnan(rough), np.nan, smooth)


def root_size_factor(*, normal_module_mm: Number, treatment: Treatment = Treatment.CASE_CARBURISED) -> Array:
    """Return the size factor of a root, for long life.

    Y_X = 1.05 - 0.01 m_n, not below 0.8; through-hardened 1.03 - 0.006 m_n, not below 0.85; at most 1

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    ndarray of float
        Y_X.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 14, from memory.
    Valid for: all modules; held at both ends.
    Departures: none.
    Checked: ISO3-05.

    Examples
    --------
    >>> print(root_size_factor(normal_module_mm=[5, 10, 30]))
    [1.   0.95 0.8 ]
    """
    row = _of(treatment)
    line = row["size_constant"] - row["size_slope"] * array(normal_module_mm)
    factor: Array = np.clip(line, row["size_smallest"], 1.0)
    return factor


def _of(treatment: Treatment) -> Mapping[str, Any]:
    return table("iso6336_3_treatments").row(treatment)
