"""What reliefs and crownings can be had: over which torques and misalignments, and between which limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.meshing.advisor import FrontSoFar, relief_front
from gearcheck.meshing.candidates import ReliefLimits
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.review.changes import open_changes
from gearcheck.review.contact_made import POSITIONS, SLICES
from gearcheck.review.contact_of import ContactOf, at_torques, contact_of
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain

TORQUES = (0.5, 0.75, 1.0, 1.25)
"""Shares of the nominal torque at which the worst error counts."""
_SEED = 1
_START = (0.5, 0.95)  # of the flank: where a tip relief may start
_MOST = 1.5  # of the wind-up: a relief that is larger takes the flank out of contact
_WITHOUT_UM = 10.0  # misalignment either way where no class says what a helix may lean


@dataclass(frozen=True, kw_only=True)
class AdviceOver:
    """What the advisor looks at.

    Parameters
    ----------
    torques_Nm : tuple of float
        Of the pinion.
    misalignment_um : float
        Across the plane of the axes, either way of that of the record.
    from_class : bool
        Whether the helix slope that the class drawn allows stands for it.
    """

    torques_Nm: tuple[float, ...]
    misalignment_um: float
    from_class: bool


def advice_over(chain: Chain, torque_Nm: float) -> AdviceOver:
    """Return over which torques and misalignments reliefs are compared.

    Parameters
    ----------
    chain : Chain
        With the tolerances of the class drawn.
    torque_Nm : float
        Nominal, of the pinion.
    """
    drawn = chain.drawn
    allowed = None if drawn is None else drawn.helix_slope_um
    return AdviceOver(
        torques_Nm=tuple(share * torque_Nm for share in TORQUES),
        misalignment_um=_WITHOUT_UM if allowed is None else float(array(allowed)),
        from_class=allowed is not None,
    )


def advised(record: Record, chain: Chain, place: int, of_draft: Record | None = None) -> Iterator[FrontSoFar]:
    """Yield the front of reliefs and crownings of one mesh.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms.
    place : int
        Which mesh; without a loaded contact nothing comes.
    of_draft : Record, optional
        The record that a draft moves: it says how far a draft can go.

    Yields
    ------
    FrontSoFar
        From the evenest mesh to the least pressure.
    """
    of = contact_of(record, chain, place, positions=POSITIONS, slices=SLICES)
    if isinstance(of, str):
        return
    over = advice_over(chain, of.torque_Nm)
    lean = of.misalignment
    yield from relief_front(
        bed=of.bed,
        pinion=of.pinion,
        wheel=of.wheel,
        torques_Nm=np.array(over.torques_Nm),
        misalignments=Misalignment(
            in_plane_um=lean.in_plane_um,
            out_of_plane_um=float(array(lean.out_of_plane_um))
            + over.misalignment_um * np.array([-1.0, 0.0, 1.0]),
        ),
        most_on_corners=0.0 if no_corner_agreed(record) else None,
        limits=_limits(of_draft or record, of),
        generator=np.random.default_rng(_SEED),
    )


def no_corner_agreed(record: Record) -> bool:
    """Whether it is agreed that no tip corner presses, as goes with a margin of the pattern."""
    return record.required is not None and record.required.pattern_margin_mm is not None


def _limits(record: Record, of: ContactOf) -> ReliefLimits:
    """Tip relief of both gears, and the crowning of the gear under review: as far as a draft can go.

    An internal gear stays as drawn.
    """
    wind_up = -float(array(at_torques(of, of.torque_Nm).mean_um))
    found = {}
    for member, form, of_gear in _forms(of):
        keys = _KEYS[of_gear]
        if _is_internal(of, member):  # its roll ends at the root
            continue
        most = max(_MOST * wind_up, float(array(form.tip_relief_um)))
        found[f"{member}_tip_relief_um"] = _within(record, keys[0], (0.0, most))
        found[f"{member}_tip_relief_start_mm"] = _start(record, of, member, form, keys[1])
        if of_gear:
            most = max(_MOST * wind_up, float(array(form.helix_crowning_um)))
            found[f"{member}_helix_crowning_um"] = _within(record, keys[2], (0.0, most))
    return ReliefLimits(**found)


_KEYS = {True: ("relief", "relief_start", "helix_crowning"), False: ("mate_relief", "mate_relief_start")}
"""What a draft moves, of the gear under review and of its mate."""


def _forms(of: ContactOf) -> tuple[tuple[str, FlankForm, bool], ...]:
    return ("pinion", of.pinion, of.gear_is_pinion), ("wheel", of.wheel, not of.gear_is_pinion)


def _bounds(record: Record, key: str) -> tuple[float, float] | None:
    """How far a draft can move an input; None where it cannot."""
    change = next((one for one in open_changes(record) if one.key == key), None)
    return None if change is None else change.bounds(record)


def _within(record: Record, key: str, span: tuple[float, float]) -> tuple[float, float]:
    bounds = _bounds(record, key) or span
    return max(span[0], bounds[0]), min(span[1], bounds[1])


def _start(record: Record, of: ContactOf, member: str, form: FlankForm, key: str) -> tuple[float, float]:
    """Roll lengths; the place that is drawn is among them."""
    low, high = float(array(form.from_roll_mm)), float(array(form.to_roll_mm))
    first, last = (low + share * (high - low) for share in _START)
    if bounds := _bounds(record, key):
        ends = sorted(_roll_mm(of, member, one) for one in bounds)
        first, last = max(first, ends[0]), min(last, ends[1])
    if form.tip_relief_start_mm is None:
        return first, last
    drawn = float(array(form.tip_relief_start_mm))
    return min(first, drawn), max(last, drawn)


def _base_mm(of: ContactOf, member: str) -> float:
    """Half the base diameter."""
    return float(array(getattr(of.bed.pair, f"{member}_base_diameter_mm"))) / 2.0


def _roll_mm(of: ContactOf, member: str, diameter: float) -> float:
    return float(np.sqrt(max(diameter**2 / 4.0 - _base_mm(of, member) ** 2, 0.0)))


def start_diameter_mm(of: ContactOf, member: str, roll_mm: float) -> float:
    """Return the diameter of a gear of a mesh at a roll length, mm.

    Parameters
    ----------
    of : ContactOf
        The mesh.
    member : str
        ``pinion`` or ``wheel``.
    roll_mm : float
        Roll length; not a number where there is none.
    """
    return 2.0 * float(np.hypot(roll_mm, _base_mm(of, member)))


def draft_of(record: Record, of: ContactOf, point: Mapping[str, float]) -> dict[str, float]:
    """Return the draft that comes to a point of the front.

    Parameters
    ----------
    record : Record
        That is drafted.
    of : ContactOf
        The mesh that was looked at.
    point : mapping of str to float
        Tip relief, its start and helix crowning of pinion and wheel, by their names there.

    Returns
    -------
    dict of str to float
        As a draft rounds it; what the record has no place for is left out.
    """
    known = {change.key: change for change in open_changes(record)}
    if _is_another(record, of):  # what moves a mate alone moves the first one
        known = {key: one for key, one in known.items() if key not in _KEYS[False]}
    found = {}
    for member, _, of_gear in _forms(of):
        if _is_internal(of, member):
            continue
        start = start_diameter_mm(of, member, point[f"{member}_tip_relief_start_mm"])
        values = (point[f"{member}_tip_relief_um"], start, point[f"{member}_helix_crowning_um"])
        has_start = _KEYS[of_gear][1] in known  # a relief that starts nowhere is not in the loaded contact
        for key, value in zip(_KEYS[of_gear], values, strict=False):
            if key in known and np.isfinite(value) and (has_start or key not in _RELIEFS):
                low, high = known[key].bounds(record)
                found[key] = round(min(max(value, low), high), known[key].digits)
    return found


_RELIEFS = ("relief", "mate_relief")


def _is_internal(of: ContactOf, member: str) -> bool:
    return bool(getattr(of.bed.pair, member).internal)


def _is_another(record: Record, of: ContactOf) -> bool:
    """Whether it is another mesh than the first."""
    return of.mesh != record.meshes[0].name


def left_out(record: Record, of: ContactOf) -> tuple[str, ...]:
    """Return in words what a draft cannot move of a point.

    Parameters
    ----------
    record : Record
        That is drafted.
    of : ContactOf
        The mesh that was looked at.

    Returns
    -------
    tuple of str
        Each begins a sentence that could go on.
    """
    known = {change.key for change in open_changes(record)}
    said = {
        "relief_start": "the record does not say where the tip relief of the gear starts",
        "helix_crowning": "the record has no [gear.modification] to hold a crowning",
        "mate_relief_start": "the record does not say where the tip relief of the mate starts",
    }
    if _is_internal(of, "wheel"):
        known.add("relief_start" if not of.gear_is_pinion else "mate_relief_start")
    elif _is_another(record, of):
        said["mate_relief_start"] = "a draft moves the tip relief of the first mate alone"
        known.discard("mate_relief_start")
    return tuple(words for key, words in said.items() if key not in known)
