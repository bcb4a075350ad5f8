"""Load distribution factor K_H of ANSI/AGMA 2101 by its empirical method."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.stress.agma_factors import MILLIMETRES_PER_INCH
from gearcheck.stress.agma_inputs import Enclosure
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="agma2101.load_distribution",
    title="Load distribution factor",
    source="ANSI/AGMA 2101",
    edition="D04",
    clause="load distribution factor, empirical method",
    status=Status.FROM_MEMORY,
    valid=(
        Range("face_width_mm", "b", 0, 1016, "mm"),
        Range("slenderness", "b/d_w1", 0, 2),
    ),
    implements=("pinion between bearings; contact over the full face under load",),
    leaves_out=("overhung gears", "the analytical method", "gears of more than one helix"),
    departures=("The misalignment is the polynomial of the inch text; the width is turned into inches.",),
)


@dataclass(frozen=True, kw_only=True)
class LoadDistribution(Result):
    """K_H with its parts."""

    method: ClassVar[Method] = METHOD
    face_width_mm: Number = term("Net face width", "b", "mm")
    working_pitch_diameter_mm: Number = term("Operating pitch diameter of the pinion", "d_w1", "mm")
    offset_ratio: Number = term("Offset of the pinion from the middle of its span, over the span", "S_r")
    slenderness: Number = term("Face width over ten diameters, counted", "b_d", "", "max(b/(10·d_w1), 0.05)")
    lead_factor: Number = term(
        "Lead correction factor", "K_Hmc", words="0.8 crowned or lead modified, else 1"
    )
    proportion_factor: Number = term(
        "Pinion proportion factor",
        "K_Hpf",
        words="b_d - 0.025 up to 1 in; b_d - 0.0375 + 0.0125·b/25.4 up to 17 in; "
        "b_d - 0.1109 + 0.0207·b/25.4 - 0.000228·(b/25.4)² up to 40 in",
    )
    position_factor: Number = term(
        "Pinion proportion modifier", "K_Hpm", words="1 where S_r is below 0.175, else 1.1"
    )
    alignment_factor: Number = term(
        "Mesh alignment factor", "K_Hma", words="A + B·b/25.4 + C·(b/25.4)² by the table of enclosures"
    )
    correction_factor: Number = term(
        "Mesh alignment correction factor", "K_He", words="0.8 adjusted at assembly or lapped, else 1"
    )
    load_distribution_factor: Number = term(
        "Load distribution factor", "K_H", "", "1 + K_Hmc·(K_Hpf·K_Hpm + K_Hma·K_He)"
    )


def load_distribution(
    *,
    face_width_mm: Number,
    working_pitch_diameter_mm: Number,
    enclosure: Enclosure,
    offset_ratio: Number,
    modified_lead: bool,
    adjusted: bool,
) -> LoadDistribution:
    """Return the load distribution factor by the empirical method.

    K_H = 1 + K_Hmc (K_Hpf K_Hpm + K_Hma K_He)

    Parameters
    ----------
    face_width_mm, working_pitch_diameter_mm : float or array
        b and d_w1 in mm.
    enclosure : Enclosure
        How exactly the axes are held.
    offset_ratio : float or array
        S_1/S of the pinion between its bearings; 0 in the middle.
    modified_lead : bool
        Whether the teeth are crowned, or their lead is modified.
    adjusted : bool
        Whether the mesh is adjusted at assembly, or lapped.

    Returns
    -------
    LoadDistribution
        K_H with its parts; a caution outside the method.

    Raises
    ------
    InputError
        A width or diameter that is not above 0.

    Notes
    -----
    Source: ANSI/AGMA 2101-D04, empirical method, from memory.
    Valid for: b up to 1016 mm and 2 d_w1, pinion between bearings.
    Departures: the polynomial of the inch text.
    Checked: AGMA-01-KH, AGMA-07.

    Examples
    --------
    >>> found = load_distribution(
    ...     face_width_mm=38.1, working_pitch_diameter_mm=43.18, enclosure=Enclosure.COMMERCIAL,
    ...     offset_ratio=0, modified_lead=False, adjusted=False)
    >>> round(found.load_distribution_factor, 2)
    1.22
    """
    checked_above_zero(face_width_mm=face_width_mm, working_pitch_diameter_mm=working_pitch_diameter_mm)
    number = table("agma2101").value
    b, d, offset = array(face_width_mm), array(working_pitch_diameter_mm), array(offset_ratio)
    row = table("agma2101_misalignment").row(enclosure)
    inches = b / MILLIMETRES_PER_INCH
    values: dict[str, Any] = {
        "face_width_mm": b,
        "working_pitch_diameter_mm": d,
        "offset_ratio": offset,
        "slenderness": np.maximum(b / (10 * d), number("K_Hpf, least b/(10 d)")),
        "lead_factor": array(number("K_Hmc, modified lead") if modified_lead else 1.0),
        "position_factor": np.where(
            np.abs(offset) < number("K_Hpm, near the middle"), 1.0, number("K_Hpm, off the middle")
        ),
        "alignment_factor": row["A"] + row["B"] * inches + row["C"] * inches**2,
        "correction_factor": array(number("K_He, adjusted") if adjusted else 1.0),
    }
    K_Hpf = _proportion(values["slenderness"], b)
    parts = K_Hpf * values["position_factor"] + values["alignment_factor"] * values["correction_factor"]
    return LoadDistribution(
        **values,
        proportion_factor=K_Hpf,
        load_distribution_factor=1 + values["lead_factor"] * parts,
        notices=METHOD.outside(face_width_mm=b, slenderness=b / d),
    )


def _proportion(slenderness: Array, face_width: Array) -> Array:
    number, inches = table("agma2101").value, face_width / MILLIMETRES_PER_INCH
    narrow = array(number("K_Hpf, narrow, constant"))
    wide = number("K_Hpf, wide, constant") + number("K_Hpf, wide, per inch") * inches
    widest = (
        number("K_Hpf, widest, constant")
        + number("K_Hpf, widest, per inch") * inches
        + number("K_Hpf, widest, per inch squared") * inches**2
    )
    beyond_wide = np.where(face_width <= number("K_Hpf, wide"), wide, widest)
    return slenderness + np.where(face_width <= number("K_Hpf, narrow"), narrow, beyond_wide)
