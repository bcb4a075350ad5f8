"""Three questions on case depth, answered by the calculation on the gear under review."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.guesses import Answer, Question, Tried
from gearcheck.review.inputs import Record
from gearcheck.review.results import Settled
from gearcheck.review.settled import settled

_SAME = 0.02  # two reserves closer than this are alike
_MORE_TORQUE = 1.1


def _solved(record: Record, values: Mapping[str, float]) -> Settled:
    """The mesh that asks for the deepest case; without one, the first."""
    moved = changed(record, values)
    found = settled(moved, calculate(moved))
    return max(found, key=lambda one: _depth(one) or 0.0)


def _depth(found: Settled) -> float | None:
    depth: float | None = None if found.required is None else found.required.depth_mm
    return depth


def _reserve(found: Settled) -> float | None:
    return None if found.reserve is None else found.reserve.factor


def _has(record: Record, *keys: str) -> bool:
    return {change.key for change in open_changes(record)}.issuperset(keys)


def _deeper(record: Record) -> Answer | None:
    if record.gear.case is None or not _has(record, "case_depth"):
        return None
    drawn = float(record.gear.case.finished_min_mm)
    half, full = 1.25 * drawn, 1.5 * drawn
    drafts: tuple[dict[str, float], ...] = (
        {},
        {"case_depth": round(half, 2)},
        {"case_depth": round(full, 2)},
    )
    reserves = [_reserve(_solved(record, values)) for values in drafts]
    if any(one is None for one in reserves):
        return None
    first, second, third = (float(one or 0.0) for one in reserves)
    gains = second - first, third - second
    right = 2 if third - first < _SAME else 1 if gains[1] < 0.7 * gains[0] else 0
    tried = tuple(
        Tried(
            words=words,
            values=values,
            said=f"torque reserve against yielding {factor:.2f}; {_room(record, values)}",
        )
        for words, values, factor in zip(
            (f"{drawn:.2f} mm as drawn", f"{half:.2f} mm", f"{full:.2f} mm"),
            drafts,
            (first, second, third),
            strict=True,
        )
    )
    said = (
        "Each quarter gains about as much.",
        "The first quarter gains more than the second.",
        "A deeper case gains nothing: the metal near the surface governs.",
    )
    return Answer(right=right, tried=tried, said=said[right])


def _room(record: Record, values: Mapping[str, float]) -> str:
    """How much of the largest depth that the tooth allows a case takes, on the flank or at the tip."""
    moved = changed(record, values)
    limits, case = calculate(moved).case_limits, moved.gear.case
    assert case is not None
    taken = {
        "flank": float(array(case.finished_max_mm) / array(limits.largest_mm)),
        "tip": float(array(case.as_treated_max_mm) / array(limits.tip_limit_mm)),
    }
    place = max(taken, key=lambda name: -1.0 if np.isnan(taken[name]) else taken[name])
    over = ", too deep" if taken[place] > 1 else ""
    return f"it takes {100 * taken[place]:.0f} % of the largest depth at the {place}{over}"


def _loaded(record: Record) -> Answer | None:
    torque = float(record.meshes[0].torque_Nm)
    drafts: tuple[dict[str, float], ...] = ({}, {"torque": round(_MORE_TORQUE * torque, 1)})
    before, after = (_depth(_solved(record, values)) for values in drafts)
    if before is None or before == 0:
        return None
    if after is None:
        right, said = 2, "At a tenth more torque no depth suffices: the metal near the surface yields."
    else:
        grown = after / before - 1
        right = 0 if grown < 0.06 else 1 if grown < 0.14 else 2
        said = f"It needs {100 * grown:.0f} % more depth."
    tried = tuple(
        Tried(words=words, values=values, said=_needs(depth))
        for words, values, depth in zip(
            (f"{torque:.0f} N·m", f"{_MORE_TORQUE * torque:.0f} N·m"), drafts, (before, after), strict=True
        )
    )
    return Answer(right=right, tried=tried, said=said)


def _needs(depth: float | None) -> str:
    return "no depth suffices" if depth is None else f"{depth:.2f} mm needed against yielding"


def _core(record: Record) -> Answer | None:
    if not _has(record, "core", "hardness"):
        return None
    assert record.gear.steel is not None
    core, surface = float(record.gear.steel.core_hardness_HV), float(record.gear.steel.surface_hardness_HV)
    drafts: tuple[dict[str, float], ...] = ({}, {"core": core + 40}, {"hardness": surface + 40})
    depths = [_depth(_solved(record, values)) for values in drafts]
    if any(one is None for one in depths):
        return None
    plain, harder, shell = (float(one or 0.0) for one in depths)
    right = 2 if abs(harder - shell) < 0.01 else 0 if harder < shell else 1
    names = ("as it stands", f"core {core + 40:.0f} HV", f"surface {surface + 40:.0f} HV")
    tried = tuple(
        Tried(words=words, values=values, said=f"{depth:.2f} mm needed against yielding")
        for words, values, depth in zip(names, drafts, (plain, harder, shell), strict=True)
    )
    said = ("The harder core saves more.", "The harder surface saves more.", "Both save about the same.")
    return Answer(right=right, tried=tried, said=said[right])


CASE_QUESTIONS = (
    Question(
        key="deeper",
        ask=(
            "Why is a deeper case not always better? Draw it a quarter deeper, then another quarter: "
            "what does each quarter gain in torque against yielding below the surface?"
        ),
        guesses=("each gains as much", "the first gains more", "neither gains anything"),
        reason=(
            "A deeper case lifts the hardness where the shear has already fallen. Once the steep part of the "
            "curve is covered, the peak of the shear at 0.786 half-widths governs, and there the metal is "
            "nearly as hard as the surface: no depth makes it harder. The price goes on rising: time in the "
            "furnace with the square of the depth, half as long again for each quarter, with it grain, "
            "distortion and stock; a tip that hardens through and chips; less compression in the skin, since "
            "less soft core is left to hold it; and the root, which breaks from that skin, gains nothing."
        ),
        work=_deeper,
    ),
    Question(
        key="loaded",
        ask="The torque rises by a tenth. How much deeper must the case be against yielding?",
        guesses=("by 5 % or less", "by about a tenth", "clearly more than a tenth"),
        reason=(
            "Pressure and width of the contact both grow with the root of the load, so the same shear lies a "
            "twentieth deeper. But the metal that carried it is now too soft as well: the hardness has to "
            "reach further, and how much further depends on how flat its curve is there."
        ),
        work=_loaded,
    ),
    Question(
        key="core",
        ask="40 HV more: where do they save more case depth against yielding, in the core or at the surface?",
        guesses=("in the core", "at the surface", "about the same"),
        reason=(
            "It depends on where the case is short. Where the shear reaches down to the core, a harder core "
            "carries it and the case may be shallower. Where the peak just below the surface governs, only "
            "the surface helps; but with the depth at 550 HV held, a harder surface falls more steeply and "
            "leaves less deeper down. A hard core costs toughness and takes compression out of the case."
        ),
        work=_core,
    ),
)
"""The questions of the case-depth sheet."""
