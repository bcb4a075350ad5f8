"""Radial composite tolerances: what a gear may move its master gear, in a turn and from tooth to tooth."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.accuracy.size_ranges import range_mean
from gearcheck.accuracy.tolerances import inside, rounded
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

COMPOSITE_1997 = Method(
    key="iso1328_2_1997.composite",
    title="Radial composite tolerances",
    source="ISO 1328-2",
    edition="1997",
    clause="clause 5 and annex A",
    status=Status.FROM_MEMORY,
    valid=(
        Range("reference_diameter_mm", "d", 5, 1000, "mm", Level.STOP),
        Range("normal_module_mm", "m_n", 0.2, 10, "mm", Level.STOP),
        Range("tolerance_class", "Q", 4, 12, "", Level.STOP),
    ),
    implements=(
        "total and tooth to tooth radial composite deviation",
        "each size by the geometric mean of the ends of its range",
        "rounding: above 10 µm to 1 µm, from 5 to 10 µm to 0.5 µm, below 5 µm to 0.1 µm; a tie goes up",
    ),
    leaves_out=("the master gear and its own deviations",),
    departures=("A size on the border of two ranges belongs to the lower one.",),
)
COMPOSITE_2020 = Method(
    key="iso1328_2_2020.composite",
    title="Radial composite tolerances",
    source="ISO 1328-2",
    edition="2020",
    clause="scope",
    status=Status.PUBLISHED,
    valid=(
        Range("teeth", "z", 3, np.inf, "", Level.STOP),
        Range("reference_diameter_mm", "d", -np.inf, 600, "mm", Level.STOP),
    ),
    implements=("the scope, read in a catalogue text",),
    leaves_out=("all tolerances: the formulas of its classes R30 to R50 are not at hand",),
)


class CompositeEdition(StrEnum):
    """The edition that gives the radial composite tolerances."""

    ISO_1328_2_1997 = "ISO 1328-2:1997"
    ISO_1328_2_2020 = "ISO 1328-2:2020"


@dataclass(frozen=True, kw_only=True)
class CompositeTolerances(Result):
    """Radial composite tolerances, as the formula gives them and rounded as the tables print them."""

    method: ClassVar[Method] = COMPOSITE_1997
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    tolerance_class: Number = term("Accuracy grade", "Q")
    mean_diameter_mm: Number = term(
        "Mean of the range of the diameter", "d_m", "mm", words="geometric mean of the ends of the range of d"
    )
    mean_module_mm: Number = term(
        "Mean of the range of the module", "m_m", "mm", words="geometric mean of the ends of the range of m_n"
    )
    total_exact_um: Number = term(
        "Total radial composite, unrounded", "F_iu", "µm", "(3.2·m_m + 1.01·√(d_m) + 6.4)·√(2)^(Q-5)"
    )
    tooth_exact_um: Number = term(
        "Tooth to tooth radial composite, unrounded",
        "f_iu",
        "µm",
        "(2.96·m_m + 0.01·√(d_m) + 0.8)·√(2)^(Q-5)",
    )
    total_um: Number = term("Total radial composite", "F_i", "µm", words="F_iu rounded")
    tooth_um: Number = term("Tooth to tooth radial composite", "f_i", "µm", words="f_iu rounded")


@dataclass(frozen=True, kw_only=True)
class CompositeTolerances2020(CompositeTolerances):
    """The same by the 2020 edition, whose formulas are not at hand: never a value."""

    method: ClassVar[Method] = COMPOSITE_2020
    total_exact_um: Number = term(
        "Total radial composite, unrounded", "F_iu", "µm", words="the formula is not at hand"
    )
    tooth_exact_um: Number = term(
        "Tooth to tooth radial composite, unrounded", "f_iu", "µm", words="the formula is not at hand"
    )


def composite_tolerances(
    *,
    reference_diameter_mm: Number,
    normal_module_mm: Number,
    tolerance_class: Number,
    edition: CompositeEdition,
    teeth: Number = None,
) -> CompositeTolerances:
    """Return the radial composite tolerances of a grade.

    F_i'' = (3.2 m_n + 1.01 √d + 6.4) √2^(Q-5), f_i'' = (2.96 m_n + 0.01 √d + 0.8) √2^(Q-5), each size the
    geometric mean of its range

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm : float or array
        d and m_n in mm.
    tolerance_class : int or array
        Accuracy grade Q.
    edition : CompositeEdition
        The standard.
    teeth : int or array, optional
        z, held against the scope of the 2020 edition.

    Returns
    -------
    CompositeTolerances
        In µm, unrounded and rounded; no value outside the scope, and none by the 2020 edition.

    Raises
    ------
    InputError
        An edition that is not known.

    Notes
    -----
    Source: ISO 1328-2:1997, clause 5 and annex A; coefficients and ranges from memory.
    Valid for: d from 5 to 1000 mm, m_n from 0.2 to 10 mm, grades 4 to 12. The edition of 2020 has another
    system of classes for z of 3 or more and d up to 600 mm, and is refused: its formulas are not at hand.
    Departures: a size on the border of two ranges belongs to the lower one.
    Checked: TOL-97-1, TOL-97-1-EXACT, TOL-20-scope.

    Examples
    --------
    >>> found = composite_tolerances(reference_diameter_mm=100, normal_module_mm=2, tolerance_class=6,
    ...     edition=CompositeEdition.ISO_1328_2_1997)
    >>> found.total_um, found.tooth_um
    (31.0, 9.5)
    """
    faults = Faults()
    faults.need(isinstance(edition, CompositeEdition), "edition", edition, " or ".join(CompositeEdition))
    faults.check()
    d, m, q = (array(value) for value in (reference_diameter_mm, normal_module_mm, tolerance_class))
    given = {"reference_diameter_mm": d, "normal_module_mm": m, "tolerance_class": q}
    if edition is CompositeEdition.ISO_1328_2_2020:
        return _refused(given, array(teeth))
    rows = table("iso1328_2_1997")
    known = np.where(inside(given, COMPOSITE_1997), q, np.nan)
    means = {
        "mean_diameter_mm": range_mean(d, rows.row("diameter")["ends"]),
        "mean_module_mm": range_mean(m, rows.row("module")["ends"]),
    }

    def part(name: str) -> Array:
        row = rows.row(name)
        fifth = row["m"] * means["mean_module_mm"] + row["root_d"] * np.sqrt(means["mean_diameter_mm"])
        return array((fifth + row["constant"]) * np.sqrt(2.0) ** (known - 5))

    total, tooth = part("total"), part("tooth to tooth")
    return CompositeTolerances(
        reference_diameter_mm=d,
        normal_module_mm=m,
        tolerance_class=q,
        mean_diameter_mm=means["mean_diameter_mm"],
        mean_module_mm=means["mean_module_mm"],
        total_exact_um=total,
        tooth_exact_um=tooth,
        total_um=rounded(total),
        tooth_um=rounded(tooth),
        notices=COMPOSITE_1997.outside(**given),
    )


def _refused(given: dict[str, Array], teeth: Array) -> CompositeTolerances2020:
    """Outside its scope the edition is refused for that; inside because nobody here has read its formulas."""
    outside = COMPOSITE_2020.outside(teeth=teeth, reference_diameter_mm=given["reference_diameter_mm"])
    text = (
        f"The formulas of {CompositeEdition.ISO_1328_2_2020} are not at hand; its classes R30 to R50 are no "
        "grades of 1997 and cannot be converted. Give the tolerance of the drawing itself, or a grade of "
        f"{CompositeEdition.ISO_1328_2_1997}."
    )
    unknown = Notice(Level.STOP, f"{COMPOSITE_2020.key}.not_built", text)
    names = ("mean_diameter_mm", "mean_module_mm", "total_exact_um", "tooth_exact_um", "total_um", "tooth_um")
    return CompositeTolerances2020(
        reference_diameter_mm=given["reference_diameter_mm"],
        normal_module_mm=given["normal_module_mm"],
        tolerance_class=given["tolerance_class"],
        **dict.fromkeys(names),
        notices=outside or (unknown,),
    )
