"""Accuracy: the class drawn is no coarser than agreed, and the measured pitch keeps it."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, stop_words

NAME = "accuracy"

# key, what it is, symbol, field of the tolerances
PARAMETERS = (
    ("single.left", "single pitch, left flank", "f_p", "single_pitch_um"),
    ("single.right", "single pitch, right flank", "f_p", "single_pitch_um"),
    ("total.left", "cumulative pitch, left flank", "F_p", "cumulative_pitch_um"),
    ("total.right", "cumulative pitch, right flank", "F_p", "cumulative_pitch_um"),
    ("runout", "runout", "F_r", "runout_um"),
)


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield one line for each pitch parameter: the tolerance drawn against the tolerance agreed."""
    reason = ""
    if record.gear.accuracy is None:
        reason = "[gear.accuracy] missing"
    elif record.required is None:
        reason = "[required] missing"
    classes = None
    if record.gear.accuracy is not None and record.required is not None:
        classes = (record.gear.accuracy.tolerance_class, record.required.accuracy_class)
    for key, words, symbol, name in PARAMETERS:
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
            method=Tolerances.method,
            brief=("drawn", "agreed"),
            scale=Scale.SHARE,
            classes=classes,
            reason=reason or stop_words(chain.drawn, chain.agreed),
            evidence="measured pitch",
        )
