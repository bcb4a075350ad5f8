"""The checks of an internal gear and of its pinion: what stops them, and what is built only with care."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeAlias

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.gear import checks
from gearcheck.gear.involute import arc_cosine, involute
from gearcheck.gear.notices import Mask, any_of, flagged

Check: TypeAlias = Callable[[str, dict[str, Any]], tuple[Mask, Iterator[Notice]]]


def pinion_notices(name: str, values: dict[str, Any]) -> tuple[tuple[Notice, ...], Mask]:
    """Return the notices of the pinion of an internal gear, and where a stop stands against it.

    Parameters
    ----------
    name : str
        ``Pinion``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    notices, stopped : tuple of Notice and array of bool
        In the order tip, root, contact.
    """
    found, stopped = _stopping(
        name, values, (checks.tip_below, checks.pointed, checks.rack_round, checks.bottoming, _interference)
    )
    careful = (checks.thin_tip, checks.little_clearance, checks.undercut)
    return (*found, *(notice for check in careful for notice in check(name, values))), stopped


def ring_notices(name: str, values: dict[str, Any]) -> tuple[tuple[Notice, ...], Mask]:
    """Return the notices of an internal gear, and where a stop stands against it.

    Parameters
    ----------
    name : str
        ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    notices, stopped : tuple of Notice and array of bool
        In the order tip, root, contact.
    """
    found, stopped = _stopping(name, values, (_tip_inside, checks.pointed, _pointed_space, checks.bottoming))
    careful = (checks.thin_tip, checks.little_clearance)
    return (*found, *(notice for check in careful for notice in check(name, values))), stopped


def _stopping(name: str, values: dict[str, Any], rules: tuple[Check, ...]) -> tuple[tuple[Notice, ...], Mask]:
    masks, found = [], []
    for check in rules:
        wrong, notices = check(name, values)
        masks.append(wrong)
        found += list(notices)
    return tuple(found), any_of(*masks)


def _tip_inside(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    d_a, d_b, d_f = (values[f"{circle}_diameter_mm"] for circle in ("tip", "base", "root"))
    wrong = (d_a <= d_b) | (d_a >= d_f)
    text = (
        name + ": the tip diameter {d_a:.3f} mm of the internal gear does not lie between base circle "
        "{d_b:.3f} mm and root circle {d_f:.3f} mm."
    )
    return wrong, flagged(wrong, Level.STOP, "gear.tip_diameter", text, d_a=d_a, d_b=d_b, d_f=d_f)


def _pointed_space(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    d, d_b, d_f = (values[f"{circle}_diameter_mm"] for circle in ("reference", "base", "root"))
    half_tooth = values["tooth_thickness_mm"] / (d * np.cos(np.radians(values["helix_angle_deg"])))
    opened = involute(arc_cosine(d_b / d_f)) - involute(np.radians(values["transverse_pressure_angle_deg"]))
    space = (np.pi / values["teeth"] - half_tooth - opened) * d_f
    wrong = space <= 0.0
    text = name + ": the flanks of a tooth space meet before the root diameter {d_f:.3f} mm."
    return wrong, flagged(wrong, Level.STOP, "gear.pointed_space", text, d_f=d_f)


def _interference(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    """Involute interference: the tip of the internal gear reaches below the pinion's involute."""
    form, start = values["root_form_diameter_mm"], values["start_of_active_profile_mm"]
    line = values["centre_distance_mm"] * np.sin(np.radians(values["working_pressure_angle_deg"]))
    inner = values["mate_tip_diameter_mm"] ** 2 - values["mate_base_diameter_mm"] ** 2
    module = values["normal_module_mm"]
    below_base = np.sqrt(np.maximum(inner, 0.0)) / 2 < line - checks.TOUCH * module
    wrong = (start < form - checks.TOUCH * module) | below_base
    text = (
        name + ": interference, the tip of the internal gear reaches down to {start:.3f} mm diameter, at or "
        "below the end of the involute at the root form circle of {form:.3f} mm."
    )
    return wrong, flagged(wrong, Level.STOP, "gear.interference", text, start=start, form=form)
