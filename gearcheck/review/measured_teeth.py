"""How the teeth of a measured part deviate from the flank drawn, in the order they come into mesh."""

from __future__ import annotations

import numpy as np

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.accuracy.sampled import resampled
from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.form import ToothDeviations
from gearcheck.review.measured_flanks import holding_pitch, index_um, measured_traces
from gearcheck.review.results import MeshChain, Review
from gearcheck.stress.inputs import Member

_PLACES = 41


def measured_teeth(whole: Review, place: int) -> ToothDeviations | None:
    """Return the deviations of the teeth of a measured part on the loaded flank of one mesh.

    Index deviations come from pitch; profile and helix from traces of the same part less the design, where
    there are some: a tooth without a trace has the mean of those that were measured. What is stale does not
    count.

    Parameters
    ----------
    whole : Review
        With its evaluated pitch and traces.
    place : int
        Which mesh.

    Returns
    -------
    ToothDeviations or None
        Of the first part whose pitch holds, on the transverse line of action; None without one.
    """
    first = next(holding_pitch(whole), None)
    if first is None or whole.record.gear.tooth.internal:
        return None
    item, pitch = first
    mesh, flank = whole.chain.meshes[place], whole.record.meshes[place].loaded_flank
    lean = np.cos(np.radians(array(pitch.transverse_pressure_angle_deg)))
    index = index_um(pitch, flank) * (1.0 if flank is Flank.RIGHT else -1.0) * lean
    order = in_order(index.size, mesh, flank)
    part = item.head.applies_to
    return ToothDeviations(
        index_um=index[order],
        profile_um=_traces(whole, part, TraceKind.PROFILE, mesh, flank, order),
        helix_um=_traces(whole, part, TraceKind.HELIX, mesh, flank, order),
    )


def in_order(teeth: int, mesh: MeshChain, flank: Flank) -> np.typing.NDArray[np.intp]:
    """Return the teeth from 0 in the order in which they come into mesh, the first one first.

    On left flanks a tooth has rolled a pitch further than the next one, on right flanks than the one before;
    an external wheel comes into mesh with its tip, where its roll ends.
    """
    grows = mesh.gear.member is Member.PINION or mesh.pair.side < 0
    forward = (flank is Flank.LEFT) is grows
    return np.arange(teeth) if forward else -np.arange(teeth) % teeth


def _traces(
    whole: Review,
    part: str,
    kind: TraceKind,
    mesh: MeshChain,
    flank: Flank,
    order: np.typing.NDArray[np.intp],
) -> Array | None:
    """Traces at even places of the mesh for each tooth, 0 where pitch was measured."""
    traces = measured_traces(whole, part, kind, flank, without_design=True)
    if traces is None:
        return None
    geometry, width = mesh.gear.geometry, float(whole.record.gear.tooth.face_width_mm)
    if kind is TraceKind.PROFILE:
        modified = whole.record.gear.modification
        low = None if modified is None else modified.control_diameter_mm
        base = float(geometry.base_diameter_mm)
        start = float(geometry.start_radius_mm) if low is None else np.sqrt(float(low) ** 2 - base**2) / 2
        ends = (start, float(geometry.tip_radius_mm))
        zero = base / 2 * np.tan(np.radians(float(geometry.transverse_pressure_angle_deg)))
    else:
        over = (width - float(mesh.pair.common_face_width_mm)) / 2.0
        ends, zero = (over, width - over), width / 2.0
    shapes = np.concatenate([[0.0], np.arange(1.0, order.size + 1)])
    found = resampled(traces, shapes, np.linspace(*ends, _PLACES), np.array([zero]))
    return array(found[1:][order])
