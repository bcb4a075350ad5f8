"""The case depth by the criterion that governs, where `[methods]` names one and no figure of a standard."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.hardening.below import Below
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.depth_notices import stops
from gearcheck.hardening.fatigue_depth import loaded_flank
from gearcheck.hardening.figures import governing_depth
from gearcheck.hardening.inputs import CaseSpecification, Subsurface
from gearcheck.hardening.residual import ResidualStress
from gearcheck.review.exposed import Exposed
from gearcheck.review.inputs import NO_SUBSURFACE, Record
from gearcheck.review.pressure import heaviest, pressure_along
from gearcheck.review.results import MeshChain, stop_words

_WITHOUT = Subsurface(friction=0.0, inclusion_root_area_um=1.0, residual_stress=ResidualStress.NONE)
"""What yielding is held without: its constant knows neither friction nor residual stress."""


def lacks_subsurface(record: Record, criterion: Criterion) -> str:
    """Name the section that a criterion wants and the record lacks; empty where nothing is missing."""
    return NO_SUBSURFACE if record.subsurface is None and criterion is not Criterion.YIELDING else ""


def with_criterion(record: Record, rated: MeshChain, known: Exposed | None = None) -> MeshChain:
    """Return a mesh with the exposure of the drawn case by the criterion that governs.

    Parameters
    ----------
    record : Record
        The inputs.
    rated : MeshChain
        With its load factors, under the duty where there is one.
    known : Exposed, optional
        That of the same record under another load: the field below the contact is taken from it.

    Returns
    -------
    MeshChain
        As it was where a figure of a standard governs, and where something is missing or stops.
    """
    criterion = None if record.methods is None else record.methods.case_depth
    if not isinstance(criterion, Criterion) or record.required is None or lacks_subsurface(record, criterion):
        return rated
    if rated.missing or stop_words(rated.pair, rated.factors, rated.duty_factors):
        return rated
    force = heaviest(rated).force_N
    # under the loaded contact the pressure does not keep its shape
    keeps = rated.pressed is None and known is not None and bool((known.force_N > 0).all())
    if keeps and known is not None and bool((force > 0).all()):
        below = known.below.at_load(array(force / known.force_N))
    else:
        below = _below(record, rated, criterion)
    exposure = None if record.gear.case is None else _exposure(criterion, below, record.gear.case)
    return replace(rated, exposed=Exposed(criterion, below, force, exposure))


def _below(record: Record, mesh: MeshChain, criterion: Criterion) -> Below:
    asked = record.subsurface
    if asked is None or criterion is Criterion.YIELDING:
        asked = _WITHOUT
    return loaded_flank(**flank_under_load(record, mesh, asked))


def flank_under_load(record: Record, mesh: MeshChain, asked: Subsurface) -> dict[str, Any]:
    """Return what every criterion reads of the flank of one mesh, by the names of their arguments.

    Parameters
    ----------
    record : Record
        With the steel of the gear and the safety agreed.
    mesh : MeshChain
        With its load factors.
    asked : Subsurface
        Friction, inclusion and residual stress.

    Returns
    -------
    dict of str to number
        At the heaviest load.
    """
    steel, agreed, along = record.gear.steel, record.required, pressure_along(mesh)
    assert steel is not None
    assert agreed is not None
    return {
        "half_width_mm": along.half_width_mm,
        "pressure_MPa": along.pressure_MPa,
        "friction": array(asked.friction)[..., None],
        "surface_hardness_HV": steel.surface_hardness_HV,
        "core_hardness_HV": steel.core_hardness_HV,
        "safety": agreed.subsurface_safety,
        "inclusion_root_area_um": asked.inclusion_root_area_um,
        "residual_model": asked.residual_stress,
        "half_thickness_mm": half_thickness_mm(mesh),
    }


def half_thickness_mm(mesh: MeshChain) -> Array:
    """Return half the tooth thickness of the gear, down to which the residual stress is balanced."""
    return array(mesh.gear.geometry.tooth_thickness_mm) / 2


def _exposure(criterion: Criterion, below: Below, case: CaseSpecification) -> Array:
    """The largest of both ends of the drawn window: in balance with the core a case can be too deep."""
    ends = np.broadcast_arrays(array(case.finished_min_mm), array(case.finished_max_mm))
    found = below.largest(criterion, np.stack(ends, axis=-1)).max(axis=-1)
    _, good = stops(below)
    return array(np.where(good, found, np.nan))


def needed_depth(record: Record, mesh: MeshChain) -> Number:
    """Return the least finished case depth by what governs in one mesh.

    Parameters
    ----------
    record : Record
        The inputs.
    mesh : MeshChain
        One of its meshes.

    Returns
    -------
    float, ndarray or None
        In mm; None where nothing governs or something is missing, None or NaN where no case depth suffices.
    """
    if record.methods is None:
        return None
    rule = record.methods.case_depth
    if isinstance(rule, Criterion):
        return None if mesh.exposed is None else mesh.exposed.needed_mm
    return None if mesh.figures is None else governing_depth(mesh.figures, rule)


def deepest_depth(mesh: MeshChain) -> Number:
    """Return the finished case depth from which the criterion that governs calls it too deep for one mesh.

    Parameters
    ----------
    mesh : MeshChain
        One of the meshes of a record.

    Returns
    -------
    float, ndarray or None
        In mm; None where a figure of a standard governs, None or NaN where no case is too deep.
    """
    return None if mesh.exposed is None else mesh.exposed.enough_to_mm
