"""The stock that brings flanks into true: down to their lowest point, as measured or from a class."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.accuracy.sampled import between, clean, rising
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

_ANGLES = (
    Range("measuring_pressure_angle_deg", "α_M", 5, 50, "°", Level.STOP),
    Range("base_helix_angle_deg", "β_b", -45, 45, "°", Level.STOP),
)

CORRECTION = Method(
    key="correction.measured",
    title="Stock that brings the measured flanks into true",
    source="geometry: true flanks in true pitch through the lowest point of all",
    edition="",
    clause="normal to the flank",
    status=Status.COMMON_PRACTICE,
    valid=_ANGLES,
    implements=("index, profile and helix deviation of each tooth, for each side of the teeth apart",),
    leaves_out=("deviations of the machine that corrects, the stock that it needs on top to cut at all",),
    departures=(
        "Profile and helix add up over the flank: the highest place is where both are highest.",
        "A tooth without a trace of its own counts with the highest and the lowest of those measured.",
    ),
)
CLASS_CORRECTION = Method(
    key="correction.of_class",
    title="Stock that brings flanks at the limits of their class into true",
    source="geometry: the tolerances as deviations, all at their limits at one place",
    edition="",
    clause="normal to the flank",
    status=Status.COMMON_PRACTICE,
    valid=_ANGLES,
    implements=("the sum of total cumulative pitch, profile and helix tolerance",),
    leaves_out=("how seldom all three meet at their limits: it is the most, not the usual",),
)


@dataclass(frozen=True, kw_only=True)
class CorrectionStock(Result):
    """What has to be ground off one side of the teeth, normal to the flank; teeth on the last axis."""

    method: ClassVar[Method] = CORRECTION
    measuring_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the measuring circle", "α_M", "°"
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    highest_um: Number = term(
        "Highest point of each tooth, on the base tangent", "h_i", "µm", words="index, profile, helix"
    )
    lowest_um: Number = term("Lowest point of each tooth", "l_i", "µm", words="index, profile, helix")
    high_um: Number = term("Highest point of all", "h", "µm", words="largest h_i")
    low_um: Number = term("Lowest point of all", "l", "µm", words="smallest l_i")
    highest_tooth: Any = term("Tooth that stands out most", "i_h", words="tooth of h, from 1")
    lowest_tooth: Any = term("Tooth that decides how deep", "i_l", words="tooth of l, from 1")
    stock_um: Number = term("Largest stock, normal to the flank", "q_c", "µm", "(h - l)·cos(β_b)")


@dataclass(frozen=True, kw_only=True)
class ClassCorrection(Result):
    """What flanks at the limits of a class may need, normal to the flank."""

    method: ClassVar[Method] = CLASS_CORRECTION
    measuring_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the measuring circle", "α_M", "°"
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    cumulative_pitch_um: Number = term("Total cumulative pitch", "F_pT", "µm")
    profile_total_um: Number = term("Profile total", "F_αT", "µm")
    helix_total_um: Number = term("Helix total", "F_βT", "µm")
    stock_um: Number = term(
        "Stock at most, normal to the flank", "q_c", "µm", "(F_pT·cos(α_M) + F_αT + F_βT)·cos(β_b)"
    )


def class_correction(
    *,
    cumulative_pitch_um: Number,
    profile_total_um: Number,
    helix_total_um: Number,
    measuring_pressure_angle_deg: Number,
    base_helix_angle_deg: Number = 0.0,
) -> ClassCorrection:
    """Return the most that flanks within the tolerances of a class need to come into true.

    q_c = (F_pT cos α_M + F_αT + F_βT) cos β_b

    Parameters
    ----------
    cumulative_pitch_um, profile_total_um, helix_total_um : float or array
        F_pT, F_αT, F_βT in µm.
    measuring_pressure_angle_deg, base_helix_angle_deg : float or array
        α_M and β_b, °.

    Returns
    -------
    ClassCorrection
        Broadcast over the arguments; no value where a tolerance has none.

    Raises
    ------
    InputError
        A tolerance below 0.

    Notes
    -----
    Source: geometry; all three tolerances at their limits at one place.
    Valid for: α_M from 5° to 50°, β_b up to 45°.
    Departures: none.
    Checked: COR-01.

    Examples
    --------
    >>> found = class_correction(cumulative_pitch_um=29, profile_total_um=13, helix_total_um=13,
    ...     measuring_pressure_angle_deg=20)
    >>> round(found.stock_um, 2)
    53.25
    """
    given = {
        "cumulative_pitch_um": array(cumulative_pitch_um),
        "profile_total_um": array(profile_total_um),
        "helix_total_um": array(helix_total_um),
    }
    faults = Faults()
    for name, value in given.items():
        faults.need(not (value < 0).any(), name, value, "a tolerance of 0 µm or more")
    faults.check()
    angles = {
        "measuring_pressure_angle_deg": array(measuring_pressure_angle_deg),
        "base_helix_angle_deg": array(base_helix_angle_deg),
    }
    outside = CLASS_CORRECTION.outside(**angles)
    lean, helix = (np.cos(np.radians(angle)) for angle in angles.values())
    pitch, profile, face = given.values()
    stock = (pitch * lean + profile + face) * helix
    return ClassCorrection(
        **given, **angles, stock_um=np.where(bool(outside), np.nan, stock), notices=outside
    )


def correction_stock(
    *,
    index_um: Number,
    flank: Flank,
    measuring_pressure_angle_deg: Number,
    base_diameter_mm: Number,
    face_width_mm: Number,
    base_helix_angle_deg: Number = 0.0,
    profile: ToothTraces | None = None,
    helix: ToothTraces | None = None,
) -> CorrectionStock:
    """Return the stock that brings one side of all teeth down to a true flank through its lowest point.

    h_i, l_i = ±F_pi cos α_M + (largest, smallest profile) + (largest, smallest helix), q_c = (max h_i -
    min l_i) cos β_b

    Parameters
    ----------
    index_um : array
        Index deviations, µm along the arc of the measuring circle, shape (..., teeth), clockwise positive.
    flank : Flank
        Which flanks they are.
    measuring_pressure_angle_deg : float or array
        α_M, transverse, at the measuring circle, °.
    base_diameter_mm, face_width_mm : float or array
        d_b and b in mm.
    base_helix_angle_deg : float or array
        β_b, °.
    profile, helix : ToothTraces, optional
        Deviations from the flank that is wanted, its relief and crowning taken off; NaN where nothing is
        asked. Where index and traces meet, at the measuring circle in the middle of the face, they count 0.

    Returns
    -------
    CorrectionStock
        In µm; no value with a stop notice where an index deviation is missing.

    Raises
    ------
    InputError
        A trace of a tooth that the gear does not have.

    Notes
    -----
    Source: geometry.
    Valid for: deviations small against the module.
    Departures: teeth that were not measured have the highest and lowest of the traces.
    Checked: COR-02.

    Examples
    --------
    >>> found = correction_stock(index_um=[0.0, 10.0, -5.0, 0.0, 0.0], flank=Flank.RIGHT,
    ...     measuring_pressure_angle_deg=20, base_diameter_mm=90, face_width_mm=20)
    >>> round(found.stock_um, 2), found.highest_tooth, found.lowest_tooth
    (14.1, 2.0, 3.0)
    """
    index, angle = array(index_um), array(measuring_pressure_angle_deg)
    teeth = index.shape[-1] if index.ndim else 0
    faults = Faults()
    faults.need(teeth > 0, "index_um", index, "an index deviation of each tooth, µm")
    for name, item in (("profile", profile), ("helix", helix)):
        number = np.zeros(0) if item is None else array(item.tooth)
        wrong = (number < 1) | (number > teeth)
        faults.need(not wrong.any(), f"{name}.tooth", number[wrong], f"a tooth from 1 to {teeth}")
    faults.check()
    base_helix = array(base_helix_angle_deg)
    outside = CORRECTION.outside(measuring_pressure_angle_deg=angle, base_helix_angle_deg=base_helix)
    out = (index if flank is Flank.RIGHT else -index) * np.cos(np.radians(angle))[..., None]
    measured_at = array(base_diameter_mm) / 2 * np.tan(np.radians(angle))
    tops = _ends(profile, measured_at, teeth), _ends(helix, array(face_width_mm) / 2, teeth)
    high, low = (out + tops[0][end] + tops[1][end] for end in (0, 1))
    known = np.asarray(~(np.isnan(high).any(axis=-1) | np.isnan(low).any(axis=-1) | bool(outside)))
    high, low = (np.where(known[..., None], item, np.nan) for item in (high, low))
    most, least = high.max(axis=-1), low.min(axis=-1)
    return CorrectionStock(
        measuring_pressure_angle_deg=angle,
        base_helix_angle_deg=base_helix,
        highest_um=high,
        lowest_um=low,
        high_um=most,
        low_um=least,
        highest_tooth=np.where(known, np.argmax(np.nan_to_num(high, nan=-np.inf), axis=-1) + 1.0, np.nan),
        lowest_tooth=np.where(known, np.argmin(np.nan_to_num(low, nan=np.inf), axis=-1) + 1.0, np.nan),
        stock_um=(most - least) * np.cos(np.radians(base_helix)),
        notices=(*outside, *_said(known)),
    )


def _ends(traces: ToothTraces | None, zero: Array, teeth: int) -> tuple[Array, Array]:
    """The highest and the lowest point of each tooth over its place of measuring; shape (..., teeth)."""
    if traces is None:
        return np.zeros(teeth), np.zeros(teeth)
    place, values = rising(traces.place_mm), array(traces.deviation_um)
    bridged = clean(values, place).values
    above = bridged - between(bridged, place, zero[..., None, None])
    own = np.arange(1, teeth + 1)[:, None] == np.atleast_1d(array(traces.tooth))
    own |= ~own.any(axis=1, keepdims=True)
    # what is missing at the ends of a trace is not asked for
    known = ~np.isnan(values)
    tops = np.where(known, above, -np.inf).max(axis=-1)[..., None, :]
    bottoms = np.where(known, above, np.inf).min(axis=-1)[..., None, :]
    high, low = np.where(own, tops, -np.inf).max(axis=-1), np.where(own, bottoms, np.inf).min(axis=-1)
    return np.where(np.isfinite(high), high, np.nan), np.where(np.isfinite(low), low, np.nan)


def _said(known: Any) -> tuple[Notice, ...]:
    if np.all(known):
        return ()
    text = "No stock for correction: an index deviation is missing, or a trace has no value at all."
    return (Notice(Level.STOP, f"{CORRECTION.key}.missing", text),)
