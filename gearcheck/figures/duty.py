"""Damage by step of a duty: which steps spend the life of flank and root, of both gears."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.digits import number_text
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, frame, joined, layout, own_tone, rows
from gearcheck.review.bins import DamageByBin
from gearcheck.stress.life import Damage

_STEP_PX = 38
_BAR_PX = 11
_TOLD = 0.02  # of the most that any step does: what is less has no number beside it
_ROOM = 1.35  # beyond the longest bar, for its label
_WORDS = {Damage.FLANK: "pitting of the flank", Damage.ROOT: "breakage of the root"}


def bins_drawing(now: DamageByBin, mate: str, record: DamageByBin | None = None) -> Drawing:
    """Draw the damage of each step of the duty.

    Parameters
    ----------
    now : DamageByBin
        As drafted.
    mate : str
        The name of the mate.
    record : DamageByBin, optional
        Of the record, where a draft is under way.

    Returns
    -------
    Drawing
        As wide as its column: two bars for each step, the upper one that of the gear under review.
    """
    bars = _bars(now, mate)
    peak = int(bars["damage"].to_numpy().argmax())
    worst = bars.to_dict("records")[peak]
    return Drawing(
        layout=_layout(len(now.steps), f"damage by {_WORDS[now.damage]}"),
        rows={
            "bars": bars,
            "record": _ghosts(bars, None if record is None else _bars(record, mate)),
            "frame": frame(
                {"step": [now.steps[0]], "place": [0], "damage": [_ROOM * float(worst["damage"])]}
            ),
        },
        words=f"Damage of each step of the duty by {_WORDS[now.damage]}; the most is {worst['label']} "
        f"at {worst['step']}",
    )


def _bars(found: DamageByBin, mate: str) -> pd.DataFrame:
    sides = (("the gear", found.gear, -0.5, tones.DEMAND), (mate, found.mate, 0.5, tones.QUIET))
    known = [values for values in (found.gear, found.mate) if values is not None]
    least = _TOLD * max(float(values.max()) for values in known)
    parts = [
        frame(
            {
                "step": found.steps,
                "place": range(len(found.steps)),
                "damage": np.asarray(values),
                "whose": name,
                "offset": offset,
                "tone": tone,
                "label": [f"{name} {number_text(value, 2)}" if value > least else "" for value in values],
            }
        )
        for name, values, offset, tone in sides
        if values is not None
    ]
    return joined(parts, ("step", "place", "damage", "whose", "offset", "tone", "label"))


def _ghosts(bars: pd.DataFrame, record: pd.DataFrame | None) -> pd.DataFrame:
    """A tick where the record stood, in the row of the same step."""
    if record is None or len(record) != len(bars):
        return bars.iloc[:0]
    found = bars.assign(damage=record["damage"].to_numpy())
    return found[(found["label"] != "") | (record["label"] != "").to_numpy()]


@cache
def _layout(steps: int, title: str) -> dict[str, Any]:
    plain = alt.Axis(domain=False, ticks=False, labelPadding=8, labelLimit=0, grid=False)
    y = alt.Y("step:N", title=None, sort=alt.EncodingSortField("place", op="min"), axis=plain)
    scale = alt.Scale(zero=True, nice=False)
    x = alt.X("damage:Q", title=title, scale=scale, axis=alt.Axis(format="~g", tickCount=4))
    shift = alt.YOffset("offset:Q", scale=alt.Scale(domain=[-1, 1], range=[2, _STEP_PX - 2]))
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("bars").mark_bar(height=_BAR_PX).encode(x=x, y=y, yOffset=shift, color=own_tone()),
        rows("bars").mark_text(align="left", dx=6).encode(x=x, y=y, yOffset=shift, text="label:N"),
        rows("record")
        .mark_tick(thickness=3, size=_BAR_PX + 6, color=tones.GHOST)
        .encode(x=x, y=y, yOffset=shift),
        height=_STEP_PX * steps,
    )
