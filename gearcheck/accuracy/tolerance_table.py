"""All tolerances of one gear over all classes of an edition."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearcheck.accuracy.grade import PARAMETERS, class_range
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import Tolerances, tolerances
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import terms


@dataclass(frozen=True, kw_only=True)
class ToleranceTable:
    """The tolerances of one gear: a row for each parameter, a column for each class.

    Parameters
    ----------
    classes : ndarray
        All classes of the edition, the finest first, shape (classes,).
    limits : Tolerances
        Each tolerance with the classes on its last axis.
    """

    classes: Array
    limits: Tolerances

    def rows(self) -> Iterator[tuple[str, str, Array]]:
        """Yield the rows that have values.

        Yields
        ------
        label, symbol, tolerances : tuple of str, str and ndarray
            In the trade's words, as the standard writes it, and in µm for each class.
        """
        known = {name: item for name, item, _ in terms(self.limits)}
        for name in PARAMETERS:
            values = array(getattr(self.limits, f"{name}_um"))
            if not np.isnan(values).all():
                item = known[f"{name}_um"]
                yield item.label, item.symbol, np.broadcast_to(values, self.classes.shape)


def tolerance_table(
    *,
    reference_diameter_mm: float,
    normal_module_mm: float,
    face_width_mm: float,
    edition: AccuracyEdition,
    teeth: Number = None,
    helix_angle_deg: float = 0.0,
    sector_teeth: Number = None,
) -> ToleranceTable:
    """Return all tolerances of one gear over all classes of an edition.

    The formulas of ``tolerances``, A = 1 to 11, in the edition of 1995 Q = 0 to 12

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : float
        d, m_n, b in mm, of one gear.
    edition : AccuracyEdition
        The standard.
    teeth : int, optional
        z; without it the 2013 edition gives no sector pitch.
    helix_angle_deg : float
        β in °, only held against the scope.
    sector_teeth : int, optional
        k, pitches of a sector; the whole number nearest z/8 where it is not given.

    Returns
    -------
    ToleranceTable
        In µm; no rows outside the scope, and `limits` says why.

    Raises
    ------
    InputError
        What ``tolerances`` refuses.

    Notes
    -----
    Source: as ``tolerances``.
    Valid for: as ``tolerances``.
    Departures: none.
    Checked: TABLE-13.

    Examples
    --------
    >>> found = tolerance_table(reference_diameter_mm=110, normal_module_mm=4, face_width_mm=30, teeth=27,
    ...     edition=AccuracyEdition.ISO_1328_1_2013)
    >>> label, symbol, values = next(found.rows())
    >>> print(label, symbol, values[4:7])
    Single pitch f_pT [ 6.5  9.5 13. ]
    """
    classes = class_range(edition)
    limits = tolerances(
        reference_diameter_mm=reference_diameter_mm,
        normal_module_mm=normal_module_mm,
        face_width_mm=face_width_mm,
        tolerance_class=classes,
        edition=edition,
        teeth=teeth,
        helix_angle_deg=helix_angle_deg,
        sector_teeth=sector_teeth,
    )
    return ToleranceTable(classes=classes, limits=limits)
