"""Load and contact pressure along the path of one mesh, with all its load factors."""

from __future__ import annotations

from gearcheck.basics.numbers import array
from gearcheck.contact.sharing import PathPressure, path_pressure
from gearcheck.gear.path import contact_path
from gearcheck.review.results import MeshChain

POINTS = 41


def pressure_along(mesh: MeshChain) -> PathPressure:
    """The contact pressure along the path of contact of one mesh, with all its load factors."""
    assert mesh.factors is not None
    factors = mesh.factors
    return path_pressure(
        path=contact_path(pair=mesh.pair, points=POINTS),
        pair=mesh.pair,
        tangential_force_N=factors.tangential_force_N,
        load_factor=array(factors.application_factor)
        * array(factors.mesh_load_factor)
        * array(factors.dynamic_factor)
        * array(factors.face_load_factor)
        * array(factors.transverse_factor_contact),
        tolerance_class=factors.tolerance_class,
    )
