"""Pitch tolerances of a superseded national standard, for drawings that still name it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

JIS_PITCH = Method(
    key="jis_b1702_1976.pitch",
    title="Pitch tolerances of JIS B 1702",
    source="JIS B 1702",
    edition="1976",
    clause="as printed in Elements of Metric Gear Technology, page T-132, table 15-1",
    status=Status.PUBLISHED,
    valid=(
        Range("reference_diameter_mm", "d", 0, np.inf, "mm", Level.STOP),
        Range("module_mm", "m", 0, np.inf, "mm", Level.STOP),
        Range("grade", "grade", 4, 4, "", Level.STOP),
    ),
    implements=("single and accumulated pitch error of grade 4",),
    leaves_out=(
        "all other grades and parameters: their formulas were not seen",
        "its rounding and its scope",
    ),
)


@dataclass(frozen=True, kw_only=True)
class OlderPitchTolerances(Result):
    """Pitch tolerances of a superseded standard, unrounded."""

    method: ClassVar[Method] = JIS_PITCH
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm")
    module_mm: Number = term("Module", "m", "mm")
    grade: Number = term("Accuracy grade", "G")
    tolerance_unit_um: Number = term("Tolerance unit", "W", "µm", "d^(1/3) + 0.65·m")
    single_pitch_um: Number = term("Single pitch", "f_pt", "µm", "2·W + 5.6")
    accumulated_pitch_um: Number = term("Accumulated pitch", "F_p", "µm", "8·W + 22.4")


def older_pitch_tolerances(
    *, reference_diameter_mm: Number, module_mm: Number, grade: Number
) -> OlderPitchTolerances:
    """Return the pitch tolerances of a drawing by the superseded JIS B 1702:1976.

    W = ∛d + 0.65 m, f_pt = 2 W + 5.6, F_p = 8 W + 22.4 of grade 4

    Parameters
    ----------
    reference_diameter_mm, module_mm : float or array
        d and m in mm.
    grade : int or array
        Accuracy grade; 4 alone.

    Returns
    -------
    OlderPitchTolerances
        In µm, unrounded; no value for another grade, whose formulas were not seen.

    Notes
    -----
    Source: JIS B 1702:1976 as printed in Elements of Metric Gear Technology, page T-132, table 15-1 and
    equation 15-1.
    Valid for: grade 4; the scope of the standard was not seen.
    Departures: not rounded.
    Checked: TOL-JIS.

    Examples
    --------
    >>> found = older_pitch_tolerances(reference_diameter_mm=100, module_mm=3, grade=4)
    >>> round(found.single_pitch_um, 3), round(found.accumulated_pitch_um, 3)
    (18.783, 75.133)
    """
    rows = table("jis_b1702_1976")
    given = {
        "reference_diameter_mm": array(reference_diameter_mm),
        "module_mm": array(module_mm),
        "grade": array(grade),
    }
    usable = (given["grade"] == 4) & (given["reference_diameter_mm"] >= 0) & (given["module_mm"] >= 0)
    unit = np.cbrt(given["reference_diameter_mm"]) + rows.row("W")["module"] * given["module_mm"]
    unit = np.where(usable, unit, np.nan)
    single, total = (rows.row(name) for name in ("single pitch", "accumulated pitch"))
    return OlderPitchTolerances(
        **given,
        tolerance_unit_um=unit,
        single_pitch_um=single["factor"] * unit + single["constant"],
        accumulated_pitch_um=total["factor"] * unit + total["constant"],
        notices=JIS_PITCH.outside(**given),
    )
