"""Files of traces for the tests: of four teeth, both flanks, as straight as a rule."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

TEETH = (1, 6, 11, 16)
ALONG = {"profile": "roll_mm", "helix": "face_mm"}
REACH = {"profile": (7.8, 25.8), "helix": (0.0, 42.0)}
"""Of the gear of the starter."""


def head(kind: str) -> str:
    """The columns of a file of traces."""
    return f"tooth,flank,{ALONG[kind]},deviation_um"


def trace_rows(kind: str, teeth: Iterable[int] = TEETH, points: int = 181) -> list[str]:
    """Rows of traces that rise by their tooth's number over a hundred in µm a mm, and a wave of a tenth."""
    places = np.linspace(*REACH[kind], points)
    return [
        f"{tooth},{flank},{place:.4f},{tooth / 100 * place + 0.1 * np.cos(3 * place):.4f}"
        for tooth in teeth
        for flank in ("left", "right")
        for place in places
    ]


def write_traces(folder: Path, kind: str, rows: list[str] | None = None, columns: str = "") -> Path:
    """Write a file of traces."""
    path = folder / f"{kind}.csv"
    rows = trace_rows(kind) if rows is None else rows
    path.write_text("\n".join([columns or head(kind), *rows]) + "\n", encoding="utf-8")
    return path
