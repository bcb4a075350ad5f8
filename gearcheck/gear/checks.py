"""The checks of one gear: what stops it, and what is built only with care."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.gear.notices import Mask, any_of, flagged, limit

TOUCH = 1e-6
"""Overlap in modules that is rounding, not interference."""


def gear_notices(name: str, values: dict[str, Any]) -> tuple[tuple[Notice, ...], Mask]:
    """Return the notices of one gear, and where a stop stands against it.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    notices, stopped : tuple of Notice and array of bool
        In the order tip, root, contact.
    """
    found: list[Notice] = []
    masks = []
    for check in (tip_below, pointed, rack_round, bottoming, _interference):
        wrong, notices = check(name, values)
        masks.append(wrong)
        found += notices
    stopped = any_of(*masks)
    found += thin_tip(name, values)
    found += little_clearance(name, values)
    found += undercut(name, values)
    return tuple(found), stopped


def tip_below(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    """Check that the tip circle lies above base and root circle.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    wrong, notices : array of bool and iterator of Notice
        Where the gear cannot work, and what says so.
    """
    d_a, d_b, d_f = (values[f"{circle}_diameter_mm"] for circle in ("tip", "base", "root"))
    wrong = (d_a <= d_b) | (d_a <= d_f)
    text = (
        name + ": the tip diameter {d_a:.3f} mm is not above both base circle {d_b:.3f} mm "
        "and root circle {d_f:.3f} mm."
    )
    return wrong, flagged(wrong, Level.STOP, "gear.tip_diameter", text, d_a=d_a, d_b=d_b, d_f=d_f)


def pointed(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    """Check that the flanks do not meet before the tip.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    wrong, notices : array of bool and iterator of Notice
        Where the gear cannot work, and what says so.
    """
    s_an = values["tip_thickness_mm"]
    wrong = s_an <= 0.0
    text = (
        name + ": pointed tooth, the flanks meet below the tip diameter {d_a:.3f} mm "
        "(s_an = {s_an:.3f} mm, above 0 mm needed)."
    )
    return wrong, flagged(wrong, Level.STOP, "gear.pointed", text, d_a=values["tip_diameter_mm"], s_an=s_an)


def rack_round(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    """Check that the root radius fits the rack's tooth.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    wrong, notices : array of bool and iterator of Notice
        Where the gear cannot work, and what says so.
    """
    angle = np.radians(values["pressure_angle_deg"])
    h_fP, radius = values["rack_dedendum"], values["rack_root_radius"]
    largest = (np.pi / 4.0 * np.cos(angle) - h_fP * np.sin(angle)) / (1.0 - np.sin(angle))
    wrong = (radius > largest + TOUCH) | (radius > h_fP / (1.0 - np.sin(angle)))
    text = (
        name + ": a root radius of {radius:.3f} modules does not fit a rack of {h_fP:.3f} modules dedendum; "
        "{largest:.3f} at most."
    )
    return wrong, flagged(
        wrong, Level.STOP, "gear.rack_round", text, radius=radius, h_fP=h_fP, largest=largest
    )


def bottoming(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    """Check that the mate's tip stays off the root circle.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    wrong, notices : array of bool and iterator of Notice
        Where the gear cannot work, and what says so.
    """
    clearance = values["root_clearance_mm"]
    wrong = clearance < 0.0
    text = name + ": the mate's tip runs {depth:.3f} mm into the root circle."
    return wrong, flagged(wrong, Level.STOP, "gear.bottoming", text, depth=-clearance)


def _interference(name: str, values: dict[str, Any]) -> tuple[Mask, Iterator[Notice]]:
    form, start = values["root_form_diameter_mm"], values["start_of_active_profile_mm"]
    line = values["centre_distance_mm"] * np.sin(np.radians(values["working_pressure_angle_deg"]))
    reach = (
        np.sqrt(np.maximum(values["mate_tip_diameter_mm"] ** 2 - values["mate_base_diameter_mm"] ** 2, 0.0))
        / 2
    )
    module = values["normal_module_mm"]
    below_base = reach > line + TOUCH * module
    wrong = (start < form - TOUCH * module) | below_base
    text = (
        name + ": interference, the mate's tip reaches down to {start:.3f} mm diameter, below the root form "
        "circle of {form:.3f} mm."
    )
    return wrong, flagged(wrong, Level.STOP, "gear.interference", text, start=start, form=form)


def thin_tip(name: str, values: dict[str, Any]) -> Iterator[Notice]:
    """Tell of a tip thinner than a hardened one should be.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    iterator of Notice
        At most one.
    """
    s_an = values["tip_thickness_mm"]
    least = limit("least tip thickness") * values["normal_module_mm"]
    wrong = (s_an > 0.0) & (s_an < least)
    text = (
        name
        + ": the tip is {s_an:.3f} mm thick, under the {least:.3f} mm (0.2 m_n) that is common practice for "
        "case-hardened teeth, whose tip must not harden through (ISO 6336-5)."
    )
    return flagged(wrong, Level.CAUTION, "gear.tip_thickness", text, s_an=s_an, least=least)


def little_clearance(name: str, values: dict[str, Any]) -> Iterator[Notice]:
    """Tell of a root clearance below common practice.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    iterator of Notice
        At most one.
    """
    clearance = values["root_clearance_mm"]
    least = limit("least root clearance") * values["normal_module_mm"]
    wrong = (clearance >= 0.0) & (clearance < least)
    text = (
        name
        + ": {c:.3f} mm clearance to the mate's tip, under the {least:.3f} mm (0.1 m_n) of common practice."
    )
    return flagged(wrong, Level.CAUTION, "gear.root_clearance", text, c=clearance, least=least)


def undercut(name: str, values: dict[str, Any]) -> Iterator[Notice]:
    """Tell of a profile shift below the limit of undercut.

    Parameters
    ----------
    name : str
        ``Pinion`` or ``Wheel``.
    values : dict
        The fields of its geometry, as arrays.

    Returns
    -------
    iterator of Notice
        At most one.
    """
    x, least = values["profile_shift"], values["undercut_shift"]
    wrong = x < least - TOUCH
    text = (
        name
        + ": undercut, x = {x:.4f} is below x_min = {least:.4f}; the involute ends at {form:.3f} mm diameter."
    )
    return flagged(
        wrong, Level.CAUTION, "gear.undercut", text, x=x, least=least, form=values["root_form_diameter_mm"]
    )
