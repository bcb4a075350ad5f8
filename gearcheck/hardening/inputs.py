"""What the hardening room needs to know of the case that the drawing asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class CaseDepthRule(StrEnum):
    """The figure that says how deep the case must be; one governs, the others stand beside it."""

    ISO_6336_5 = "ISO 6336-5:2016"
    AGMA_2101_SHEAR = "AGMA 2101-D04 shear"
    AGMA_2101_NORMAL = "AGMA 2101-D04 normal curve"
    AGMA_2101_HEAVY = "AGMA 2101-D04 heavy curve"


@dataclass(frozen=True, kw_only=True)
class CaseSpecification:
    """Case depth at 550 HV on the flank at the pitch line, before and after grinding.

    Parameters
    ----------
    as_treated_min_mm, as_treated_max_mm : float or array
        Window after heat treatment, before grinding.
    finished_min_mm, finished_max_mm : float or array
        Window on the finished flank.
    left_stock_min_mm, left_stock_max_mm, right_stock_min_mm, right_stock_max_mm : float or array
        Grinding stock on each flank, normal to the flank.
    """

    as_treated_min_mm: Number
    as_treated_max_mm: Number
    finished_min_mm: Number
    finished_max_mm: Number
    left_stock_min_mm: Number
    left_stock_max_mm: Number
    right_stock_min_mm: Number
    right_stock_max_mm: Number
