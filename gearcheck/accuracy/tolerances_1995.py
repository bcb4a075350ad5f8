"""The flank tolerances of ISO 1328-1:1995, for gears of older drawings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.accuracy.size_ranges import range_mean
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TOLERANCES_1995 = Method(
    key="iso1328_1_1995.tolerances",
    title="Flank tolerances",
    source="ISO 1328-1",
    edition="1995",
    clause="clauses 5 and 6 and annexes A and B; runout of ISO 1328-2:1997, annex B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("reference_diameter_mm", "d", 5, 10000, "mm", Level.STOP),
        Range("normal_module_mm", "m", 0.5, 70, "mm", Level.STOP),
        Range("face_width_mm", "b", 4, 1000, "mm", Level.STOP),
        Range("tolerance_class", "Q", 0, 12, "", Level.STOP),
    ),
    implements=(
        "single, sector and total cumulative pitch, profile and helix slope, form and total, runout",
        "each size by the geometric mean of the ends of its range",
        "rounding: above 10 µm to 1 µm, from 5 to 10 µm to 0.5 µm, below 5 µm to 0.1 µm; a tie goes up",
    ),
    leaves_out=("tooth to tooth pitch, which the edition does not have", "tangential composite deviations"),
    departures=(
        "A size on the border of two ranges belongs to the lower one.",
        "A class between two whole ones is worked out by the same formula and carries a caution.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class Tolerances1995(Result):
    """Flank tolerances of the 1995 edition, as the formula gives them and rounded as its tables."""

    method: ClassVar[Method] = TOLERANCES_1995
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm")
    normal_module_mm: Number = term("Normal module", "m", "mm")
    face_width_mm: Number = term("Face width", "b", "mm")
    teeth: Number = term("Number of teeth", "z")
    sector_teeth: Number = term("Pitches of a sector", "k")
    pitch_class: Number = term("Accuracy grade of pitch", "Q_p")
    profile_class: Number = term("Accuracy grade of profile", "Q_α")
    helix_class: Number = term("Accuracy grade of helix", "Q_β")
    runout_class: Number = term("Accuracy grade of runout", "Q_r")
    mean_diameter_mm: Number = term(
        "Mean of the range of the diameter", "d_m", "mm", words="geometric mean of the ends of the range of d"
    )
    mean_module_mm: Number = term(
        "Mean of the range of the module", "m_m", "mm", words="geometric mean of the ends of the range of m"
    )
    mean_face_width_mm: Number = term(
        "Mean of the range of the face width",
        "b_m",
        "mm",
        words="geometric mean of the ends of the range of b",
    )
    single_pitch_exact_um: Number = term(
        "Single pitch, unrounded", "f_ptu", "µm", "(0.3·(m_m + 0.4·√(d_m)) + 4)·√(2)^(Q_p-5)"
    )
    cumulative_pitch_exact_um: Number = term(
        "Total cumulative pitch, unrounded", "F_pu", "µm", "(0.3·m_m + 1.25·√(d_m) + 7)·√(2)^(Q_p-5)"
    )
    sector_pitch_exact_um: Number = term(
        "Sector pitch, unrounded", "F_pku", "µm", "f_ptu + 1.6·√((k - 1)·m_m)·√(2)^(Q_p-5)"
    )
    adjacent_pitch_exact_um: Number = term(
        "Tooth to tooth, unrounded", "f_uu", "µm", words="none in this edition"
    )
    profile_slope_exact_um: Number = term(
        "Profile slope, unrounded", "f_Hαu", "µm", "(2·√(m_m) + 0.14·√(d_m) + 0.5)·√(2)^(Q_α-5)"
    )
    profile_form_exact_um: Number = term(
        "Profile form, unrounded", "f_fαu", "µm", "(2.5·√(m_m) + 0.17·√(d_m) + 0.5)·√(2)^(Q_α-5)"
    )
    profile_total_exact_um: Number = term(
        "Profile total, unrounded", "F_αu", "µm", "(3.2·√(m_m) + 0.22·√(d_m) + 0.7)·√(2)^(Q_α-5)"
    )
    helix_slope_exact_um: Number = term(
        "Helix slope, unrounded", "f_Hβu", "µm", "(0.07·√(d_m) + 0.45·√(b_m) + 3)·√(2)^(Q_β-5)"
    )
    helix_form_exact_um: Number = term(
        "Helix form, unrounded", "f_fβu", "µm", "(0.07·√(d_m) + 0.45·√(b_m) + 3)·√(2)^(Q_β-5)"
    )
    helix_total_exact_um: Number = term(
        "Helix total, unrounded", "F_βu", "µm", "(0.1·√(d_m) + 0.63·√(b_m) + 4.2)·√(2)^(Q_β-5)"
    )
    runout_exact_um: Number = term(
        "Runout, unrounded", "F_ru", "µm", "0.8·(0.3·m_m + 1.25·√(d_m) + 7)·√(2)^(Q_r-5)"
    )
    single_pitch_um: Number = term("Single pitch", "f_pt", "µm", words="f_ptu rounded")
    cumulative_pitch_um: Number = term("Total cumulative pitch", "F_p", "µm", words="F_pu rounded")
    sector_pitch_um: Number = term("Sector pitch", "F_pk", "µm", words="F_pku rounded")
    adjacent_pitch_um: Number = term("Tooth to tooth", "f_u", "µm", words="none in this edition")
    profile_slope_um: Number = term("Profile slope", "f_Hα", "µm", words="f_Hαu rounded")
    profile_form_um: Number = term("Profile form", "f_fα", "µm", words="f_fαu rounded")
    profile_total_um: Number = term("Profile total", "F_α", "µm", words="F_αu rounded")
    helix_slope_um: Number = term("Helix slope", "f_Hβ", "µm", words="f_Hβu rounded")
    helix_form_um: Number = term("Helix form", "f_fβ", "µm", words="f_fβu rounded")
    helix_total_um: Number = term("Helix total", "F_β", "µm", words="F_βu rounded")
    runout_um: Number = term("Runout", "F_r", "µm", words="F_ru rounded")


def means_1995(
    *, reference_diameter_mm: Array, normal_module_mm: Array, face_width_mm: Array
) -> dict[str, Array]:
    """Return the geometric means of the ranges that the sizes fall into.

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : ndarray
        d, m, b in mm.

    Returns
    -------
    dict of str to ndarray
        d_m, m_m, b_m in mm, by the fields of the result; NaN outside all ranges.
    """
    given = {"diameter": reference_diameter_mm, "module": normal_module_mm, "face_width": face_width_mm}
    ranges = table("iso1328_1_1995_ranges")
    return {f"mean_{name}_mm": range_mean(value, ranges.row(name)["ends"]) for name, value in given.items()}


def exact_1995(
    *,
    mean_diameter_mm: Array,
    mean_module_mm: Array,
    mean_face_width_mm: Array,
    sector_teeth: Array,
    **classes: Array,
) -> dict[str, Any]:
    """Return the unrounded tolerances; the terms of the result say how.

    Parameters
    ----------
    mean_diameter_mm, mean_module_mm, mean_face_width_mm : ndarray
        d_m, m_m, b_m in mm; NaN outside the scope.
    sector_teeth : ndarray
        k.
    **classes : ndarray
        Of each group: ``pitch_class`` and so on.

    Returns
    -------
    dict of str to ndarray
        In µm, by the name of the parameter.
    """
    coefficients = table("iso1328_1_1995_tolerances")
    roots = {
        name: np.sqrt(value)
        for name, value in (("m", mean_module_mm), ("d", mean_diameter_mm), ("b", mean_face_width_mm))
    }

    def part(name: str, group: str) -> Array:
        row = coefficients.row(name)
        size = row["m"] * mean_module_mm + sum(row[f"root_{of}"] * root for of, root in roots.items())
        return array((size + row["constant"]) * _step(classes, group))

    single = part("single pitch", "pitch")
    sector = coefficients.value("sector pitch") * np.sqrt((sector_teeth - 1) * mean_module_mm)
    return {
        "single_pitch": single,
        "cumulative_pitch": part("cumulative pitch", "pitch"),
        "sector_pitch": single + sector * _step(classes, "pitch"),
        "adjacent_pitch": np.full(np.shape(single), np.nan),
        "profile_slope": part("profile slope", "profile"),
        "profile_form": part("profile form", "profile"),
        "profile_total": part("profile total", "profile"),
        "helix_slope": part("helix slope", "helix"),
        "helix_form": part("helix form", "helix"),
        "helix_total": part("helix total", "helix"),
        "runout": coefficients.value("runout") * part("cumulative pitch", "runout"),
    }


def _step(classes: dict[str, Array], group: str) -> Array:
    return array(np.sqrt(2.0) ** (classes[f"{group}_class"] - 5))
