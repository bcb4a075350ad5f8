"""The slower work of the case-depth station: the solved case depth of each mesh, with its own reserve."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.path import contact_path
from gearcheck.hardening.case_depths import CaseDepths, case_depths
from gearcheck.hardening.figures import figure_beside
from gearcheck.hardening.required import RequiredCaseDepth, required_case_depth
from gearcheck.review.bins import step_note
from gearcheck.review.chain import calculate
from gearcheck.review.criterion import flank_under_load
from gearcheck.review.inputs import Record
from gearcheck.review.moves import with_torque
from gearcheck.review.pressure import POINTS, pressure_along
from gearcheck.review.reserves import reserve, torque_turns
from gearcheck.review.results import Chain, MeshChain, Settled, stop_words
from gearcheck.review.spectrum import not_loaded
from gearcheck.stress.inputs import Member

_DEPTHS = "Case depth by every criterion"


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
    return tuple(_settled(record, chain, place) for place in range(len(chain.meshes)))


def _settled(record: Record, chain: Chain, place: int) -> Settled:
    mesh = chain.meshes[place]
    reason = mesh.missing or ("[required] missing" if record.required is None else "")
    reason = reason or stop_words(mesh.pair, mesh.factors, mesh.duty_factors) or not_loaded(record)
    if reason:
        return Settled(mesh=mesh.name, required=None, reserve=None, reason=reason)
    result, single = _relieved(record, mesh, _required(record, mesh))
    beside = _beside(record, mesh)
    drawn = None if record.gear.case is None else record.gear.case.finished_min_mm
    if drawn is None:
        return Settled(
            mesh=mesh.name, required=result, reserve=None, single_contact=single, side_by_side=beside
        )

    def margins(factors: Array) -> Array:
        loaded = calculate(with_torque(record, factors), at_other_load=chain).meshes[place]
        depth = array(_required(record, loaded).depth_mm)
        # where no depth suffices, none that could be drawn does
        return np.where(np.isnan(depth), -1.0, drawn - depth)[None]

    turns = torque_turns(margins, 1)
    meets = result.depth_mm is not None and drawn >= result.depth_mm
    known = reserve(float(turns.factor[0]), meets=meets, ends=float(turns.ends[0]))
    return Settled(mesh=mesh.name, required=result, reserve=known, single_contact=single, side_by_side=beside)


def _beside(record: Record, mesh: MeshChain) -> CaseDepths | None:
    """The depth by every criterion; None without what fatigue below the surface asks for."""
    asked, methods = record.subsurface, record.methods
    if asked is None or mesh.figures is None or record.required is None or methods is None:
        return None
    found = case_depths(
        **flank_under_load(record, mesh, asked), figures=mesh.figures, rule=methods.case_depth
    )
    return replace(found, notices=(*found.notices, *step_note(record, _DEPTHS, mesh.heaviest_step)))


def _required(record: Record, mesh: MeshChain) -> RequiredCaseDepth:
    """Solve one mesh; what is said of the load sharing goes with the depth that rests on it."""
    assert record.methods is not None
    along = pressure_along(mesh)
    figure = None if mesh.figures is None else figure_beside(mesh.figures, record.methods.case_depth)
    result = _depth(record, array(along.half_width_mm), array(along.pressure_MPa), figure)
    told = step_note(record, f"Case depth solved, {mesh.name}", mesh.heaviest_step)
    return replace(result, notices=(*along.notices, *result.notices, *told))


def _depth(record: Record, half_width: Array, pressure: Array, figure: Number = None) -> RequiredCaseDepth:
    assert record.gear.steel is not None
    assert record.required is not None
    return required_case_depth(
        half_width_mm=half_width,
        pressure_MPa=pressure,
        surface_hardness_HV=record.gear.steel.surface_hardness_HV,
        core_hardness_HV=record.gear.steel.core_hardness_HV,
        safety=record.required.subsurface_safety,
        standard_depth_mm=figure,
    )


def _relieved(
    record: Record, mesh: MeshChain, whole: RequiredCaseDepth
) -> tuple[RequiredCaseDepth, RequiredCaseDepth | None]:
    """Solve single contact alone too where a tip relief unloads the point that governs, and say so.

    The load sharing is that of unmodified profiles: with relief it holds from B to D only.
    """
    if mesh.pressed is not None:  # relief is in it
        return whole, None
    along, path = pressure_along(mesh), contact_path(pair=mesh.pair, points=POINTS)
    position, pressure = array(along.position_mm), array(along.pressure_MPa)
    if np.isnan(pressure).any():
        return whole, None
    # where no depth suffices, it fails at the largest pressure
    at = float(position[pressure.argmax() if whole.point is None else int(whole.point)])
    relief = _relief_um(mesh, at - path.mark_B_mm, at - path.mark_D_mm)
    if not relief > 0:
        return whole, None
    inside = (position >= path.mark_B_mm) & (position <= path.mark_D_mm)
    single = _depth(
        record, np.where(inside, array(along.half_width_mm), 0.0), np.where(inside, pressure, 0.0)
    )
    alone = "no case depth suffices" if single.depth_mm is None else f"{single.depth_mm:.3g} mm"
    text = (
        f"{_asked(whole)} {at:.2f} mm from the start A of the path, outside single contact, where the tip "
        f"relief of {relief:.3g} µm takes off load that is counted here; B to D alone: {alone}."
    )
    notice = Notice(Level.CAUTION, "settled.tip_relief", text)
    return replace(whole, notices=(*whole.notices, notice)), single


def _relief_um(mesh: MeshChain, past_B: float, past_D: float) -> float:
    """The tip relief at a point: before B the tip of the wheel is in contact, after D that of the pinion."""
    if past_B >= 0 >= past_D:
        return 0.0
    tip = Member.WHEEL if past_B < 0 else Member.PINION
    member = mesh.gear if mesh.gear.member is tip else mesh.mate
    return float(member.data.tip_relief_um)


def _asked(whole: RequiredCaseDepth) -> str:
    if whole.depth_mm is None:
        return "No case depth suffices"
    return f"The case depth of {whole.depth_mm:.3g} mm is asked for"
