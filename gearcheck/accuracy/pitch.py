"""From measured single pitch deviations to single and cumulative pitch and to the runout that they hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.harmonics import half_tooth, radial_places
from gearcheck.accuracy.tolerances import nearest_sector
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

PITCH = Method(
    key="iso1328_1_2013.pitch",
    title="Pitch deviations and runout from pitch",
    source="ISO 1328-1",
    edition="2013",
    clause="definitions of pitch deviations and the annex on runout",
    status=Status.FROM_MEMORY,
    valid=(
        Range("teeth", "z", 5, 1000, "", Level.STOP),
        Range("transverse_pressure_angle_deg", "α_t", 10, 45, "°", Level.STOP),
    ),
    implements=(
        "single, sector and total cumulative pitch, adjacent pitch difference on each flank",
        "runout from the index deviations of both flanks",
    ),
    leaves_out=("segments of gears", "uncertainty of the measurement"),
    departures=(
        "The mean is taken off each flank, since the pitches of a whole gear close; a mean over 0.5 µm, more "
        "than rounding to whole µm explains, carries a caution.",
        "The runout is calculated for a ball that touches both flanks at the measuring circle, in spaces "
        "half a pitch wide where no thickness is given: 2 % off at a profile shift of 0.3 on 24 teeth. The "
        "limits of α_t are our own.",
    ),
)


_NOTHING_um = 1e-9  # what binary rounding leaves of pitches that close
_ROUNDING_um = 0.5  # the most that values in whole µm can be off


@dataclass(frozen=True, kw_only=True)
class PitchDeviations(Result):
    """Pitch of both flanks; arrays have the teeth on their last axis, place i stands for tooth i + 1.

    Parameters
    ----------
    left_spoiling_tooth, right_spoiling_tooth : int, array of int or None
        The tooth whose pitch to the tooth before it deviates most, counted from 1.
    """

    method: ClassVar[Method] = PITCH
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the measuring circle", "α_t", "°"
    )
    left_mean_um: Number = term("Mean of the left flanks, taken off", "f_mL", "µm", words="sum over z")
    right_mean_um: Number = term("Mean of the right flanks, taken off", "f_mR", "µm", words="sum over z")
    left_deviations_um: Number = term(
        "Single pitch deviations, left flanks", "f_piL", "µm", words="as measured, less their mean"
    )
    right_deviations_um: Number = term(
        "Single pitch deviations, right flanks", "f_piR", "µm", words="as measured, less their mean"
    )
    left_index_um: Number = term("Index deviations, left flanks", "F_piL", "µm", words="running sum of f_piL")
    right_index_um: Number = term(
        "Index deviations, right flanks", "F_piR", "µm", words="running sum of f_piR"
    )
    left_single_pitch_um: Number = term("Single pitch, left", "f_pL", "µm", words="largest size of f_piL")
    right_single_pitch_um: Number = term("Single pitch, right", "f_pR", "µm", words="largest size of f_piR")
    left_cumulative_pitch_um: Number = term(
        "Total cumulative pitch, left", "F_pL", "µm", words="largest less smallest F_piL"
    )
    right_cumulative_pitch_um: Number = term(
        "Total cumulative pitch, right", "F_pR", "µm", words="largest less smallest F_piR"
    )
    sector_teeth: Number = term("Pitches of a sector", "k")
    left_sector_pitch_um: Number = term(
        "Sector pitch, left", "F_pkL", "µm", words="largest size of the sum of k f_piL one after the other"
    )
    right_sector_pitch_um: Number = term(
        "Sector pitch, right", "F_pkR", "µm", words="largest size of the sum of k f_piR one after the other"
    )
    left_adjacent_um: Number = term(
        "Adjacent pitch difference, left", "f_uL", "µm", words="largest step from one f_piL to the next"
    )
    right_adjacent_um: Number = term(
        "Adjacent pitch difference, right", "f_uR", "µm", words="largest step from one f_piR to the next"
    )
    space_half_angle_deg: Number = term(
        "Half a space at the measuring circle, seen from the axis", "η", "°", words="180°/z less half a tooth"
    )
    radial_um: Number = term(
        "Radial place of a ball between tooth i and tooth i + 1",
        "r_i",
        "µm",
        words="F_piR of tooth i less F_piL of the next, times cos(α_t)/(2 sin(α_t + η)), about its mean",
    )
    runout_um: Number = term("Runout from pitch", "F_r", "µm", words="largest less smallest r_i")
    left_spoiling_tooth: Any = None
    right_spoiling_tooth: Any = None


def pitch_deviations(
    *,
    left_um: Number,
    right_um: Number,
    transverse_pressure_angle_deg: Number = None,
    sector_teeth: Number = None,
    tooth_half_angle_deg: Number = None,
) -> PitchDeviations:
    """Return single, sector, cumulative and adjacent pitch of both flanks, and the runout that they hold.

    f_p = max |f_pi|, F_pi = f_p1 + ... + f_pi, F_p = max F_pi - min F_pi, f_u = max |f_pi - f_p(i-1)|,
    F_pk = max |F_pi - F_p(i-k)|,
    r_i = (F_piR of tooth i - F_piL of tooth i + 1) cos α_t/(2 sin(α_t + η)), F_r = max r_i - min r_i

    A ball that touches both flanks at the measuring circle sinks where the space is too wide. Its lines of
    contact lean by α_t at the flanks, and so by α_t + η at the middle of a space that is 2 η wide. A space
    turned as a whole leaves the ball at its radius.

    Parameters
    ----------
    left_um, right_um : array
        Deviation of each pitch along the arc of the measuring circle in the transverse plane, µm, shape
        (..., teeth). Teeth count clockwise as seen from the reference face, both flanks from the same
        tooth; a pitch bears the number of the tooth where it ends and is positive where it is too long.
    transverse_pressure_angle_deg : float or array, optional
        α_t at the measuring circle, °; without it there is no runout.
    sector_teeth : int or array, optional
        k, pitches of a sector, less than z; the whole number nearest z/8 where it is not given.
    tooth_half_angle_deg : float or array, optional
        Half a tooth at the measuring circle seen from the axis, °; 90°/z, half a pitch, where not given.

    Returns
    -------
    PitchDeviations
        In µm; no value for a flank with a missing tooth, which a stop notice names.

    Raises
    ------
    InputError
        No teeth, an infinite value, flanks with different numbers of teeth, or a sector that is none.

    Notes
    -----
    Source: ISO 1328-1:2013, definitions, from memory; runout by the geometry of a ball between two flanks.
    Valid for: 5 to 1000 teeth, all of them measured; α_t from 10° to 45°; deviations small against m_n.
    Departures: the mean of each flank is taken off and said; over 0.5 µm it is a caution.
    Checked: PITCH-HAND, PITCH-SECTOR, PITCH-ECCENTRIC, PITCH-ECCENTRIC-HELICAL.

    Examples
    --------
    >>> found = pitch_deviations(left_um=[3, -1, -4, 2, 1, -1], right_um=[1, 2, -3, 0, 2, -2],
    ...     transverse_pressure_angle_deg=20)
    >>> found.left_single_pitch_um, found.left_cumulative_pitch_um, found.left_spoiling_tooth
    (4.0, 5.0, 3)
    >>> round(found.runout_um, 2)
    6.55
    """
    left, right = _as_measured(left_um, right_um)
    angle = array(transverse_pressure_angle_deg)
    sector = _sector(left.shape[-1], sector_teeth)
    flanks = {"left": _flank("left", left, sector), "right": _flank("right", right, sector)}
    possible = np.where((angle >= 10) & (angle <= 45), angle, np.nan)
    half = half_tooth(tooth_half_angle_deg, left.shape[-1])
    radial = radial_places(
        flanks["left"]["left_index_um"], flanks["right"]["right_index_um"], np.radians(possible), half
    )
    means = {name: flanks[name.partition("_")[0]][name] for name in ("left_mean_um", "right_mean_um")}
    return PitchDeviations(
        transverse_pressure_angle_deg=angle,
        **flanks["left"],
        **flanks["right"],
        sector_teeth=sector,
        space_half_angle_deg=180.0 / left.shape[-1] - np.degrees(half),
        radial_um=radial,
        runout_um=np.ptp(radial, axis=-1),
        notices=(
            *PITCH.outside(teeth=left.shape[-1], transverse_pressure_angle_deg=angle),
            *_missing("left", left),
            *_missing("right", right),
            *_said(means, transverse_pressure_angle_deg),
        ),
    )


def _as_measured(left_um: Number, right_um: Number) -> tuple[Array, Array]:
    left, right = array(left_um), array(right_um)
    faults = Faults()
    for name, flank in (("left_um", left), ("right_um", right)):
        faults.need(flank.ndim > 0 and flank.size > 0, name, flank, "one deviation in µm for each tooth")
        faults.need(not np.isinf(flank).any(), name, "an infinite value", "finite deviations in µm")
    faults.check()
    teeth = left.shape[-1], right.shape[-1]
    faults.need(teeth[0] == teeth[1], "right_um", f"{teeth[1]} teeth", f"{teeth[0]} teeth, as on the left")
    faults.check()
    return left, right


def _sector(teeth: int, given: Number) -> Array:
    if given is None:
        return nearest_sector(teeth)
    sector = array(given)
    faults = Faults()
    whole = ((sector >= 1) & (sector < max(teeth, 2)) & (sector == np.floor(sector))).all()
    faults.need(bool(whole), "sector_teeth", given, f"a whole number of pitches from 1 to {teeth - 1}")
    faults.check()
    return sector


def _whole(flank: Array) -> NDArray[np.bool_]:
    return np.asarray(~np.isnan(flank).any(axis=-1))


def _flank(name: str, measured: Array, sector: Array) -> dict[str, Any]:
    in_scope = 5 <= measured.shape[-1] <= 1000
    measured = np.where((_whole(measured) & in_scope)[..., None], measured, np.nan)
    mean = measured.mean(axis=-1)
    single = measured - mean[..., None]
    index = np.cumsum(single, axis=-1)
    step = single - np.roll(single, 1, axis=-1)
    size = np.abs(single)
    return {
        f"{name}_mean_um": np.where(np.abs(mean) < _NOTHING_um, 0.0, mean),
        f"{name}_deviations_um": single,
        f"{name}_index_um": index,
        f"{name}_single_pitch_um": size.max(axis=-1),
        f"{name}_cumulative_pitch_um": np.ptp(index, axis=-1),
        f"{name}_sector_pitch_um": _largest_sector(index, sector),
        f"{name}_adjacent_um": np.abs(step).max(axis=-1),
        f"{name}_spoiling_tooth": _tooth(size),
    }


def _largest_sector(index: Array, sector: Array) -> Array:
    """The largest change of the index deviations over k pitches, wherever around the gear."""
    teeth = index.shape[-1]
    place = (np.arange(teeth) - sector[..., None].astype(np.int64)) % teeth
    index, place = np.broadcast_arrays(index, place)
    return array(np.abs(index - np.take_along_axis(index, place, axis=-1)).max(axis=-1))


def _tooth(size: Array) -> Any:
    """Number the tooth of the largest size from 1; None, or 0 in an array, where there is none."""
    known = ~np.isnan(size[..., 0])
    tooth = np.where(known, np.argmax(np.nan_to_num(size), axis=-1) + 1, 0)
    return tooth if tooth.ndim else int(tooth) or None


def _missing(name: str, measured: Array) -> tuple[Notice, ...]:
    lost = np.isnan(measured).reshape(-1, measured.shape[-1]).any(axis=0)
    if not lost.any():
        return ()
    teeth = ", ".join(str(tooth) for tooth in np.flatnonzero(lost)[:8] + 1)
    more = " and more" if lost.sum() > 8 else ""
    text = f"No pitch value for tooth {teeth}{more} on the {name} flanks: all {lost.size} teeth are needed."
    return (Notice(Level.STOP, f"{PITCH.key}.missing_{name}", text),)


def _said(means: dict[str, Array], angle_deg: Number) -> tuple[Notice, ...]:
    notices = []
    for name, mean in means.items():
        flank = name.partition("_")[0]
        largest = np.nan_to_num(np.abs(mean)).max()
        text = f"A mean of {largest:.2g} µm was taken off the pitch deviations of the {flank} flanks"
        if largest > _ROUNDING_um:
            text += f": over {_ROUNDING_um} µm, so it is no rounding and the measurement did not close."
            notices.append(Notice(Level.CAUTION, f"{PITCH.key}.{flank}_mean", text))
        elif largest > _NOTHING_um:
            notices.append(Notice(Level.NOTE, f"{PITCH.key}.{flank}_mean", f"{text}."))
    if angle_deg is None:
        text = "No runout from pitch: the transverse pressure angle at the measuring circle is missing."
        notices.append(Notice(Level.NOTE, f"{PITCH.key}.no_angle", text))
    return tuple(notices)
