"""Accuracy: the class drawn is no coarser than agreed, and what is measured keeps it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearcheck.accuracy.inputs import AccuracySpecification, Flank, Group
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013
from gearcheck.basics.numbers import Number
from gearcheck.requirements.types import Scale
from gearcheck.review.chain import agreed_class
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, stop_words

NAME = "accuracy"


@dataclass(frozen=True)
class Parameter:
    """One requirement: its key, what it is called, its symbol, the field of the tolerances, its group.

    `parts` are the parameters that the same class holds, where the line compares their total.
    """

    key: str
    words: str
    symbol: str
    field: str
    group: Group
    evidence: str = "measured pitch"
    parts: str = ""

    @property
    def sentence(self) -> str:
        """The requirement in words."""
        if not self.parts:
            return f"What is drawn allows no more than the class agreed: {self.words}."
        return f"What is drawn allows no more than the class agreed: {self.parts} of the {self.words}."


def _of_each_flank() -> Iterator[Parameter]:
    both = (
        ("single", "single pitch", "f_p", "single_pitch_um"),
        ("total", "cumulative pitch", "F_p", "cumulative_pitch_um"),
    )
    for key, words, symbol, field in both:
        for flank in Flank:
            yield Parameter(f"{key}.{flank}", f"{words}, {flank} flank", symbol, field, Group.PITCH)
    yield Parameter("runout", "runout", "F_r", "runout_um", Group.RUNOUT)
    for group, letter in ((Group.PROFILE, "α"), (Group.HELIX, "β")):
        for flank in Flank:
            words = f"{group}, {flank} flank"
            field, symbol = f"{group}_total_um", f"F_{letter}"
            yield Parameter(
                f"{group}.{flank}",
                words,
                symbol,
                field,
                group,
                evidence=f"measured {group}",
                parts="total, form and slope",
            )


PARAMETERS = tuple(_of_each_flank())


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield one line for each parameter: the tolerance drawn against the tolerance agreed."""
    reason = ""
    if record.gear.accuracy is None:
        reason = "[gear.accuracy] missing"
    elif record.required is None:
        reason = "[required] missing"
    for item in PARAMETERS:
        yield Line(
            key=f"accuracy.{item.key}",
            station=NAME,
            title=item.words.capitalize(),
            sentence=item.sentence,
            demand=None if chain.drawn is None else getattr(chain.drawn, item.field),
            capacity=None if chain.agreed is None else getattr(chain.agreed, item.field),
            demand_words=f"tolerance {item.symbol}T of the class drawn",
            capacity_words=f"tolerance {item.symbol}T of the class agreed",
            unit="µm",
            method=TOLERANCES_2013 if chain.drawn is None else chain.drawn.method,
            brief=("drawn", "agreed"),
            scale=Scale.SHARE,
            classes=_classes(item.group, record.gear.accuracy, agreed_class(record)),
            reason=reason or stop_words(chain.drawn, chain.agreed),
            evidence=item.evidence,
        )


def _classes(
    group: Group, drawn: AccuracySpecification | None, agreed: AccuracySpecification | None
) -> tuple[Number, Number] | None:
    if drawn is None or agreed is None:
        return None
    return drawn.class_of(group), agreed.class_of(group)
