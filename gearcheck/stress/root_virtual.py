"""The virtual spur gear of the root form, and what is to be said of its outer point of single contact."""

from __future__ import annotations

from typing import Any

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.gear.notices import Mask, flagged


def virtual_gear(values: dict[str, Any]) -> dict[str, Any]:
    """Return the virtual spur gear.

    Parameters
    ----------
    values : dict
        What was given and worked out so far, by the fields of the result.

    Returns
    -------
    dict of str to array
        Base helix angle, virtual teeth and virtual diameters.
    """
    alpha, beta = np.radians(values["pressure_angle_deg"]), np.radians(values["helix_angle_deg"])
    module, teeth = values["normal_module_mm"], values["teeth"]
    beta_b = np.arcsin(np.sin(beta) * np.cos(alpha))
    virtual_teeth = teeth / (np.cos(beta_b) ** 2 * np.cos(beta))
    reference = module * virtual_teeth
    return {
        "base_helix_angle_deg": np.degrees(beta_b),
        "virtual_teeth": virtual_teeth,
        "virtual_reference_diameter_mm": reference,
        "virtual_base_diameter_mm": reference * np.cos(alpha),
        "virtual_tip_diameter_mm": reference + values["tip_diameter_mm"] - teeth * module / np.cos(beta),
    }


def no_single_contact(values: dict[str, Any]) -> Mask:
    """Return where there is no outer point of single contact.

    Parameters
    ----------
    values : dict
        What was given and worked out so far, by the fields of the result.

    Returns
    -------
    array of bool
        From ε_αn = 2 on, below a whole overlap.
    """
    return np.asarray((values["virtual_contact_ratio"] >= 2) & (values["overlap_ratio"] < 1))


def notices_of_load(values: dict[str, Any]) -> tuple[Notice, ...]:
    """Return what is to be said of the outer point of single contact.

    Parameters
    ----------
    values : dict
        What was given and worked out so far, by the fields of the result.

    Returns
    -------
    tuple of Notice
        A stop where there is none, a caution at a whole overlap.
    """
    ratio, overlap = values["virtual_contact_ratio"], values["overlap_ratio"]
    stop = flagged(
        no_single_contact(values),
        Level.STOP,
        "iso6336_3.single_contact",
        "ε_αn = {ratio:.4g} with ε_β = {overlap:.4g}: from ε_αn = 2 on, below a whole overlap, there is no "
        "single contact; choose the outer point of double contact or the tip as point of load.",
        ratio=ratio,
        overlap=overlap,
    )
    caution = flagged(
        np.asarray((ratio >= 2) & (overlap >= 1)),
        Level.CAUTION,
        "iso6336_3.high_contact_ratio",
        "ε_αn = {ratio:.4g} is 2 or more: there is no point of single contact; the load stands where the "
        "formula of d_en puts it.",
        ratio=ratio,
    )
    return (*stop, *caution)
