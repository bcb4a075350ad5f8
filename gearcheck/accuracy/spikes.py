"""Points of a trace that stand out from those around them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table

_NORMAL = 1.4826  # the median of the distances of a normal scatter, times this, is its standard deviation


def spikes(deviation_um: Number) -> NDArray[np.bool_]:
    """Return which points of a trace stand out: dust, a scratch, a jump of the probe.

    A point is held against the median of the seven points around it. It stands out where that distance is
    over 2 µm and over eight times the robust spread of all such distances on the trace.

    Parameters
    ----------
    deviation_um : array
        In µm, without the design trace, shape (..., points); NaN where a point is missing.

    Returns
    -------
    ndarray of bool
        Shape of `deviation_um`. A hint: nothing is taken out by it.

    Notes
    -----
    Source: a rule of our own, common practice.
    Valid for: spikes of up to three points; near an end of the trace one point less is seen.
    Departures: none.
    Checked: against a plain median, point by point.

    Examples
    --------
    >>> spikes([0.0, 0.1, 0.0, 9.0, 0.1, 0.0, 0.1, 0.0]).nonzero()[0].tolist()
    [3]
    """
    deviation = array(deviation_um)
    rule = table("trace_rules").value
    side = int(rule("window of a spike")) // 2
    distance = np.abs(deviation - _median(deviation, side))
    known = np.isfinite(distance)
    spread = _NORMAL * _nan_median(distance)
    limit = np.maximum(rule("spike in spreads") * spread, rule("smallest spike"))
    return np.asarray(known & (np.where(known, distance, 0.0) > limit[..., None]))


def _median(values: Array, side: int) -> Array:
    """The median of the points around each point, of fewer at the ends and beside gaps."""
    padded = np.pad(values, [(0, 0)] * (values.ndim - 1) + [(side, side)], constant_values=np.nan)
    around = np.lib.stride_tricks.sliding_window_view(padded, 2 * side + 1, axis=-1)
    return _nan_median(around)


def _nan_median(values: Array) -> Array:
    """The median along the last axis of what is known; NaN where nothing is."""
    ordered = np.sort(values, axis=-1)  # NaN goes last
    count = np.isfinite(values).sum(axis=-1)
    low, high = np.maximum(count - 1, 0) // 2, count // 2
    high = np.minimum(high, values.shape[-1] - 1)
    pair = (np.take_along_axis(ordered, at[..., None], axis=-1)[..., 0] for at in (low, high))
    return array(sum(pair) / 2)
