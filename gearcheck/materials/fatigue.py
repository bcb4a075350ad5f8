"""Fatigue limits of steel from its hardness, with the lower bound that its inclusions set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

FATIGUE = Method(
    key="murakami.fatigue_from_hardness",
    title="Fatigue limits from hardness",
    source="Murakami, Metal Fatigue: Effects of Small Defects and Nonmetallic Inclusions",
    edition="2002",
    clause="limit from hardness; model of the root of the projected area",
    status=Status.FROM_MEMORY,
    valid=(
        Range("hardness_HV", "HV", 70, 720, "HV"),
        Range("inclusion_root_area_um", "√area", 10, 1000, "µm"),
    ),
    implements=(
        "fully reversed bending limit 1.6 HV, shear limit by von Mises",
        "sensitivity of Dang Van to the hydrostatic stress from these two limits",
        "fully reversed shear limit with an inclusion of a given size inside",
    ),
    leaves_out=("scatter, about 0.1 HV of the 1.6 HV", "the number of cycles: both are limits of endurance"),
    departures=(
        "Above 400 HV the limit without inclusions is extrapolated and no bound; the one with inclusions is.",
        "An inclusion in shear counts as a round surface flaw in torsion, inside too.",
        "A given inclusion never raises the limit above that of the steel without it.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FatigueLimits(Result):
    """Fully reversed limits at each hardness."""

    method: ClassVar[Method] = FATIGUE
    hardness_HV: Number = term("Hardness", "HV", "HV")
    inclusion_root_area_um: Number = term("Root of the projected area of the inclusion", "a", "µm")
    bending_limit_MPa: Number = term("Fully reversed bending limit", "f", "MPa", "1.6·HV")
    shear_limit_MPa: Number = term("Fully reversed shear limit", "t", "MPa", "0.577·f")
    hydrostatic_weight: Number = term("Weight of the hydrostatic stress", "a_D", "", "3·(t/f - 1/2)")
    inclusion_limit_MPa: Number = term(
        "Fully reversed shear limit with the inclusion", "t_i", "MPa", "min(t, 0.774·1.56·(HV + 120)/a^(1/6))"
    )


def hydrostatic_weight() -> float:
    """Return the weight of the hydrostatic stress in the criterion of Dang Van: a = 3 (t/f - 1/2).

    Returns
    -------
    float
        The same at every hardness, since t/f is.
    """
    return 3 * (table("fatigue_from_hardness").value("torsion limit over bending limit") - 0.5)


def fatigue_limits(*, hardness_HV: Number, inclusion_root_area_um: Number) -> FatigueLimits:
    """Return the fully reversed fatigue limits of steel from its hardness.

    f = 1.6 HV, t = 0.577 f, a = 3 (t/f - 1/2), t_i = min(t, 0.774 · 1.56 (HV + 120)/(√area)^(1/6))

    Parameters
    ----------
    hardness_HV : float or array
        HV, any shape.
    inclusion_root_area_um : float or array
        √area of the largest inclusion to reckon with, in µm, broadcast against the hardness.

    Returns
    -------
    FatigueLimits
        Limits in MPa; a caution outside the range of the model.

    Raises
    ------
    InputError
        An inclusion of 0 µm or less, or a hardness below 0.

    Notes
    -----
    Source: Murakami 2002; 1.6 HV and the ratio of von Mises; all from memory.
    Valid for: 70 to 720 HV, inclusions from 10 to 1000 µm; above 400 HV the limit without inclusions is
    extrapolated.
    Departures: see the method.
    Checked: FATIGUE-500, FATIGUE-SHARMA.

    Examples
    --------
    >>> limits = fatigue_limits(hardness_HV=500, inclusion_root_area_um=64)
    >>> round(limits.shear_limit_MPa, 1), round(limits.inclusion_limit_MPa, 1)
    (461.6, 374.3)
    """
    hard, size = array(hardness_HV), array(inclusion_root_area_um)
    faults = Faults()
    faults.need(not (hard < 0).any(), "hardness_HV", hardness_HV, "a hardness of 0 HV or more")
    faults.need(not (size <= 0).any(), "inclusion_root_area_um", inclusion_root_area_um, "a size above 0 µm")
    faults.check()
    known, flaw = table("fatigue_from_hardness").value, table("flaw_model").value
    bending = known("bending limit over hardness") * hard
    shear = known("torsion limit over bending limit") * bending
    constant = flaw("interior") * flaw("shear over tension")
    with_inclusion = constant * (hard + flaw("hardness offset")) / size ** (1 / 6)
    return FatigueLimits(
        hardness_HV=hard,
        inclusion_root_area_um=size,
        bending_limit_MPa=bending,
        shear_limit_MPa=shear,
        hydrostatic_weight=hydrostatic_weight(),
        inclusion_limit_MPa=np.minimum(shear, with_inclusion),
        notices=FATIGUE.outside(hardness_HV=hard, inclusion_root_area_um=size),
    )
