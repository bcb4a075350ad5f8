"""The flank tolerances of a class."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TOLERANCES = Method(
    key="iso1328_1_2013.tolerances",
    title="Flank tolerances",
    source="ISO 1328-1",
    edition="2013",
    clause="clause 5.3 and the annex on runout",
    status=Status.FROM_MEMORY,
    valid=(
        Range("reference_diameter_mm", "d", 5, 15000, "mm", Level.STOP),
        Range("normal_module_mm", "m_n", 0.5, 70, "mm", Level.STOP),
        Range("face_width_mm", "b", 4, 1200, "mm", Level.STOP),
        Range("tolerance_class", "A", 1, 11, "", Level.STOP),
        Range("teeth", "z", 5, 1000, "", Level.STOP),
        Range("helix_angle_deg", "β", -45, 45, "°", Level.STOP),
    ),
    implements=(
        "single and total cumulative pitch, profile and helix slope, form and total, runout",
        "rounding: above 10 µm to 1 µm, from 5 to 10 µm to 0.5 µm, below 5 µm to 0.1 µm; a tie goes up",
    ),
    leaves_out=(
        "sector pitch, single flank composite and contact pattern",
        "segments of gears, modified evaluation lengths",
    ),
    departures=("A class between two whole ones is worked out by the same formula and carries a caution.",),
)


@dataclass(frozen=True, kw_only=True)
class Tolerances(Result):
    """Flank tolerances, as the formula gives them and rounded as the standard prints them."""

    method: ClassVar[Method] = TOLERANCES
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    face_width_mm: Number = term("Face width", "b", "mm")
    tolerance_class: Number = term("Flank tolerance class", "A")
    single_pitch_exact_um: Number = term(
        "Single pitch, unrounded", "f_pTu", "µm", "(0.001·d + 0.4·m_n + 5)·√(2)^(A-5)"
    )
    cumulative_pitch_exact_um: Number = term(
        "Total cumulative pitch, unrounded", "F_pTu", "µm", "(0.002·d + 0.55·√(d) + 0.7·m_n + 12)·√(2)^(A-5)"
    )
    profile_slope_exact_um: Number = term(
        "Profile slope, unrounded", "f_HαTu", "µm", "(0.4·m_n + 0.001·d + 4)·√(2)^(A-5)"
    )
    profile_form_exact_um: Number = term(
        "Profile form, unrounded", "f_fαTu", "µm", "(0.55·m_n + 5)·√(2)^(A-5)"
    )
    profile_total_exact_um: Number = term("Profile total, unrounded", "F_αTu", "µm", "√(f_HαTu² + f_fαTu²)")
    helix_slope_exact_um: Number = term(
        "Helix slope, unrounded", "f_HβTu", "µm", "(0.05·√(d) + 0.35·√(b) + 4)·√(2)^(A-5)"
    )
    helix_form_exact_um: Number = term(
        "Helix form, unrounded", "f_fβTu", "µm", "(0.07·√(d) + 0.45·√(b) + 4)·√(2)^(A-5)"
    )
    helix_total_exact_um: Number = term("Helix total, unrounded", "F_βTu", "µm", "√(f_HβTu² + f_fβTu²)")
    runout_exact_um: Number = term("Runout, unrounded", "F_rTu", "µm", "0.9·F_pTu")
    single_pitch_um: Number = term("Single pitch", "f_pT", "µm", words="f_pTu rounded")
    cumulative_pitch_um: Number = term("Total cumulative pitch", "F_pT", "µm", words="F_pTu rounded")
    profile_slope_um: Number = term("Profile slope", "f_HαT", "µm", words="f_HαTu rounded")
    profile_form_um: Number = term("Profile form", "f_fαT", "µm", words="f_fαTu rounded")
    profile_total_um: Number = term("Profile total", "F_αT", "µm", words="F_αTu rounded")
    helix_slope_um: Number = term("Helix slope", "f_HβT", "µm", words="f_HβTu rounded")
    helix_form_um: Number = term("Helix form", "f_fβT", "µm", words="f_fβTu rounded")
    helix_total_um: Number = term("Helix total", "F_βT", "µm", words="F_βTu rounded")
    runout_um: Number = term("Runout", "F_rT", "µm", words="F_rTu rounded")


def rounded(tolerance_um: Number) -> Array:
    """Round a tolerance as the standard does.

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
) -> Tolerances:
    """Return the flank tolerances of a class.

    f_pT = (0.001 d + 0.4 m_n + 5) √2^(A-5), F_pT = (0.002 d + 0.55 √d + 0.7 m_n + 12) √2^(A-5),
    f_HαT = (0.4 m_n + 0.001 d + 4) √2^(A-5), f_fαT = (0.55 m_n + 5) √2^(A-5), F_αT = √(f_HαT² + f_fαT²),
    f_HβT = (0.05 √d + 0.35 √b + 4) √2^(A-5), f_fβT = (0.07 √d + 0.45 √b + 4) √2^(A-5),
    F_βT = √(f_HβT² + f_fβT²), F_rT = 0.9 F_pT; the totals and the runout from unrounded parts

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : float or array
        d, m_n, b in mm.
    tolerance_class : int or array
        Flank tolerance class A.
    edition : AccuracyEdition
        The standard.
    teeth : int or array, optional
        z, only held against the scope.
    helix_angle_deg : float or array
        β in °, only held against the scope.

    Returns
    -------
    Tolerances
        In µm, unrounded and rounded; no value outside the scope, with a stop notice that names the limit.

    Raises
    ------
    InputError
        An edition that is not built.

    Notes
    -----
    Source: ISO 1328-1:2013, clause 5.3 and the annex on runout; coefficients from memory.
    Valid for: d from 5 to 15000 mm, m_n from 0.5 to 70 mm, b from 4 to 1200 mm, z from 5 to 1000, β up to
    45°, classes 1 to 11; the runout tolerance is for information in the standard.
    Departures: a class between two whole ones is worked out and carries a caution.
    Checked: TOL-13-1, TOL-13-2, TOL-13-4, TOL-13-1-EXACT, TOL-13-2-EXACT, TOL-13-4-EXACT, TOL-97-2,
    TOL-13-scope.

    Examples
    --------
    >>> found = tolerances(reference_diameter_mm=110, normal_module_mm=4, face_width_mm=30,
    ...     tolerance_class=6, edition=AccuracyEdition.ISO_1328_1_2013)
    >>> found.single_pitch_um, found.cumulative_pitch_um, found.runout_um
    (9.5, 29.0, 26.0)
    """
    known_edition(edition)
    given = {
        "reference_diameter_mm": array(reference_diameter_mm),
        "normal_module_mm": array(normal_module_mm),
        "face_width_mm": array(face_width_mm),
        "tolerance_class": array(tolerance_class),
    }
    scope = {**given, "teeth": array(teeth), "helix_angle_deg": array(helix_angle_deg)}
    exact = _exact(**{name: np.where(inside(scope), value, np.nan) for name, value in given.items()})
    return Tolerances(
        **given,
        **{f"{name}_exact_um": value for name, value in exact.items()},
        **{f"{name}_um": rounded(value) for name, value in exact.items()},
        notices=TOLERANCES.outside(**scope) + _between_classes(given["tolerance_class"]),
    )


def known_edition(edition: AccuracyEdition) -> None:
    """Refuse an edition that is not built.

    Parameters
    ----------
    edition : AccuracyEdition
        As given.

    Returns
    -------
    None
        Nothing.
    """
    faults = Faults()
    faults.need(isinstance(edition, AccuracyEdition), "edition", edition, AccuracyEdition.ISO_1328_1_2013)
    faults.check()


def inside(values: dict[str, Array]) -> NDArray[np.bool_]:
    """Say where all values lie inside the scope of the standard; one not given does not count.

    Parameters
    ----------
    values : dict of str to array
        By the names of the method's ranges.

    Returns
    -------
    ndarray of bool
        Broadcast over all values.
    """
    limits = {limit.name: limit for limit in TOLERANCES.valid}
    wrong = [(value < limits[name].low) | (value > limits[name].high) for name, value in values.items()]
    return np.asarray(~np.logical_or.reduce(np.broadcast_arrays(*wrong)), dtype=np.bool_)


def _exact(
    *, reference_diameter_mm: Array, normal_module_mm: Array, face_width_mm: Array, tolerance_class: Array
) -> dict[str, Any]:
    coefficients = table("iso1328_1_tolerances")
    step = np.sqrt(2.0) ** (tolerance_class - 5)

    def part(name: str) -> Array:
        row = coefficients.row(name)
        lengths = row["d"] * reference_diameter_mm + row["m_n"] * normal_module_mm
        roots = row["root_d"] * np.sqrt(reference_diameter_mm) + row["root_b"] * np.sqrt(face_width_mm)
        return array((lengths + roots + row["constant"]) * step)

    profile = part("profile slope"), part("profile form")
    helix = part("helix slope"), part("helix form")
    cumulative = part("cumulative pitch")
    return {
        "single_pitch": part("single pitch"),
        "cumulative_pitch": cumulative,
        "profile_slope": profile[0],
        "profile_form": profile[1],
        "profile_total": np.hypot(*profile),
        "helix_slope": helix[0],
        "helix_form": helix[1],
        "helix_total": np.hypot(*helix),
        "runout": coefficients.value("runout") * cumulative,
    }


def _between_classes(tolerance_class: Array) -> tuple[Notice, ...]:
    between = tolerance_class[tolerance_class != np.round(tolerance_class)]
    between = between[np.isfinite(between)]
    if not between.size:
        return ()
    text = f"A = {between.flat[0]:.4g} is no class of {TOLERANCES.cite}: it has whole classes from 1 to 11."
    return (Notice(Level.CAUTION, f"{TOLERANCES.key}.between_classes", text),)
