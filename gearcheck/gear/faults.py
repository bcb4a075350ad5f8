"""What no formula can use: every fault of the given numbers, gathered."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.inputs import PinionCutter, Tooth
from gearcheck.gear.notices import Mask

Check = Callable[[Array], Mask]

_TOOTH: tuple[tuple[str, Check, str], ...] = (
    ("face_width_mm", lambda value: value > 0.0, "a length above 0 mm"),
    ("profile_shift", lambda value: np.abs(value) < np.inf, "a number"),
    ("tip_diameter_mm", lambda value: value > 0.0, "a length above 0 mm"),
    ("rack_dedendum", lambda value: value > 0.0, "a number of modules above 0"),
    ("rack_root_radius", lambda value: value >= 0.0, "a number of modules, 0 or more"),
    ("protuberance_mm", lambda value: value >= 0.0, "a length, 0 mm or more"),
    ("stock_min_mm", lambda value: value >= 0.0, "a length, 0 mm or more"),
    ("stock_max_mm", lambda value: value >= 0.0, "a length, 0 mm or more"),
)

_PAIR: dict[str, tuple[Check, str]] = {
    "normal_module_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "pressure_angle_deg": (lambda value: (value > 0.0) & (value < 45.0), "an angle above 0° and under 45°"),
    "helix_angle_deg": (
        lambda value: (value >= 0.0) & (value < 80.0),
        "an angle from 0° up to under 80°, without a sign for the hand",
    ),
    "centre_distance_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "normal_backlash_mm": (lambda value: value >= 0.0, "a length, 0 mm or more"),
    "profile_shift": (lambda value: np.abs(value) < np.inf, "a number"),
    "profile_shift_sum": (lambda value: np.abs(value) < np.inf, "a number"),
    "addendum_mm": (lambda value: value >= 0.0, "a length, 0 mm or more"),
    "body_diameter_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "diameter_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "tip_diameter_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "span_mm": (lambda value: value > 0.0, "a length above 0 mm"),
    "dimension_mm": (lambda value: value > 0.0, "a length above 0 mm"),
}


def _whole(value: Array) -> Mask:
    return np.asarray((value >= 1.0) & (np.mod(np.where(np.isfinite(value), value, 0.5), 1.0) == 0.0))


def need(faults: Faults, field: str, given: Number, check: Check, needed: str) -> None:
    """Note a fault if any sample is missing, not finite, or fails the check.

    Parameters
    ----------
    faults : Faults
        Where it is noted.
    field : str
        The argument as the user knows it.
    given : float, array or None
        What was given.
    check : callable
        From an array to where it can be used.
    needed : str
        What is needed, in words.

    Returns
    -------
    None
        The fault stands in `faults`.
    """
    values = array(given)
    wrong = ~(np.isfinite(values) & check(np.where(np.isfinite(values), values, np.nan)))
    if np.any(wrong):
        first = values[wrong].flat[0]
        faults.add(field, None if given is None else f"{first:g}", needed)


def need_numbers(faults: Faults, **given: Number) -> None:
    """Note the faults of the named arguments; names that count teeth need a whole number.

    Parameters
    ----------
    faults : Faults
        Where they are noted.
    **given : float or array
        By the names that this room uses.

    Returns
    -------
    None
        The faults stand in `faults`.
    """
    for name, value in given.items():
        if name.endswith("teeth"):
            need(faults, name, value, _whole, "a whole number, 1 or more")
        else:
            need(faults, name, value, *_PAIR[name])


def need_outer_pinion(faults: Faults, pinion: Tooth, wheel: Tooth) -> None:
    """Note an internal pinion, and an internal wheel without more teeth than its pinion.

    Parameters
    ----------
    faults : Faults
        Where they are noted.
    pinion, wheel : Tooth
        Both gears as given.

    Returns
    -------
    None
        The faults stand in `faults`.
    """
    faults.need(not pinion.internal, "pinion.internal", pinion.internal, "an external pinion")
    if wheel.internal:
        more = np.all(array(wheel.teeth) > array(pinion.teeth))
        faults.need(
            bool(more), "wheel.teeth", wheel.teeth, "more teeth in an internal wheel than in its pinion"
        )


def need_cutter(faults: Faults, cutter: PinionCutter) -> None:
    """Note the faults of a pinion cutter.

    Parameters
    ----------
    faults : Faults
        Where they are noted.
    cutter : PinionCutter
        As given.

    Returns
    -------
    None
        The faults stand in `faults`.
    """
    need(faults, "cutter.teeth", cutter.teeth, _whole, "a whole number, 1 or more")
    need(faults, "cutter.profile_shift", cutter.profile_shift, _finite, "a number")
    need(faults, "cutter.tip_diameter_mm", cutter.tip_diameter_mm, lambda d: d > 0.0, "a length above 0 mm")
    need(faults, "cutter.tip_radius_mm", cutter.tip_radius_mm, lambda r: r >= 0.0, "a length, 0 mm or more")


def _finite(value: Array) -> Mask:
    return np.asarray(np.isfinite(value))


def need_tooth(faults: Faults, name: str, tooth: Tooth) -> None:
    """Note the faults of one gear.

    Parameters
    ----------
    faults : Faults
        Where they are noted.
    name : str
        ``pinion`` or ``wheel``; stands before each field.
    tooth : Tooth
        The gear as given.

    Returns
    -------
    None
        The faults stand in `faults`.
    """
    need(faults, f"{name}.teeth", tooth.teeth, _whole, "a whole number, 1 or more")
    for field, check, needed in _TOOTH:
        need(faults, f"{name}.{field}", getattr(tooth, field), check, needed)
    low, high = array(tooth.stock_min_mm), array(tooth.stock_max_mm)
    if np.any(low > high):
        faults.add(
            f"{name}.stock_min_mm",
            tooth.stock_min_mm,
            "no more than stock_max_mm",
            f"given {tooth.stock_max_mm}",
        )
