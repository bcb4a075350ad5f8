"""What the measured flanks of a part make: the unloaded transmission error, the stock to correct them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.correction import CorrectionStock, correction_stock
from gearcheck.accuracy.inputs import Flank, ToothTraces, TraceKind
from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.accuracy.ranges import HelixRange
from gearcheck.accuracy.transmission import TransmissionError, geometric_transmission_error
from gearcheck.basics.numbers import Array, array, plain
from gearcheck.gear.inputs import Hand
from gearcheck.gear.path import contact_path
from gearcheck.inspection.scopes import piece
from gearcheck.review.criterion import needed_depth
from gearcheck.review.findings import why_stale
from gearcheck.review.inputs import PitchEvidence, Record
from gearcheck.review.modification import design_on
from gearcheck.review.results import Chain, MeshChain, Review
from gearcheck.review.traced import ReadTraces, evaluation_span, kept_points
from gearcheck.stress.inputs import Member

_PLACES = 201


@dataclass(frozen=True, kw_only=True)
class MeasuredError:
    """The unloaded transmission error of the flanks of one measured part against one mate.

    Parameters
    ----------
    part : str
        What was measured: a serial number, or the design.
    mesh : str
        Against which mate; it counts as perfect.
    flank : Flank
        Which flanks touch.
    is_loaded : bool
        Whether the mesh is loaded on them.
    error : TransmissionError
        Over a revolution.
    other_hand_um : float or None
        Peak to peak where the helix had the other hand, which the record does not say; None where it makes no
        difference.
    not_counted : dict of TraceKind to int
        How many traces of that part and flank could not be evaluated.
    """

    part: str
    mesh: str
    flank: Flank
    is_loaded: bool
    error: TransmissionError
    other_hand_um: float | None = None
    not_counted: Mapping[TraceKind, int] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class MeasuredCorrection:
    """What has to come off the flanks of one measured part to bring them into true, and what it leaves.

    Parameters
    ----------
    part : str
        What was measured.
    flank : Flank
        Which flanks.
    stock : CorrectionStock
        Down to the lowest point.
    case_mm : float or None
        The case on the flank: as measured on the same part, else the least drawn; None without both.
    is_measured : bool
        Whether that case is measured.
    needed : tuple of tuple of str and float
        By mesh, the case depth needed in mm.
    not_counted : dict of TraceKind to int
        How many traces of that part and flank could not be evaluated.
    """

    part: str
    flank: Flank
    stock: CorrectionStock
    case_mm: float | None
    is_measured: bool
    needed: tuple[tuple[str, float], ...]
    not_counted: Mapping[TraceKind, int] = field(default_factory=dict)

    @property
    def left_mm(self) -> float | None:
        """The case that the correction leaves where most comes off."""
        if self.case_mm is None or self.stock.stock_um is None:
            return None
        return self.case_mm - float(self.stock.stock_um) / 1000.0


def measured_errors(whole: Review) -> tuple[MeasuredError, ...]:
    """Return the unloaded transmission error of every part whose pitch was measured, mesh by mesh.

    Profile and helix are those measured on the same part; where none is, they are as drawn. What is stale
    does not count.

    Parameters
    ----------
    whole : Review
        With its evaluated pitch and traces.

    Returns
    -------
    tuple of MeasuredError
        Both flanks of each mesh, the loaded one first; none for an internal gear.
    """
    return tuple(_errors(whole)) if not whole.record.gear.tooth.internal else ()


def holding_pitch(whole: Review) -> Iterator[tuple[PitchEvidence, PitchDeviations]]:
    """Yield the measured pitch that is not stale, with its evaluation."""
    for item, pitch in zip(whole.record.pitch, whole.pitch, strict=True):
        if not why_stale(whole.record, item.head):
            yield item, pitch


def _errors(whole: Review) -> Iterator[MeasuredError]:
    for item, pitch in holding_pitch(whole):
        for mesh, given in zip(whole.chain.meshes, whole.record.meshes, strict=True):
            for flank in sorted(Flank, key=lambda one: one != given.loaded_flank):
                error, other = _error(whole, item, pitch, mesh, flank)
                yield MeasuredError(
                    part=item.head.applies_to,
                    mesh=mesh.name,
                    flank=flank,
                    is_loaded=flank == given.loaded_flank,
                    error=error,
                    other_hand_um=other,
                    not_counted=_not_counted(whole, item.head.applies_to, flank),
                )


def _error(
    whole: Review, item: PitchEvidence, pitch: PitchDeviations, mesh: MeshChain, flank: Flank
) -> tuple[TransmissionError, float | None]:
    path = contact_path(pair=mesh.pair, points=2)
    is_pinion = mesh.gear.member is Member.PINION
    rolls = array(path.pinion_radius_mm if is_pinion else path.wheel_radius_mm)
    width = float(array(whole.record.gear.tooth.face_width_mm))
    common = min(width, float(array(mesh.mate.data.tooth.face_width_mm)))
    profile, helix = (
        measured_traces(whole, item.head.applies_to, kind, flank) or _drawn(whole, kind, flank)
        for kind in (TraceKind.PROFILE, TraceKind.HELIX)
    )
    if helix is not None:  # a narrower mate runs in the middle of the face
        shifted = array(helix.place_mm) - (width - common) / 2
        helix = ToothTraces(tooth=helix.tooth, place_mm=shifted, deviation_um=helix.deviation_um)
    lean = float(array(mesh.pair.base_helix_angle_deg)) * (1.0 if flank is Flank.RIGHT else -1.0)

    def found(hand: float) -> TransmissionError:
        return geometric_transmission_error(
            index_um=index_um(pitch, flank),
            flank=flank,
            measuring_pressure_angle_deg=pitch.transverse_pressure_angle_deg,
            base_diameter_mm=mesh.gear.geometry.base_diameter_mm,
            start_roll_mm=rolls.min(),
            end_roll_mm=rolls.max(),
            face_width_mm=common,
            base_helix_angle_deg=hand * lean,
            profile=profile,
            helix=helix,
        )

    hand = whole.record.hand
    error = found(-1.0 if hand is Hand.LEFT else 1.0)
    if hand is not None or lean == 0.0 or helix is None or error.peak_to_peak_um is None:
        return error, None
    return error, found(-1.0).peak_to_peak_um


def index_um(pitch: PitchDeviations, flank: Flank) -> Array:
    """Return the index deviations of one flank side."""
    return array(pitch.left_index_um if flank is Flank.LEFT else pitch.right_index_um)


def measured_traces(
    whole: Review, part: str, kind: TraceKind, flank: Flank, *, without_design: bool = False
) -> ToothTraces | None:
    """Return the traces of one kind and flank of a part, behind the filter; None where there are none.

    A trace that could not be evaluated does not count: beyond its end its last value would go on.

    Parameters
    ----------
    whole : Review
        With its traces.
    part : str
        What they apply to.
    kind : TraceKind
        Profile or helix.
    flank : Flank
        Which.
    without_design : bool
        Whether relief, crowning and slope of the drawing are taken off, and only the evaluation range counts.

    Returns
    -------
    ToothTraces or None
        Points that were excluded are missing.
    """
    own = [
        _taken(read, counts, without_design)
        for read in _of_part(whole, part, kind)
        if (counts := _evaluated(read, flank)).any()
    ]
    if not own:
        return None
    points = max(place.shape[-1] for _, place, _ in own)
    teeth, places, values = zip(*own, strict=True)
    return ToothTraces(
        tooth=np.concatenate(teeth),
        place_mm=np.concatenate([_filled(one, points) for one in places]),
        deviation_um=np.concatenate([_filled(one, points) for one in values]),
    )


def _of_part(whole: Review, part: str, kind: TraceKind) -> Iterator[ReadTraces]:
    """The traces of a part that are not stale."""
    for read in whole.traces:
        same = read.item.kind is kind and piece(read.item.head.applies_to) == piece(part)
        if same and not why_stale(whole.record, read.item.head):
            yield read


def _evaluated(read: ReadTraces, flank: Flank) -> NDArray[np.bool_]:
    """Which of the traces are of a flank and did not stop."""
    of_flank = np.asarray([one is flank for one in read.item.flank])
    return of_flank & np.isfinite(array(read.evaluation.total_um))


def _not_counted(whole: Review, part: str, flank: Flank) -> dict[TraceKind, int]:
    found = {
        kind: sum(
            len(read.on(flank)) - int(_evaluated(read, flank).sum()) for read in _of_part(whole, part, kind)
        )
        for kind in TraceKind
    }
    return {kind: count for kind, count in found.items() if count}


def _drawn(whole: Review, kind: TraceKind, flank: Flank) -> ToothTraces | None:
    """The flank as drawn, the same on all teeth; None where the drawing takes nothing off."""
    span = evaluation_span(whole.record, whole.chain, kind)
    low, high = (0.0, span.face_width_mm) if isinstance(span, HelixRange) else (span.start_mm, span.tip_mm)
    if low is None or high is None:
        return None
    place = np.linspace(float(low), float(high), _PLACES)[None]
    design = array(design_on(whole.record, kind, span, place, (flank,))[0].design_um)
    if not design.any():
        return None
    teeth = int(whole.record.gear.tooth.teeth)
    return ToothTraces(
        tooth=np.arange(1, teeth + 1),
        place_mm=place[0],
        deviation_um=np.broadcast_to(design, (teeth, _PLACES)),
    )


def _taken(read: ReadTraces, rows: NDArray[np.bool_], without_design: bool) -> tuple[Array, Array, Array]:
    found = read.evaluation
    values = array(found.without_design_um if without_design else found.smoothed_um)
    counts = kept_points(read.item)
    if without_design:
        counts = counts & ~np.isnan(array(found.mean_line_um))
    return array(read.item.tooth)[rows], array(found.place_mm)[rows], np.where(counts, values, np.nan)[rows]


def _filled(rows: Array, points: int) -> Array:
    return np.pad(rows, [(0, 0), (0, points - rows.shape[-1])], constant_values=np.nan)


def measured_corrections(whole: Review) -> tuple[MeasuredCorrection, ...]:
    """Return what brings the measured flanks of every part into true, and the case that it leaves.

    Parameters
    ----------
    whole : Review
        With its evaluated pitch and traces.

    Returns
    -------
    tuple of MeasuredCorrection
        Left and right flanks of each part whose pitch was measured; none for an internal gear.
    """
    if whole.record.gear.tooth.internal:
        return ()
    return tuple(
        _correction(whole, item, pitch, flank) for item, pitch in holding_pitch(whole) for flank in Flank
    )


def _correction(
    whole: Review, item: PitchEvidence, pitch: PitchDeviations, flank: Flank
) -> MeasuredCorrection:
    part, mesh = item.head.applies_to, whole.chain.meshes[0]
    stock = correction_stock(
        index_um=index_um(pitch, flank),
        flank=flank,
        measuring_pressure_angle_deg=pitch.transverse_pressure_angle_deg,
        base_diameter_mm=mesh.gear.geometry.base_diameter_mm,
        face_width_mm=whole.record.gear.tooth.face_width_mm,
        base_helix_angle_deg=mesh.pair.base_helix_angle_deg,
        profile=measured_traces(whole, part, TraceKind.PROFILE, flank, without_design=True),
        helix=measured_traces(whole, part, TraceKind.HELIX, flank, without_design=True),
    )
    measured = _measured_case(whole, part, flank)
    case = whole.record.gear.case
    drawn = None if case is None else float(array(case.finished_min_mm))
    return MeasuredCorrection(
        part=part,
        flank=flank,
        stock=stock,
        case_mm=drawn if measured is None else measured,
        is_measured=measured is not None,
        needed=tuple(_needed(whole.record, whole.chain)),
        not_counted=_not_counted(whole, part, flank),
    )


def _measured_case(whole: Review, part: str, flank: Flank) -> float | None:
    """The least case that was measured on the flank of the same part, and still holds."""
    found = [
        finding.value
        for item in whole.requirements
        if item.key == f"case.left.{flank}"
        for finding in item.findings
        if finding.characteristic == item.key
        and piece(finding.applies_to) == piece(part)
        and not (finding.stale or finding.one_sided)
    ]
    return min(found, default=None)


def _needed(record: Record, chain: Chain) -> Iterator[tuple[str, float]]:
    for mesh in chain.meshes:
        depth = plain(needed_depth(record, mesh))
        if depth is not None:
            yield mesh.name, float(depth)
