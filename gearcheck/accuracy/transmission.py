"""The unloaded transmission error that the flanks of a gear make with a perfect mate, over one revolution."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.accuracy.sampled import at_even, clean, resampled
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

TRANSMISSION = Method(
    key="rigid.transmission_error",
    title="Unloaded transmission error from the flanks of one gear",
    source="rigid involute flanks: of all points in contact the one that stands out most touches",
    edition="",
    clause="no load, no deflection",
    status=Status.COMMON_PRACTICE,
    valid=(
        Range("teeth", "z", 5, 1000, "", Level.STOP),
        Range("measuring_pressure_angle_deg", "α_M", 5, 50, "°", Level.STOP),
        Range("base_helix_angle_deg", "β_b", -45, 45, "°", Level.STOP),
    ),
    implements=(
        "index, profile and helix deviations of every tooth, along its line of contact",
        "whole curve, its part at mesh frequency and its part once a turn, on the line of action",
    ),
    leaves_out=(
        "deflection under load, misalignment of the axes, deviations of the mate",
        "contact before the start and beyond the end of the path, as of a tooth that stands far out",
    ),
    departures=(
        "A tooth without a trace of its own has the mean of those that were measured: what changes from "
        "tooth to tooth is not seen. Without any trace its flank is the true involute.",
        "The curve is known at so many places a pitch: a jump is met within one of them.",
    ),
)
_ORDERS = 5
_FINE = 257  # places on a flank: closer than the traces of common machines


@dataclass(frozen=True, kw_only=True)
class TransmissionError(Result):
    """The curve over one revolution, in the order of the teeth, and what it is made of.

    It is positive where the flank that touches stands out: the gear, driving, pushes its mate ahead; driven,
    it stays behind. Its level means nothing, only how it changes.
    """

    method: ClassVar[Method] = TRANSMISSION
    teeth: Number = term("Number of teeth", "z")
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", digits=6)
    base_pitch_mm: Number = term("Transverse base pitch", "p_et", "mm", "π·d_b/z")
    measuring_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the measuring circle", "α_M", "°"
    )
    start_roll_mm: Number = term("Roll length at the start of contact", "ρ_s", "mm")
    end_roll_mm: Number = term("Roll length at the end of contact", "ρ_e", "mm")
    face_width_mm: Number = term("Face width in mesh", "b", "mm")
    base_helix_angle_deg: Number = term("Base helix angle of the lines of contact", "β_b", "°")
    angle_deg: Number = term("Angle of the gear, 0 where tooth 1 comes into contact", "φ", "°")
    curve_um: Number = term(
        "Transmission error on the line of action",
        "TE",
        "µm",
        words="largest deviation on the lines of contact",
    )
    peak_to_peak_um: Number = term(
        "Peak to peak over the revolution", "TE_pp", "µm", words="largest less smallest TE"
    )
    mesh_um: Number = term(
        "Part at mesh frequency, over one pitch", "TE_m", "µm", words="mean of TE over all teeth"
    )
    mesh_peak_to_peak_um: Number = term(
        "Peak to peak at mesh frequency", "TE_mpp", "µm", words="largest less smallest TE_m"
    )
    turn_amplitude_um: Number = term("Amplitude once a turn", "TE_1", "µm", words="first harmonic of TE")
    turn_peak_to_peak_um: Number = term("Peak to peak once a turn", "TE_1pp", "µm", "2·TE_1")
    mesh_orders_um: Number = term(
        "Amplitudes of the mesh orders", "TE_mk", "µm", words="harmonics 1 to 5 of TE_m"
    )
    peak_to_peak_arcsec: Number = term(
        "Peak to peak over the revolution, at the gear", "φ_pp", "″", "3600·180/π·TE_pp/(500·d_b)"
    )


def geometric_transmission_error(
    *,
    index_um: Number,
    flank: Flank,
    measuring_pressure_angle_deg: Number,
    base_diameter_mm: Number,
    start_roll_mm: Number,
    end_roll_mm: Number,
    face_width_mm: Number,
    base_helix_angle_deg: Number = 0.0,
    profile: ToothTraces | None = None,
    helix: ToothTraces | None = None,
    places: int = 64,
    slices: int = 21,
) -> TransmissionError:
    """Return the unloaded transmission error of a gear with a perfect mate over one revolution.

    TE(φ) = max over the teeth i and face positions z in contact of δ_i(ρ, z), ρ = ρ_i(φ) + z·tan β_b,
    δ_i = ±F_pi·cos α_M + (profile at ρ) + (helix at z), all along the transverse line of action

    Parameters
    ----------
    index_um : array
        Index deviations of one flank, µm along the arc of the measuring circle, shape (..., teeth); teeth
        count clockwise from the reference face, positive clockwise.
    flank : Flank
        Which flanks they are: a right flank stands out where its index is positive, a left where negative.
    measuring_pressure_angle_deg : float or array
        α_M, transverse, at the measuring circle, °.
    base_diameter_mm, start_roll_mm, end_roll_mm : float or array
        d_b; ρ_s and ρ_e: roll lengths (radii of curvature) between which the gear touches its mate, mm.
    face_width_mm : float or array
        b in mesh, mm, from the reference face on.
    base_helix_angle_deg : float or array
        β_b, °: positive where the roll length of a line of contact grows away from the reference face, as
        on right flanks of a right-hand and on left flanks of a left-hand gear.
    profile, helix : ToothTraces, optional
        Deviations by roll length or face position, positive where the flank stands out. Where index and
        traces meet, at the measuring circle in the middle of the face, the traces count 0.
    places : int
        Places over one pitch.
    slices : int
        Face positions looked at.

    Returns
    -------
    TransmissionError
        Curves of shape (..., teeth · places); no value with a stop notice where a pitch is missing or no
        tooth is in contact.

    Raises
    ------
    InputError
        A trace of a tooth that the gear does not have, an end before the start, too few places.

    Notes
    -----
    Source: rigid-body geometry of involute flanks; checked against closed forms.
    Valid for: deviations small against the module, a mate without deviations, no load.
    Departures: no contact outside the path; teeth that were not measured have the mean of the traces.
    Checked: TE-01, TE-02, TE-03, TE-04.

    Examples
    --------
    >>> index = np.zeros(24)
    >>> index[5] = 10.0
    >>> found = geometric_transmission_error(index_um=index, flank=Flank.RIGHT,
    ...     measuring_pressure_angle_deg=20, base_diameter_mm=90, start_roll_mm=8, end_roll_mm=26,
    ...     face_width_mm=20)
    >>> round(found.peak_to_peak_um, 3)
    9.397
    """
    index = array(index_um)
    teeth = index.shape[-1] if index.ndim else 0
    given = {
        "measuring_pressure_angle_deg": array(measuring_pressure_angle_deg),
        "base_diameter_mm": array(base_diameter_mm),
        "start_roll_mm": array(start_roll_mm),
        "end_roll_mm": array(end_roll_mm),
        "face_width_mm": array(face_width_mm),
        "base_helix_angle_deg": array(base_helix_angle_deg),
    }
    _check(index, flank, given, (profile, helix), places, slices)
    scope = {"teeth": array(teeth), **given}
    notices = TRANSMISSION.outside(**{limit.name: scope[limit.name] for limit in TRANSMISSION.valid})
    pitch = np.pi * given["base_diameter_mm"] / teeth
    shape, of_tooth = _shapes(given, pitch, profile, helix, teeth, places, slices)
    lean = np.cos(np.radians(given["measuring_pressure_angle_deg"]))[..., None]
    out = (index if flank is Flank.RIGHT else -index) * lean
    curve = _rolled(out, shape, of_tooth, places, backwards=flank is Flank.RIGHT)
    known = ~np.isnan(index).any(axis=-1) & np.isfinite(curve).all(axis=-1)
    if any(notice.level is Level.STOP for notice in notices):
        known = np.zeros_like(known)
    curve = np.where(np.asarray(known)[..., None], curve, np.nan)
    return TransmissionError(
        **given,
        teeth=teeth,
        base_pitch_mm=pitch,
        **_parts(curve, teeth, places, given["base_diameter_mm"]),
        notices=(*notices, *_said(index, known, profile, helix, teeth)),
    )


def _check(
    index: Array,
    flank: Flank,
    given: dict[str, Array],
    traces: tuple[ToothTraces | None, ...],
    places: int,
    slices: int,
) -> None:
    faults = Faults()
    teeth = index.shape[-1] if index.ndim else 0
    faults.need(teeth > 0, "index_um", index, "an index deviation of each tooth, µm")
    faults.need(isinstance(flank, Flank), "flank", flank, f"{Flank.LEFT} or {Flank.RIGHT}")
    for name in ("base_diameter_mm", "start_roll_mm", "face_width_mm"):
        faults.need(not (given[name] <= 0).any(), name, given[name], "a length over 0 mm")
    beyond = given["end_roll_mm"] <= given["start_roll_mm"]
    faults.need(not beyond.any(), "end_roll_mm", given["end_roll_mm"], "a roll length beyond the start")
    faults.need(places >= 8, "places", places, "8 places a pitch or more")
    faults.need(slices >= 2, "slices", slices, "2 face positions or more")
    for name, item in zip(("profile", "helix"), traces, strict=True):
        number = np.zeros(0) if item is None else array(item.tooth)
        wrong = (number < 1) | (number > teeth)
        faults.need(not wrong.any(), f"{name}.tooth", number[wrong], f"a tooth from 1 to {teeth}")
    faults.check()


def _shapes(
    given: dict[str, Array],
    pitch: Array,
    profile: ToothTraces | None,
    helix: ToothTraces | None,
    teeth: int,
    places: int,
    slices: int,
) -> tuple[Array, Any]:
    """What stands out most along the line of contact, as a tooth goes through the mesh.

    Returns (..., shapes, rolled places), -inf out of contact, and the shape of each tooth; the shape of
    teeth that were not measured is the first.
    """
    measured = [array(item.tooth) for item in (profile, helix) if item is not None]
    own = np.unique(np.concatenate([[0.0], *measured]))
    start, end, width, diameter = (
        given[name][..., None]
        for name in ("start_roll_mm", "end_roll_mm", "face_width_mm", "base_diameter_mm")
    )
    slope = np.tan(np.radians(given["base_helix_angle_deg"]))[..., None]
    length = np.max((end - start + np.abs(slope) * width) / pitch[..., None], initial=1.0)
    steps = np.arange(int(np.ceil(length - 1e-9)) * places + 1) / places
    rolled = np.minimum(-slope * width, 0.0) + pitch[..., None] * steps
    low, high, touches = _line(rolled, end - start, width, slope)
    face = low[..., None] + (high - low)[..., None] * np.linspace(0.0, 1.0, slices)
    share = (rolled[..., None] + slope[..., None] * face) / (end - start)[..., None]
    evenly = np.linspace(0.0, 1.0, _FINE)
    at = diameter / 2 * np.tan(np.radians(given["measuring_pressure_angle_deg"]))[..., None]
    along = resampled(profile, own, start + (end - start) * evenly, at)
    across = resampled(helix, own, width * evenly, width / 2)
    deviation = at_even(along, share[..., None, :, :])
    deviation = deviation + at_even(across, (face / width[..., None])[..., None, :, :])
    most = np.where(touches[..., None, :], deviation.max(axis=-1), -np.inf)
    every = np.arange(1, teeth + 1)
    return most, np.searchsorted(own, np.where(np.isin(every, own), every, 0))


def _line(rolled: Array, path: Array, width: Array, slope: Array) -> tuple[Array, Array, Any]:
    """From where to where on the face a line of contact lies, and whether there is one."""
    slack = 1e-9 * path
    flat = np.where(slope == 0.0, 1.0, slope)
    ends = np.sort(np.stack(np.broadcast_arrays(-rolled / flat, (path - rolled) / flat)), axis=0)
    leaning = (ends[0] <= width + slack) & (ends[1] >= -slack)
    straight = (rolled >= -slack) & (rolled <= path + slack)
    low, high = (
        np.where(slope == 0.0, edge, np.clip(found, 0.0, width))
        for edge, found in ((0.0, ends[0]), (width, ends[1]))
    )
    return low, high, np.where(slope == 0.0, straight, leaning)


def _rolled(out: Array, shape: Array, of_tooth: Any, places: int, *, backwards: bool) -> Array:
    """The largest of the teeth in contact at each place of the revolution, in the order of the teeth.

    On left flanks a tooth has rolled a pitch further than the next one, on right flanks than the one before.
    """
    if backwards:
        order = -np.arange(out.shape[-1])
        out, of_tooth = out[..., order], of_tooth[order]
    turns = -(-shape.shape[-1] // places)
    room = [(0, 0)] * (shape.ndim - 1) + [(0, turns * places - shape.shape[-1])]
    padded = np.pad(shape, room, constant_values=-np.inf)
    parts = padded.reshape((*padded.shape[:-1], turns, places))
    standing = [
        np.roll(out, turn, axis=-1)[..., None] + parts[..., np.roll(of_tooth, turn), turn, :]
        for turn in range(turns)
    ]
    found = np.maximum.reduce(standing)
    curve = found.reshape((*found.shape[:-2], -1))
    if backwards:
        curve = curve[..., -np.arange(curve.shape[-1])]
    return np.asarray(curve)


def _parts(curve: Array, teeth: int, places: int, base_diameter: Array) -> dict[str, Any]:
    size = curve.shape[-1]
    mesh = curve.reshape((*curve.shape[:-1], teeth, places)).mean(axis=-2)
    turn = 2.0 * np.abs(np.fft.rfft(curve)[..., 1]) / size
    peak = np.ptp(curve, axis=-1)
    return {
        "angle_deg": 360.0 * np.arange(size) / size,
        "curve_um": curve,
        "peak_to_peak_um": peak,
        "mesh_um": mesh,
        "mesh_peak_to_peak_um": np.ptp(mesh, axis=-1),
        "turn_amplitude_um": turn,
        "turn_peak_to_peak_um": 2.0 * turn,
        "mesh_orders_um": 2.0
        * np.abs(np.fft.rfft(mesh)[..., 1 : min(_ORDERS, places // 2 - 1) + 1])
        / places,
        "peak_to_peak_arcsec": np.degrees(peak / (500.0 * base_diameter)) * 3600.0,
    }


def _said(
    index: Array, known: Any, profile: ToothTraces | None, helix: ToothTraces | None, teeth: int
) -> tuple[Notice, ...]:
    key, said = TRANSMISSION.key, []
    missing = np.isnan(index)
    if missing.any():
        text = f"No transmission error: {int(missing.sum())} of {index.size} index deviations are missing."
        said.append(Notice(Level.STOP, f"{key}.index", text))
    elif not np.all(known):
        text = "No transmission error: the teeth do not hand over, or a trace has no value at all."
        said.append(Notice(Level.STOP, f"{key}.contact", text))
    for words, item in (("profile", profile), ("helix", helix)):
        count = 0 if item is None else np.unique(item.tooth).size
        if count == 0:
            text = f"No {words} is known: it counts as true on all {teeth} teeth."
            said.append(Notice(Level.NOTE, f"{key}.{words}", text))
        elif count < teeth:
            text = f"The {words} of {count} of {teeth} teeth was measured: the others have the mean of these."
            said.append(Notice(Level.NOTE, f"{key}.{words}", text))
    for words, item in (("profile", profile), ("helix", helix)):
        if item is not None and clean(item.deviation_um).any_missing:
            text = f"Points of the {words} traces are missing: a straight line bridges them."
            said.append(Notice(Level.CAUTION, f"{key}.{words}_gaps", text))
    return tuple(said)
