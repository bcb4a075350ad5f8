"""The flank modifications drawn, as a design trace of each kind and flank."""

from __future__ import annotations

from typing import Any

import numpy as np

from gearcheck.accuracy.inputs import Flank, FlankModification, TraceKind
from gearcheck.accuracy.ranges import HelixRange, ProfileRange, roll_length_mm
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.design import DesignTrace, design_trace
from gearcheck.gear.inputs import ReliefForm
from gearcheck.review.inputs import Record

LEAVES = (
    ("control_diameter_mm", "profile control diameter", "mm", 3, "control_diameter"),
    ("tip_relief_start_mm", "diameter where the tip relief starts", "mm", 3, "tip_relief_start"),
    ("root_relief_um", "root relief", "µm", 1, "root_relief"),
    ("root_relief_end_mm", "diameter where the root relief ends", "mm", 3, "root_relief_end"),
    ("relief_form", "form of the reliefs", "", 0, "relief_form"),
    ("profile_crowning_um", "profile crowning", "µm", 1, "profile_crowning"),
    ("profile_slope_um", "profile slope drawn", "µm", 1, "profile_slope"),
    ("helix_crowning_um", "helix crowning", "µm", 1, "helix_crowning"),
    ("end_relief_um", "end relief", "µm", 1, "end_relief"),
    ("end_relief_length_mm", "length of the end relief", "mm", 2, "end_relief_length"),
    ("left_helix_slope_um", "helix slope drawn, left flank", "µm", 1, "left_helix_slope"),
    ("right_helix_slope_um", "helix slope drawn, right flank", "µm", 1, "right_helix_slope"),
    ("bias_um", "bias", "µm", 1, "bias"),
)
"""Each input with its label, unit, decimals, and key in the section [gear.modification]."""
NOT_TAKEN = "traces.design"
"""The start of the key of a notice that a relief drawn was not taken off the traces."""


def profile_design(record: Record, span: ProfileRange, place_mm: Array) -> tuple[DesignTrace, list[Notice]]:
    """Return the design trace of the profiles of a record.

    Parameters
    ----------
    record : Record
        With the tip relief of its finish and its modification.
    span : ProfileRange
        With its roll lengths.
    place_mm : ndarray
        Roll lengths, shape (..., points).

    Returns
    -------
    design : DesignTrace
        Without a relief whose start is not given, or does not lie on the flank.
    notices : list of Notice
        Which relief is not in it.
    """
    drawn = record.gear.modification or FlankModification()
    notices: list[Notice] = []

    def taken(words: str, amount: Number, diameter: Number) -> dict[str, Any]:
        ends = (span.start_mm, span.tip_mm)
        at, where = relief_place(amount, diameter, span.base_diameter_mm, ends)
        if where:
            drawn_off = f"The {words} relief of {float(amount):g} µm drawn"
            text = f"{drawn_off} is not taken off the profile traces: {where}."
            notices.append(Notice(Level.CAUTION, f"{NOT_TAKEN}.{words}", text))
        return {"um": 0.0 if at is None else amount, "mm": at}

    tip = taken("tip", record.gear.tip_relief_um, drawn.tip_relief_start_mm)
    root = taken("root", drawn.root_relief_um, drawn.root_relief_end_mm)
    design = design_trace(
        place_mm=place_mm,
        from_mm=span.start_mm,
        to_mm=span.tip_mm,
        low_relief_um=root["um"],
        low_relief_end_mm=root["mm"],
        high_relief_um=tip["um"],
        high_relief_start_mm=tip["mm"],
        relief_form=drawn.relief_form or ReliefForm.LINEAR,
        crowning_um=drawn.profile_crowning_um or 0.0,
        slope_um=drawn.profile_slope_um or 0.0,
    )
    return design, notices


def relief_place(
    amount: Number, diameter: Number, base_diameter_mm: Number, ends_mm: tuple[Number, Number]
) -> tuple[Number, str]:
    """Return the roll length where a relief of the profile starts, or why it counts nowhere.

    Parameters
    ----------
    amount, diameter : float
        Of the relief, as drawn; a diameter may be missing.
    base_diameter_mm : float
        Of the gear.
    ends_mm : tuple of float
        Roll lengths between which the profile counts, in growing order.

    Returns
    -------
    place : float or None
        Where it starts, mm; None without a relief.
    why : str
        Empty where it counts, or where there is none.
    """
    if not amount:
        return None, ""
    at, (low, high) = roll_length_mm(diameter, base_diameter_mm), ends_mm
    if diameter is not None and low is not None and low < at < high:
        return at, ""
    missing = "its start is not given" if diameter is None else f"{float(diameter):.3f} mm lie off the flank"
    return None, missing


def helix_design(
    record: Record, span: HelixRange, place_mm: Array, flank: tuple[Flank, ...]
) -> tuple[DesignTrace, list[Notice]]:
    """Return the design trace of the helices of a record; takes else what `profile_design` takes.

    Parameters
    ----------
    record : Record
        With its modification.
    span : HelixRange
        With the face width.
    place_mm : ndarray
        Face positions, shape (traces, points).
    flank : tuple of Flank
        Of each trace.

    Returns
    -------
    design : DesignTrace
        With the slope of the flank of each trace.
    notices : list of Notice
        Where the end relief is not in it.
    """
    drawn = record.gear.modification or FlankModification()
    width, length = float(span.face_width_mm), drawn.end_relief_length_mm
    amount, notices = drawn.end_relief_um or 0.0, []
    if amount and not (length is not None and 0 < length <= width / 2):
        where = "its length is not given" if length is None else f"{length:g} mm are over half the face width"
        text = f"The end relief of {amount:g} µm drawn is not taken off the helix traces: {where}."
        notices.append(Notice(Level.CAUTION, f"{NOT_TAKEN}.end", text))
        amount = 0.0
    slope = {Flank.LEFT: drawn.left_helix_slope_um, Flank.RIGHT: drawn.right_helix_slope_um}
    design = design_trace(
        place_mm=place_mm,
        from_mm=0.0,
        to_mm=width,
        low_relief_um=amount,
        low_relief_end_mm=length,
        high_relief_um=amount,
        high_relief_start_mm=None if length is None else width - length,
        relief_form=drawn.relief_form or ReliefForm.LINEAR,
        crowning_um=drawn.helix_crowning_um or 0.0,
        slope_um=np.array([slope[one] or 0.0 for one in flank]),
    )
    return design, notices


def design_on(
    record: Record,
    kind: TraceKind,
    span: ProfileRange | HelixRange,
    place_mm: Number,
    flank: tuple[Flank, ...],
) -> tuple[DesignTrace, list[Notice]]:
    """Return the design trace at places of traces; `flank` is that of each trace."""
    place = array(place_mm)
    if isinstance(span, ProfileRange):
        return profile_design(record, span, place)
    return helix_design(record, span, place, flank)
