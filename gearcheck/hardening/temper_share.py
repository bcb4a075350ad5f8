"""Which share of the loss of hardness in a low temper a place below the case has."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table


def temper_share(*, carbon_percent: Number, core_carbon_percent: Number) -> Array:
    """Return which share of the loss of a case a place with less carbon has in a low temper.

    s_C = (C - C_k)/(0.6 - C_k), from 0 in the core to 1 from 0.6 % on

    Parameters
    ----------
    carbon_percent, core_carbon_percent : float or array
        C there and C_k of the core, mass percent.

    Returns
    -------
    ndarray of float
        s_C, 0 to 1.

    Notes
    -----
    Source: our own straight line: a low temper takes carbon out of martensite, and a core of low carbon
    hardly feels it.
    Valid for: tempers from 150 to 200 °C.
    Departures: none.
    Checked: TEMPER-SHARE.

    Examples
    --------
    >>> print(temper_share(carbon_percent=[0.2, 0.4, 0.8], core_carbon_percent=0.2))
    [0.  0.5 1. ]
    """
    C, C_k = array(carbon_percent), array(core_carbon_percent)
    full = table("quenched_steel").value("most carbon that counts")
    below = np.where(C_k < full, full - C_k, 1.0)
    return array(np.where(full <= C, 1.0, np.clip((C - C_k) / below, 0.0, 1.0)))
