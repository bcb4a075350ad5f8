"""Hardness on another scale, and the yield strength that goes with a hardness."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

CONVERSION = Method(
    key="astm_e140.hardness",
    title="Conversion between Rockwell C and Vickers hardness",
    source="ASTM E140",
    edition="",
    clause="Table 1",
    status=Status.FROM_MEMORY,
    valid=(
        Range("hardness_HRC", "HRC", 20, 68, "HRC", Level.STOP),
        Range("hardness_HV", "HV", 238, 940, "HV", Level.STOP),
    ),
    implements=("Table 1, non-austenitic steels, columns HRC and HV",),
    leaves_out=("other scales; the scatter of the conversion itself",),
    departures=("Between the rows of the table it is linear.",),
)

YIELD_STRENGTH = Method(
    key="pavlina_van_tyne.yield_strength",
    title="Yield strength from Vickers hardness",
    source="Pavlina and Van Tyne, J. Mater. Eng. Perform. 17",
    edition="2008",
    clause="regression for yield strength",
    status=Status.FROM_MEMORY,
    valid=(Range("hardness_HV", "HV", 130, 650, "HV", Level.CAUTION),),
    implements=("the straight line for yield strength over steels of all microstructures",),
    leaves_out=("the scatter about the line",),
    departures=("Above 650 HV, as at a carburised surface, the line is extrapolated.",),
)


@dataclass(frozen=True, kw_only=True)
class ConvertedHardness(Result):
    """A hardness on both scales; without a value where it lies outside the table."""

    method: ClassVar[Method] = CONVERSION
    hardness_HRC: Number = term("Rockwell C hardness", "HRC", "HRC", words="given, or from the table")
    hardness_HV: Number = term("Vickers hardness", "HV", "HV", words="given, or from the table")


def HV_from_HRC(*, hardness_HRC: Number) -> ConvertedHardness:  # noqa: N802 - the names of the two scales
    """Return the Vickers hardness of steel from its Rockwell C hardness.

    Linear between the rows of ASTM E140 Table 1.

    Parameters
    ----------
    hardness_HRC : float or array
        HRC, any shape.

    Returns
    -------
    ConvertedHardness
        Both hardnesses; a stop notice and no value outside 20 to 68 HRC.

    Notes
    -----
    Source: ASTM E140 Table 1, from tables that reproduce it and from memory.
    Valid for: non-austenitic steel, 20 to 68 HRC.
    Departures: linear between the rows.
    Checked: HARD-01.

    Examples
    --------
    >>> HV_from_HRC(hardness_HRC=60).hardness_HV
    697.0
    """
    rows = table("hardness_hrc_hv")
    HRC = array(hardness_HRC)
    HV = np.interp(HRC, rows.column("HRC"), rows.column("HV"), left=np.nan, right=np.nan)
    notices = CONVERSION.outside(hardness_HRC=HRC)
    return ConvertedHardness(hardness_HRC=HRC, hardness_HV=HV, notices=notices)


def HRC_from_HV(*, hardness_HV: Number) -> ConvertedHardness:  # noqa: N802 - the names of the two scales
    """Return the Rockwell C hardness of steel from its Vickers hardness.

    Linear between the rows of ASTM E140 Table 1.

    Parameters
    ----------
    hardness_HV : float or array
        HV, any shape.

    Returns
    -------
    ConvertedHardness
        Both hardnesses; a stop notice and no value outside 238 to 940 HV.

    Notes
    -----
    Source: ASTM E140 Table 1, from tables that reproduce it and from memory.
    Valid for: non-austenitic steel, 238 to 940 HV.
    Departures: linear between the rows.
    Checked: HARD-02.

    Examples
    --------
    >>> round(HRC_from_HV(hardness_HV=550).hardness_HRC, 2)
    52.38
    """
    rows = table("hardness_hrc_hv")
    HV = array(hardness_HV)
    HRC = np.interp(HV, rows.column("HV"), rows.column("HRC"), left=np.nan, right=np.nan)
    notices = CONVERSION.outside(hardness_HV=HV)
    return ConvertedHardness(hardness_HRC=HRC, hardness_HV=HV, notices=notices)


def HB_from_HV(*, hardness_HV: Number) -> Array:  # noqa: N802 - the names of the two scales
    """Return the Brinell hardness of steel from its Vickers hardness.

    HB = 0.95 · HV

    Parameters
    ----------
    hardness_HV : float or array
        HV, any shape.

    Returns
    -------
    ndarray of float
        HB.

    Notes
    -----
    Source: ISO 18265, table of unalloyed and low-alloy steels, ratio from memory.
    Valid for: about 80 to 650 HV.
    Departures: none.
    Checked: HARD-HB.

    Examples
    --------
    >>> print(HB_from_HV(hardness_HV=[200, 300]))
    [190. 285.]
    """
    return table("hardness_hv_hb").value("HB over HV") * array(hardness_HV)


def yield_strength_MPa(*, hardness_HV: Number) -> Array:  # noqa: N802 - carries its unit
    """Return the yield strength of steel from its Vickers hardness.

    σ_y = 2.876 · HV - 90.7

    Parameters
    ----------
    hardness_HV : float or array
        HV, any shape.

    Returns
    -------
    ndarray of float
        σ_y in MPa. `YIELD_STRENGTH.outside(hardness_HV=...)` gives the caution where it is extrapolated.

    Notes
    -----
    Source: Pavlina and Van Tyne 2008, coefficients from memory.
    Valid for: 130 to 650 HV; beyond that the line is extrapolated.
    Departures: none.
    Checked: CASE-13.

    Examples
    --------
    >>> print(round(float(yield_strength_MPa(hardness_HV=400)), 1))
    1059.7
    """
    line = table("yield_from_hardness")
    return line.value("slope") * array(hardness_HV) + line.value("intercept")
