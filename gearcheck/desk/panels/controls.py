"""Sliders: each stands where the number that it moves is read, with the record's value beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.review.change import Change

PLACES = {
    "torque": "stress",
    "face_width": "stress",
    "profile_shift": "geometry",
    "class": "accuracy",
    "relief_start": "contact",
    "helix_crowning": "contact",
    "misalignment": "contact",
    "case_depth": "case depth",
    "stock": "case depth",
}
"""At which station each input is read."""

_STEPS = 60  # about so many presses of a key from the record's value to an end


def grid(change: Change, value: float, low: float, high: float) -> tuple[float, float, float]:
    """Return least value, largest value and step of a slider that meets the record's value.

    Parameters
    ----------
    change : Change
        For its digits.
    value, low, high : float
        The record's value, and the ends of the reach.

    Returns
    -------
    tuple of float
        Ends inside the reach, whole steps away from the value.

    Examples
    --------
    >>> from gearcheck.review.changes import CHANGES
    >>> grid(CHANGES[0], 1290.0, 645.0, 1935.0)
    (650.0, 1930.0, 20.0)
    """
    if change.whole:
        return math.ceil(low), math.floor(high), 1
    finest = 10.0**-change.digits
    rough = max((high - low) / (2 * _STEPS), finest)
    power = 10.0 ** math.floor(math.log10(rough))
    step = max(next(size * power for size in (1, 2, 5, 10) if size * power >= rough * 0.999), finest)
    below, above = (math.floor(abs(end - value) / step + 1e-9) for end in (low, high))
    digits = max(change.digits, 0) + 2
    return round(value - below * step, digits), round(value + above * step, digits), round(step, digits)


def sliders(state: Sheet, station: str, say: Say) -> list[widgets.Widget]:
    """Return the sliders of one station, tied to the draft.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Its name.
    say : Say
        Where trouble is told.

    Returns
    -------
    list of Widget
        In reading order.
    """
    return [_slider(state, change, say) for change in state.changes if PLACES.get(change.key) == station]


def controls(state: Sheet, station: str, say: Say) -> list[widgets.Widget]:
    """Return the sliders of one station, and below each what moves along with its input.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Its name.
    say : Say
        Where trouble is told.

    Returns
    -------
    list of Widget
        In reading order.
    """
    here = (change for change in state.changes if PLACES.get(change.key) == station)
    return [part for change in here for part in _with_its_note(state, change, say)]


def sliders_of(state: Sheet, keys: Sequence[str], say: Say) -> list[widgets.Widget]:
    """Return the sliders of some inputs, each in a box with what moves along.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    keys : sequence of str
        The keys of the changes in reading order; what the record lacks is left out.
    say : Say
        Where trouble is told.

    Returns
    -------
    list of Widget
        One for each input.
    """
    known = {change.key: change for change in state.changes}
    return [widgets.VBox(_with_its_note(state, known[key], say)) for key in keys if key in known]


def _with_its_note(state: Sheet, change: Change, say: Say) -> list[widgets.Widget]:
    slider = _slider(state, change, say)
    if not change.goes_with:
        return [slider]
    return [slider, widgets.HTML(f'<p class="gc-goes">With it: {text(change.goes_with)}.</p>')]


def _slider(state: Sheet, change: Change, say: Say) -> widgets.Widget:
    record = float(change.read(state.record))
    low, high, step = grid(change, record, *change.bounds(state.record))
    now = state.value(change.key)

    def fitting(value: float) -> float:
        """A value between two steps, such as that of a remedy, would be rounded by the browser."""
        steps = (value - record) / step
        return step if change.whole or abs(steps - round(steps)) < 1e-6 else 10.0**-change.digits

    called = f"{change.label} {change.symbol}".rstrip()
    unit = f", {change.unit}" if change.unit else ""
    kind = widgets.IntSlider if change.whole else widgets.FloatSlider
    number = int if change.whole else float
    slider = kind(
        value=number(now),
        min=number(min(low, now)),
        max=number(max(high, now)),
        step=number(fitting(now)),
        description=f"{called}{unit} (record {record:.{change.digits}f})",
        readout_format="d" if change.whole else f".{change.digits}f",
        style={"description_width": "initial"},
    )

    def moved(event: Any) -> None:
        state.move(change.key, float(event["new"]))

    def follow(_: Any) -> None:
        value = state.value(change.key)
        if abs(value - slider.value) > 1e-9:
            slider.min, slider.max = min(slider.min, number(value)), max(slider.max, number(value))
            slider.step = number(fitting(value))
            slider.value = number(value)

    slider.observe(guarded(moved, say), "value")
    state.observe(guarded(follow, say), "draft")
    return slider
