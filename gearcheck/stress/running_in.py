"""What running-in takes off the deviations of case-hardened gears, ISO 6336-1."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table


def running_in_allowance(*, deviation_um: Number) -> Array:
    """Return by how much running-in reduces a deviation of case-hardened gears.

    y = 0.075 f, at most 3 µm

    Parameters
    ----------
    deviation_um : float or array
        f_pb or f_fα in µm.

    Returns
    -------
    ndarray of float
        y_α, y_p or y_f in µm.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 8, from memory.
    Valid for: case-hardened gears.
    Departures: none.
    Checked: RUNIN-02.

    Examples
    --------
    >>> print(running_in_allowance(deviation_um=[10, 80]))
    [0.75 3.  ]
    """
    value = table("iso6336_1_factors").value
    share = value("y_α, share of the deviation, case-hardened") * array(deviation_um)
    allowance: Array = np.minimum(share, value("y_α, largest, case-hardened"))
    return allowance


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
