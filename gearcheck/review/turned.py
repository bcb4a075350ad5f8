"""What measured pitch holds once and twice a turn, and what it would be on a gear held on its centre."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.accuracy.grade import AccuracyClass, accuracy_class, as_part
from gearcheck.accuracy.harmonics import PitchHarmonics, pitch_harmonics
from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.basics.numbers import Array, Number, array, plain
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

    def words(self, teeth: int) -> str:
        """Say in a sentence or two what comes back once and twice a turn."""
        found = self.harmonics
        size, towards = plain(found.eccentricity_um), plain(found.eccentricity_deg)
        if size is None or towards is None:
            return "No order can be told: a pitch is missing."
        twice = max(float(array(found.left_second_um)), float(array(found.right_second_um)))
        left, right, runout = (
            float(array(value))
            for value in (
                self.pitch.left_cumulative_pitch_um,
                self.pitch.right_cumulative_pitch_um,
                self.pitch.runout_um,
            )
        )
        return (
            f"Once a turn: the teeth are {size:.1f} µm off centre towards tooth {tooth_at(towards, teeth)}, "
            f"{float(array(found.unexplained_um)):.1f} µm are no offset; twice a turn up to {twice:.1f} µm. "
            f"Without the offset the cumulative pitch is {left:.1f} µm left and {right:.1f} µm right, "
            f"the runout {runout:.1f} µm."
        )


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
    return TurnedPitch(harmonics=found, pitch=rest, reached=_class(record, rest))


def _steps(index_um: Array) -> Array:
    """Single pitches from index deviations."""
    return array(index_um - np.roll(index_um, 1, axis=-1))


def _class(record: Record, rest: PitchDeviations) -> AccuracyClass | None:
    if record.gear.accuracy is None:
        return None
    found = accuracy_class(
        **toothing(record, record.gear),
        edition=record.gear.accuracy.edition,
        single_pitch_um=_larger(rest.left_single_pitch_um, rest.right_single_pitch_um),
        cumulative_pitch_um=_larger(rest.left_cumulative_pitch_um, rest.right_cumulative_pitch_um),
        runout_um=rest.runout_um,
    )
    return as_part(found)


def _larger(left: Number, right: Number) -> Number:
    return np.nan if left is None or right is None else max(left, right)
