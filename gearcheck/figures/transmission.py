"""The unloaded transmission error over one revolution of the gear, with what comes once a turn."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.transmission import TransmissionError
from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, rows

_HEIGHT_PX = 260
_MOST_POINTS = 1600  # a line of more points looks the same


def transmission_drawing(found: TransmissionError, flank: str = "") -> Drawing | None:
    """Draw the transmission error tooth by tooth, and its part that comes once a turn as a broken line.

    Parameters
    ----------
    found : TransmissionError
        Of one flank, without arrays of samples.
    flank : str
        Which one.

    Returns
    -------
    Drawing or None
        As wide as its column; None where there is no value.
    """
    if found.peak_to_peak_um is None:
        return None
    curve = array(found.curve_um) - array(found.curve_um).mean()
    once, teeth = part_once_a_turn(curve), int(found.teeth)
    places = kept_places(curve)
    tooth = 1.0 + places / curve.size * teeth
    low, high = _ends(np.concatenate([curve, once]))
    peak = float(found.peak_to_peak_um)
    whose = f"{flank} flanks: " if flank else ""
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"tooth": [1.0, teeth + 1.0], "error": [low, high]}),
            "curve": frame({"tooth": tooth, "error": curve[places]}),
            "once": frame({"tooth": tooth, "error": once[places]}),
            "ends": frame({"tooth": [1.0, 1.0], "error": [curve.min(), curve.max()]}),
            "named": frame(
                {
                    "tooth": [1.0],
                    "error": [float(curve.max())],
                    "label": [f"{whose}{peak:.1f} µm from peak to peak"],
                    "tone": [tones.MEASURED],
                }
            ),
            "once_named": frame(
                {
                    "tooth": [1.0 + int(once.argmin()) / curve.size * teeth],
                    "error": [low],
                    "label": [f"once a turn {float(found.turn_peak_to_peak_um):.1f} µm"],
                    "tone": [tones.QUIET],
                }
            ),
        },
        words=f"Unloaded transmission error over a revolution of {teeth} teeth: {peak:.1f} µm from peak to "
        f"peak, {float(found.turn_peak_to_peak_um):.1f} µm of it once a turn and "
        f"{float(found.mesh_peak_to_peak_um):.1f} µm at mesh frequency",
    )


def part_once_a_turn(curve: Array) -> Array:
    """Return the part of a curve over one revolution that comes back once in it, at the same places."""
    spectrum = np.fft.rfft(curve)
    spectrum[0], spectrum[2:] = 0.0, 0.0
    return np.asarray(np.fft.irfft(spectrum, curve.size))


def kept_places(curve: Array) -> NDArray[np.intp]:
    """Return so many places that the line looks the same: of each stretch its lowest and its highest point.

    Parameters
    ----------
    curve : ndarray
        Shape (points,).

    Returns
    -------
    ndarray of int
        In rising order.
    """
    if curve.size <= _MOST_POINTS:
        return np.arange(curve.size)
    length = -(-curve.size // (_MOST_POINTS // 2))
    padded = np.pad(curve, (0, -curve.size % length), mode="edge").reshape(-1, length)
    start = np.arange(padded.shape[0]) * length
    both = np.stack([start + padded.argmin(axis=1), start + padded.argmax(axis=1)])
    return np.unique(np.minimum(both, curve.size - 1))


def _ends(values: Array) -> tuple[float, float]:
    room = 0.22 * max(float(np.ptp(values)), 0.1)
    return float(values.min()) - room, float(values.max()) + room


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    title = "tooth that comes into contact"
    x = alt.X("tooth:Q", title=title, scale=exact, axis=alt.Axis(grid=False, tickMinStep=1, format="d"))
    y = alt.Y(
        "error:Q",
        title="transmission error, µm",
        scale=exact,
        axis=alt.Axis(grid=False, tickCount=5),
    )
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("ends").mark_rule(color=tones.RULE, strokeWidth=1.5).encode(y=y),
        rows("once").mark_line(strokeWidth=2, strokeDash=[7, 4], color=tones.QUIET).encode(x=x, y=y),
        rows("curve").mark_line(strokeWidth=2, color=tones.MEASURED, strokeJoin="round").encode(x=x, y=y),
        *backed("named", x, y, dx=4, dy=-12),
        *backed("once_named", x, y, align="center", dx=0, dy=-10),
        height=_HEIGHT_PX,
    )
