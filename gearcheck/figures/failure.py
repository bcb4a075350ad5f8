"""Which mode of failure comes first: the torque reserve of each over speed or life, named on its line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.digits import THIN, number_text
from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.labels import spread_within
from gearcheck.review.failure_map import Against, FailureMap, Mode

_HIGHEST = 4.0  # reserves beyond are told in words
_LOWEST = 0.3  # lines below run along the foot of the drawing: they would leave no room for the others
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
_WHOLE = (  # thin spaces between thousands, as everywhere else on the page
    "datum.value < 10000 ? format(datum.value, '~r') : "
    f"replace(format(datum.value, ',~r'), regexp(',', 'g'), '{THIN}')"
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


def tone_of(key: str) -> str:
    """Return the tone of a mode by the key of its requirement."""
    known = (tone for kind, _, tone in _KINDS if key.startswith(kind))
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
        layout=_layout(
            _TITLES[found.against],
            _ticks(float(values[0]), float(values[-1])),
            max(_HEIGHT, _LINE_PX * len(found.modes)),
        ),
        rows={
            "frame": frame({"at": [values[0], right], "reserve": [low, high]}),
            "least": frame({"at": values, "reserve": np.maximum(least, low)}),
            "lines": _lines(modes, values, low),
            "foot": _foot(values, least, low),
            "names": _names(found, modes, values, (low, high)),
            "now": frame({"at": [] if now is None else [now], "label": "" if now is None else ["now"]}),
            "one": frame(
                {
                    "at": [values[0]],
                    "end": [values[-1]],
                    "reserve": [1.0],
                    "label": ["torque of the record"],
                    "tone": [tones.INK],
                }
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
    (one, *_), (other, *_) = runs
    turn = number_text(float(f"{_turn(found):.1e}"))
    return f"{one} comes first up to about {turn} {found.unit}, then {other}"


def _turn(found: FailureMap) -> float:
    """Where one mode takes over from another: where the straight lines between the values cross."""
    titles = [mode.title for mode in found.modes]
    place = next(n for n, pair in enumerate(pairwise(found.first)) if pair[0] != pair[1])
    here, there = (float(value) for value in found.values[place : place + 2])
    if not {found.first[place], found.first[place + 1]} <= set(titles):
        return here
    one, other = (
        np.log(found.modes[titles.index(found.first[number])].reserve[place : place + 2])
        for number in (place, place + 1)
    )
    before, after = other - one
    share = before / (before - after) if np.isfinite(before - after) and before > after else 0.0
    return float(here * (there / here) ** share)


def _in_words(name: str) -> str:
    """The short name as part of a sentence."""
    what, _, whose = name.partition(", ")
    return f"the {what} of {whose.replace('gear', 'the gear', 1)}" if whose else what


def _ends(modes: tuple[Mode, ...]) -> tuple[float, float]:
    known = np.concatenate([mode.reserve[~np.isnan(mode.reserve)] for mode in modes])
    return min(0.9, max(_LOWEST, 0.92 * float(known.min()))), min(
        _HIGHEST, max(1.15, 1.08 * float(known.max()))
    )


def _lines(modes: tuple[Mode, ...], values: Array, low: float) -> pd.DataFrame:
    parts = [
        frame(
            {
                "at": values,
                "reserve": np.where(mode.reserve < _HIGHEST, np.maximum(mode.reserve, low), np.nan),
                "mode": mode.key,
                "role": "mate" if mode.key.endswith(".mate") else "gear",
                "tone": tone_of(mode.key),
            }
        ).dropna()
        for mode in modes
    ]
    return joined(parts, ("at", "reserve", "mode", "role", "tone"))


def _foot(values: Array, least: Array, low: float) -> pd.DataFrame:
    """Words where a line runs along the foot of the drawing, since its reserve lies below it."""
    under = values[least < low]
    said = [f"under {low:.2f}"] if under.size else []
    return frame(
        {"at": under[:1], "reserve": [low] * len(said), "label": said, "tone": [tones.QUIET] * len(said)}
    )


def _names(
    found: FailureMap, modes: tuple[Mode, ...], values: Array, ends_of_scale: tuple[float, float]
) -> pd.DataFrame:
    """A name right of each line, moved apart where lines run close."""
    low, high = ends_of_scale
    known = dict(zip((mode.key for mode in found.modes), names(found), strict=True))
    ends = [float(mode.reserve[~np.isnan(mode.reserve)][-1]) for mode in modes]
    gap = np.log(high / low) * _LINE_PX / max(_HEIGHT, _LINE_PX * len(found.modes))
    places = list(np.log(np.clip(ends, low, high)))
    apart = spread_within(places, gap, np.log(low) + gap / 3, np.log(high) - gap / 3)
    return frame(
        {
            "at": values[-1],
            "reserve": np.exp(apart),
            "label": [
                f"{known[mode.key]} {_reserve(end, low)}" for mode, end in zip(modes, ends, strict=True)
            ],
            "tone": [tone_of(mode.key) for mode in modes],
        }
    )


def _reserve(value: float, low: float) -> str:
    """A reserve as it is written, and in words where it lies beyond the scale."""
    if value < low:
        return f"under {low:.2f}"
    return f"over {_HIGHEST:.0f}" if value > _HIGHEST else f"{value:.2f}"


def _ticks(low: float, high: float) -> tuple[float, ...]:
    """Round values between both ends, and none where the names stand."""
    steps = (1, 2, 5) if high / low < _DECADES else (1,)
    powers = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
    every = [step * 10.0**power for power in powers for step in steps]
    return tuple(value for value in every if low <= value <= high)


@cache
def _layout(title: str, at: tuple[float, ...], height: int) -> dict[str, Any]:
    ticks = alt.Axis(grid=False, labelExpr=_WHOLE, values=list(at), tickCount=len(at), labelOverlap=False)
    x = alt.X("at:Q", title=title, scale=alt.Scale(type="log", nice=False), axis=ticks)
    values = [0.3, 0.5, 0.8, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0]
    y = alt.Y(
        "reserve:Q",
        title="torque reserve",
        scale=alt.Scale(type="log", nice=False),
        axis=alt.Axis(values=values, tickCount=len(values), format="~g"),
    )
    least = rows("least").mark_line(strokeWidth=11, color=tones.RULE, opacity=0.75)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        least.encode(x=x, y=y),
        rows("now").mark_rule(color=tones.GHOST, strokeDash=[2, 3]).encode(x=x),
        rows("now")
        .mark_text(baseline="bottom", dy=-3, color=tones.QUIET)
        .encode(x=x, y=alt.value(0), text="label:N"),
        rows("one").mark_rule(color=tones.INK).encode(x=x, x2="end:Q", y=y),  # not through the names
        words("one", x, y, dx=4, dy=9),
        rows("lines")
        .mark_line(strokeWidth=2.5)
        .encode(x=x, y=y, detail="mode:N", color=own_tone(), strokeDash=broken("role", "gear", "mate")),
        words("foot", x, y, dx=6, dy=-12),
        words("names", x, y, dx=9),
        height=height,
    )
