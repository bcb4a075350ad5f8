"""The dimension between two balls or pins in the spaces of an internal gear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.faults import need_numbers
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.gear.notices import flagged
from gearcheck.gear.thickness import MeasuringBody

BETWEEN = Method(
    key="iso21771.between_bodies",
    title="Dimension between balls or pins of an internal gear",
    source="ISO 21771",
    edition="2007",
    clause="dimension between balls, negative number of teeth",
    status=Status.FROM_MEMORY,
    implements=("two balls, or two pins in a spur gear; even and odd numbers of teeth",),
    leaves_out=("pins in helical gears: a stop; whether the bodies stand clear of root and tip",),
    departures=("Teeth and dimensions are positive numbers; the profile shift has the sign of ISO 21771.",),
)


@dataclass(frozen=True, kw_only=True)
class BetweenBodies(Result):
    """The dimension between two balls or pins."""

    method: ClassVar[Method] = BETWEEN
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    teeth: Number = term("Number of teeth", "z")
    profile_shift: Number = term("Profile shift coefficient", "x")
    body_diameter_mm: Number = term("Diameter of ball or pin", "D_M", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", "z·m_n·cos(α_t)/cos(β)", digits=6)
    centre_involute: Number = term(
        "Involute of the angle at the centre of the body",
        "inv_K",
        "",
        "inv(α_t) - D_M/(m_n·z·cos(α_n)) + π/(2·z) - 2·x·tan(α_n)/z",
        digits=6,
    )
    centre_angle_deg: Number = term(
        "Pressure angle at the centre of the body",
        "α_K",
        "°",
        words="the angle whose involute is inv_K",
        digits=6,
    )
    centre_diameter_mm: Number = term(
        "Diameter of the circle of centres", "d_K", "mm", "d_b/cos(α_K)", digits=6
    )
    dimension_mm: Number = term(
        "Dimension between both",
        "M_d",
        "mm",
        words="d_K - D_M with an even number of teeth; d_K·cos(90°/z) - D_M with an odd one",
        digits=6,
    )


def dimension_between_bodies(
    *,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    teeth: Number,
    profile_shift: Number,
    body_diameter_mm: Number,
    body: MeasuringBody,
) -> BetweenBodies:
    """Return the dimension between two balls or pins in an internal gear.

    inv α_K = inv α_t - D_M/(m_n·z·cos α_n) + π/(2·z) - 2·x·tan α_n/z; d_K = d_b/cos α_K; M = d_K - D_M, and
    d_K·cos(90°/z) - D_M with an odd number of teeth.

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm; all arguments broadcast.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    teeth, profile_shift : float or array
        z as a positive number, and x with the sign of ISO 21771: positive for a thicker tooth.
    body_diameter_mm : float or array
        D_M in mm.
    body : MeasuringBody
        Balls or pins.

    Returns
    -------
    BetweenBodies
        A stop notice and no dimension with pins in a helical gear, and where the body is too large for the
        space.

    Raises
    ------
    InputError
        Arguments that no formula can use.

    Notes
    -----
    Source: ISO 21771:2007, from memory.
    Valid for: internal gears; the body must touch the involute and stand proud of the tip.
    Departures: pins in helical gears are left out.
    Checked: BETWEEN-01.

    Examples
    --------
    >>> round(dimension_between_bodies(normal_module_mm=1, pressure_angle_deg=20, helix_angle_deg=0, teeth=40,
    ...     profile_shift=0.1, body_diameter_mm=1.9, body=MeasuringBody.PINS).dimension_mm, 4)
    36.2701
    """
    given: dict[str, Any] = {
        "normal_module_mm": normal_module_mm,
        "pressure_angle_deg": pressure_angle_deg,
        "helix_angle_deg": helix_angle_deg,
        "teeth": teeth,
        "profile_shift": profile_shift,
        "body_diameter_mm": body_diameter_mm,
    }
    faults = Faults()
    need_numbers(faults, **given)
    faults.check()
    m_n, z, size = array(normal_module_mm), array(teeth), array(body_diameter_mm)
    alpha_n, beta = np.radians(array(pressure_angle_deg)), np.radians(array(helix_angle_deg))
    alpha_t = np.arctan(np.tan(alpha_n) / np.cos(beta))
    added = np.pi / 2.0 - size / (m_n * np.cos(alpha_n)) - 2.0 * array(profile_shift) * np.tan(alpha_n)
    inv_K = involute(alpha_t) + added / z
    alpha_K = involute_angle(inv_K)
    d_b = z * m_n * np.cos(alpha_t) / np.cos(beta)
    d_K = d_b / np.cos(alpha_K)
    unbuilt = np.asarray((beta > 0.0) & (body is MeasuringBody.PINS))
    across = d_K * np.where(np.mod(z, 2.0) == 1.0, np.cos(np.pi / (2.0 * z)), 1.0)
    pins = "Between pins in a helical internal gear ({beta:.2f}°) is not built; measure between balls."
    large = "A body of {D:.3f} mm is too large for the space (inv α_K = {inv:.5f}, above 0 needed)."
    return BetweenBodies(
        **given,
        transverse_pressure_angle_deg=np.degrees(alpha_t),
        base_diameter_mm=d_b,
        centre_involute=inv_K,
        centre_angle_deg=np.degrees(alpha_K),
        centre_diameter_mm=d_K,
        dimension_mm=np.where(unbuilt, np.nan, across - size),
        notices=(
            *flagged(unbuilt, Level.STOP, "between_bodies.helical_pins", pins, beta=helix_angle_deg),
            *flagged(inv_K < 0, Level.STOP, "between_bodies.large", large, D=size, inv=inv_K),
        ),
    )
