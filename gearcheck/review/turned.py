"""What measured pitch holds once and twice a turn, and what it would be on a gear held on its centre."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.accuracy.grade import AccuracyClass, accuracy_class, as_part
from gearcheck.accuracy.harmonics import PitchHarmonics, pitch_harmonics
from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.review.chain import toothing
from gearcheck.review.inputs import Record


@dataclass(frozen=True, kw_only=True)
class TurnedPitch:
    """Measured pitch taken apart; `pitch` and `reached` are those without the offset, for the reader alone.

    Nothing is accepted by them: the offset may be that of the mounting when it was measured, or that of the
    gear on its bore, and nothing in the pitch tells the two apart.
    """

    harmonics: PitchHarmonics
    pitch: PitchDeviations
    reached: AccuracyClass | None


def tooth_at(place_deg: float, teeth: int) -> int:
    """Return the tooth next to a place in degrees from tooth 1, as teeth count."""
    return round(place_deg / 360.0 * teeth) % teeth + 1


def turned_pitch(record: Record, pitch: tuple[PitchDeviations, ...]) -> tuple[TurnedPitch, ...]:
    """Take every set of measured pitch apart.

    Parameters
    ----------
    record : Record
        Without arrays.
    pitch : tuple of PitchDeviations
        Evaluated.

    Returns
    -------
    tuple of TurnedPitch
        In the same order.
    """
    return tuple(_turned(record, item) for item in pitch)


def half_tooth_deg(record: Record) -> float:
    """Return half a tooth of the gear at the reference circle, seen from the axis, °."""
    tooth, angle = record.gear.tooth, np.radians(array(record.pressure_angle_deg))
    half = np.pi / 2 + 2 * array(tooth.profile_shift) * np.tan(angle)
    return float(np.degrees(half / tooth.teeth))


def _turned(record: Record, item: PitchDeviations) -> TurnedPitch:
    half = half_tooth_deg(record)
    found = pitch_harmonics(
        left_index_um=item.left_index_um,
        right_index_um=item.right_index_um,
        transverse_pressure_angle_deg=item.transverse_pressure_angle_deg,
        tooth_half_angle_deg=half,
    )
    rest = pitch_deviations(
        left_um=_steps(found.left_rest_um),
        right_um=_steps(found.right_rest_um),
        transverse_pressure_angle_deg=item.transverse_pressure_angle_deg,
        sector_teeth=item.sector_teeth,
        tooth_half_angle_deg=half,
    )
    return TurnedPitch(harmonics=found, pitch=rest, reached=class_by_pitch(record, rest))


def _steps(index_um: Array) -> Array:
    """Single pitches from index deviations."""
    return array(index_um - np.roll(index_um, 1, axis=-1))


def class_by_pitch(record: Record, found: PitchDeviations) -> AccuracyClass | None:
    """Return the class that pitch and runout reach, the coarser flank of each; None where none is drawn."""
    if record.gear.accuracy is None:
        return None
    reached = accuracy_class(
        **toothing(record, record.gear),
        edition=record.gear.accuracy.edition,
        single_pitch_um=_coarser(found.left_single_pitch_um, found.right_single_pitch_um),
        cumulative_pitch_um=_coarser(found.left_cumulative_pitch_um, found.right_cumulative_pitch_um),
        runout_um=found.runout_um,
    )
    return as_part(reached)


def _coarser(left: Number, right: Number) -> Number:
    return np.nan if left is None or right is None else max(left, right)
