"""The flank tolerances of a class, by the edition that the drawing names."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.inputs import AccuracyEdition, Group
from gearcheck.accuracy.tolerances_1995 import TOLERANCES_1995, Tolerances1995, exact_1995, means_1995
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013, Tolerances2013, exact_2013
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Array, Number, array

Tolerances: TypeAlias = Tolerances2013 | Tolerances1995
"""Flank tolerances of either edition: the same names, each with the formulas of its edition."""

_METHODS = {
    AccuracyEdition.ISO_1328_1_2013: TOLERANCES_2013,
    AccuracyEdition.ISO_1328_1_1995: TOLERANCES_1995,
}


def rounded(tolerance_um: Number) -> Array:
    """Round a tolerance as both editions do.

    Above 10 µm to 1 µm, from 5 to 10 µm to 0.5 µm, below 5 µm to 0.1 µm; a tie goes up.

    Parameters
    ----------
    tolerance_um : float or array
        Unrounded tolerance, µm.

    Returns
    -------
    ndarray of float
        In µm, shape of the argument.

    Examples
    --------
    >>> rounded([18.71, 9.66, 6.71, 6.25, 3.5355]).tolist()
    [19.0, 9.5, 6.5, 6.5, 3.5]
    """
    exact = array(tolerance_um)
    parts = np.where(exact > 10, 1.0, np.where(exact >= 5, 2.0, 10.0))
    # binary fractions must not push a decimal tie down
    return np.asarray(np.floor(exact * parts + 0.5 + 1e-9) / parts, dtype=np.float64)


def tolerances(
    *,
    reference_diameter_mm: Number,
    normal_module_mm: Number,
    face_width_mm: Number,
    tolerance_class: Number,
    edition: AccuracyEdition,
    teeth: Number = None,
    helix_angle_deg: Number = 0.0,
    sector_teeth: Number = None,
    pitch_class: Number = None,
    profile_class: Number = None,
    helix_class: Number = None,
    runout_class: Number = None,
) -> Tolerances:
    """Return the flank tolerances of a class.

    2013: f_pT = (0.001 d + 0.4 m_n + 5) √2^(A-5), F_pT = (0.002 d + 0.55 √d + 0.7 m_n + 12) √2^(A-5),
    F_pkT = f_pT + (4 k/z)(F_pT - f_pT), f_uT = √2 f_pT,
    f_HαT = (0.4 m_n + 0.001 d + 4) √2^(A-5), f_fαT = (0.55 m_n + 5) √2^(A-5), F_αT = √(f_HαT² + f_fαT²),
    f_HβT = (0.05 √d + 0.35 √b + 4) √2^(A-5), f_fβT = (0.07 √d + 0.45 √b + 4) √2^(A-5),
    F_βT = √(f_HβT² + f_fβT²), F_rT = 0.9 F_pT; the totals and the runout from unrounded parts.
    1995, each size the geometric mean of its range: f_pt = (0.3 (m + 0.4 √d) + 4) √2^(Q-5),
    F_pk = f_pt + 1.6 √((k-1) m) √2^(Q-5), F_p = (0.3 m + 1.25 √d + 7) √2^(Q-5),
    F_α = (3.2 √m + 0.22 √d + 0.7) √2^(Q-5), f_fα = (2.5 √m + 0.17 √d + 0.5) √2^(Q-5),
    f_Hα = (2 √m + 0.14 √d + 0.5) √2^(Q-5), F_β = (0.1 √d + 0.63 √b + 4.2) √2^(Q-5),
    f_fβ = f_Hβ = (0.07 √d + 0.45 √b + 3) √2^(Q-5), F_r = 0.8 F_p.

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : float or array
        d, m_n, b in mm.
    tolerance_class : int or array
        Flank tolerance class A of the gear; accuracy grade Q in the 1995 edition.
    edition : AccuracyEdition
        The standard.
    teeth : int or array, optional
        z, held against the scope; without it the 2013 edition gives no sector pitch.
    helix_angle_deg : float or array
        β in °, only held against the scope.
    sector_teeth : int or array, optional
        k, pitches of a sector; the whole number nearest z/8 where it is not given.
    pitch_class, profile_class, helix_class, runout_class : int or array, optional
        The class of one group of parameters, where it is not that of the gear.

    Returns
    -------
    Tolerances2013 or Tolerances1995
        In µm, unrounded and rounded; no value outside the scope, with a stop notice that names the limit.

    Raises
    ------
    InputError
        An edition that is not built, or a sector of no whole number of pitches.

    Notes
    -----
    Source: ISO 1328-1:2013, clause 5.3 and its annexes, and ISO 1328-1:1995, clauses 5 and 6 with annexes A
    and B, runout by ISO 1328-2:1997; all coefficients from memory.
    Valid for: 2013: d from 5 to 15000 mm, m_n from 0.5 to 70 mm, b from 4 to 1200 mm, z from 5 to 1000, β up
    to 45°, classes 1 to 11; the runout tolerance is for information in the standard. 1995: d from 5 to
    10000 mm, m from 0.5 to 70 mm, b from 4 to 1000 mm, grades 0 to 12; it has no tooth-to-tooth tolerance.
    Departures: a class between two whole ones is worked out and carries a caution; a sector of more than a
    quarter of the teeth is allowed what the whole gear is; a size on the border of two ranges of the 1995
    edition belongs to the lower one.
    Checked: TOL-13-1, TOL-13-2, TOL-13-4, TOL-13-1-EXACT, TOL-13-2-EXACT, TOL-13-4-EXACT, TOL-97-2,
    TOL-13-scope, TOL-13-SECTOR, TOL-13-SECTOR-QUARTER, TOL-95-1-SMALL, TOL-95-1-MIDDLE, TOL-95-vs-13,
    TOL-95-SECTOR, TOL-97-2-1995, TOL-95-scope.

    Examples
    --------
    >>> found = tolerances(reference_diameter_mm=110, normal_module_mm=4, face_width_mm=30,
    ...     tolerance_class=6, edition=AccuracyEdition.ISO_1328_1_2013)
    >>> found.single_pitch_um, found.cumulative_pitch_um, found.runout_um
    (9.5, 29.0, 26.0)
    """
    method = tolerance_method(edition)
    sizes = {
        "reference_diameter_mm": array(reference_diameter_mm),
        "normal_module_mm": array(normal_module_mm),
        "face_width_mm": array(face_width_mm),
    }
    scope = {**sizes, "teeth": array(teeth), "helix_angle_deg": array(helix_angle_deg)}
    own = (pitch_class, profile_class, helix_class, runout_class)
    classes = {
        f"{group}_class": array(tolerance_class if given is None else given)
        for group, given in zip(Group, own, strict=True)
    }
    counts = {"teeth": scope["teeth"], "sector_teeth": _sector(scope["teeth"], sector_teeth)}
    usable = inside(scope, method)
    known = {name: np.where(usable, value, np.nan) for name, value in sizes.items()}
    held = {
        name: np.where(inside({"tolerance_class": value}, method), value, np.nan)
        for name, value in classes.items()
    }
    notices = (
        *method.outside(**scope, tolerance_class=np.concatenate([v.ravel() for v in classes.values()])),
        *_between_classes(method, classes),
    )
    given: dict[str, Any] = {**sizes, **counts, **classes, "notices": notices}
    if method is TOLERANCES_2013:
        exact = exact_2013(**known, **counts, **held)
        return Tolerances2013(**given, **_both(exact))
    means: dict[str, Any] = means_1995(**known)
    exact = exact_1995(**means, sector_teeth=counts["sector_teeth"], **held)
    return Tolerances1995(**given, **means, **_both(exact))


def _both(exact: dict[str, Any]) -> dict[str, Any]:
    return {
        **{f"{name}_exact_um": value for name, value in exact.items()},
        **{f"{name}_um": rounded(value) for name, value in exact.items()},
    }


def tolerance_method(edition: AccuracyEdition) -> Method:
    """Return the method of an edition, and refuse one that is not built.

    Parameters
    ----------
    edition : AccuracyEdition
        As given.

    Returns
    -------
    Method
        With its scope.

    Raises
    ------
    InputError
        An edition that is not built.
    """
    faults = Faults()
    faults.need(isinstance(edition, AccuracyEdition), "edition", edition, " or ".join(AccuracyEdition))
    faults.check()
    return _METHODS[edition]


def inside(values: dict[str, Array], method: Method) -> NDArray[np.bool_]:
    """Say where all values lie inside the scope of a method; one without a limit does not count.

    Parameters
    ----------
    values : dict of str to array
        By the names of the method's ranges.
    method : Method
        Of the edition.

    Returns
    -------
    ndarray of bool
        Broadcast over all values.
    """
    limits = {limit.name: limit for limit in method.valid}
    wrong = [
        (value < limits[name].low) | (value > limits[name].high)
        for name, value in values.items()
        if name in limits
    ]
    return np.asarray(~np.logical_or.reduce(np.broadcast_arrays(*wrong)), dtype=np.bool_)


def nearest_sector(teeth: Number) -> Array:
    """Return the pitches of the sector that is measured where nothing else is agreed: the nearest to z/8.

    Parameters
    ----------
    teeth : int or array
        z.

    Returns
    -------
    ndarray of float
        k, a whole number of at least 1; a half goes up.

    Examples
    --------
    >>> nearest_sector([5, 20, 27, 64]).tolist()
    [1.0, 3.0, 3.0, 8.0]
    """
    return np.asarray(np.maximum(np.floor(array(teeth) / 8 + 0.5), 1.0), dtype=np.float64)


def _sector(teeth: Array, given: Number) -> Array:
    if given is None:
        return nearest_sector(teeth)
    sector = array(given)
    faults = Faults()
    faults.need(
        not ((sector < 1) | (sector != np.floor(sector))).any(),
        "sector_teeth",
        given,
        "a whole number of pitches of 1 or more",
    )
    faults.check()
    return sector


def _between_classes(method: Method, classes: dict[str, Array]) -> tuple[Notice, ...]:
    given = np.concatenate([value.ravel() for value in classes.values()])
    between = given[np.isfinite(given) & (given != np.round(given))]
    if not between.size:
        return ()
    limit = next(item for item in method.valid if item.name == "tolerance_class")
    text = (
        f"{limit.symbol} = {between[0]:.4g} is no class of {method.cite}: it has whole classes from "
        f"{limit.low:g} to {limit.high:g}."
    )
    return (Notice(Level.CAUTION, f"{method.key}.between_classes", text),)
