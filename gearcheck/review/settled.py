"""The slower work of the case-depth station: the solved case depth of each mesh, with its own reserve."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.contact.sharing import PathPressure, path_pressure
from gearcheck.gear.path import contact_path
from gearcheck.hardening.figures import governing_depth
from gearcheck.hardening.required import RequiredCaseDepth, required_case_depth
from gearcheck.review.chain import calculate
from gearcheck.review.inputs import Record
from gearcheck.review.reserves import reserve, turning_factors, with_torque
from gearcheck.review.results import Chain, MeshChain, Settled

POINTS = 41


def settled(record: Record, chain: Chain) -> tuple[Settled, ...]:
    """Solve the case depth by yielding below the surface for every mesh.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Its closed forms.

    Returns
    -------
    tuple of Settled
        By mesh; with the reason where it cannot be solved.
    """
    return tuple(_settled(record, place, mesh) for place, mesh in enumerate(chain.meshes))


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


def _settled(record: Record, place: int, mesh: MeshChain) -> Settled:
    reason = mesh.missing or ("[gear.steel] missing" if record.gear.steel is None else "")
    stops = [notice.text for step in (mesh.pair, mesh.factors) if step is not None for notice in step.stops]
    if reason or stops:
        return Settled(mesh=mesh.name, required=None, reserve=None, reason=reason or "; ".join(stops))
    result = _required(record, mesh)
    drawn = None if record.gear.case is None else record.gear.case.finished_min_mm
    if drawn is None:
        return Settled(mesh=mesh.name, required=result, reserve=None)

    def margins(factors: Array) -> Array:
        loaded = calculate(with_torque(record, factors)).meshes[place]
        depth = array(_required(record, loaded).depth_mm)
        # where no depth suffices, none that could be drawn does
        return np.where(np.isnan(depth), -1.0, drawn - depth)[None]

    factor = turning_factors(margins, 1)[0]
    meets = result.depth_mm is not None and drawn >= result.depth_mm
    return Settled(mesh=mesh.name, required=result, reserve=reserve(float(factor), meets=meets))


def _required(record: Record, mesh: MeshChain) -> RequiredCaseDepth:
    """Solve one mesh; what is said of the load sharing goes with the depth that rests on it."""
    assert record.gear.steel is not None
    assert record.required is not None
    assert record.methods is not None
    along = pressure_along(mesh)
    figure = None if mesh.figures is None else governing_depth(mesh.figures, record.methods.case_depth)
    result = required_case_depth(
        half_width_mm=along.half_width_mm,
        pressure_MPa=along.pressure_MPa,
        surface_hardness_HV=record.gear.steel.surface_hardness_HV,
        core_hardness_HV=record.gear.steel.core_hardness_HV,
        safety=record.required.subsurface_safety,
        standard_depth_mm=figure,
    )
    return replace(result, notices=(*along.notices, *result.notices))
