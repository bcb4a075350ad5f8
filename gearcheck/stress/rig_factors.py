"""Load factors that somebody gives for gears on a test rig, where nothing is known to work them out from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.pair import PairGeometry

GIVEN = Method(
    key="iso6336_1.given_factors",
    title="Load factors as given for a rig",
    source="ISO 6336-1",
    edition="2019",
    clause="tangential force; load factors as given",
    status=Status.FROM_MEMORY,
    implements=("running gears whose load factors are given, for root or flank",),
    leaves_out=("every load factor by method B",),
)
_COARSE = 12.0


@dataclass(frozen=True, kw_only=True)
class RigFactors(Result):
    """Force and load factors of running specimen gears: what `root_stress` and `flank_stress` ask for."""

    method: ClassVar[Method] = GIVEN
    torque_Nm: Number = term("Torque on the pinion", "T_1", "N·m")
    reference_diameter_mm: Number = term("Reference diameter of the pinion", "d_1", "mm")
    application_factor: Number = term("Application factor, as given", "K_A")
    mesh_load_factor: Number = term("Mesh load factor, one mesh", "K_γ", words="1")
    dynamic_factor: Number = term("Dynamic factor, as given", "K_V")
    face_load_factor: Number = term("Face load factor of the place tested, as given", "K_β")
    face_factor_bending: Number = term("The same for bending", "K_Fβ", "", "K_β")
    transverse_factor_contact: Number = term("Transverse load factor of the place tested, as given", "K_α")
    transverse_factor_bending: Number = term("The same for bending", "K_Fα", "", "K_α")
    tip_relief_um: Number = term("Tip relief, smaller of both gears", "C_a", "µm")
    tolerance_class: Number = term("Flank tolerance class", "A", words="taken as coarse: Y_DT of 2006 is 1")
    tangential_force_N: Number = term("Tangential force at the reference circle", "F_t", "N", "2000·T_1/d_1")


def rig_factors(
    *,
    pair: PairGeometry,
    torque_Nm: Number,
    application_factor: Number,
    dynamic_factor: Number,
    face_factor: Number,
    transverse_factor: Number,
    tip_relief_um: Number = 0.0,
) -> RigFactors:
    """Return force and load factors of gears on a rig, with the factors as somebody gives them.

    F_t = 2000 T_1/d_1

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the specimen gear with its mate.
    torque_Nm : float or array
        T_1 on the pinion in N·m.
    application_factor, dynamic_factor : float or array
        K_A and K_V of the rig.
    face_factor, transverse_factor : float or array
        K_Hβ and K_Hα for tests of the flank, K_Fβ and K_Fα for tests of the root.
    tip_relief_um : float or array
        C_a in µm, the smaller of both gears; it counts for the flanks of helical gears.

    Returns
    -------
    RigFactors
        As `root_stress` and `flank_stress` take them.

    Raises
    ------
    InputError
        A torque or a factor that is not above 0.

    Notes
    -----
    Source: ISO 6336-1:2019, tangential force, from memory.
    Valid for: one mesh.
    Departures: none.
    Checked: RIG-FORCE, RIG-HAND.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(face_width_mm=20, rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120,
    ...     pinion=Tooth(teeth=20, profile_shift=0.0, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, profile_shift=0.0, tip_diameter_mm=168, **gear))
    >>> rig_factors(pair=pair, torque_Nm=500, application_factor=1, dynamic_factor=1.05, face_factor=1.1,
    ...             transverse_factor=1).tangential_force_N
    12500.0
    """
    given = {
        "torque_Nm": torque_Nm,
        "application_factor": application_factor,
        "dynamic_factor": dynamic_factor,
        "face_factor": face_factor,
        "transverse_factor": transverse_factor,
    }
    faults = Faults()
    for name, value in given.items():
        faults.need(not np.any(~(array(value) > 0)), name, value, "a number above 0")
    faults.check()
    diameter = array(pair.pinion.reference_diameter_mm)
    return RigFactors(
        torque_Nm=torque_Nm,
        reference_diameter_mm=diameter,
        application_factor=application_factor,
        mesh_load_factor=1.0,
        dynamic_factor=dynamic_factor,
        face_load_factor=face_factor,
        face_factor_bending=face_factor,
        transverse_factor_contact=transverse_factor,
        transverse_factor_bending=transverse_factor,
        tip_relief_um=tip_relief_um,
        tolerance_class=_COARSE,
        tangential_force_N=2000 * array(torque_Nm) / diameter,
    )
