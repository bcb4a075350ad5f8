"""How far the teeth give way under load, and the tip relief that covers it."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array


def mesh_deflection(*, line_load_N_mm: Number, mesh_stiffness: Number) -> Array:
    """Return the mean deflection of a mesh at low speed.

    δ = F_t K_A/(b c_γα)

    Parameters
    ----------
    line_load_N_mm : float or array
        F_t K_A/b in N/mm.
    mesh_stiffness : float or array
        c_γα in N/(mm·µm).

    Returns
    -------
    ndarray of float
        δ along the line of action in µm.

    Notes
    -----
    Source: the definition of the mesh stiffness, ISO 6336-1.
    Valid for: load spread evenly over the face.
    Departures: none.
    Checked: RULE-02.

    Examples
    --------
    >>> print(mesh_deflection(line_load_N_mm=300, mesh_stiffness=20))
    15.0
    """
    return np.asarray(array(line_load_N_mm) / array(mesh_stiffness))


def effective_tip_relief(
    *, line_load_N_mm: Number, single_stiffness: Number, mesh_stiffness: Number, helix_angle_deg: Number
) -> Array:
    """Return the tip relief that just covers the mean deflection.

    C_eff = F_t K_A/(b c') of spur gears, F_t K_A/(b c_γα) of helical gears

    Parameters
    ----------
    line_load_N_mm : float or array
        F_t K_A/b in N/mm.
    single_stiffness, mesh_stiffness : float or array
        c' and c_γα in N/(mm·µm).
    helix_angle_deg : float or array
        β in degrees; 0 for a spur gear.

    Returns
    -------
    ndarray of float
        C_eff in µm.

    Notes
    -----
    Source: definition of C_eff in ISO/TS 6336-22, from memory.
    Valid for: steel gears; a rule of thumb that tells the order of magnitude.
    Departures: none; it jumps from spur to helical as the definition does.
    Checked: RULE-01.

    Examples
    --------
    >>> print(effective_tip_relief(
    ...     line_load_N_mm=400, single_stiffness=14, mesh_stiffness=20, helix_angle_deg=[0, 10]).round(2))
    [28.57 20.  ]
    """
    spur, helix = array(single_stiffness), array(helix_angle_deg)
    stiffness = np.where(np.abs(helix) > 0, array(mesh_stiffness), spur) + 0 * helix
    return np.asarray(array(line_load_N_mm) / stiffness)
