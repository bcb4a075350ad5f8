"""What measured traces of profile and helix say: deviations, class of each flank, the spoiling tooth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.grade import AccuracyClass, accuracy_class, as_part
from gearcheck.accuracy.inputs import AccuracyEdition, Flank, TraceKind
from gearcheck.accuracy.ranges import HelixRange, ProfileRange, helix_range, profile_range
from gearcheck.accuracy.traces import TraceEvaluation, trace_evaluation
from gearcheck.accuracy.turn import OnceATurn, once_a_turn
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array, plain
from gearcheck.basics.results import Result
from gearcheck.basics.tables import table
from gearcheck.gear.design import DesignTrace
from gearcheck.review.chain import toothing
from gearcheck.review.evidence_inputs import TraceEvidence
from gearcheck.review.inputs import Record
from gearcheck.review.modification import design_on
from gearcheck.review.remembered import remembered
from gearcheck.review.results import Chain

PARAMETERS = {"total": "total_um", "form": "form_um", "slope": "slope_um"}
"""What is held against a tolerance, by its field of an evaluation."""
_FEW = 9
_BEYOND = 0.2  # of the flank: so far a trace may run over its ends


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
    turns : mapping of Flank to OnceATurn
        What comes back once a turn in the slopes of each flank; only of flanks with three teeth or more.
    """

    item: TraceEvidence
    span: ProfileRange | HelixRange
    design: DesignTrace
    outline: DesignTrace | None
    evaluation: TraceEvaluation
    classes: Mapping[Flank, AccuracyClass]
    turns: Mapping[Flank, OnceATurn] = field(default_factory=dict)

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
        for flank, turn in self.turns.items():
            yield f"Slope over the turn, {name}, {flank} flank", turn


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
    said += [*_of_teeth(record, item), *_of_places(item, span), *_of_control(record, chain, item.kind)]
    found = replace(found, notices=(*found.notices, *said))
    outline = _outline(record, item, span) if np.nan_to_num(array(design.design_um)).any() else None
    read = ReadTraces(item=item, span=span, design=design, outline=outline, evaluation=found, classes={})
    read = replace(read, turns=dict(_turns(record, read)))
    if record.gear.accuracy is None:
        return read
    return replace(read, classes={flank: _class(record, read, flank) for flank in read.flanks})


def _turns(record: Record, read: ReadTraces) -> Iterator[tuple[Flank, OnceATurn]]:
    slopes, teeth = array(read.evaluation.slope_um), int(record.gear.tooth.teeth)
    for flank in read.flanks:
        rows = read.on(flank)
        tooth = read.item.tooth[rows]
        if np.unique(tooth).size >= fewest_teeth() and tooth.max() <= teeth:  # a draft may have fewer teeth
            yield flank, once_a_turn(tooth=tooth, teeth=teeth, value_um=slopes[rows])


def fewest_teeth() -> int:
    """Return on how many teeth a flank has to be traced."""
    return int(table("trace_rules").value("fewest teeth"))


def _of_teeth(record: Record, item: TraceEvidence) -> Iterator[Notice]:
    """Too few teeth, or all of them on one side of the gear, do not show what comes back once a turn."""
    for flank in dict.fromkeys(item.flank):
        tooth = np.unique(item.tooth[np.array([one is flank for one in item.flank])])
        where = f"The {item.kind} of the {flank} flanks was traced on"
        if tooth.size < fewest_teeth():
            teeth = f"{tooth.size} {'tooth' if tooth.size == 1 else 'teeth'}"
            text = f"{where} {teeth}: at least {fewest_teeth()}, about evenly around, are asked."
            yield Notice(Level.CAUTION, f"traces.{item.kind}.{flank}.few_teeth", text)
            continue
        apart = np.diff(tooth, append=tooth[0] + int(record.gear.tooth.teeth))
        if apart.max() > int(record.gear.tooth.teeth) / 2:
            listed = ", ".join(map(str, tooth))
            text = f"{where} teeth {listed}, on one side of the gear: take them about evenly around."
            yield Notice(Level.CAUTION, f"traces.{item.kind}.{flank}.one_side", text)


def _of_places(item: TraceEvidence, span: ProfileRange | HelixRange) -> Iterator[Notice]:
    """Places far beyond the flank are something else than a roll length or a face position."""
    low, high = (None if end is None else float(end) for end in _ends(span))
    if low is None or high is None:
        return
    first, last = float(np.nanmin(item.place_mm)), float(np.nanmax(item.place_mm))
    beyond = _BEYOND * (high - low)
    if first < low - beyond or last > high + beyond:
        what = "roll lengths along the line of action" if item.kind is TraceKind.PROFILE else "face positions"
        text = (
            f"The {item.kind} traces go from {first:.2f} to {last:.2f} mm, the flank from {low:.2f} to "
            f"{high:.2f} mm: are they {what}?"
        )
        yield Notice(Level.CAUTION, f"traces.{item.kind}.places", text)


def _of_control(record: Record, chain: Chain, kind: TraceKind) -> Iterator[Notice]:
    """A flank that is in mesh below the control diameter is measured by nobody."""
    drawn = None if record.gear.modification is None else record.gear.modification.control_diameter_mm
    lowest = _lowest_active_mm(chain)
    if kind is TraceKind.PROFILE and drawn is not None and float(drawn) > lowest + 1e-3:
        text = (
            f"Profiles are evaluated from {float(drawn):.3f} mm on, the control diameter drawn; the flank is "
            f"in mesh from {lowest:.3f} mm on, and what lies between is not looked at."
        )
        yield Notice(Level.CAUTION, "traces.profile.control", text)


def _lowest_active_mm(chain: Chain) -> float:
    """The start of active profile of the mesh that reaches farthest in."""
    starts = [array(mesh.gear.geometry.start_of_active_profile_mm) for mesh in chain.meshes]
    return float(np.minimum.reduce(starts))


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
    drawn = None if record.gear.modification is None else record.gear.modification.control_diameter_mm
    return profile_range(
        edition=edition,
        base_diameter_mm=chain.meshes[0].gear.geometry.base_diameter_mm,
        tip_diameter_mm=tooth.tip_diameter_mm,
        control_diameter_mm=_lowest_active_mm(chain) if drawn is None else drawn,
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
    sizes = tuple(toothing(record, record.gear).items())
    found = _graded(record.gear.accuracy.edition, sizes, tuple(values.items()))
    return as_part(found)


@remembered
def _graded(
    edition: AccuracyEdition, sizes: tuple[tuple[str, Number], ...], values: tuple[tuple[str, float], ...]
) -> AccuracyClass:
    return accuracy_class(edition=edition, **dict(sizes), **dict(values))


def value_of(read: ReadTraces, trace: int, parameter: str) -> float | None:
    """Return the value of a parameter of one trace in µm."""
    value = plain(array(getattr(read.evaluation, PARAMETERS[parameter]))[trace])
    return None if value is None else float(value)
