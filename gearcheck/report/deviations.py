"""Every measured deviation against its limit, as a table that people take away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearcheck.accuracy.grade import FOR_INFORMATION, PARAMETERS, SIGNED, accuracy_class
from gearcheck.accuracy.inputs import Flank, Group
from gearcheck.basics.digits import decimals_text, number_text
from gearcheck.basics.names import file_stem
from gearcheck.basics.numbers import Number, array
from gearcheck.inspection.decide import Limit, decision
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.forms import Form
from gearcheck.report.separated import csv_table
from gearcheck.review.chain import toothing
from gearcheck.review.evidence_inputs import EvidenceHead
from gearcheck.review.findings import decision_rule_of, named_anew, why_stale
from gearcheck.review.results import Review
from gearcheck.review.traced import PARAMETERS as TRACED
from gearcheck.review.traced import ReadTraces, value_of
from gearcheck.review.traced_findings import trace_characteristic

ENDINGS = ("xlsx", "csv")
_COLUMNS = (
    "Part", "Deviation", "Flank", "Tooth", "Value in µm", "Uncertainty in µm (k = 2)",
    "Least in µm", "Most in µm", "Class drawn", "Class reached", "Verdict", "Points excluded", "Source",
)  # fmt: skip
_WIDTHS = (24.0, 24.0, 9.0, 8.0, 12.0, 14.0, 10.0, 10.0, 10.0, 12.0, 26.0, 10.0, 20.0)
_NUMBERS = (
    "Tooth", "Value in µm", "Uncertainty in µm (k = 2)", "Least in µm", "Most in µm", "Class drawn",
    "Class reached", "Points excluded",
)  # fmt: skip
_PITCH = ("single_pitch", "sector_pitch", "cumulative_pitch", "adjacent")
_NAMES = {"adjacent": "adjacent_pitch"}
_KEYS = {
    "single_pitch": "accuracy.single",
    "cumulative_pitch": "accuracy.total",
    "sector_pitch": "accuracy.sector",
    "adjacent_pitch": "accuracy.adjacent",
    "runout": "accuracy.runout",
}


@dataclass(frozen=True, kw_only=True)
class _Row:
    head: EvidenceHead
    parameter: str
    flank: str
    tooth: str
    value: Number
    excluded: str = ""
    sector: Number = None


def deviation_form(whole: Review) -> Form:
    """Return every measured deviation of pitch, profile and helix against the limit of the class drawn.

    Parameters
    ----------
    whole : Review
        With its evaluated pitch and traces.

    Returns
    -------
    Form
        One row for each parameter of each flank, of traces for each trace; without rows where nothing was
        measured.
    """
    part, accuracy = whole.record.part, whole.record.gear.accuracy
    rule = decision_rule_of(whole.record)
    edition = "no class is drawn" if accuracy is None else f"{accuracy.edition}"
    return Form(
        number=1,
        title=f"Measured deviations, {part.number} revision {part.revision}",
        caution=CAUTIONS[0],
        head=(),
        columns=_COLUMNS,
        rows=tuple(_cells(whole, row) for row in _rows(whole)),
        remarks=(
            f"Tolerances: {edition}. Verdict by the decision rule of {rule}.",
            "Pitch is told for the worst tooth, profile and helix for each trace, behind filter and without "
            "what the drawing takes off.",
        ),
        sheet="Deviations",
        widths=_WIDTHS,
        numbers=_NUMBERS,
    )


def deviation_table(whole: Review, ending: str) -> bytes:
    """Return the table as a file.

    Parameters
    ----------
    whole : Review
        With its evaluated pitch and traces.
    ending : str
        One of `ENDINGS`.

    Returns
    -------
    bytes
        The same review gives the same bytes.
    """
    form = deviation_form(whole)
    if ending == "csv":
        return csv_table(form)
    from gearcheck.report.spreadsheet import xlsx  # it takes a while to load

    return xlsx([form])


def deviation_stem(whole: Review) -> str:
    """Return the name of the file without its ending, which says of what it is."""
    part = whole.record.part
    return f"{file_stem(f'{part.number}_{part.revision}')}_deviations"


def _rows(whole: Review) -> Iterator[_Row]:
    for item, found in zip(whole.record.pitch, whole.pitch, strict=True):
        for flank in Flank:
            for name in _PITCH:
                single = name == "single_pitch"
                tooth = getattr(found, f"{flank}_spoiling_tooth") if single else None
                yield _Row(
                    head=item.head,
                    parameter=_NAMES.get(name, name),
                    flank=flank,
                    tooth="" if tooth is None else str(tooth),
                    value=getattr(found, f"{flank}_{name}_um"),
                    sector=found.sector_teeth,
                )
        yield _Row(head=item.head, parameter="runout", flank="", tooth="", value=found.runout_um)
    for read in whole.traces:
        yield from _of_traces(read)


def _of_traces(read: ReadTraces) -> Iterator[_Row]:
    used, known = np.asarray(read.evaluation.used), np.isfinite(read.evaluation.deviation_um)
    for trace, (tooth, flank) in enumerate(zip(read.item.tooth, read.item.flank, strict=True)):
        excluded = int((known[trace] & ~used[trace]).sum())
        for parameter in TRACED:
            yield _Row(
                head=read.item.head,
                parameter=f"{read.item.kind}_{parameter}",
                flank=flank,
                tooth=str(tooth),
                value=value_of(read, trace, parameter),
                excluded=str(excluded) if excluded else "",
            )


def _cells(whole: Review, row: _Row) -> tuple[str, ...]:
    limit, drawn = _limit(whole, row)
    sure = row.head.uncertainty
    words = PARAMETERS[row.parameter]
    return (
        row.head.applies_to,
        words if row.sector is None or row.parameter != "sector_pitch" else f"{words}, k = {row.sector:g}",
        row.flank,
        row.tooth,
        decimals_text(row.value, 1),
        "not stated" if sure is None else number_text(sure),
        decimals_text(limit.least, 1) if limit is not None and limit.least is not None else "",
        decimals_text(limit.most, 1) if limit is not None and limit.most is not None else "",
        drawn,
        _reached(whole, row) if limit is not None else "",
        _verdict(whole, row, limit),
        row.excluded,
        row.head.source,
    )


def _limit(whole: Review, row: _Row) -> tuple[Limit | None, str]:
    """What the class allows, or what the gear file asks of the characteristic instead; and the class."""
    accuracy, drawn = whole.record.gear.accuracy, whole.chain.drawn
    if accuracy is None or drawn is None:
        return None, ""
    most = float(array(getattr(drawn, f"{row.parameter}_um")))
    start, _, part = row.parameter.partition("_")
    group = Group(start) if start in list(Group) else Group.PITCH
    number = f"{float(accuracy.class_of(group)):g}"
    if np.isnan(most):
        return None, number
    key = _KEYS.get(row.parameter) or trace_characteristic(start, part, row.flank)
    key = f"{key}.{row.flank}" if row.parameter in _KEYS and row.flank else key
    limit = Limit(least=-most if row.parameter in SIGNED else None, most=most)
    return named_anew(whole.record, key, limit), number


def _reached(whole: Review, row: _Row) -> str:
    accuracy = whole.record.gear.accuracy
    if accuracy is None or row.value is None:
        return ""
    sector = {} if row.parameter != "sector_pitch" else {"sector_teeth": row.sector}
    found = accuracy_class(
        **toothing(whole.record, whole.record.gear),
        edition=accuracy.edition,
        **{f"{row.parameter}_um": row.value},
        **sector,
    )
    reached = getattr(found, row.parameter)
    return "worse than all" if reached is None else f"{reached:g}"


def _verdict(whole: Review, row: _Row, limit: Limit | None) -> str:
    if row.value is None:
        return "not evaluated"
    stale = why_stale(whole.record, row.head)
    if limit is None:
        return "no limit drawn"
    said = str(decision(row.value, limit, row.head.uncertainty, decision_rule_of(whole.record)))
    if row.parameter in FOR_INFORMATION:
        said = f"for information: {said}"
    return f"stale: {stale}" if stale else said
