"""Case depth from a measured hardness traverse."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TRAVERSE = Method(
    key="iso18203.traverse",
    title="Case depth from a hardness traverse",
    source="ISO 18203",
    edition="2016",
    clause="interpolation between two indents",
    status=Status.FROM_MEMORY,
    implements=(
        "straight line between the two indents on either side of the criterion hardness",
        "550 HV as the criterion only where the hardness is under 450 HV at three times the case depth "
        "(scope of ISO 2639:2002)",
    ),
    leaves_out=("spacing and load of the indents", "scatter of the hardness and of the depth as measured"),
    departures=(
        "Where the hardness crosses the criterion more than once, the shallowest crossing counts.",
        "Where the traverse ends before three times the case depth, its last indent stands for it.",
        "How far the straight line may be off follows from the second difference of the indents around it, "
        "at most the distance to the farther of the two indents; that distance without a third indent, and "
        "where they are farther apart than a straight line may bridge.",
    ),
)

_USUAL_HV, _CORE_HV = 550.0, 450.0
_RULES = "traverse_rules"
OF_INDENTS = ("iso18203.traverse.few", "iso18203.traverse.gap", "iso18203.traverse.rising")
"""The cautions on how a traverse was laid out; a profile that was calculated has no indents."""


@dataclass(frozen=True, kw_only=True)
class TraverseCaseDepth(Result):
    """Case depth with the two indents that it lies between."""

    method: ClassVar[Method] = TRAVERSE
    criterion_HV: Number = term("Hardness that defines the case depth", "HV_g", "HV")
    depth_above_mm: Number = term(
        "Depth of the last indent that reaches it", "d_1", "mm", words="from the traverse"
    )
    depth_below_mm: Number = term("Depth of the next indent", "d_2", "mm", words="from the traverse")
    hardness_above_HV: Number = term("Hardness of the last indent that reaches it", "HV_1", "HV",
                                     words="from the traverse")  # fmt: skip
    hardness_below_HV: Number = term("Hardness of the next indent", "HV_2", "HV", words="from the traverse")
    case_depth_mm: Number = term("Case depth", "CHD", "mm", "d_1 + (d_2-d_1)·(HV_1-HV_g)/(HV_1-HV_2)")
    curve_off_mm: Number = term(
        "How far the straight line between them may be off",
        "δ",
        "mm",
        words="|second difference|·(CHD-d_1)·(d_2-CHD)·(d_2-d_1)/(HV_1-HV_2)",
    )
    hardness_at_three_HV: Number = term(
        "Hardness at three times the case depth",
        "HV_3",
        "HV",
        words="from the traverse, at most its last indent",
    )


def checked_indents(depth_mm: Number, hardness_HV: Number) -> tuple[Array, Array]:
    """Return depths and hardnesses of a traverse as arrays.

    Parameters
    ----------
    depth_mm, hardness_HV : array
        Depth of each indent in mm, rising, and its hardness, indents on the last axis.

    Returns
    -------
    depth, hardness : ndarray of float
        As given.

    Raises
    ------
    InputError
        Fewer than two indents, depths that do not rise, or lists of different length.
    """
    depth, hardness = array(depth_mm), array(hardness_HV)
    faults = Faults()
    enough = depth.ndim == 1 and depth.size >= 2
    faults.need(enough, "depth_mm", depth.shape, "a list of at least two depths")
    if enough:
        rising = bool((np.diff(depth) > 0).all()) and depth[0] >= 0
        faults.need(rising, "depth_mm", depth_mm, "depths of 0 mm or more, each larger than the one before")
        same = hardness.ndim > 0 and hardness.shape[-1] == depth.size
        faults.need(same, "hardness_HV", hardness.shape, f"{depth.size} hardnesses, one to a depth")
    faults.check()
    return depth, hardness


def traverse_case_depth(*, depth_mm: Number, hardness_HV: Number, criterion_HV: Number) -> TraverseCaseDepth:
    """Return the case depth of a measured traverse at a criterion hardness.

    CHD = d_1 + (d_2 - d_1) (HV_1 - HV_g)/(HV_1 - HV_2)

    Parameters
    ----------
    depth_mm : array
        Depth of each indent below the surface, mm, rising, shape (indents).
    hardness_HV : array
        Hardness of each indent, indents on the last axis, shape (..., indents).
    criterion_HV : float or array
        HV_g: 550 HV for the case depth of ISO 18203, 513 HV for 50 HRC.

    Returns
    -------
    TraverseCaseDepth
        CHD in mm; a stop notice and no value where the traverse does not begin at or above the criterion or
        does not come below it.

    Raises
    ------
    InputError
        Fewer than two indents, depths that do not rise, or lists of different length.

    Notes
    -----
    Source: ISO 18203, linear interpolation, from memory.
    Valid for: a traverse that reaches through the case.
    Departures: the shallowest crossing counts; a caution where the hardness rises above the criterion again,
    where it rises inwards at the surface, where it is 450 HV or more at three times a case depth at 550 HV,
    where the indents are few, and where the two indents are far apart.
    Checked: HARD-19, HARD-20, TRAVERSE-OFF.

    Examples
    --------
    >>> traverse = traverse_case_depth(
    ...     depth_mm=[0.9, 1.1, 1.3], hardness_HV=[620, 568, 512], criterion_HV=550)
    >>> round(traverse.case_depth_mm, 3)
    1.164
    """
    depth, hardness = checked_indents(depth_mm, hardness_HV)
    limit = array(criterion_HV)
    hardness, level = np.broadcast_arrays(hardness, limit[..., None])
    reaches = hardness >= level
    first_below = np.argmin(reaches, axis=-1)
    crosses = (first_below > 0) & ~reaches.all(axis=-1) & ~np.isnan(hardness).any(axis=-1)
    below = np.where(crosses, first_below, 1)
    HV_1, HV_2 = taken(hardness, below - 1), taken(hardness, below)
    d_1, d_2 = depth[below - 1], depth[below]
    with np.errstate(divide="ignore", invalid="ignore"):
        case_depth = d_1 + (d_2 - d_1) * (HV_1 - limit) / (HV_1 - HV_2)
        bent = _bend(depth, hardness, below) * (case_depth - d_1) * (d_2 - case_depth)
        farther = np.maximum(case_depth - d_1, d_2 - case_depth)
        off = np.fmin(bent * (d_2 - d_1) / (HV_1 - HV_2), farther)
        # the bend of the indents around a gap does not tell what lies in it
        off = np.where(_is_gap(d_1, d_2), farther, off)
    core = _hardness_at(depth, hardness, 3 * np.where(crosses, case_depth, np.nan))
    again = (reaches & (depth > d_2[..., None]) & crosses[..., None]).any(axis=-1)
    return TraverseCaseDepth(
        criterion_HV=limit,
        depth_above_mm=np.where(crosses, d_1, np.nan),
        depth_below_mm=np.where(crosses, d_2, np.nan),
        hardness_above_HV=np.where(crosses, HV_1, np.nan),
        hardness_below_HV=np.where(crosses, HV_2, np.nan),
        case_depth_mm=np.where(crosses, case_depth, np.nan),
        curve_off_mm=np.where(crosses, off, np.nan),
        hardness_at_three_HV=core,
        notices=(
            *_notices(hardness, level, again),
            *_layout(depth, hardness, np.where(crosses, d_1, np.nan), np.where(crosses, d_2, np.nan)),
            *_hard_core(core, limit, short=3 * case_depth > depth[-1]),
        ),
    )


def _is_gap(above: Array, below: Array) -> NDArray[np.bool_]:
    """Whether two indents are farther apart than a straight line may bridge."""
    return np.asarray(below - above > table(_RULES).value("largest interpolation") * (1 + 1e-9))


def _bend(depth: Array, hardness: Array, below: NDArray[np.intp]) -> Array:
    """The larger second divided difference of the two with both indents in it; NaN without a third indent."""
    if depth.size < 3:
        return np.full(below.shape, np.nan)
    slope = np.diff(hardness, axis=-1) / np.diff(depth)
    bend = np.abs(np.diff(slope, axis=-1) / (depth[2:] - depth[:-2]))
    last = bend.shape[-1] - 1
    at = (np.clip(below - 2, 0, last), np.clip(below - 1, 0, last))
    return array(np.maximum(*(taken(bend, place) for place in at)))


def _hardness_at(depth: Array, hardness: Array, at: Array) -> Array:
    """Linear between the indents, the last one beyond them; NaN stays NaN."""
    after = np.clip(np.searchsorted(depth, at), 1, depth.size - 1)
    share = np.clip((at - depth[after - 1]) / (depth[after] - depth[after - 1]), 0, 1)
    low, high = taken(hardness, after - 1), taken(hardness, after)
    return array(low + share * (high - low))


def _hard_core(core: Array, limit: Array, *, short: NDArray[np.bool_]) -> tuple[Notice, ...]:
    wrong = (core >= _CORE_HV) & (limit <= _USUAL_HV)
    if not wrong.any():
        return ()
    where = "At the last indent, before" if np.broadcast_to(short, wrong.shape)[wrong].flat[0] else "At"
    text = (
        f"{where} three times the case depth, the hardness is {core[wrong].flat[0]:.4g} HV, not under "
        f"{_CORE_HV:.0f} HV: agree a limit hardness above {_USUAL_HV:.0f} HV, in steps of 25 HV."
    )
    return (Notice(Level.CAUTION, "iso18203.traverse.hard_core", text),)


def _notices(hardness: Array, level: Array, again: NDArray[np.bool_]) -> tuple[Notice, ...]:
    found = []
    limit = level[..., 0]
    soft, short = hardness[..., 0] < limit, (hardness >= level).all(axis=-1)
    if np.isnan(hardness).any():
        text = "A hardness has no value: no case depth follows."
        found.append(Notice(Level.STOP, "iso18203.traverse.missing", text))
    if soft.any():
        text = f"The first indent lies below {limit[soft][0]:.4g} HV: the traverse gives no case depth."
        found.append(Notice(Level.STOP, "iso18203.traverse.soft_surface", text))
    if short.any():
        text = f"No indent lies below {limit[short][0]:.4g} HV: the traverse ends inside the case."
        found.append(Notice(Level.STOP, "iso18203.traverse.too_short", text))
    if again.any():
        text = (
            f"The hardness rises above {limit[again][0]:.4g} HV again below the case depth; "
            "the shallowest crossing counts."
        )
        found.append(Notice(Level.CAUTION, "iso18203.traverse.crosses_again", text))
    return tuple(found)


def _layout(depth: Array, hardness: Array, above: Array, below: Array) -> Iterator[Notice]:
    """What the indents do not show: too few, far apart where the case ends, softer at the surface."""
    rule = table(_RULES).value
    fewest, widest, skin = rule("fewest indents"), rule("largest interpolation"), rule("soft skin")
    if depth.size < fewest:
        text = (
            f"{depth.size} indents do not show the course of the hardness: at least {fewest:.0f} are usual."
        )
        yield Notice(Level.CAUTION, "iso18203.traverse.few", text)
    far = _is_gap(above, below)
    if far.any():
        low, high = above[far].flat[0], below[far].flat[0]
        text = (
            f"No indent stands between {low:.2f} and {high:.2f} mm: the case ends somewhere between them; "
            f"at most {widest:g} mm are bridged by a straight line."
        )
        yield Notice(Level.CAUTION, "iso18203.traverse.gap", text)
    rise = hardness.max(axis=-1) - hardness[..., 0]
    soft = rise > skin
    if soft.any():
        row = hardness[soft][0]
        text = (
            f"The hardness rises inwards, from {row[0]:.0f} HV at {depth[0]:.2f} mm to {row.max():.0f} HV "
            f"at {depth[row.argmax()]:.2f} mm: a soft skin, decarburised, rich in retained austenite or "
            "softened by the grind."
        )
        yield Notice(Level.CAUTION, "iso18203.traverse.rising", text)


def traverse_hardness(*, depth_mm: Number, hardness_HV: Number, at_mm: Number) -> Array:
    """Return the hardness of a measured traverse at any depth, as of a surface that is ground down to it.

    Parameters
    ----------
    depth_mm, hardness_HV : array
        Depth of each indent in mm and its hardness, shape (indents) each.
    at_mm : float or array
        Depth asked for, mm.

    Returns
    -------
    ndarray of float
        HV, linear between the indents; NaN outside the traverse.

    Raises
    ------
    InputError
        Fewer than two indents, depths that do not rise, or lists of different length.

    Notes
    -----
    Source: linear interpolation.
    Valid for: depths within the traverse.
    Departures: none.
    Checked: GRIND-09.

    Examples
    --------
    >>> print(traverse_hardness(depth_mm=[0.1, 0.2, 0.3], hardness_HV=[705, 712, 708], at_mm=0.15))
    708.5
    """
    depth, hardness = checked_indents(depth_mm, hardness_HV)
    return array(np.interp(array(at_mm), depth, hardness, left=np.nan, right=np.nan))
