"""What measured traces of profile and helix say: deviations, class of each flank, the spoiling tooth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.design import DesignTrace
from gearcheck.accuracy.grade import AccuracyClass, accuracy_class
from gearcheck.accuracy.inputs import AccuracyEdition, Flank, TraceKind
from gearcheck.accuracy.ranges import HelixRange, ProfileRange, helix_range, profile_range
from gearcheck.accuracy.traces import TraceEvaluation, trace_evaluation
from gearcheck.basics.numbers import Array, Number, array, plain
from gearcheck.basics.results import Result
from gearcheck.review.chain import toothing
from gearcheck.review.evidence_inputs import TraceEvidence
from gearcheck.review.inputs import Record
from gearcheck.review.modification import design_on
from gearcheck.review.remembered import remembered
from gearcheck.review.results import Chain

PARAMETERS = {"total": "total_um", "form": "form_um", "slope": "slope_um"}
"""What is held against a tolerance, by its field of an evaluation."""
_FEW = 9


@dataclass(frozen=True, kw_only=True)
class ReadTraces:
    """The traces of one piece of evidence, evaluated.

    Parameters
    ----------
    item : TraceEvidence
        As measured.
    span : ProfileRange or HelixRange
        The evaluation range.
    design : DesignTrace
        The design trace at the places of the traces.
    outline : DesignTrace or None
        The same at a few places, each flank measured on the first axis; None where nothing is drawn.
    evaluation : TraceEvaluation
        Traces on the first axis.
    classes : mapping of Flank to AccuracyClass
        The class that each flank measured reaches; empty where no class is drawn.
    """

    item: TraceEvidence
    span: ProfileRange | HelixRange
    design: DesignTrace
    outline: DesignTrace | None
    evaluation: TraceEvaluation
    classes: Mapping[Flank, AccuracyClass]

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """The flanks measured."""
        return tuple(flank for flank in Flank if flank in self.item.flank)

    def on(self, flank: Flank) -> NDArray[np.intp]:
        """Return the places of the traces of one flank."""
        return np.flatnonzero([one is flank for one in self.item.flank])

    def worst(self, flank: Flank, parameter: str) -> tuple[float | None, int | None]:
        """Return the value of a parameter that is farthest from 0 on a flank, and the trace that has it.

        Parameters
        ----------
        flank : Flank
            One that was measured.
        parameter : str
            One of `PARAMETERS`.

        Returns
        -------
        value : float or None
            In µm with its sign; None where a trace of the flank could not be evaluated.
        trace : int or None
            Its place among all traces.
        """
        traces = self.on(flank)
        values = array(getattr(self.evaluation, PARAMETERS[parameter]))[traces]
        if not values.size or np.isnan(values).any():
            return None, None
        at = int(np.argmax(np.abs(values)))
        return float(values[at]), int(traces[at])

    def spoiling_tooth(self, flank: Flank, parameter: str) -> int | None:
        """Return the tooth whose trace has the worst value of a parameter on a flank."""
        trace = self.worst(flank, parameter)[1]
        return None if trace is None else int(self.item.tooth[trace])

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield the results behind it with their titles."""
        name = trace_name(self.item)
        yield f"Evaluation range, {name}", self.span
        if self.outline is not None:
            yield f"Design trace, {name}", self.outline
        yield f"Measured {name}", self.evaluation
        for flank, reached in self.classes.items():
            yield f"Class reached, {name}, {flank} flank", reached


def trace_name(item: TraceEvidence) -> str:
    """Say what was measured on which part: ``profile, serial number 7``."""
    return f"{item.kind}, {item.head.applies_to}"


def edition_of(record: Record) -> AccuracyEdition:
    """Return the edition by which traces are evaluated: that of the class drawn, else that of the methods."""
    if record.gear.accuracy is not None:
        return record.gear.accuracy.edition
    return AccuracyEdition.ISO_1328_1_2013 if record.methods is None else record.methods.accuracy


def read_all_traces(record: Record, chain: Chain) -> tuple[ReadTraces, ...]:
    """Evaluate every set of measured traces of a record, profile first.

    Parameters
    ----------
    record : Record
        With its traces.
    chain : Chain
        Of it, without arrays.

    Returns
    -------
    tuple of ReadTraces
        In the order of ``record.profile``, then ``record.helix``.
    """
    return tuple(_read(record, chain, item) for item in (*record.profile, *record.helix))


def _read(record: Record, chain: Chain, item: TraceEvidence) -> ReadTraces:
    span = evaluation_span(record, chain, item.kind)
    design, said = design_on(record, item.kind, span, item.place_mm, item.flank)
    found = _evaluated(item.kind, edition_of(record), item, span, design.design_um)
    found = replace(found, notices=(*found.notices, *said))
    outline = _outline(record, item, span) if np.nan_to_num(array(design.design_um)).any() else None
    read = ReadTraces(item=item, span=span, design=design, outline=outline, evaluation=found, classes={})
    if record.gear.accuracy is None:
        return read
    return replace(read, classes={flank: _class(record, read, flank) for flank in read.flanks})


def _outline(record: Record, item: TraceEvidence, span: ProfileRange | HelixRange) -> DesignTrace:
    """The design trace at a few places, for the workings: that of every point is too long to read."""
    start, end = _ends(span)
    flanks = tuple(dict.fromkeys(item.flank))
    place = np.tile(np.linspace(float(start), float(end), _FEW), (len(flanks), 1))
    return design_on(record, item.kind, span, place, flanks)[0]


def _ends(span: ProfileRange | HelixRange) -> tuple[Number, Number]:
    """What the slope counts over: control and tip diameter, or both faces."""
    return (0.0, span.face_width_mm) if isinstance(span, HelixRange) else (span.start_mm, span.tip_mm)


def evaluation_span(record: Record, chain: Chain, kind: TraceKind) -> ProfileRange | HelixRange:
    """Return the evaluation range of profiles or helices of the gear."""
    edition, tooth = edition_of(record), record.gear.tooth
    if kind is TraceKind.HELIX:
        return helix_range(
            edition=edition, face_width_mm=tooth.face_width_mm, normal_module_mm=record.normal_module_mm
        )
    drawn = None if record.modification is None else record.modification.control_diameter_mm
    starts = [array(mesh.gear.geometry.start_of_active_profile_mm) for mesh in chain.meshes]
    return profile_range(
        edition=edition,
        base_diameter_mm=chain.meshes[0].gear.geometry.base_diameter_mm,
        tip_diameter_mm=tooth.tip_diameter_mm,
        control_diameter_mm=np.minimum.reduce(starts) if drawn is None else drawn,
    )


@remembered
def _evaluated(
    kind: TraceKind,
    edition: AccuracyEdition,
    item: TraceEvidence,
    span: ProfileRange | HelixRange,
    design_um: Array,
) -> TraceEvaluation:
    ends = _ends(span)
    return trace_evaluation(
        kind=kind,
        edition=edition,
        place_mm=item.place_mm,
        deviation_um=item.deviation_um,
        start_mm=span.start_mm,
        end_mm=span.end_mm,
        slope_from_mm=ends[0],
        slope_to_mm=ends[1],
        design_um=design_um,
        kept=kept_points(item),
    )


def kept_points(item: TraceEvidence) -> NDArray[np.bool_]:
    """Return which points of the traces are not excluded, shape (traces, points)."""
    kept = np.ones(item.place_mm.shape, dtype=np.bool_)
    for one in item.excluded:
        of_trace = (item.tooth == one.tooth) & np.array([flank is one.flank for flank in item.flank])
        within = (item.place_mm >= one.from_mm) & (item.place_mm <= one.to_mm)
        kept &= ~(of_trace[:, None] & within)
    return kept


def _class(record: Record, read: ReadTraces, flank: Flank) -> AccuracyClass:
    assert record.gear.accuracy is not None
    values = {
        f"{read.item.kind}_{parameter}_um": np.nan
        if (value := read.worst(flank, parameter)[0]) is None
        else value
        for parameter in PARAMETERS
    }
    found = accuracy_class(**toothing(record, record.gear), edition=record.gear.accuracy.edition, **values)
    # what was not measured with these traces is said by other evidence
    kept = tuple(one for one in found.notices if not one.key.endswith(".not_given"))
    return replace(found, notices=kept)


def value_of(read: ReadTraces, trace: int, parameter: str) -> float | None:
    """Return the value of a parameter of one trace in µm."""
    value = plain(array(getattr(read.evaluation, PARAMETERS[parameter]))[trace])
    return None if value is None else float(value)
