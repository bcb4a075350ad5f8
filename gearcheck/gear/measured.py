"""The tooth that is measured: its given numbers checked, and its base circle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import term
from gearcheck.gear.faults import need_numbers


@dataclass(frozen=True, kw_only=True)
class ToothTerms:
    """The given terms of every result that measures a tooth.

    Parameters
    ----------
    normal_module_mm, pressure_angle_deg, helix_angle_deg, teeth, profile_shift : float or array
        m_n, α_n, β, z and x.
    """

    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    teeth: Number = term("Number of teeth", "z")
    profile_shift: Number = term("Profile shift coefficient", "x")


class Flank(NamedTuple):
    """Both flanks of a tooth as numbers: angles in radians, lengths in mm, any shape.

    Parameters
    ----------
    module : array
        Normal module m_n.
    pressure_angle, helix_angle : array
        α_n and β.
    teeth, shift : array
        z and x.
    transverse_angle, base_helix : array
        α_t and β_b.
    base_diameter : array
        d_b.
    """

    module: Array
    pressure_angle: Array
    helix_angle: Array
    teeth: Array
    shift: Array
    transverse_angle: Array
    base_helix: Array
    base_diameter: Array


def flank_of(given: dict[str, Number]) -> Flank:
    """Return the flanks of one tooth once every argument can be used.

    Parameters
    ----------
    given : dict of str to number
        All arguments by their names, among them those of the tooth.

    Returns
    -------
    Flank
        Of the profile shift given, or of none where none is given.

    Raises
    ------
    InputError
        Arguments that no formula can use.
    """
    faults = Faults()
    need_numbers(faults, **given)
    faults.check()
    m_n, z = array(given["normal_module_mm"]), array(given["teeth"])
    alpha_n = np.radians(array(given["pressure_angle_deg"]))
    beta = np.radians(array(given["helix_angle_deg"]))
    alpha_t = np.arctan(np.tan(alpha_n) / np.cos(beta))
    return Flank(
        module=m_n,
        pressure_angle=alpha_n,
        helix_angle=beta,
        teeth=z,
        shift=array(given.get("profile_shift", 0.0)),
        transverse_angle=alpha_t,
        base_helix=np.asarray(np.arcsin(np.sin(beta) * np.cos(alpha_n))),
        base_diameter=np.asarray(z * m_n * np.cos(alpha_t) / np.cos(beta)),
    )


def tooth_arguments(
    module: Number, pressure_angle: Number, helix_angle: Number, teeth: Number, shift: Number
) -> dict[str, Any]:
    """Return what every measure of a tooth is given, by the names of the arguments.

    Parameters
    ----------
    module : float or array
        m_n in mm.
    pressure_angle, helix_angle : float or array
        α_n and β in degrees.
    teeth, shift : float or array
        z and x.

    Returns
    -------
    dict
        For `flank_of` and for the result.
    """
    return {
        "normal_module_mm": module,
        "pressure_angle_deg": pressure_angle,
        "helix_angle_deg": helix_angle,
        "teeth": teeth,
        "profile_shift": shift,
    }
