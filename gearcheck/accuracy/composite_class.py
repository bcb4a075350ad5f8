"""The grade that measured radial composite deviations keep."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from gearcheck.accuracy.composite import COMPOSITE_1997, CompositeEdition, composite_tolerances
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

COMPOSITE_GRADE = replace(
    COMPOSITE_1997,
    key="iso1328_2_1997.class",
    title="Accuracy grade from radial composite deviations",
    valid=tuple(limit for limit in COMPOSITE_1997.valid if limit.name != "tolerance_class"),
    implements=("for each deviation the finest grade whose rounded tolerance it does not exceed",),
    leaves_out=(),
)
_WORDS = {"total": "total radial composite", "tooth": "tooth to tooth radial composite"}
_GRADES = np.arange(4.0, 13.0)


@dataclass(frozen=True, kw_only=True)
class CompositeClass(Result):
    """The grade of each radial composite deviation given, and the coarser of both."""

    method: ClassVar[Method] = COMPOSITE_GRADE
    total: Number = term("Grade of total radial composite", "Q_F", words="finest grade with F_i'' kept")
    tooth: Number = term("Grade of tooth to tooth", "Q_f", words="finest grade with f_i'' kept")
    overall: Number = term("Grade", "Q", words="coarser of the grades of the deviations given")


def composite_class(
    *,
    reference_diameter_mm: Number,
    normal_module_mm: Number,
    edition: CompositeEdition,
    total_um: Number = None,
    tooth_um: Number = None,
) -> CompositeClass:
    """Return the finest grade that each measured radial composite deviation keeps, and the coarser of them.

    Q = the least of 4 to 12 with deviation <= rounded tolerance of Q

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm : float or array
        d and m_n in mm.
    edition : CompositeEdition
        The standard; that of 2020 is refused, its formulas are not at hand.
    total_um, tooth_um : float or array, optional
        F_i'' over a turn and f_i'' from tooth to tooth, in µm.

    Returns
    -------
    CompositeClass
        Whole grades; no value, also overall, where a deviation is worse than grade 12 or outside the scope.

    Raises
    ------
    InputError
        No deviation at all, one below 0, or an edition without formulas.

    Notes
    -----
    Source: ISO 1328-2:1997, clause 5, from memory.
    Valid for: d from 5 to 1000 mm, m_n from 0.2 to 10 mm.
    Departures: none.
    Checked: CLASS-97-1.

    Examples
    --------
    >>> found = composite_class(reference_diameter_mm=100, normal_module_mm=2, total_um=40.0, tooth_um=9.5,
    ...     edition=CompositeEdition.ISO_1328_2_1997)
    >>> found.total, found.tooth, found.overall
    (7.0, 6.0, 7.0)
    """
    given = {"total": total_um, "tooth": tooth_um}
    measured = {name: array(value) for name, value in given.items() if value is not None}
    faults = Faults()
    faults.need(bool(measured), "deviations", None, "at least one measured deviation in µm")
    faults.need(
        edition is CompositeEdition.ISO_1328_2_1997, "edition", edition, str(CompositeEdition.ISO_1328_2_1997)
    )
    for name, value in measured.items():
        faults.need(not (value < 0).any(), f"{name}_um", value, "a deviation of 0 µm or more")
    faults.check()
    size = {
        "reference_diameter_mm": array(reference_diameter_mm),
        "normal_module_mm": array(normal_module_mm),
    }
    limits = composite_tolerances(
        **{name: value[..., None] for name, value in size.items()}, tolerance_class=_GRADES, edition=edition
    )
    found = {name: _finest(value, array(getattr(limits, f"{name}_um"))) for name, value in measured.items()}
    known = {name: np.where(item > _GRADES[-1], np.nan, item) for name, item in found.items()}
    worse = (
        Notice(
            Level.STOP,
            f"{COMPOSITE_GRADE.key}.{name}",
            f"The {_WORDS[name]} deviation is worse than grade {_GRADES[-1]:g}.",
        )
        for name, item in found.items()
        if (item > _GRADES[-1]).any()
    )
    return CompositeClass(
        total=known.get("total"),
        tooth=known.get("tooth"),
        overall=np.maximum.reduce(np.broadcast_arrays(*known.values())),
        notices=(*COMPOSITE_GRADE.outside(**size), *worse),
    )


def _finest(deviation: Array, limits: Array) -> Array:
    exceeded = (deviation[..., None] > limits).sum(axis=-1)
    known = ~np.isnan(deviation) & ~np.isnan(limits).any(axis=-1)
    return array(np.where(known, exceeded + _GRADES[0], np.nan))
