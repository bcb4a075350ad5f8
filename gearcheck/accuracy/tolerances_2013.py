"""The flank tolerances of ISO 1328-1:2013."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TOLERANCES_2013 = Method(
    key="iso1328_1_2013.tolerances",
    title="Flank tolerances",
    source="ISO 1328-1",
    edition="2013",
    clause="clause 5.3 and the annexes on sector pitch, adjacent pitch and runout",
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
        "single, sector and total cumulative pitch, tooth to tooth, runout",
        "profile and helix slope, form and total",
        "rounding: above 10 µm to 1 µm, from 5 to 10 µm to 0.5 µm, below 5 µm to 0.1 µm; a tie goes up",
    ),
    leaves_out=(
        "single flank composite and contact pattern",
        "segments of gears, modified evaluation lengths",
    ),
    departures=(
        "A class between two whole ones is worked out by the same formula and carries a caution.",
        "A sector of more than a quarter of the teeth is allowed what the whole gear is, and no more.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class Tolerances2013(Result):
    """Flank tolerances of the 2013 edition, as the formula gives them and rounded as the standard does."""

    method: ClassVar[Method] = TOLERANCES_2013
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    face_width_mm: Number = term("Face width", "b", "mm")
    teeth: Number = term("Number of teeth", "z")
    sector_teeth: Number = term("Pitches of a sector", "k")
    pitch_class: Number = term("Flank tolerance class of pitch", "A_p")
    profile_class: Number = term("Flank tolerance class of profile", "A_α")
    helix_class: Number = term("Flank tolerance class of helix", "A_β")
    runout_class: Number = term("Flank tolerance class of runout", "A_r")
    single_pitch_exact_um: Number = term(
        "Single pitch, unrounded", "f_pTu", "µm", "(0.001·d + 0.4·m_n + 5)·√(2)^(A_p-5)"
    )
    cumulative_pitch_exact_um: Number = term(
        "Total cumulative pitch, unrounded",
        "F_pTu",
        "µm",
        "(0.002·d + 0.55·√(d) + 0.7·m_n + 12)·√(2)^(A_p-5)",
    )
    sector_pitch_exact_um: Number = term(
        "Sector pitch, unrounded", "F_pkTu", "µm", "f_pTu + min(4·k/z, 1)·(F_pTu - f_pTu)"
    )
    adjacent_pitch_exact_um: Number = term("Tooth to tooth, unrounded", "f_uTu", "µm", "√(2)·f_pTu")
    profile_slope_exact_um: Number = term(
        "Profile slope, unrounded", "f_HαTu", "µm", "(0.4·m_n + 0.001·d + 4)·√(2)^(A_α-5)"
    )
    profile_form_exact_um: Number = term(
        "Profile form, unrounded", "f_fαTu", "µm", "(0.55·m_n + 5)·√(2)^(A_α-5)"
    )
    profile_total_exact_um: Number = term("Profile total, unrounded", "F_αTu", "µm", "√(f_HαTu² + f_fαTu²)")
    helix_slope_exact_um: Number = term(
        "Helix slope, unrounded", "f_HβTu", "µm", "(0.05·√(d) + 0.35·√(b) + 4)·√(2)^(A_β-5)"
    )
    helix_form_exact_um: Number = term(
        "Helix form, unrounded", "f_fβTu", "µm", "(0.07·√(d) + 0.45·√(b) + 4)·√(2)^(A_β-5)"
    )
    helix_total_exact_um: Number = term("Helix total, unrounded", "F_βTu", "µm", "√(f_HβTu² + f_fβTu²)")
    runout_exact_um: Number = term(
        "Runout, unrounded", "F_rTu", "µm", "0.9·(0.002·d + 0.55·√(d) + 0.7·m_n + 12)·√(2)^(A_r-5)"
    )
    single_pitch_um: Number = term("Single pitch", "f_pT", "µm", words="f_pTu rounded")
    cumulative_pitch_um: Number = term("Total cumulative pitch", "F_pT", "µm", words="F_pTu rounded")
    sector_pitch_um: Number = term("Sector pitch", "F_pkT", "µm", words="F_pkTu rounded")
    adjacent_pitch_um: Number = term("Tooth to tooth", "f_uT", "µm", words="f_uTu rounded")
    profile_slope_um: Number = term("Profile slope", "f_HαT", "µm", words="f_HαTu rounded")
    profile_form_um: Number = term("Profile form", "f_fαT", "µm", words="f_fαTu rounded")
    profile_total_um: Number = term("Profile total", "F_αT", "µm", words="F_αTu rounded")
    helix_slope_um: Number = term("Helix slope", "f_HβT", "µm", words="f_HβTu rounded")
    helix_form_um: Number = term("Helix form", "f_fβT", "µm", words="f_fβTu rounded")
    helix_total_um: Number = term("Helix total", "F_βT", "µm", words="F_βTu rounded")
    runout_um: Number = term("Runout", "F_rT", "µm", words="F_rTu rounded")


def exact_2013(
    *,
    reference_diameter_mm: Array,
    normal_module_mm: Array,
    face_width_mm: Array,
    teeth: Array,
    sector_teeth: Array,
    **classes: Array,
) -> dict[str, Any]:
    """Return the unrounded tolerances; the terms of the result say how.

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : ndarray
        d, m_n, b in mm; NaN outside the scope.
    teeth, sector_teeth : ndarray
        z and k; NaN where not given.
    **classes : ndarray
        Of each group: ``pitch_class`` and so on.

    Returns
    -------
    dict of str to ndarray
        In µm, by the name of the parameter.
    """
    coefficients = table("iso1328_1_tolerances")

    def part(name: str, group: str) -> Array:
        row = coefficients.row(name)
        lengths = row["d"] * reference_diameter_mm + row["m_n"] * normal_module_mm
        roots = row["root_d"] * np.sqrt(reference_diameter_mm) + row["root_b"] * np.sqrt(face_width_mm)
        return array((lengths + roots + row["constant"]) * np.sqrt(2.0) ** (classes[f"{group}_class"] - 5))

    single, cumulative = part("single pitch", "pitch"), part("cumulative pitch", "pitch")
    profile = part("profile slope", "profile"), part("profile form", "profile")
    helix = part("helix slope", "helix"), part("helix form", "helix")
    return {
        "single_pitch": single,
        "cumulative_pitch": cumulative,
        "sector_pitch": single + np.minimum(4 * sector_teeth / teeth, 1.0) * (cumulative - single),
        "adjacent_pitch": np.sqrt(2.0) * single,
        "profile_slope": profile[0],
        "profile_form": profile[1],
        "profile_total": np.hypot(*profile),
        "helix_slope": helix[0],
        "helix_form": helix[1],
        "helix_total": np.hypot(*helix),
        "runout": coefficients.value("runout") * part("cumulative pitch", "runout"),
    }
