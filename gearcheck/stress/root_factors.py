"""Factors of the root stress beside its form: load distribution, helix, deep teeth."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.stress.inputs import StressEdition


def root_helix_factor(
    *,
    helix_angle_deg: Number,
    overlap_ratio: Number,
    edition: StressEdition = StressEdition.ISO_6336_2019,
) -> Array:
    """Return the helix factor of the root stress.

    2019: Y_β = (1 - ε_β β/120°)/cos³ β; 2006: Y_β = 1 - ε_β β/120°; ε_β at most 1 and β at most 30°

    Parameters
    ----------
    helix_angle_deg : float or array
        β in degrees.
    overlap_ratio : float or array
        ε_β.
    edition : StressEdition
        Edition of ISO 6336-3.

    Returns
    -------
    ndarray of float
        Y_β. That of 2006 ends at 0.75 by its own limits, so that a floor there changes nothing.

    Notes
    -----
    Source: ISO 6336-3:2019 and :2006, clause 8, from memory.
    Valid for: up to 30°, held beyond.
    Departures: none.
    Checked: ISO3-06.

    Examples
    --------
    >>> print(round(float(root_helix_factor(helix_angle_deg=20, overlap_ratio=1.3)), 4))
    1.0043
    """
    angle = np.minimum(array(helix_angle_deg), 30.0)
    flat = 1 - np.minimum(array(overlap_ratio), 1.0) * angle / 120
    if edition is StressEdition.ISO_6336_2006:
        return array(flat)
    return array(flat / np.cos(np.radians(angle)) ** 3)


def load_distribution_factor(*, virtual_contact_ratio: Number, overlap_ratio: Number) -> Array:
    """Return the factor by which contact and overlap ratio reduce the form factor.

    f_ε² = 1 - ε_β + ε_β/ε_αn for ε_αn below 2 and ε_β up to 1; f_ε² = 1/ε_αn above

    Parameters
    ----------
    virtual_contact_ratio, overlap_ratio : float or array
        ε_αn and ε_β.

    Returns
    -------
    ndarray of float
        f_ε.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 6, from memory.
    Valid for: ε_αn from 1 to 2.5.
    Departures: none; the step at ε_αn = 2 is the standard's own.
    Checked: identity of a spur gear and at ε_β = 1.

    Examples
    --------
    >>> print(load_distribution_factor(virtual_contact_ratio=1.6, overlap_ratio=[0, 1]).round(4))
    [1.     0.7906]
    """
    ratio, overlap = array(virtual_contact_ratio), np.minimum(array(overlap_ratio), 1.0)
    single = np.where(ratio < 2, 1.0, 0.5) * (1 - overlap)
    shared: Array = np.sqrt(single + overlap / ratio)
    spur = np.where(np.isnan(ratio) | (ratio < 2), shared, 0.7)
    return np.where(overlap == 0, spur, shared)


def deep_tooth_factor(*, virtual_contact_ratio: Number, tolerance_class: Number) -> Array:
    """Return the deep tooth factor of the 2006 edition.

    Y_DT = 2.366 - 0.666 ε_αn for ε_αn from 2.05 to 2.5, 0.7 above, 1 below; 1 in a class coarser than 4

    Parameters
    ----------
    virtual_contact_ratio : float or array
        ε_αn.
    tolerance_class : float or array
        Flank tolerance class, the coarser of both gears.

    Returns
    -------
    ndarray of float
        Y_DT.

    Notes
    -----
    Source: ISO 6336-3:2006, clause on the deep tooth factor, from memory.
    Valid for: class 4 or better with a profile modification that loads the path like a trapezium.
    Departures: not above 1.
    Checked: ISO3-DEEP.

    Examples
    --------
    >>> print(deep_tooth_factor(virtual_contact_ratio=[2, 2.3, 2.5], tolerance_class=4).round(3))
    [1.    0.834 0.701]
    """
    value = table("iso6336_3_deep_tooth").value
    ratio, grade = array(virtual_contact_ratio), array(tolerance_class)
    line = np.minimum(value("constant") - value("slope") * ratio, 1.0)
    deep = np.where(ratio > value("last contact ratio"), value("least"), line)
    fine = np.where(ratio > value("first contact ratio"), deep, 1.0)
    factor = np.where(grade <= value("last class"), fine, 1.0)
    return np.where(np.isnan(ratio) | np.isnan(grade), np.nan, factor)
