"""What index deviations hold once and twice a turn: a mounting off centre, an oval gear, and what remains."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

HARMONICS = Method(
    key="pitch.harmonics",
    title="Once and twice a turn in the index deviations",
    source="geometry of an involute gear that is held off its centre",
    edition="",
    clause="waves of order 1 and 2 of least squares",
    status=Status.COMMON_PRACTICE,
    valid=(
        Range("teeth", "z", 5, 1000, "", Level.STOP),
        Range("transverse_pressure_angle_deg", "α_t", 10, 45, "°", Level.STOP),
    ),
    implements=(
        "amplitude and place of the first and second order of each flank",
        "the offset of the centre that fits the first order of both flanks together, and what does not fit",
        "cumulative pitch and runout without that offset",
    ),
    leaves_out=("the offset of the datum bore against the shaft: nothing tells it from one of the mounting",),
    departures=(
        "The flanks of tooth i stand half a tooth either side of it, a quarter of a pitch where no thickness "
        "is given; an offset is small against the module.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class PitchHarmonics(Result):
    """First and second order of the index deviations; places in degrees from tooth 1, as teeth count.

    Parameters
    ----------
    left_rest_um, right_rest_um : ndarray
        Index deviations without the offset, shape (..., teeth).
    """

    method: ClassVar[Method] = HARMONICS
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the measuring circle", "α_t", "°"
    )
    left_first_um: Number = term("Once a turn, left", "A_1L", "µm", words="amplitude of F_piL at order 1")
    left_first_deg: Number = term("Where it is highest, left", "φ_1L", "°", words="from tooth 1 on")
    right_first_um: Number = term("Once a turn, right", "A_1R", "µm", words="amplitude of F_piR at order 1")
    right_first_deg: Number = term("Where it is highest, right", "φ_1R", "°", words="from tooth 1 on")
    left_second_um: Number = term("Twice a turn, left", "A_2L", "µm", words="amplitude of F_piL at order 2")
    left_second_deg: Number = term("Where it is highest first, left", "φ_2L", "°", words="from tooth 1 on")
    right_second_um: Number = term("Twice a turn, right", "A_2R", "µm", words="amplitude of F_piR at order 2")
    right_second_deg: Number = term("Where it is highest first, right", "φ_2R", "°", words="from tooth 1 on")
    eccentricity_um: Number = term(
        "Offset of the centre", "e", "µm", words="of least squares, from the first order of both flanks"
    )
    eccentricity_deg: Number = term("Towards", "ψ", "°", words="from tooth 1 on, as teeth count")
    unexplained_um: Number = term(
        "Once a turn that is no offset", "A_1r", "µm", words="root mean square amplitude left on both flanks"
    )
    left_cumulative_pitch_um: Number = term(
        "Total cumulative pitch without the offset, left", "F_p'L", "µm", words="largest less smallest rest"
    )
    right_cumulative_pitch_um: Number = term(
        "Total cumulative pitch without the offset, right", "F_p'R", "µm", words="largest less smallest rest"
    )
    runout_um: Number = term(
        "Runout without the offset", "F_r'", "µm", words="of the rest, as runout from pitch"
    )
    left_rest_um: Any = None
    right_rest_um: Any = None


def pitch_harmonics(
    *,
    left_index_um: Number,
    right_index_um: Number,
    transverse_pressure_angle_deg: Number,
    tooth_half_angle_deg: Number = None,
) -> PitchHarmonics:
    """Return what the index deviations of both flanks hold once and twice a turn.

    A gear held off its centre by e towards ψ has at tooth i, at φ_i = 360° (i - 1)/z,
    F_piR = e sin(λ - φ_i + ψ)/cos α_t, F_piL = -e sin(λ + φ_i - ψ)/cos α_t, λ = α_t - ψ_s

    Both flanks together tell an offset from a pitch error of the machine, which moves both flanks alike.

    Parameters
    ----------
    left_index_um, right_index_um : array
        Index deviations F_piL, F_piR of all teeth in µm, as ``pitch_deviations`` gives them; shape
        (..., teeth).
    transverse_pressure_angle_deg : float or array
        α_t at the measuring circle, °, shape (...).
    tooth_half_angle_deg : float or array, optional
        ψ_s, half a tooth at the measuring circle seen from the axis, °; 90°/z, half a pitch, where not given.

    Returns
    -------
    PitchHarmonics
        Amplitudes in µm, places in ° from tooth 1 in the direction in which teeth count.

    Raises
    ------
    InputError
        Flanks with different numbers of teeth, or none.

    Notes
    -----
    Source: geometry; to look at the pitch without the offset beside that with it is common practice.
    Valid for: 5 to 1000 teeth, all measured; α_t from 10° to 45°.
    Departures: an offset is small against the module.
    Checked: HARMONICS-OFFSET, HARMONICS-WAVES, HARMONICS-FFT.

    Examples
    --------
    >>> turn = 2 * np.pi * np.arange(24) / 24
    >>> found = pitch_harmonics(left_index_um=5 * np.cos(turn - np.pi / 2), right_index_um=np.zeros(24),
    ...     transverse_pressure_angle_deg=20)
    >>> round(found.left_first_um, 6), round(found.left_first_deg, 6), round(found.right_first_um, 6)
    (5.0, 90.0, 0.0)
    """
    left, right = array(left_index_um), array(right_index_um)
    faults = Faults()
    same = left.ndim > 0 and right.ndim > 0 and left.shape[-1:] == right.shape[-1:]
    faults.need(same, "right_index_um", right.shape, "index deviations of as many teeth as on the left")
    faults.check()
    teeth, angle = left.shape[-1], array(transverse_pressure_angle_deg)
    possible = np.where((angle >= 10) & (angle <= 45) & (5 <= teeth <= 1000), np.radians(angle), np.nan)
    turn = 2 * np.pi * np.arange(teeth) / teeth
    first = {"left": _wave(left, turn, 1), "right": _wave(right, turn, 1)}
    second = {"left": _wave(left, turn, 2), "right": _wave(right, turn, 2)}
    half = half_tooth(tooth_half_angle_deg, teeth)
    offset = _offset(first["left"], first["right"], possible, half)
    made = _made_by(offset, possible, half, turn)
    rest = {"left": left - made["left"], "right": right - made["right"]}
    unexplained = [np.abs(_wave(rest[flank], turn, 1)) for flank in ("left", "right")]
    return PitchHarmonics(
        transverse_pressure_angle_deg=angle,
        **_orders("first", first, 1),
        **_orders("second", second, 2),
        eccentricity_um=np.abs(offset),
        eccentricity_deg=_degrees(offset, 1),
        unexplained_um=np.sqrt((unexplained[0] ** 2 + unexplained[1] ** 2) / 2),
        left_cumulative_pitch_um=np.ptp(rest["left"], axis=-1),
        right_cumulative_pitch_um=np.ptp(rest["right"], axis=-1),
        runout_um=np.ptp(radial_places(rest["left"], rest["right"], possible, half), axis=-1),
        left_rest_um=rest["left"],
        right_rest_um=rest["right"],
        notices=HARMONICS.outside(teeth=teeth, transverse_pressure_angle_deg=angle),
    )


def _wave(values: Array, turn: Array, order: int) -> Any:
    """The wave A cos(order φ - p) of least squares as the complex number A exp(i p)."""
    return 2 * (values * np.exp(1j * order * turn)).mean(axis=-1)


def half_tooth(given_deg: Number, teeth: int) -> Array:
    """Return half a tooth at the measuring circle: as given, else a quarter of a pitch.

    Parameters
    ----------
    given_deg : float, array or None
        In °.
    teeth : int
        z.

    Returns
    -------
    ndarray of float
        In radians, shape of what was given.
    """
    return array(np.pi / (2 * teeth)) if given_deg is None else np.radians(array(given_deg))


def _offset(left: Any, right: Any, angle: Array, half: Array) -> Any:
    """The offset e exp(i ψ) that fits the first order of both flanks in the sense of least squares.

    The mean of both flanks holds its tangential part, -e sin(φ - ψ) cos λ/cos α, half their difference its
    radial part, e cos(φ - ψ) sin λ/cos α.
    """
    lean = angle - half
    tangential, radial = (right + left) / 2, (right - left) / 2
    return (radial * np.sin(lean) + 1j * tangential * np.cos(lean)) * np.cos(angle)


def _made_by(offset: Any, angle: Array, half: Array, turn: Array) -> dict[str, Array]:
    """The index deviations that an offset makes."""
    lean = array(angle - half)[..., None]
    size, away = np.abs(offset)[..., None] / np.cos(angle)[..., None], turn - np.angle(offset)[..., None]
    return {"left": array(-size * np.sin(lean + away)), "right": array(size * np.sin(lean - away))}


def _orders(name: str, waves: dict[str, Any], order: int) -> dict[str, Any]:
    found = {}
    for flank, wave in waves.items():
        found[f"{flank}_{name}_um"] = np.abs(wave)
        found[f"{flank}_{name}_deg"] = _degrees(wave, order)
    return found


def _degrees(wave: Any, order: int) -> Array:
    """Where a wave is highest first, from 0 to 360°/order."""
    return array(np.degrees(np.angle(wave)) % 360.0 / order)


def radial_places(left_index_um: Array, right_index_um: Array, angle: Array, half: Array) -> Array:
    """Return the radial place of a ball in each space, about its mean.

    Parameters
    ----------
    left_index_um, right_index_um : ndarray
        Index deviations in µm, shape (..., teeth).
    angle : ndarray
        Transverse pressure angle at the measuring circle in radians, shape (...).
    half : ndarray
        Half a tooth at the measuring circle in radians, shape (...).

    Returns
    -------
    ndarray of float
        Of the space between tooth i and tooth i + 1, µm, shape (..., teeth).
    """
    too_narrow = right_index_um - np.roll(left_index_um, -1, axis=-1)
    lean = angle + np.pi / left_index_um.shape[-1] - half
    place = too_narrow * (np.cos(angle) / (2 * np.sin(lean)))[..., None]
    return array(place - place.mean(axis=-1, keepdims=True))
