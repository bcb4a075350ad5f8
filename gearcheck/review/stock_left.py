"""The stock as it varies over teeth and gears, and the case that it leaves on each flank."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import Number, array
from gearcheck.hardening.inputs import CaseSpecification, Furnace, Grinding
from gearcheck.hardening.stock import GroundCase, ToothStock, etch_loss_mm, ground_case, tooth_stock
from gearcheck.inspection.route import Operation, Route, route
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain

FLANKS = ("left", "right")
SHARES = (0.01, 0.99)
"""Quantiles of the case left that are told."""
_SIGMAS = 2.0
"""What a furnace holds either way is read as so many standard deviations."""
_NOTHING = (0.0, 0.0)


def left_on_flanks(
    record: Record, chain: Chain
) -> tuple[GroundCase | None, GroundCase | None, tuple[str, ...]]:
    """Return the case left on both flanks when the furnace aims at the middle of the window drawn.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Its closed forms.

    Returns
    -------
    left, right : GroundCase or None
        None where no case is drawn or no furnace is given.
    counted : tuple of str
        What they rest on, in sentences.
    """
    case, furnace = record.gear.case, record.furnace
    if case is None or furnace is None:
        return None, None, ()
    etch, told = _etched(record)
    cos_beta = float(np.cos(np.radians(array(chain.meshes[0].pair.base_helix_angle_deg))))
    left, right = (
        _ground(case, furnace, record.grinding, flank, etch, sign * cos_beta)
        for flank, sign in zip(FLANKS, (1.0, -1.0), strict=True)
    )
    return left, right, (_spread_words(furnace), *_set_up_words(record.grinding), told)


def _ground(
    case: CaseSpecification,
    furnace: Furnace,
    cut: Grinding | None,
    flank: str,
    etch: tuple[float, float],
    towards: float,
) -> GroundCase:
    """One flank; `towards` is what of a shift of the wheel lies normal to it."""
    least, most = (float(stock) for stock in case.stock_mm(flank))
    return ground_case(
        case_depth_mm=(float(case.as_treated_min_mm) + float(case.as_treated_max_mm)) / 2,
        case_deviation_mm=array(furnace.depth_scatter_mm) / _SIGMAS,
        stock_mm=(least + most) / 2,
        runout_mm=_said(cut, "runout_mm"),
        centring_mm=_said(cut, "centring_mm"),
        distortion_mm=(most - least) / 2,
        position_deviation_mm=_said(cut, "indexing_mm"),
        etch_mm=etch,
        superfinish_mm=(_said(cut, "superfinish_min_mm"), _said(cut, "superfinish_max_mm")),
        required_mm=case.finished_min_mm,
        shares=SHARES,
        shift_mm=_said(cut, "shift_mm") * towards,
    )


def _said(cut: Grinding | None, name: str) -> float:
    """A length of the set-up; nothing is counted for what is not said."""
    value: Number = None if cut is None else getattr(cut, name)
    return 0.0 if value is None else float(array(value))


def stock_of_teeth(record: Record, chain: Chain) -> ToothStock | None:
    """Return the stock of every tooth in one set-up, at the middle of what is drawn.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Its closed forms.

    Returns
    -------
    ToothStock or None
        None where neither runout, holding nor shift is said, and for internal teeth, whose flanks face the
        other way.
    """
    case, cut, tooth = record.gear.case, record.grinding, record.gear.tooth
    if case is None or cut is None or tooth.internal:
        return None
    if all(getattr(cut, name) is None for name in ("runout_mm", "centring_mm", "shift_mm")):
        return None
    left, right = (sum(float(stock) for stock in case.stock_mm(flank)) / 2 for flank in FLANKS)
    pair = chain.meshes[0].pair
    return tooth_stock(
        teeth=int(tooth.teeth),
        left_stock_mm=left,
        right_stock_mm=right,
        runout_mm=_said(cut, "runout_mm"),
        centring_mm=_said(cut, "centring_mm"),
        indexing_mm=_said(cut, "shift_mm"),
        pressure_angle_deg=pair.transverse_pressure_angle_deg,
        base_helix_angle_deg=pair.base_helix_angle_deg,
    )


def _etched(record: Record) -> tuple[tuple[float, float], str]:
    """What a surface temper etch takes off the part itself, and a sentence that says what was counted."""
    low, high = etch_loss_mm()
    loss = f"{1000 * low:.1f} to {1000 * high:.1f} µm"
    if record.inspection is None:
        return _NOTHING, "No route says whether the flanks are etched: nothing is counted for an etch."
    steps = route(record.inspection.route, record.inspection.operations)
    etch = steps.find("etch")
    if etch is None or "stock" not in etch.changes or not _after_grind(steps, etch):
        return _NOTHING, "The route has no etch that takes anything off the ground flank: none is counted."
    if etch.of_sample:
        return _NOTHING, (
            f"Operation {etch} takes {loss} more off the gears of the sample alone, which is not counted "
            "here."
        )
    return (low, high), f"Operation {etch} takes {loss} more off each gear, which is counted."


def _after_grind(steps: Route, etch: Operation) -> bool:
    grind = steps.find("grind")
    return grind is not None and steps.operations.index(etch) > steps.operations.index(grind)


def _spread_words(furnace: Furnace) -> str:
    held = decimals_text(float(array(furnace.depth_scatter_mm)), 2, "mm")
    return (
        f"Counted are ±{held} of the furnace as two standard deviations, and the range of stock drawn as "
        "distortion, met evenly."
    )


def _set_up_words(cut: Grinding | None) -> Iterator[str]:
    named = (
        ("runout_mm", "runout of the teeth as treated"),
        ("centring_mm", "eccentricity of the holding"),
        ("indexing_mm", "standard deviation of indexing and pitch"),
        ("shift_mm", "shift of the wheel towards the left flank"),
    )
    given = [] if cut is None else [(words, getattr(cut, name)) for name, words in named]
    told = [f"{words} {decimals_text(float(one), 3, 'mm')}" for words, one in given if one is not None]
    if told:
        yield f"On top of it come: {_listed(told)}."
    else:
        yield "Runout, holding and indexing are not said: nothing is counted for them."
    if cut is not None and cut.superfinish_max_mm is not None:
        ends = (1000 * float(array(one)) for one in (cut.superfinish_min_mm, cut.superfinish_max_mm))
        yield f"Superfinishing takes {' to '.join(f'{one:.1f}' for one in ends)} µm more."


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
