"""The sliders of the fatigue sheet: reliability, confidence, scatter, strength, beside the record's value."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_view import FatigueView, Wanted

RELIABILITIES = (0.5, 0.9, 0.95, 0.99, 0.995, 0.999, 0.9999, 0.99999, 0.999999)
CONFIDENCES = (0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99)
CHANCES = (0.5, 0.7, 0.8, 0.9, 0.95, 0.99)
_SCATTER, _TRANSFER = (0.5, 2.0, 0.05), (0.7, 1.3, 0.01)
_WIDE = {"description_width": "initial"}


def wanted_sliders(view: FatigueView, say: Say) -> list[widgets.Widget]:
    """Return the sliders of what is asked, in reading order.

    Parameters
    ----------
    view : FatigueView
        What they move.
    say : Say
        Where trouble is told.
    """
    return [
        _steps(view, say, "reliability", "Reliability R", RELIABILITIES),
        _steps(view, say, "confidence", "Confidence C", CONFIDENCES),
        _factor(view, say, "scatter", "Scatter, times what was fitted", _SCATTER),
        _factor(view, say, "transfer", "Strength of the gear, times what the transfers leave", _TRANSFER),
    ]


def passing_slider(view: FatigueView, say: Say) -> widgets.Widget:
    """Return the slider of the chance that makes an endurance test worth starting.

    Parameters
    ----------
    view : FatigueView
        What it moves.
    say : Say
        Where trouble is told.
    """
    return _steps(view, say, "passing", "Chance that makes the test worth starting", CHANCES)


def _steps(view: FatigueView, say: Say, key: str, called: str, steps: Sequence[float]) -> widgets.Widget:
    record = float(getattr(view.agreed, key))
    values = sorted({*steps, record, float(getattr(view.wanted, key))})
    slider = widgets.SelectionSlider(
        options=[(f"{one:.7g}", one) for one in values],
        value=float(getattr(view.wanted, key)),
        description=f"{called} ({'begins at' if key == 'passing' else 'record'} {record:.7g})",
        style=_WIDE,
    )
    return _wired(view, say, key, slider, lambda value: value if value in values else None)


def _factor(
    view: FatigueView, say: Say, key: str, called: str, ends: tuple[float, float, float]
) -> widgets.Widget:
    low, high, step = ends
    slider = widgets.FloatSlider(
        value=float(getattr(view.wanted, key)),
        min=low,
        max=high,
        step=step,
        description=f"{called} (record {getattr(view.agreed, key):.2f})",
        readout_format=".2f",
        style=_WIDE,
    )
    return _wired(view, say, key, slider, lambda value: value)


def _wired(
    view: FatigueView, say: Say, key: str, slider: Any, known: Callable[[float], float | None]
) -> widgets.Widget:
    def moved(event: Any) -> None:
        if float(event["new"]) != getattr(view.wanted, key):
            view.ask(**{key: float(event["new"])})

    def follow(_: Any) -> None:
        wanted: Wanted = view.wanted
        value = known(float(getattr(wanted, key)))
        if value is not None and value != slider.value:
            slider.value = value

    slider.observe(guarded(moved, say), "value")
    view.observe(guarded(follow, say), "moved")
    return widgets.VBox([slider])
