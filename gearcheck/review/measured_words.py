"""What the measured flanks make, in sentences."""

from __future__ import annotations

from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import array
from gearcheck.review.measured_flanks import MeasuredCorrection, MeasuredError

HAND_UM = 0.5
"""A transmission error that the hand of the helix moves by less is told once."""


def error_words(item: MeasuredError) -> str:
    """Say the transmission error of one flank of one part against one mate.

    Parameters
    ----------
    item : MeasuredError
        Any.

    Returns
    -------
    str
        A sentence; what stops it where there is no value.
    """
    error = item.error
    name = f"{item.flank.capitalize()} flanks of {item.part} against {item.mesh}"
    name += "" if item.is_loaded else " (not loaded)"
    if error.peak_to_peak_um is None:
        return f"{name}: {' '.join(stop.text for stop in error.stops)}{_not_counted(item)}"
    parts = [
        f"{_um(value)} {words}"
        for value, words in (
            (error.mesh_peak_to_peak_um, "at mesh frequency"),
            (error.turn_peak_to_peak_um, "once a turn"),
        )
    ]
    hand = ""
    if item.other_hand_um is not None and abs(item.other_hand_um - error.peak_to_peak_um) >= HAND_UM:
        other = _um(item.other_hand_um)
        hand = f" The hand of the helix is not said: right-hand is taken, left-hand gives {other}."
    turned = decimals_text(float(array(error.peak_to_peak_arcsec)), 0)
    return (
        f"{name}: the unloaded transmission error is {_um(error.peak_to_peak_um)} from peak to peak on the "
        f"line of action, {turned}″ of the gear; of it {' and '.join(parts)}, each from peak to peak.{hand}"
        f"{_not_counted(item)}" + "".join(f" {notice.text}" for notice in error.notices)
    )


def measured_correction_words(item: MeasuredCorrection) -> str:
    """Say what it takes to bring one side of the teeth of one part into true, and what that leaves.

    Parameters
    ----------
    item : MeasuredCorrection
        Any.

    Returns
    -------
    str
        One to three sentences; what stops it where there is no value.
    """
    stock = item.stock
    name = f"{item.flank.capitalize()} flanks of {item.part}"
    if stock.stock_um is None:
        return f"{name}: {' '.join(stop.text for stop in stock.stops)}{_not_counted(item)}"
    said = (
        f"{name}: {_um(stock.stock_um)} has to come off to bring them into true; tooth "
        f"{stock.highest_tooth:g} stands out most, tooth {stock.lowest_tooth:g} decides how deep."
        f"{_not_counted(item)}"
    )
    left = item.left_mm
    if left is None or item.case_mm is None:
        return said
    of = "the case measured there" if item.is_measured else "the least case drawn"
    said += f" Of {of}, {decimals_text(item.case_mm, 2, 'mm')}, {decimals_text(left, 2, 'mm')} is left"
    told = [
        f"{decimals_text(need, 2, 'mm')} is needed against {mesh}"
        + ("" if left >= need else f", {decimals_text(need - left, 2, 'mm')} short")
        for mesh, need in item.needed
    ]
    return said + (f" where {' and '.join(told)}." if told else ".")


def _not_counted(item: MeasuredError | MeasuredCorrection) -> str:
    """Say which traces were left out, with a blank before; empty where all count."""
    return "".join(
        f" {count} {kind} trace{'s' if count > 1 else ''} that could not be evaluated "
        f"do{'' if count > 1 else 'es'} not count."
        for kind, count in item.not_counted.items()
    )


def _um(value: object) -> str:
    return decimals_text(float(array(value)), 1, "µm")
