"""What is left for the tooth: the window that the drawing can ask for, the case left, and its exposure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.basics.results import Result
from gearcheck.basics.tables import table
from gearcheck.hardening.case_window import CaseWindow, case_window
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_exposure import CriteriaExposure, criteria_exposure
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.residual import ResidualProfile, residual_stress
from gearcheck.hardening.stock import GroundCase, ToothStock
from gearcheck.review.criterion import deepest_depth, half_thickness_mm, needed_depth
from gearcheck.review.inputs import Record
from gearcheck.review.measured_stress import measured_stresses
from gearcheck.review.pressure import pressure_along
from gearcheck.review.results import Chain, MeshChain, stop_words
from gearcheck.review.stock_left import left_on_flanks, stock_of_teeth
from gearcheck.review.tooth_places import ROOT, TIP, place_ratios
from gearcheck.review.traverses import measured_profiles
from gearcheck.review.treated import Predicted

DEPTHS = 201
AS_DRAWN = "as drawn, shallowest"


@dataclass(frozen=True, kw_only=True)
class Held:
    """The exposure of one hardness profile in one mesh by every criterion."""

    mesh: str
    profile: str
    exposure: CriteriaExposure
    limits: str = ""
    """Of a measured profile: how deep it is assessed, and what stands below its last indent or point."""
    has_measured_stress: bool = False
    """Whether its residual stress was measured, and is not that of a model."""

    def largest(self, criterion: Criterion) -> tuple[float, float]:
        """The largest exposure by one criterion, and the depth in mm where it stands."""
        value, depth = self.exposure.largest(criterion)
        return float(value), float(depth)


@dataclass(frozen=True, kw_only=True)
class _Profile:
    """A hardness over depth; `residual` where the residual stress in it was measured."""

    name: str
    depth_mm: Array
    hardness_HV: Array
    limits: str = ""
    residual: ResidualProfile | None = None


@dataclass(frozen=True, kw_only=True)
class Balance:
    """The window, the case left on both flanks, the exposures; None and empty where inputs are missing.

    `teeth` is the stock of each tooth, where runout, holding or shift are said; `counted` says in sentences
    what the distribution of the case left rests on.
    """

    window: CaseWindow | None
    left: GroundCase | None
    right: GroundCase | None
    held: tuple[Held, ...]
    teeth: ToothStock | None = None
    counted: tuple[str, ...] = ()

    def held_in(self, mesh: str) -> tuple[Held, ...]:
        """The exposures in one mesh; that of the case as drawn comes first."""
        return tuple(one for one in self.held if one.mesh == mesh)

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield every result with its title, in reading order."""
        if self.window is not None:
            yield "Window of the drawing", self.window
        for flank, left in (("left", self.left), ("right", self.right)):
            if left is not None:
                yield f"Case left as a distribution, {flank} flank", left
        if self.teeth is not None:
            yield "Stock of each tooth", self.teeth
        for one in self.held:
            yield f"Exposure of the case {one.profile}, against {one.mesh}", one.exposure


def balance(record: Record, chain: Chain, found: Predicted | None) -> Balance:
    """Work out what stock, furnace and grind leave for the tooth.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Its closed forms.
    found : Predicted or None
        What furnace and grind are predicted to leave.

    Returns
    -------
    Balance
        Window and case left where the gear file says what the furnace holds; exposures where it says what
        fatigue below the surface asks for.
    """
    left, right, counted = left_on_flanks(record, chain)
    held = tuple(one for mesh in chain.meshes for one in _held(record, mesh, found))
    return Balance(
        window=_window(record, chain, found),
        left=left,
        right=right,
        held=held,
        teeth=stock_of_teeth(record, chain),
        counted=counted,
    )


def _window(record: Record, chain: Chain, found: Predicted | None) -> CaseWindow | None:
    case, furnace = record.gear.case, record.furnace
    known = [array(needed_depth(record, mesh)) for mesh in chain.meshes if not mesh.missing]
    if case is None or furnace is None or not known:
        return None
    needed = float(np.max(known))  # no value where no depth suffices for one of the meshes
    if np.isnan(needed):
        return None
    too_deep = [array(deepest_depth(mesh)) for mesh in chain.meshes]
    ratios = {} if found is None else place_ratios(found.places)
    root = table("case_depth_figures").value("ISO 6336-5 least root depth") * record.normal_module_mm
    return case_window(
        finished_min_mm=needed,
        finished_max_mm=np.fmin.reduce([array(chain.case_limits.largest_mm), *too_deep]),
        stock_min_mm=case.least_stock_mm,
        stock_max_mm=case.largest_stock_mm,
        furnace_tolerance_mm=furnace.depth_scatter_mm,
        tip_limit_mm=chain.case_limits.tip_limit_mm,
        tip_ratio=ratios.get(TIP, 1.0),
        root_min_mm=root if ROOT in ratios else None,
        root_ratio=ratios.get(ROOT, 1.0),
    )


def _held(record: Record, mesh: MeshChain, found: Predicted | None) -> Iterator[Held]:
    """Each hardness profile below the finished flank under the load of one mesh."""
    asked, agreed = record.subsurface, record.required
    if asked is None or agreed is None or mesh.missing or mesh.factors is None:
        return
    if stop_words(mesh.pair, mesh.factors, mesh.duty_factors):
        return
    along, half = pressure_along(mesh), half_thickness_mm(mesh)
    for one in _all_profiles(record, found):
        residual = one.residual or residual_stress(
            depth_mm=one.depth_mm,
            hardness_HV=one.hardness_HV,
            core_hardness_HV=one.hardness_HV[-1],
            model=asked.residual_stress,
            half_thickness_mm=half,
        )
        exposure = criteria_exposure(
            half_width_mm=along.half_width_mm,
            pressure_MPa=along.pressure_MPa,
            friction=asked.friction,
            depth_mm=one.depth_mm,
            hardness_HV=one.hardness_HV,
            residual_stress_MPa=residual.residual_stress_MPa,
            inclusion_root_area_um=asked.inclusion_root_area_um,
            safety=agreed.subsurface_safety,
        )
        if one.residual is not None:
            exposure = replace(exposure, notices=(*exposure.notices, *residual.notices))
        limits = one.limits if one.residual is None else f"{one.limits}{_at_its_end(exposure)}"
        yield Held(
            mesh=mesh.name,
            profile=one.name,
            exposure=exposure,
            limits=limits,
            has_measured_stress=one.residual is not None,
        )


def _at_its_end(exposure: CriteriaExposure) -> str:
    """Say where the largest exposure by Dang Van stands at the end of what was measured."""
    known = array(exposure.depth_mm)[~np.isnan(array(exposure.residual_stress_MPa))]
    _, depth = exposure.largest(Criterion.DANG_VAN)
    return "; it still rises there: deeper it may be larger" if float(depth) == known[-1] else ""


def _all_profiles(record: Record, found: Predicted | None) -> Iterator[_Profile]:
    for name, depth, hardness in _profiles(record, found):
        yield _Profile(name=name, depth_mm=depth, hardness_HV=hardness)
        if name == AS_DRAWN:
            yield from _with_measured_stress(record, depth)
    for name, depth, hardness, limits in measured_profiles(record):
        yield _Profile(name=name, depth_mm=depth, hardness_HV=hardness, limits=limits)


def _with_measured_stress(record: Record, depth_mm: Array) -> Iterator[_Profile]:
    """The case as drawn once more for each residual stress that was measured below a finished flank."""
    for measured in measured_stresses(record, depth_mm):
        yield _Profile(
            name=f"as drawn, with the residual stress measured, {measured.name}",
            depth_mm=measured.depth_mm,
            hardness_HV=_drawn(record, measured.depth_mm),
            limits=measured.limits,
            residual=measured.profile,
        )


def _profiles(record: Record, found: Predicted | None) -> Iterator[tuple[str, Array, Array]]:
    """The case as drawn, as predicted at its softest under the largest stock, and that after the grind."""
    case, steel = record.gear.case, record.gear.steel
    if case is not None and steel is not None:
        depth = np.linspace(0, 2.5 * float(case.finished_max_mm), DEPTHS)
        yield AS_DRAWN, depth, _drawn(record, depth)
    ground = None if found is None else found.ground
    if ground is None or ground.softening is None:
        return
    soft = ground.softening
    yield "as predicted, softest", array(soft.depth_mm), array(soft.before_HV)
    yield "as predicted, after the grind", array(soft.depth_mm), array(soft.hardness_HV)


def _drawn(record: Record, depth_mm: Array) -> Array:
    """The hardness of the shallowest case drawn."""
    case, steel = record.gear.case, record.gear.steel
    assert case is not None and steel is not None
    profile = hardness_profile(
        depth_mm=depth_mm,
        surface_hardness_HV=steel.surface_hardness_HV,
        core_hardness_HV=steel.core_hardness_HV,
        case_depth_mm=case.finished_min_mm,
    )
    return array(profile.hardness_HV)
