"""Which mode of failure comes first: the torque reserve of each over speed or life, named on its line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.labels import spread
from gearcheck.review.failure_map import Against, FailureMap, Mode

_HIGHEST = 4.0  # reserves beyond are told in words
_HEIGHT = 320
_LINE_PX = 19  # between two labels
_DECADES = 30.0  # a wider range is marked by its powers of ten alone
_ROOM = 0.62  # of the decades drawn: the labels right of the lines
_KINDS = (
    ("stress.flank", "flank", tones.DEMAND),
    ("stress.root", "root", tones.LIMIT),
    ("stress.static_flank", "flank at peak", tones.ACCENT),
    ("stress.static_root", "root at peak", tones.WORDS["fails"]),
    ("case.needed", "case depth", tones.CAPACITY),
    ("case.solved", "yielding below the surface", tones.MEASURED),
    ("stress.scuffing", "scuffing", tones.INK),
    ("stress.micropitting", "micropitting", tones.QUIET),
)
_TITLES = {Against.SPEED: "speed of the gear, rpm", Against.LIFE: "life, h"}


def names(found: FailureMap) -> tuple[str, ...]:
    """Return the short names of all modes."""
    return tuple(short_names({mode.key: mode.title for mode in found.modes}).values())


def short_names(titles: Mapping[str, str]) -> dict[str, str]:
    """Return short names by key: what fails, of which gear, and against which mate where there are several.

    Parameters
    ----------
    titles : mapping of str to str
        The titles of requirements by their keys.

    Returns
    -------
    dict of str to str
        In the same order; the title itself where a key is of no known kind.

    Examples
    --------
    >>> short_names({"stress.flank.wheel.mate": "Flank stress, wheel"})
    {'stress.flank.wheel.mate': 'flank, wheel'}
    """
    short = {key: _parts(key) or (title, "") for key, title in titles.items()}
    plain = [name for name, _ in short.values()]
    return {
        key: f"{name} against {mesh}" if plain.count(name) > 1 and mesh else name
        for key, (name, mesh) in short.items()
    }


def _parts(key: str) -> tuple[str, str] | None:
    """The short name of a key, and its mesh; None where the key is of no known kind."""
    for kind, said, _ in _KINDS:
        if key.startswith(f"{kind}."):
            rest = key.removeprefix(f"{kind}.")
            mesh, _, role = rest.rpartition(".")
            if role == "mate":
                return f"{said}, {mesh}", ""
            return (f"{said}, gear", mesh) if role == "gear" else (said, rest)
    return None


def _tone(mode: Mode) -> str:
    known = (tone for key, _, tone in _KINDS if mode.key.startswith(key))
    return next(known, tones.INK)


def near(found: FailureMap) -> tuple[Mode, ...]:
    """Return the modes that come within the scale anywhere."""
    return tuple(mode for mode in found.modes if bool((mode.reserve < _HIGHEST).any()))


def beyond(found: FailureMap) -> tuple[str, ...]:
    """Return the names of the modes that stay beyond the scale."""
    every = zip(found.modes, names(found), strict=True)
    return tuple(name for mode, name in every if bool((mode.reserve >= _HIGHEST).all()))


def failure_drawing(found: FailureMap, now: float | None = None) -> Drawing | None:
    """Draw the torque reserve of each mode.

    Parameters
    ----------
    found : FailureMap
        Over speed or life.
    now : float, optional
        Where the gear itself stands.

    Returns
    -------
    Drawing or None
        As wide as its column; None where no mode comes near.
    """
    modes = near(found)
    if not modes:
        return None
    values = np.asarray(found.values, dtype=np.float64)
    low, high = _ends(modes)
    right = values[-1] * (values[-1] / values[0]) ** _ROOM
    least = np.nanmin(np.stack([mode.reserve for mode in modes]), axis=0)
    return Drawing(
        layout=_layout(_TITLES[found.against], _ticks(float(values[0]), float(values[-1]))),
        rows={
            "frame": frame({"at": [values[0], right], "reserve": [low, high]}),
            "least": frame({"at": values, "reserve": least}),
            "lines": _lines(modes, values),
            "names": _names(found, modes, values, (low, high)),
            "now": frame({"at": [] if now is None else [now], "label": "" if now is None else ["now"]}),
            "one": frame(
                {"at": [values[0]], "reserve": [1.0], "label": ["torque of the record"], "tone": [tones.INK]}
            ),
        },
        words=f"Torque reserve over {_TITLES[found.against]}: {first_words(found)}",
    )


def first_words(found: FailureMap) -> str:
    """Say which mode comes first, and where that changes."""
    by_title = {mode.title: _in_words(name) for mode, name in zip(found.modes, names(found), strict=True)}
    runs: list[tuple[str, float, float]] = []
    for title, value in zip(found.first, found.values, strict=True):
        name = by_title.get(title, "none known")
        if runs and runs[-1][0] == name:
            runs[-1] = (name, runs[-1][1], float(value))
        else:
            runs.append((name, float(value), float(value)))
    if len(runs) == 1:
        return f"{runs[0][0]} comes first throughout"
    if len(runs) > 2:
        *others, last_one = dict.fromkeys(name for name, *_ in runs)
        return f"{', '.join(others)} and {last_one} come first by turns"
    (one, _, last), (other, *_) = runs
    return f"{one} comes first up to {last:.0f} {found.unit}, then {other}"


def _in_words(name: str) -> str:
    """The short name as part of a sentence."""
    what, _, whose = name.partition(", ")
    return f"the {what} of {whose.replace('gear', 'the gear', 1)}" if whose else what


def _ends(modes: tuple[Mode, ...]) -> tuple[float, float]:
    known = np.concatenate([mode.reserve[~np.isnan(mode.reserve)] for mode in modes])
    return min(0.9, 0.92 * float(known.min())), min(_HIGHEST, max(1.15, 1.08 * float(known.max())))


def _lines(modes: tuple[Mode, ...], values: Array) -> pd.DataFrame:
    parts = [
        frame(
            {
                "at": values,
                "reserve": np.where(mode.reserve < _HIGHEST, mode.reserve, np.nan),
                "mode": mode.key,
                "role": "mate" if mode.key.endswith(".mate") else "gear",
                "tone": _tone(mode),
            }
        ).dropna()
        for mode in modes
    ]
    return joined(parts, ("at", "reserve", "mode", "role", "tone"))


def _names(
    found: FailureMap, modes: tuple[Mode, ...], values: Array, ends_of_scale: tuple[float, float]
) -> pd.DataFrame:
    """A name right of each line, moved apart where lines run close."""
    low, high = ends_of_scale
    known = dict(zip((mode.key for mode in found.modes), names(found), strict=True))
    ends = [float(np.clip(mode.reserve[~np.isnan(mode.reserve)][-1], low, high)) for mode in modes]
    decades = np.log(high / low)
    apart = spread(list(np.log(ends)), decades * _LINE_PX / _HEIGHT)
    return frame(
        {
            "at": values[-1],
            "reserve": np.exp(np.clip(apart, np.log(low), np.log(high))),
            "label": [f"{known[mode.key]} {end:.2f}" for mode, end in zip(modes, ends, strict=True)],
            "tone": [_tone(mode) for mode in modes],
        }
    )


def _ticks(low: float, high: float) -> tuple[float, ...]:
    """Round values between both ends, and none where the names stand."""
    steps = (1, 2, 5) if high / low < _DECADES else (1,)
    powers = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
    every = [step * 10.0**power for power in powers for step in steps]
    return tuple(value for value in every if low <= value <= high)


@cache
def _layout(title: str, at: tuple[float, ...]) -> dict[str, Any]:
    ticks = alt.Axis(grid=False, format=",~r", values=list(at), labelOverlap=False)
    x = alt.X("at:Q", title=title, scale=alt.Scale(type="log", nice=False), axis=ticks)
    values = [0.2, 0.5, 0.8, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0]
    y = alt.Y(
        "reserve:Q",
        title="torque reserve",
        scale=alt.Scale(type="log", nice=False),
        axis=alt.Axis(values=values, format="~g"),
    )
    least = rows("least").mark_line(strokeWidth=11, color=tones.RULE, opacity=0.75)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        least.encode(x=x, y=y),
        rows("now").mark_rule(color=tones.GHOST, strokeDash=[2, 3]).encode(x=x),
        rows("now")
        .mark_text(baseline="bottom", dy=-3, color=tones.QUIET)
        .encode(x=x, y=alt.value(0), text="label:N"),
        rows("one").mark_rule(color=tones.INK).encode(y=y),
        words("one", x, y, dx=4, dy=9),
        rows("lines")
        .mark_line(strokeWidth=2.5)
        .encode(x=x, y=y, detail="mode:N", color=own_tone(), strokeDash=broken("role", "gear", "mate")),
        words("names", x, y, dx=9),
        height=_HEIGHT,
    )
