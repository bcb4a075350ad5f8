"""Transverse load factors K_Hα and K_Fα, and the face load factor of bending, ISO 6336-1."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.gear.pair import PairGeometry
from gearcheck.stress.flank_factors import contact_ratio_factor
from gearcheck.stress.numbers import by_range


def transverse_factors(
    pair: PairGeometry,
    *,
    mesh_stiffness: Number,
    line_load_N_mm: Number,
    deviation_um: Number,
    running_in_um: Number,
) -> dict[str, Number]:
    """Return K_Hα and K_Fα with their limits; both give at least the whole load to the mesh.

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    mesh_stiffness : float or array
        c_γα in N/(mm·µm).
    line_load_N_mm : float or array
        F_t K_A K_γ K_V K_Hβ/b in N/mm.
    deviation_um, running_in_um : float or array
        The deviation and what running-in takes off it, in µm.

    Returns
    -------
    dict of str to number
        The fields of the load factors.
    """
    value = table("iso6336_1_factors").value
    ratio, total = array(pair.transverse_contact_ratio), array(pair.total_contact_ratio)
    shift = array(mesh_stiffness) * (array(deviation_um) - array(running_in_um)) / array(line_load_N_mm)
    uneven = value("K_Hα, part with deviation") * shift
    high = value("K_Hα, constant part") + uneven * np.sqrt(2 * (np.maximum(total, 2.0) - 1) / total)
    unlimited = by_range(total, (2.0,), (total / 2 * (value("K_Hα, constant part") + uneven), high))
    factor = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=pair.overlap_ratio)
    contact = total / (ratio * factor**2)
    sharing = value("K_Fα limit, part with contact ratio") * ratio + value("K_Fα limit, constant part")
    return {
        "governing_line_load_N_mm": line_load_N_mm,
        "transverse_deviation_um": deviation_um,
        "transverse_running_in_um": running_in_um,
        "transverse_factor_unlimited": unlimited,
        "contact_ratio_factor": factor,
        "transverse_limit_contact": contact,
        "transverse_limit_bending": total / sharing,
        "transverse_factor_contact": np.maximum(np.minimum(unlimited, contact), 1.0),
        "transverse_factor_bending": np.maximum(np.minimum(unlimited, total / sharing), 1.0),
    }


def face_factor_bending(pair: PairGeometry, face_load_factor: Array) -> dict[str, Number]:
    """Return K_Fβ from K_Hβ by the stouter gear of both, with its exponent.

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    face_load_factor : array
        K_Hβ.

    Returns
    -------
    dict of str to number
        The fields of the load factors.
    """
    pinion, wheel = (
        np.abs(array(gear.tip_diameter_mm) - array(gear.root_diameter_mm)) / 2 / array(gear.face_width_mm)
        for gear in (pair.pinion, pair.wheel)
    )
    largest = table("iso6336_1_factors").value("K_Fβ, largest h/b")
    height = np.minimum(np.maximum(pinion, wheel), largest)
    exponent = 1 / (1 + height + height**2)
    return {
        "height_to_width": height,
        "face_exponent": exponent,
        "face_factor_bending": face_load_factor**exponent,
    }
