"""The root form clearance: whether clean involute is left down to the start of active profile."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.inputs import PinionCutter
from gearcheck.gear.notices import flagged
from gearcheck.gear.pair import PairGeometry
from gearcheck.gear.shaped_root import ShapedRoot, shaped_root
from gearcheck.gear.trochoid import fillet_end, fillet_point

FORM = Method(
    key="root_form.clearance",
    title="Root form clearance of a protuberance-hobbed, ground gear",
    source="ISO 21771",
    edition="2007",
    clause="root form circle; fillet by the law of gearing",
    status=Status.FROM_MEMORY,
    implements=(
        "largest root form diameter over the range of grinding stock; grinding step where the stock "
        "exceeds the protuberance",
    ),
    leaves_out=(
        "an internal gear without its pinion cutter: a stop",
        "runout of the gear; deviation of the centre distance; distortion beyond the range of stock",
    ),
    departures=(
        "The root stays as hobbed: the round of the hob's tip is the root radius of the finished basic rack "
        "and its depth is the dedendum of that rack; it touches a line that lies protuberance less stock "
        "inside the finished flank of the rack.",
        "The shoulder of the protuberance cuts no higher than the round of the tip.",
        "Where the stock exceeds the protuberance the flank is taken as ground down to the root form circle "
        "of the plain finished rack, and ends there in a step.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class RootFormClearance(Result):
    """How far above the largest root form circle the active profile starts; negative where below."""

    method: ClassVar[Method] = FORM
    protuberance_mm: Number = term("Protuberance of the hob", "pr", "mm")
    stock_min_mm: Number = term("Smallest grinding stock", "q_min", "mm")
    stock_max_mm: Number = term("Largest grinding stock", "q_max", "mm")
    plain_form_diameter_mm: Number = term("Root form diameter, plain rack", "d_Ff0", "mm", digits=6)
    start_of_active_profile_mm: Number = term("Start of active profile", "d_Nf", "mm", digits=6)
    excess_mm: Number = term(
        "Most that the protuberance cuts inside the finished flank", "δ", "mm", "max(pr - q_min, 0)"
    )
    step_mm: Number = term("Height of the grinding step, largest", "q_s", "mm", "max(q_max - pr, 0)")
    form_diameter_mm: Number = term(
        "Root form diameter, largest over the range of stock",
        "d_Ff",
        "mm",
        words="outer crossing of hobbed fillet and involute at the smallest stock; d_Ff0 without one",
        digits=6,
    )
    clearance_mm: Number = term("Root form clearance on the diameter, smallest", "Δd_F", "mm", "d_Nf - d_Ff")
    over_measure_mm: Number = term("Form over-measure, smallest", "c_F", "mm", "(d_Nf - d_Ff)/2")


@dataclass(frozen=True, kw_only=True)
class InternalFormClearance(RootFormClearance):
    """How far outside the active profile of an internal gear its root form circle lies."""

    shaped: ShapedRoot | None = None
    form_diameter_mm: Number = term(
        "Root form diameter that the pinion cutter leaves", "d_Ff", "mm", words="from the cutter", digits=6
    )
    clearance_mm: Number = term("Root form clearance on the diameter", "Δd_F", "mm", "d_Ff - d_Nf")
    over_measure_mm: Number = term("Form over-measure", "c_F", "mm", "(d_Ff - d_Nf)/2")


def root_form_clearance(
    *, gear: GearGeometry, pair: PairGeometry, cutter: PinionCutter | None = None
) -> RootFormClearance:
    """Return the smallest root form clearance of one gear over its range of grinding stock.

    d_Ff is where the fillet hobbed with protuberance pr crosses the involute that is left after the stock q
    is ground off; it grows with pr - q, so the smallest stock governs. c_F = (d_Nf - d_Ff)/2.

    Parameters
    ----------
    gear : GearGeometry
        The gear, any shape of samples.
    pair : PairGeometry
        The pair that it belongs to.
    cutter : PinionCutter or None
        The pinion cutter of an internal gear.

    Returns
    -------
    RootFormClearance
        A caution where the active profile starts below the form circle, where grinding leaves a step, or
        where the tip round alone cannot give the protuberance.

    Notes
    -----
    Source: law of gearing for a rack-shaped tool; form over-measure as in ISO 21771.
    Valid for: external gears cut by a hob and ground on the flank only; internal gears as their cutter
    leaves them.
    Departures: tool derived from the finished basic rack; shoulder of the protuberance not counted.
    Checked: FORM-01, FORM-02, FORM-03, FORM-04.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.4,
    ...             rack_root_radius=0.35, protuberance_mm=0.2, stock_min_mm=0.15, stock_max_mm=0.25)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> round(root_form_clearance(gear=pair.pinion, pair=pair).over_measure_mm, 3)
    0.001
    """
    if gear.internal:
        return _internal(gear, pair, cutter)
    protuberance, least = array(gear.protuberance_mm), array(gear.stock_min_mm)
    excess = np.maximum(protuberance - least, 0.0)
    step = np.maximum(array(gear.stock_max_mm) - protuberance, 0.0)
    start, plain = array(gear.start_of_active_profile_mm), array(gear.root_form_diameter_mm)
    form = np.where(np.isnan(plain), np.nan, 2.0 * form_point(gear, excess)[1])
    found = [
        *_below(start, form),
        *_shoulder(gear, excess),
        *_step(step, array(gear.stock_max_mm), protuberance),
    ]
    stops = pair.stops if np.any(np.isnan(start - form)) else ()
    return RootFormClearance(
        protuberance_mm=protuberance,
        stock_min_mm=least,
        stock_max_mm=gear.stock_max_mm,
        plain_form_diameter_mm=plain,
        start_of_active_profile_mm=start,
        excess_mm=excess,
        step_mm=step,
        form_diameter_mm=form,
        clearance_mm=start - form,
        over_measure_mm=(start - form) / 2.0,
        notices=(*found, *stops),
    )


def form_point(gear: GearGeometry, excess: Array) -> tuple[Array, Array]:
    """Return where the fillet of one gear ends on the finished involute.

    Parameters
    ----------
    gear : GearGeometry
        The gear.
    excess : array
        Protuberance less stock in mm, 0 or more.

    Returns
    -------
    angle, radius : tuple of array
        Angle of the tool's round that cuts there, in radians; radius of the root form circle in mm.
    """
    fillet = gear.fillet(excess)
    undercut = array(gear.profile_shift) < array(gear.undercut_shift)
    angle = fillet_end(fillet, cuts=(excess > 0.0) | undercut)
    return angle, fillet_point(fillet, angle)[0]


_NO_CUTTER = Notice(
    Level.STOP,
    "root_form.internal",
    "The root form circle of an internal gear follows from its pinion cutter, which is not given.",
)


def _internal(gear: GearGeometry, pair: PairGeometry, cutter: PinionCutter | None) -> InternalFormClearance:
    """The active profile of an internal gear ends outside, at the root, where the mate's tip digs deepest."""
    protuberance, start = array(gear.protuberance_mm), array(gear.start_of_active_profile_mm)
    shaped = None if cutter is None else shaped_root(gear=gear, cutter=cutter)
    form = start * np.nan if shaped is None else array(shaped.form_diameter_mm)
    text = (
        "The active profile reaches {start:.3f} mm diameter, beyond the root form circle of {form:.3f} mm "
        "that the cutter leaves: no clean involute stands there."
    )
    beyond = flagged(start > form, Level.CAUTION, "root_form.below", text, start=start, form=form)
    return InternalFormClearance(
        shaped=shaped,
        protuberance_mm=protuberance,
        stock_min_mm=gear.stock_min_mm,
        stock_max_mm=gear.stock_max_mm,
        plain_form_diameter_mm=gear.root_form_diameter_mm,
        start_of_active_profile_mm=start,
        excess_mm=np.maximum(protuberance - array(gear.stock_min_mm), 0.0),
        step_mm=np.maximum(array(gear.stock_max_mm) - protuberance, 0.0),
        form_diameter_mm=form,
        clearance_mm=form - start,
        over_measure_mm=(form - start) / 2.0,
        notices=(*beyond, *((_NO_CUTTER,) if shaped is None else shaped.notices), *pair.stops),
    )


def _below(start: Array, form: Array) -> Iterator[Notice]:
    text = (
        "The active profile starts at {start:.3f} mm diameter, below the root form circle of {form:.3f} mm "
        "at the smallest stock: no clean involute stands there."
    )
    return flagged(start < form, Level.CAUTION, "root_form.below", text, start=start, form=form)


def _shoulder(gear: GearGeometry, excess: Array) -> Iterator[Notice]:
    radius = array(gear.rack_root_radius) * array(gear.normal_module_mm)
    round_gives = radius * (1.0 - np.cos(np.radians(array(gear.pressure_angle_deg))))
    text = (
        "The protuberance exceeds the smallest stock by {excess:.3f} mm, more than the {round_gives:.3f} mm "
        "that the round of the hob's tip gives by itself: its shoulder may cut higher; take the form circle "
        "from the tool."
    )
    wrong = excess > round_gives
    return flagged(wrong, Level.CAUTION, "root_form.shoulder", text, excess=excess, round_gives=round_gives)


def _step(step: Array, stock: Array, protuberance: Array) -> Iterator[Notice]:
    text = (
        "The largest stock {stock:.3f} mm exceeds the protuberance {protuberance:.3f} mm: the ground flank "
        "runs out in a step of {step:.3f} mm."
    )
    return flagged(
        step > 0.0, Level.CAUTION, "root_form.step", text, stock=stock, protuberance=protuberance, step=step
    )
