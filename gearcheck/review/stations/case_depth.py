"""Case depth: deep enough for the stress, not too deep for the tooth, still there and hard after grinding."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.hardening.criteria import CRITERIA, Criterion
from gearcheck.hardening.figures import CaseDepthFigures, CaseDepthLimits
from gearcheck.hardening.finished import FinishedCase
from gearcheck.hardening.grind_heat import GrindHeat
from gearcheck.hardening.grind_limit import GrindLimit
from gearcheck.hardening.inputs import Furnace
from gearcheck.materials.strength import StrengthLimits
from gearcheck.requirements.types import Scale
from gearcheck.review.criterion import lacks_subsurface, needed_depth
from gearcheck.review.grinding import austenite_rise_K, cut_limit, pass_heat, unseen_loss_HV
from gearcheck.review.inputs import NO_CASE, NO_FURNACE, NO_STEEL, GearData, Record
from gearcheck.review.results import Chain, Line, MeshChain, stop_words
from gearcheck.review.spectrum import not_loaded
from gearcheck.review.stations.soft_places import mask_lines

NAME = "case depth"

DRAWN_WINDOW = Method(
    key="drawing.case_window",
    title="Case window of the drawing",
    source="drawing",
    edition="",
    clause="finished case depth at 550 HV on the flank at the pitch line",
    status=Status.COMMON_PRACTICE,
    implements=("finished depth = as-treated depth - stock, with the worse end of each",),
    departures=("the hardness left on a ground flank is not corrected for tempering by the grind",),
)

_BURN = "surface-temper etch class and area"


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield depth needed by mesh, largest allowed, case left on each flank, hardness, mask and grind."""
    for mesh in chain.meshes:
        yield _needed(record, mesh)
    yield from _largest(record, chain)
    for flank, result in (("left", chain.left), ("right", chain.right)):
        yield from _left(record.gear, flank, result)
    if record.furnace is not None:
        yield _furnace(record.gear, record.furnace)
    yield from _hardness(record.gear, chain.limits)
    yield from mask_lines(record, NAME)
    yield from _grind(record)


def _drawn(gear: GearData, name: str) -> Number:
    return None if gear.case is None else getattr(gear.case, name)


def _needed(record: Record, mesh: MeshChain) -> Line:
    if record.methods is not None and isinstance(record.methods.case_depth, Criterion):
        return _exposed(record, mesh, record.methods.case_depth)
    return _by_figure(record, mesh)


def _exposed(record: Record, mesh: MeshChain, criterion: Criterion) -> Line:
    """The drawn case against the load: what the criterion says of it, not only how deep it has to be."""
    reason = mesh.missing or stop_words(mesh.pair, mesh.factors, mesh.duty_factors) or not_loaded(record)
    reason = reason or lacks_subsurface(record, criterion) or (NO_CASE if record.gear.case is None else "")
    steps = ", at every step of the duty" if mesh.duty_factors is not None else ""
    agreed = "" if record.required is None else f" at the safety {record.required.subsurface_safety:g}"
    return Line(
        key=f"case.needed.{mesh.name}",
        station=NAME,
        title=f"Case depth, finished, against {mesh.name}",
        sentence=(
            f"Below the shallowest and the deepest finished case of the drawing no depth is overloaded by "
            f"{criterion}{agreed}{steps}."
        ),
        demand=None if mesh.exposed is None else mesh.exposed.exposure,
        capacity=1.0,
        demand_words="largest exposure below the flank",
        capacity_words="exposure allowed",
        unit="",
        method=CRITERIA,
        brief=("exposure", "allowed"),
        scale=Scale.TORQUE,
        reason=reason or ("[required] missing" if record.required is None else ""),
    )


def _by_figure(record: Record, mesh: MeshChain) -> Line:
    depth: Number = None
    reason = mesh.missing
    if mesh.figures is not None and record.methods is not None:
        depth = needed_depth(record, mesh)
        reason = stop_words(mesh.pair, mesh.factors, mesh.duty_factors, mesh.flank, mesh.figures)
        reason = reason or not_loaded(record)
    rule = "" if record.methods is None else f" by {record.methods.case_depth}"
    steps = ", at every step of the duty" if mesh.duty_factors is not None else ""
    return Line(
        key=f"case.needed.{mesh.name}",
        station=NAME,
        title=f"Case depth, finished, against {mesh.name}",
        sentence=f"The least finished case depth of the drawing reaches the depth needed{rule}{steps}.",
        demand=depth,
        capacity=_drawn(record.gear, "finished_min_mm"),
        demand_words="case depth needed",
        capacity_words="least finished case depth drawn",
        unit="mm",
        method=CaseDepthFigures.method,
        brief=("needed", "drawn"),
        scale=Scale.TORQUE,
        reason=reason or (NO_CASE if record.gear.case is None else ""),
    )


def _largest(record: Record, chain: Chain) -> Iterator[Line]:
    gear, limits = record.gear, chain.case_limits
    reason = NO_CASE if gear.case is None else ""
    pairs = [mesh.pair for mesh in chain.meshes]
    yield Line(
        key="case.largest",
        station=NAME,
        title="Case not too deep, flank",
        sentence="The largest finished case depth of the drawing leaves a tough core in the tooth.",
        demand=_drawn(gear, "finished_max_mm"),
        capacity=limits.largest_mm,
        demand_words="largest finished case depth drawn",
        capacity_words="largest case depth allowed",
        unit="mm",
        method=CaseDepthLimits.method,
        brief=("drawn", "allowed"),
        scale=Scale.SHARE,
        reason=reason,
    )
    yield Line(
        key="case.tip",
        station=NAME,
        title="Case not too deep, tip",
        sentence="The largest case depth as treated does not harden the tooth tip through.",
        demand=_drawn(gear, "as_treated_max_mm"),
        capacity=limits.tip_limit_mm,
        demand_words="largest case depth as treated, taken at the pitch line",
        capacity_words="largest case depth allowed at the tip",
        unit="mm",
        method=CaseDepthLimits.method,
        brief=("as treated", "allowed"),
        scale=Scale.SHARE,
        reason=reason or (stop_words(*pairs) if limits.tip_limit_mm is None else ""),
    )


def _left(gear: GearData, flank: str, result: FinishedCase | None) -> Iterator[Line]:
    reason = NO_CASE if result is None else stop_words(result)
    yield Line(
        key=f"case.left.{flank}",
        station=NAME,
        title=f"Case left after grinding, {flank} flank",
        sentence=f"The least case less the largest stock still gives the drawn depth on the {flank} flank.",
        demand=_drawn(gear, "finished_min_mm"),
        capacity=None if result is None else result.least_mm,
        demand_words="least finished case depth drawn",
        capacity_words="case left, least",
        unit="mm",
        method=DRAWN_WINDOW,
        brief=("drawn", "left"),
        scale=Scale.SHARE,
        reason=reason,
        evidence="case depth as treated and stock ground off",
    )
    yield Line(
        key=f"case.most.{flank}",
        station=NAME,
        title=f"Case after grinding at most, {flank} flank",
        sentence=f"The deepest case less the smallest stock stays in the drawn window on the {flank} flank.",
        demand=None if result is None else result.largest_mm,
        capacity=_drawn(gear, "finished_max_mm"),
        demand_words="case left, largest",
        capacity_words="largest finished case depth drawn",
        unit="mm",
        method=DRAWN_WINDOW,
        brief=("left at most", "drawn"),
        scale=Scale.SHARE,
        reason=reason,
        evidence="case depth as treated and stock ground off",
    )


def _furnace(gear: GearData, furnace: Furnace) -> Line:
    case = gear.case
    drawn = None if case is None else array(case.as_treated_max_mm) - array(case.as_treated_min_mm)
    return Line(
        key="case.furnace",
        station=NAME,
        title="Window that the furnace holds",
        sentence="The window as treated of the drawing is no narrower than what the furnace holds.",
        demand=2 * array(furnace.depth_scatter_mm),
        capacity=drawn,
        demand_words="window that the furnace takes",
        capacity_words="window as treated drawn",
        unit="mm",
        method=DRAWN_WINDOW,
        brief=("taken", "drawn"),
        scale=Scale.SHARE,
        reason=NO_CASE if case is None else "",
        evidence="case depth as treated and stock ground off",
    )


def _hardness(gear: GearData, limits: StrengthLimits | None) -> Iterator[Line]:
    for place, words in (("surface", "flank surface"), ("core", "core at the tooth root")):
        yield Line(
            key=f"hardness.{place}",
            station=NAME,
            title=f"{place.capitalize()} hardness",
            sentence=f"The {words} is specified as hard as the material quality asks for.",
            demand=None if limits is None else getattr(limits, f"{place}_hardness_min_HV"),
            capacity=None if gear.steel is None else getattr(gear.steel, f"{place}_hardness_HV"),
            demand_words="least hardness of the material quality",
            capacity_words="least hardness specified",
            unit="HV",
            method=StrengthLimits.method,
            brief=("asked", "specified"),
            scale=Scale.SHARE,
            reason=NO_STEEL if limits is None else "",
            evidence=f"{place} hardness",
        )


def _grind(record: Record) -> Iterator[Line]:
    """What the heat of the finishing pass must not do; nothing where no pass is given."""
    heat, limit = pass_heat(record), cut_limit(record)
    if heat is None or record.grinding is None:
        return
    stopped = stop_words(heat)
    yield Line(
        key="grind.softening",
        station=NAME,
        title="No softening by the grind",
        sentence="The finishing pass is no deeper than the cut whose heat tempers the skin by "
        f"{unseen_loss_HV():.0f} HV, which a hardness test does not see.",
        demand=1000 * array(record.grinding.depth_of_cut_mm),
        capacity=None if limit is None else 1000 * array(limit.largest),
        demand_words="depth of cut of the finishing pass",
        capacity_words="deepest cut that keeps the hardness of the skin",
        unit="µm",
        method=GrindLimit.method,
        brief=("cut", "keeps the hardness"),
        scale=Scale.SHARE,
        reason=stopped or (NO_FURNACE if limit is None else stop_words(limit)),
        evidence=_BURN,
    )
    yield Line(
        key="grind.rehardening",
        station=NAME,
        title="No rehardening by the grind",
        sentence="The finishing pass does not heat the flank to where austenite, and new martensite, form.",
        demand=heat.rise_K,
        capacity=austenite_rise_K(record),
        demand_words="rise of the temperature of the flank",
        capacity_words="rise to the start of austenite",
        unit="K",
        method=GrindHeat.method,
        brief=("rise", "to austenite"),
        scale=Scale.SHARE,
        reason=stopped,
        evidence=_BURN,
    )
