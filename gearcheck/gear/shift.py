"""Profile shifts from the centre distance, and the centre distance from the shifts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.faults import need_numbers
from gearcheck.gear.involute import arc_cosine, involute, involute_angle
from gearcheck.gear.notices import flagged

SHIFT = Method(
    key="iso21771.shift",
    title="Sum of profile shifts of a pair",
    source="ISO 21771",
    edition="2007",
    clause="equations 62 and 63",
    status=Status.FROM_MEMORY,
    implements=("sum of profile shifts without backlash; sum of generating shifts for a backlash",),
    leaves_out=("the split between pinion and wheel",),
    departures=(
        "Teeth and centre distances of an internal pair are positive numbers; shifts have the signs of "
        "ISO 21771.",
    ),
)


class BacklashReading(StrEnum):
    """What the normal backlash is measured along."""

    BASE_TANGENT = "along the line of action"
    PITCH_CIRCLE = "along the reference circle"


@dataclass(frozen=True, kw_only=True)
class ShiftSum(Result):
    """The sum of profile shifts that closes a centre distance, and that of the shifts to be cut."""

    method: ClassVar[Method] = SHIFT
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    pinion_teeth: Number = term("Number of teeth, pinion", "z_1")
    wheel_teeth: Number = term("Number of teeth, wheel", "z_2")
    centre_distance_mm: Number = term("Centre distance", "a", "mm", digits=6)
    normal_backlash_mm: Number = term("Normal backlash wanted", "j_n", "mm")
    reference_centre_distance_mm: Number = term(
        "Reference centre distance", "a_d", "mm", "m_n·(z_1 + z_2)/(2·cos(β))", digits=6
    )
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle", "α_wt", "°", "acos(a_d·cos(α_t)/a)", digits=6
    )
    shift_sum: Number = term(
        "Sum of profile shifts without backlash",
        "Σx",
        "",
        "(z_1 + z_2)·(inv(α_wt) - inv(α_t))/(2·tan(α_n))",
    )
    generating_shift_sum: Number = term(
        "Sum of generating profile shifts",
        "Σx_E",
        "",
        words="Σx - j_n/(2·m_n·sin α_n) along the line of action; with tan α_n along the reference circle",
    )


@dataclass(frozen=True, kw_only=True)
class CentreDistance(Result):
    """The centre distance at which two gears mesh without backlash."""

    method: ClassVar[Method] = SHIFT
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    pinion_teeth: Number = term("Number of teeth, pinion", "z_1")
    wheel_teeth: Number = term("Number of teeth, wheel", "z_2")
    shift_sum: Number = term("Sum of profile shifts", "Σx")
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle",
        "α_wt",
        "°",
        words="inv α_wt = inv α_t + 2·Σx·tan α_n/(z_1 + z_2), by iteration",
        digits=6,
    )
    centre_distance_mm: Number = term(
        "Centre distance without backlash",
        "a",
        "mm",
        "m_n·(z_1 + z_2)·cos(α_t)/(2·cos(β)·cos(α_wt))",
        digits=6,
    )
    distance_modification: Number = term(
        "Centre distance modification coefficient", "y", "", "a/m_n - (z_1 + z_2)/(2·cos(β))"
    )


_BETWEEN = "m_n·(z_2 - z_1)/(2·cos(β))"


@dataclass(frozen=True, kw_only=True)
class InternalShiftSum(ShiftSum):
    """The sums for a pinion with an internal gear."""

    reference_centre_distance_mm: Number = term("Reference centre distance", "a_d", "mm", _BETWEEN, digits=6)
    shift_sum: Number = term(
        "Sum of profile shifts without backlash",
        "Σx",
        "",
        "(z_1 - z_2)·(inv(α_wt) - inv(α_t))/(2·tan(α_n))",
    )


@dataclass(frozen=True, kw_only=True)
class InternalCentreDistance(CentreDistance):
    """The centre distance of a pinion with an internal gear."""

    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle",
        "α_wt",
        "°",
        words="inv α_wt = inv α_t + 2·Σx·tan α_n/(z_1 - z_2), by iteration",
        digits=6,
    )
    centre_distance_mm: Number = term(
        "Centre distance without backlash",
        "a",
        "mm",
        "m_n·(z_2 - z_1)·cos(α_t)/(2·cos(β)·cos(α_wt))",
        digits=6,
    )
    distance_modification: Number = term(
        "Centre distance modification coefficient", "y", "", "a/m_n - (z_2 - z_1)/(2·cos(β))"
    )


def profile_shift_sum(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    pinion_teeth: Number,
    wheel_teeth: Number,
    centre_distance_mm: Number,
    normal_backlash_mm: Number,
    reading: BacklashReading,
    internal: bool = False,
) -> ShiftSum:
    """Return the sum of profile shifts for a centre distance, and of the generating shifts for a backlash.

    Σx = (z_1 + z_2)·(inv α_wt - inv α_t)/(2·tan α_n); Σx_E = Σx - j_n/(2·m_n·sin α_n).

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    pinion_teeth, wheel_teeth : int or array
        z_1 and z_2.
    centre_distance_mm : float or array
        a in mm.
    normal_backlash_mm : float or array
        j_n in mm.
    reading : BacklashReading
        Measured along the line of action (sin α_n), or along the reference circle (tan α_n).
    internal : bool
        Whether the wheel is internal: its z_2 and a then count negative inside.

    Returns
    -------
    ShiftSum
        A stop notice and no sum where the centre distance is too small for the base circles.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, equations 62 and 63, from memory.
    Valid for: pairs with parallel axes.
    Departures: none known.
    Checked: GEO-09.

    Examples
    --------
    >>> found = profile_shift_sum(
    ...     normal_module_mm=3.5, pressure_angle_deg=20, helix_angle_deg=21, pinion_teeth=31, wheel_teeth=30,
    ...     centre_distance_mm=116.5, normal_backlash_mm=0.03, reading=BacklashReading.BASE_TANGENT)
    >>> round(found.shift_sum, 6), round(found.generating_shift_sum, 6)
    (0.651877, 0.639347)
    """
    given: dict[str, Number] = {
        "normal_module_mm": normal_module_mm,
        "pressure_angle_deg": pressure_angle_deg,
        "helix_angle_deg": helix_angle_deg,
        "pinion_teeth": pinion_teeth,
        "wheel_teeth": wheel_teeth,
        "centre_distance_mm": centre_distance_mm,
        "normal_backlash_mm": normal_backlash_mm,
    }
    _check(given)
    _check_internal(pinion_teeth, wheel_teeth, internal)
    side = -1.0 if internal else 1.0
    m_n, a = array(normal_module_mm), array(centre_distance_mm)
    teeth = array(pinion_teeth) + side * array(wheel_teeth)
    alpha_n, alpha_t, a_d = _reference(m_n, pressure_angle_deg, helix_angle_deg, teeth)
    a_d = side * a_d
    alpha_wt = arc_cosine(a_d * np.cos(alpha_t) / a)
    total = teeth * (involute(alpha_wt) - involute(alpha_t)) / (2.0 * np.tan(alpha_n))
    sine = np.sin(alpha_n) if reading is BacklashReading.BASE_TANGENT else np.tan(alpha_n)
    least = a_d * np.cos(alpha_t)
    text = "The centre distance {a:.3f} mm is below that of the base circles, {least:.3f} mm."
    kind = InternalShiftSum if internal else ShiftSum
    return kind(
        **given,
        reference_centre_distance_mm=a_d,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        working_pressure_angle_deg=np.degrees(alpha_wt),
        shift_sum=total,
        generating_shift_sum=total - array(normal_backlash_mm) / (2.0 * m_n * sine),
        notices=tuple(flagged(a < least, Level.STOP, "shift.centre_distance", text, a=a, least=least)),
    )


def centre_distance(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    pinion_teeth: Number,
    wheel_teeth: Number,
    profile_shift_sum: Number,
    internal: bool = False,
) -> CentreDistance:
    """Return the centre distance at which two gears mesh without backlash.

    inv α_wt = inv α_t + 2·Σx·tan α_n/(z_1 + z_2); a = a_d·cos α_t/cos α_wt.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    pinion_teeth, wheel_teeth : int or array
        z_1 and z_2.
    profile_shift_sum : float or array
        x_1 + x_2.
    internal : bool
        Whether the wheel is internal: its z_2 and a then count negative inside.

    Returns
    -------
    CentreDistance
        A stop notice and no distance where so negative a sum leaves no working pressure angle.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: pairs with parallel axes.
    Departures: none known.
    Checked: GEO-01, GEO-02; round trip with `profile_shift_sum`.

    Examples
    --------
    >>> round(centre_distance(normal_module_mm=3, pressure_angle_deg=20, helix_angle_deg=30, pinion_teeth=12,
    ...                       wheel_teeth=60, profile_shift_sum=0.09809).centre_distance_mm, 4)
    125.0
    """
    given: dict[str, Number] = {
        "normal_module_mm": normal_module_mm,
        "pressure_angle_deg": pressure_angle_deg,
        "helix_angle_deg": helix_angle_deg,
        "pinion_teeth": pinion_teeth,
        "wheel_teeth": wheel_teeth,
    }
    _check(given | {"profile_shift_sum": profile_shift_sum})
    _check_internal(pinion_teeth, wheel_teeth, internal)
    side = -1.0 if internal else 1.0
    m_n, total = array(normal_module_mm), array(profile_shift_sum)
    teeth = array(pinion_teeth) + side * array(wheel_teeth)
    alpha_n, alpha_t, a_d = _reference(m_n, pressure_angle_deg, helix_angle_deg, teeth)
    wanted = involute(alpha_t) + 2.0 * total * np.tan(alpha_n) / teeth
    alpha_wt, a_d = involute_angle(wanted), side * a_d
    a = a_d * np.cos(alpha_t) / np.cos(alpha_wt)
    kind = InternalCentreDistance if internal else CentreDistance
    return kind(
        **given,
        shift_sum=total,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        working_pressure_angle_deg=np.degrees(alpha_wt),
        centre_distance_mm=a,
        distance_modification=(a - a_d) / m_n,
        notices=_no_angle(wanted, total),
    )


def _no_angle(wanted: Array, total: Array) -> tuple[Notice, ...]:
    text = (
        "A sum of profile shifts of {total:.4f} leaves no working pressure angle (inv α_wt = {wanted:.5f})."
    )
    return tuple(flagged(wanted < 0.0, Level.STOP, "shift.no_angle", text, total=total, wanted=wanted))


def _check_internal(pinion_teeth: Number, wheel_teeth: Number, internal: bool) -> None:
    faults = Faults()
    more = bool(np.all(array(wheel_teeth) > array(pinion_teeth)))
    faults.need(more or not internal, "wheel_teeth", wheel_teeth, "more teeth in an internal wheel")
    faults.check()


def _check(given: dict[str, Number]) -> None:
    faults = Faults()
    need_numbers(faults, **given)
    faults.check()


def _reference(m_n: Array, alpha_n: Number, beta: Number, teeth: Array) -> tuple[Array, Array, Array]:
    """Return normal and transverse pressure angle in radians and the reference centre distance."""
    normal, cos_helix = np.radians(array(alpha_n)), np.cos(np.radians(array(beta)))
    return normal, np.arctan(np.tan(normal) / cos_helix), m_n * teeth / (2.0 * cos_helix)
