"""What running-in takes off the deviations by heat treatment, and the tip relief it makes, ISO 6336-1."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.numbers import by_range

CASE = "case-carburised"


def running_in_allowance(
    *,
    deviation_um: Number,
    treatment: str = CASE,
    flank_limit_MPa: Number = None,
    pitch_line_velocity_m_s: Number = None,
) -> Array:
    """Return by how much running-in reduces a pitch or profile deviation.

    y = 0.075 f, at most 3 µm, of a hard surface; 160/σ_Hlim · f of a through-hardened one

    Parameters
    ----------
    deviation_um : float or array
        f_pb or f_fα in µm.
    treatment : str
        Heat treatment of the flank, as in the table of running-in.
    flank_limit_MPa, pitch_line_velocity_m_s : float, array or None
        σ_Hlim in MPa and v in m/s; of no effect for a hard surface.

    Returns
    -------
    ndarray of float
        y_α, y_p or y_f in µm.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 8, from memory.
    Valid for: steel. Through-hardened: no cap up to 5 m/s, 12800/σ_Hlim up to 10 m/s, 6400/σ_Hlim above.
    Departures: never more than the deviation itself.
    Checked: RUNIN-02, ISO1-03.

    Examples
    --------
    >>> print(running_in_allowance(deviation_um=[10, 80]))
    [0.75 3.  ]
    >>> print(running_in_allowance(
    ...     deviation_um=10, treatment="through-hardened", flank_limit_MPa=640, pitch_line_velocity_m_s=4))
    2.5
    """
    return _allowance("pitch", deviation_um, treatment, flank_limit_MPa, pitch_line_velocity_m_s)


def misalignment_allowance(
    *,
    deviation_um: Number,
    treatment: str = CASE,
    flank_limit_MPa: Number = None,
    pitch_line_velocity_m_s: Number = None,
) -> Array:
    """Return by how much running-in reduces a misalignment.

    y_β = 0.15 F_βx, at most 6 µm, of a hard surface; 320/σ_Hlim · F_βx of a through-hardened one

    Parameters
    ----------
    deviation_um : float or array
        F_βx in µm.
    treatment : str
        Heat treatment of the flank, as in the table of running-in.
    flank_limit_MPa, pitch_line_velocity_m_s : float, array or None
        σ_Hlim in MPa and v in m/s; of no effect for a hard surface.

    Returns
    -------
    ndarray of float
        y_β in µm.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 7, from memory.
    Valid for: steel. Through-hardened: no cap up to 5 m/s, 25600/σ_Hlim up to 10 m/s, 12800/σ_Hlim above.
    Departures: never more than the misalignment itself.
    Checked: RUNIN-03.

    Examples
    --------
    >>> print(misalignment_allowance(deviation_um=[10, 80]))
    [1.5 6. ]
    """
    return _allowance("helix", deviation_um, treatment, flank_limit_MPa, pitch_line_velocity_m_s)


def mean_allowance(
    allowance: Callable[..., Array],
    *,
    deviation_um: Number,
    pinion_limits: StrengthLimits,
    wheel_limits: StrengthLimits,
    pitch_line_velocity_m_s: Number,
) -> Array:
    """Return what running-in takes off a deviation of a pair: the mean of both gears.

    Parameters
    ----------
    allowance : callable
        `running_in_allowance` or `misalignment_allowance`.
    deviation_um : float or array
        Of the pair, in µm.
    pinion_limits, wheel_limits : StrengthLimits
        For heat treatment and σ_Hlim.
    pitch_line_velocity_m_s : float or array
        v in m/s.

    Returns
    -------
    ndarray of float
        In µm.
    """
    pinion, wheel = (
        allowance(
            deviation_um=deviation_um,
            treatment=treatment_of(limits),
            flank_limit_MPa=limits.flank_limit_MPa,
            pitch_line_velocity_m_s=pitch_line_velocity_m_s,
        )
        for limits in (pinion_limits, wheel_limits)
    )
    mean: Array = (pinion + wheel) / 2
    return mean


def treatment_of(limits: StrengthLimits) -> str:
    """Return the heat treatment behind strength limits, case-carburised where they do not tell.

    Parameters
    ----------
    limits : StrengthLimits
        Of one gear.

    Returns
    -------
    str
        A name of the table of running-in.
    """
    return str(getattr(limits, "treatment", CASE))


def _allowance(kind: str, deviation_um: Number, treatment: str, strength: Number, velocity: Number) -> Array:
    steps = table("iso6336_1_running_in")
    row, deviation = steps.row(treatment), array(deviation_um)
    if f"{kind}_share" in row:
        share: Array = np.minimum(row[f"{kind}_share"] * deviation, row[f"{kind}_cap_um"])
        return share
    limit, speed = array(strength), array(velocity)
    soft = np.minimum(row[f"{kind}_strength_MPa"] / limit, 1.0) * deviation
    caps = (np.inf, row[f"{kind}_cap_to_10_m_s"] / limit, row[f"{kind}_cap_above_10_m_s"] / limit)
    capped: Array = np.minimum(soft, by_range(speed, (steps.value("slow"), steps.value("fast")), caps))
    return capped


def running_in_relief(*, flank_limit_MPa: Number) -> Array:
    """Return the tip relief that running-in makes on a gear without one.

    C_ay = (σ_Hlim/97 - 18.45)² / 18 + 1.5

    Parameters
    ----------
    flank_limit_MPa : float or array
        σ_Hlim of the gear in MPa.

    Returns
    -------
    ndarray of float
        C_ay in µm.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 6, from memory.
    Valid for: steel gears.
    Departures: none.
    Checked: RUNIN-01.

    Examples
    --------
    >>> print(round(float(running_in_relief(flank_limit_MPa=1500)), 3))
    1.995
    """
    value = table("iso6336_1_factors").value
    distance = array(flank_limit_MPa) / value("C_ay, strength divisor") - value("C_ay, offset")
    return distance**2 / value("C_ay, divisor") + value("C_ay, smallest")
