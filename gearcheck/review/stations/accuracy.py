"""Accuracy: the class drawn is no coarser than agreed, and the measured pitch keeps it."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.accuracy.inputs import AccuracySpecification, Group
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013
from gearcheck.basics.numbers import Number
from gearcheck.requirements.types import Scale
from gearcheck.review.chain import agreed_class
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, stop_words

NAME = "accuracy"

# key, what it is, symbol, field of the tolerances, group
PARAMETERS = (
    ("single.left", "single pitch, left flank", "f_p", "single_pitch_um", Group.PITCH),
    ("single.right", "single pitch, right flank", "f_p", "single_pitch_um", Group.PITCH),
    ("total.left", "cumulative pitch, left flank", "F_p", "cumulative_pitch_um", Group.PITCH),
    ("total.right", "cumulative pitch, right flank", "F_p", "cumulative_pitch_um", Group.PITCH),
    ("runout", "runout", "F_r", "runout_um", Group.RUNOUT),
)


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield one line for each pitch parameter: the tolerance drawn against the tolerance agreed."""
    reason = ""
    if record.gear.accuracy is None:
        reason = "[gear.accuracy] missing"
    elif record.required is None:
        reason = "[required] missing"
    for key, words, symbol, name, group in PARAMETERS:
        yield Line(
            key=f"accuracy.{key}",
            station=NAME,
            title=words.capitalize(),
            sentence=f"The {words} tolerance drawn is no wider than that of the class agreed.",
            demand=None if chain.drawn is None else getattr(chain.drawn, name),
            capacity=None if chain.agreed is None else getattr(chain.agreed, name),
            demand_words=f"tolerance {symbol}T of the class drawn",
            capacity_words=f"tolerance {symbol}T of the class agreed",
            unit="µm",
            method=TOLERANCES_2013 if chain.drawn is None else chain.drawn.method,
            brief=("drawn", "agreed"),
            scale=Scale.SHARE,
            classes=_classes(group, record.gear.accuracy, agreed_class(record)),
            reason=reason or stop_words(chain.drawn, chain.agreed),
            evidence="measured pitch",
        )


def _classes(
    group: Group, drawn: AccuracySpecification | None, agreed: AccuracySpecification | None
) -> tuple[Number, Number] | None:
    if drawn is None or agreed is None:
        return None
    return drawn.class_of(group), agreed.class_of(group)
