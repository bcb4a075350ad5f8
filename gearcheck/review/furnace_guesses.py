"""Three questions on furnace and grind, answered by the calculation on the gear under review."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.review.changes import changed
from gearcheck.review.guesses import Answer, Question, Tried
from gearcheck.review.inputs import Record
from gearcheck.review.process_changes import LONGEST_H
from gearcheck.review.treated import Predicted, predicted

_MORE_TIME = 1.5
_FINER = 0.5


def _found(record: Record, values: Mapping[str, float]) -> Predicted:
    return predicted(changed(record, values))


def _time(record: Record) -> Answer | None:
    furnace = record.furnace
    if furnace is None:
        return None
    hours = sum(float(array(step.hours)) for step in furnace.steps)
    if _MORE_TIME * hours > LONGEST_H:
        return None
    drafts: tuple[dict[str, float], ...] = ({}, {"furnace_time": round(_MORE_TIME * hours, 2)})
    depths = [
        None if found.treated is None else found.treated.carbon.case_depth_mm
        for found in (_found(record, values) for values in drafts)
    ]
    if any(depth is None for depth in depths):
        return None
    short, long = (float(array(depth)) for depth in depths)
    grown = long / short - 1
    right = 0 if grown < 0.15 else 1 if grown < 0.4 else 2
    tried = tuple(
        Tried(words=f"{time:.1f} h", values=values, said=f"case depth by carbon {depth:.2f} mm")
        for time, values, depth in zip((hours, _MORE_TIME * hours), drafts, (short, long), strict=True)
    )
    return Answer(right=right, tried=tried, said=f"The case grows by {100 * grown:.0f} %.")


def _temper(record: Record) -> Answer | None:
    furnace = record.furnace
    if furnace is None:
        return None
    now = float(array(furnace.temper_temperature_C))
    drafts: tuple[dict[str, float], ...] = ({}, {"temper": now + 20.0})
    treated = [_found(record, values).treated for values in drafts]
    if any(one is None for one in treated):
        return None
    surface = [float((one.softest_HV[0] + one.hardest_HV[0]) / 2) for one in treated if one is not None]
    if np.isnan(surface).any():
        return None
    lost = surface[0] - surface[1]
    right = 0 if lost < 10 else 1 if lost < 60 else 2
    tried = tuple(
        Tried(words=f"{temper:.0f} °C", values=values, said=f"surface in the middle {hardness:.0f} HV")
        for temper, values, hardness in zip((now, now + 20.0), drafts, surface, strict=True)
    )
    return Answer(right=right, tried=tried, said=f"It costs about {lost:.0f} HV at the surface.")


def _cut(record: Record) -> Answer | None:
    if record.grinding is None:
        return None
    cut = float(array(record.grinding.depth_of_cut_mm))
    drafts: tuple[dict[str, float], ...] = ({}, {"depth_of_cut": round(_FINER * cut, 6)})
    heats = [
        None if found.ground is None else found.ground.heat.rise_K
        for found in (_found(record, values) for values in drafts)
    ]
    if any(heat is None for heat in heats):
        return None
    deep, fine = (float(array(heat)) for heat in heats)
    share = fine / deep
    right = 0 if share < 0.55 else 1 if share < 0.9 else 2
    tried = tuple(
        Tried(words=f"{depth:.4f} mm", values=values, said=f"a rise of {rise:.0f} K")
        for depth, values, rise in zip((cut, _FINER * cut), drafts, (deep, fine), strict=True)
    )
    return Answer(right=right, tried=tried, said=f"The rise falls to {100 * share:.0f} % of what it was.")


FURNACE_QUESTIONS = (
    Question(
        key="time",
        ask=(
            "The gear stays in the furnace half as long again, each step by its share. How much deeper is "
            "the case?"
        ),
        guesses=("by a tenth or less", "by about a quarter", "by about a half"),
        reason=(
            "Carbon wanders: the depth grows with the root of the time, so that half as long again brings "
            "about a fifth to a quarter. The last tenth of a millimetre is the dearest, in time, grain and "
            "distortion. A hotter furnace is faster, and coarsens the grain."
        ),
        work=_time,
    ),
    Question(
        key="temper",
        ask="The case is tempered 20 °C hotter. What does it cost at the surface?",
        guesses=("nothing that a test sees", "some tens of HV", "more than 60 HV"),
        reason=(
            "Temperature counts far more than time: a low temper lets out part of the carbon from the "
            "martensite, and each step hotter lets out more. It is why a bake after etching, or a grind that "
            "runs warm, can undo a case that was tempered low."
        ),
        work=_temper,
    ),
    Question(
        key="cut",
        ask=(
            "The last pass takes half the depth of cut at the same specific energy. How far does the rise of "
            "temperature fall?"
        ),
        guesses=("to a half or less", "to about three fifths", "hardly at all"),
        reason=(
            "Half the depth is half the power, but the wheel touches a shorter length too, so that the heat "
            "comes in more closely: the rise falls with about the power 3/4 of the depth. In the shop the "
            "specific energy also rises as the cut gets finer, and takes part of the gain away."
        ),
        work=_cut,
    ),
)
"""The questions of the heat-treatment sheet."""
