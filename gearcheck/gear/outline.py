"""The outline of one tooth in the transverse section: root, fillet, involute and tip."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.form import form_point
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.involute import involute
from gearcheck.gear.notices import Mask
from gearcheck.gear.pair import PairGeometry
from gearcheck.gear.trochoid import Fillet, fillet_point, involute_half_angle

OUTLINE = Method(
    key="tooth.outline",
    title="Outline of a tooth in the transverse section",
    source="law of gearing for a rack-shaped tool",
    edition="",
    clause="",
    status=Status.FROM_MEMORY,
    implements=("root circle, fillet of the tool's round, involute, tip circle",),
    leaves_out=("tip rounding and chamfer; flank modifications; shoulder of the protuberance",),
    departures=(
        "The fillet is that of the mean grinding stock; where the stock exceeds the protuberance the step is "
        "drawn along the root form circle.",
        "The fillet of an internal gear is drawn as the arc of its root radius that touches flank and root "
        "circle, or of the largest that fits into the space; its cutter does not count here.",
    ),
)

FALLING, LEAST, HALVINGS = 0.30, 16, 40
"""Share of the points of one half that lie on the fillet, the fewest points, steps to a fillet that fits."""


@dataclass(frozen=True, kw_only=True)
class ToothOutline(Result):
    """One tooth, tip up, centre of the gear at the origin; points on the last axis, from left to right."""

    method: ClassVar[Method] = OUTLINE
    excess_mm: Number = term("Protuberance less mean grinding stock", "δ", "mm")
    form_diameter_mm: Number = term(
        "Diameter at which fillet and involute meet", "d_Ff", "mm", words="by iteration", digits=6
    )
    x_mm: Number = term("Across the tooth", "x", "mm", words="mirror image of the right half")
    y_mm: Number = term("From the axis of the gear", "y", "mm", words="root, fillet, involute, tip")
    join: int
    """Index of the point of the right half at which fillet and involute meet."""


def tooth_outline(*, gear: GearGeometry, pair: PairGeometry, points: int = 200) -> ToothOutline:
    """Return the outline of one tooth in the transverse section.

    Each point of the fillet is cut when its normal passes through the pitch point of gear and rack.

    Parameters
    ----------
    gear : GearGeometry
        The gear, any shape of samples.
    pair : PairGeometry
        The pair that it belongs to; its stops go with the outline.
    points : int
        Number of points, even, 16 or more.

    Returns
    -------
    ToothOutline
        x and y in mm, shape samples + (points,); NaN where the tooth is pointed or its rack is impossible.

    Raises
    ------
    InputError
        An odd number of points, or too few.

    Notes
    -----
    Source: law of gearing for a rack-shaped tool.
    Valid for: external gears cut by a hob; an internal gear with a fillet of one radius.
    Departures: fillet of the mean grinding stock; sharp tip corner.
    Checked: OUT-01, OUT-02, OUT-03.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> outline = tooth_outline(gear=pair.pinion, pair=pair)
    >>> float(outline.y_mm.max().round(6)), outline.x_mm.shape
    (63.999961, (200,))
    """
    faults = Faults()
    faults.need(points >= LEAST and points % 2 == 0, "points", points, f"an even number, {LEAST} or more")
    faults.check()
    if gear.internal:
        return _internal_outline(gear, pair, points // 2)
    stock = (array(gear.stock_min_mm) + array(gear.stock_max_mm)) / 2.0
    excess = array(gear.protuberance_mm) - stock
    end, form_radius = form_point(gear, np.maximum(excess, 0.0))
    form_radius = np.where(np.isnan(array(gear.root_form_diameter_mm)), np.nan, form_radius)
    radius, half_angle, join = _half(gear, excess, end, form_radius, points // 2)
    whole = np.isfinite(form_radius) & np.isfinite(array(gear.tip_thickness_mm))
    radius = np.where(whole[..., None], radius, np.nan)
    x, y = radius * np.sin(half_angle), radius * np.cos(half_angle)
    return ToothOutline(
        excess_mm=excess,
        form_diameter_mm=2.0 * form_radius,
        x_mm=np.concatenate([-x, x[..., ::-1]], axis=-1),
        y_mm=np.concatenate([y, y[..., ::-1]], axis=-1),
        join=2 * (points // 2) - 1 - join,
        notices=pair.stops,
    )


def _half(
    gear: GearGeometry, excess: Array, end: Array, form_radius: Array, count: int
) -> tuple[Array, Array, int]:
    """Return radius and angle from the middle of the tooth, from the middle of the space to the tip."""
    fillet = gear.fillet(excess).along()
    on_root, on_tip = max(count // 10, 2), max(count // 10, 2)
    on_fillet = int(FALLING * count)
    on_flank = count - on_root - on_fillet - on_tip
    angle = np.pi / 2.0 + (end[..., None] - np.pi / 2.0) * np.linspace(0.0, 1.0, on_fillet)
    fillet_radius, fillet_angle = fillet_point(fillet, angle)
    flank_radius, flank_angle = _flank(gear, fillet, form_radius, on_flank)
    share = np.arange(on_root) / on_root
    root_angle = fillet.half_pitch + (fillet_angle[..., :1] - fillet.half_pitch) * share
    tip_angle = flank_angle[..., -1:] * (1.0 - (np.arange(on_tip) + 1.0) / (on_tip + 0.5))
    radii = (fillet_radius[..., :1] + 0.0 * root_angle, fillet_radius, flank_radius, flank_radius[..., -1:])
    return _joined(radii, (root_angle, fillet_angle, flank_angle, tip_angle), on_root + on_fillet)


def _joined(radii: tuple[Array, ...], angles: tuple[Array, ...], join: int) -> tuple[Array, Array, int]:
    """Return the parts of one half, one after the other."""
    shapes = [np.broadcast_arrays(*pair) for pair in zip(radii, angles, strict=True)]
    lead = np.broadcast_shapes(*(item[0].shape[:-1] for item in shapes))
    whole = [[np.broadcast_to(part, (*lead, part.shape[-1])) for part in item] for item in shapes]
    radius, half_angle = (np.concatenate([item[side] for item in whole], axis=-1) for side in (0, 1))
    return radius, half_angle, join


def _flank(gear: GearGeometry, fillet: Fillet, form_radius: Array, count: int) -> tuple[Array, Array]:
    """Return the involute from the root form circle to the tip, at even steps of roll."""
    base = fillet.base_radius
    tip = np.where(np.isnan(array(gear.tip_thickness_mm)), np.nan, array(gear.tip_diameter_mm) / 2.0)
    low, high = (
        np.sqrt(np.maximum((radius[..., None] / base) ** 2 - 1.0, 0.0)) for radius in (form_radius, tip)
    )
    roll = low + (high - low) * np.linspace(0.0, 1.0, count)
    radius = base * np.hypot(1.0, roll)
    return radius, involute_half_angle(fillet, radius)


def _internal_outline(gear: GearGeometry, pair: PairGeometry, count: int) -> ToothOutline:
    """Return the outline of an internal tooth, tip towards the axis below; the fillet is an arc.

    The centre of the arc lies on the involute that is moved into the space by the radius of the arc.
    """
    base, root_radius = array(gear.base_diameter_mm) / 2, array(gear.root_diameter_mm) / 2
    helix = np.radians(array(gear.helix_angle_deg))
    thickness = array(gear.tooth_thickness_mm) / (array(gear.reference_diameter_mm) * np.cos(helix))
    start = thickness - involute(np.radians(array(gear.transverse_pressure_angle_deg)))
    half_pitch = np.pi / array(gear.teeth)
    asked = array(gear.rack_root_radius) * array(gear.normal_module_mm)
    arc = _fitting(asked, lambda size: _arc_centre(base, root_radius, start, size)[1] <= half_pitch)
    rolled, centre = _arc_centre(base, root_radius, start, arc)
    form_radius = np.hypot(base, rolled + arc)
    sound = np.isfinite(array(gear.tip_thickness_mm)) & (centre <= half_pitch)
    shape = (root_radius - arc, centre, arc)
    radius, angle, join = _internal_half(gear, base, start, form_radius, shape, count)
    radius = np.where(sound[..., None], radius, np.nan)
    x, y = radius * np.sin(angle), radius * np.cos(angle)
    return ToothOutline(
        excess_mm=np.zeros_like(arc),
        form_diameter_mm=np.where(sound, 2.0 * form_radius, np.nan),
        x_mm=np.concatenate([-x, x[..., ::-1]], axis=-1),
        y_mm=np.concatenate([y, y[..., ::-1]], axis=-1),
        join=2 * count - 1 - join,
        notices=pair.stops,
    )


def _arc_centre(base: Array, root_radius: Array, start: Array, arc: Array) -> tuple[Array, Array]:
    """Return roll and angle of the centre of an arc that touches flank and root circle."""
    rolled = np.sqrt(np.maximum((root_radius - arc) ** 2 - base**2, 0.0))
    return rolled, start + involute(np.arctan(rolled / base)) + arc / base


def _fitting(asked: Array, fits: Callable[[Array], Mask]) -> Array:
    """Return the size asked for, or the largest below it that fits, by halving."""
    low, high = np.zeros_like(fits(asked), dtype=np.float64), asked + 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        inside = fits(middle)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.where(fits(asked), asked, low)


def _internal_half(
    gear: GearGeometry,
    base: Array,
    start: Array,
    form_radius: Array,
    arc: tuple[Array, Array, Array],
    count: int,
) -> tuple[Array, Array, int]:
    """Return radius and angle from the middle of the space over root, arc and flank to the tip."""
    on_root = on_tip = max(count // 10, 2)
    on_arc = int(FALLING * count)
    bottom, centre, size = (part[..., None] for part in np.broadcast_arrays(*arc))
    # along the arc: from straight outward to the normal of the flank, which touches the base circle
    last = np.arccos(np.minimum(base[..., None] / bottom, 1.0)) - np.pi / 2
    turn = last * np.linspace(0.0, 1.0, on_arc)
    along, out = size * np.sin(turn), bottom + size * np.cos(turn)
    arc_radius, arc_angle = np.hypot(along, out), centre + np.arctan2(along, out)
    low, high = (
        np.sqrt(np.maximum((radius[..., None] / base[..., None]) ** 2 - 1.0, 0.0))
        for radius in (form_radius, array(gear.tip_diameter_mm) / 2)
    )
    roll = low + (high - low) * np.linspace(0.0, 1.0, count - on_root - on_arc - on_tip)
    flank_radius = base[..., None] * np.hypot(1.0, roll)
    flank_angle = start[..., None] + roll - np.arctan(roll)
    middle = (np.pi / array(gear.teeth))[..., None]
    root_angle = middle + (arc_angle[..., :1] - middle) * (np.arange(on_root) / on_root)
    tip_angle = flank_angle[..., -1:] * (1.0 - (np.arange(on_tip) + 1.0) / (on_tip + 0.5))
    return _joined(
        (arc_radius[..., :1], arc_radius, flank_radius, flank_radius[..., -1:]),
        (root_angle, arc_angle, flank_angle, tip_angle),
        on_root + on_arc,
    )
