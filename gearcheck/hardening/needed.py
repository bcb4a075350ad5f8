"""The hardness that the shear stress asks for at each depth, against yielding below the surface."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.hardening.exposure import permissible_share, shear_envelope_MPa


def needed_hardness_HV(  # noqa: N802 - carries its unit
    *, depth_mm: Number, half_width_mm: Number, pressure_MPa: Number, safety: Number
) -> Array:
    """Return the least hardness at each depth that keeps the tooth from yielding there.

    HV = (S τ_max(z)/(0.55 · 0.577) + 90.7)/2.876

    Parameters
    ----------
    depth_mm : array
        z below the finished flank in mm, depths on the last axis.
    half_width_mm, pressure_MPa : float or array
        b_H in mm and p_0 in MPa along the path; points on the last axis, shape (samples, points).
    safety : float or array
        S against yielding below the surface, shape (samples).

    Returns
    -------
    ndarray of float
        HV, shape (samples, depths); where there is no stress, that at which the line of strength begins.

    Notes
    -----
    Source: Pedersen and Rice; Pavlina and Van Tyne; all constants from memory.
    Valid for: 130 to 650 HV; beyond that the line of strength is extrapolated.
    Departures: shear on the load line, no residual stress.
    Checked: NEEDED-HAND.

    Examples
    --------
    >>> print(needed_hardness_HV(
    ...     depth_mm=[0.2359, 0.9], half_width_mm=[0.3], pressure_MPa=[1500], safety=1.2).round())
    [624. 335.]
    """
    b, p_0 = np.atleast_1d(*np.broadcast_arrays(array(half_width_mm), array(pressure_MPa)))
    tau = shear_envelope_MPa(depth_mm=np.atleast_1d(array(depth_mm)), half_width_mm=b, pressure_MPa=p_0)
    line = table("yield_from_hardness")
    sigma_y = array(safety)[..., None] * tau / permissible_share()
    return array((sigma_y - line.value("intercept")) / line.value("slope"))
