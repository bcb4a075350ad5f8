"""The tones of page and charts: the same tone for the same thing everywhere; the stylesheet repeats them.

The hues are those of the colour-blind safe set of Okabe and Ito, the ones for words darkened until their
contrast on the paper is 7 to 1. A tone never stands alone: a word, a mark or a dash says the same.
"""

from __future__ import annotations

PAPER = "#fdfcf8"
INK = "#1c1b18"
QUIET = "#514f48"
RULE = "#cbc6b8"
ACCENT = "#004a7c"

WORDS = {
    "meets": "#00553d",
    "fails": "#8c2f00",
    "not-assessed": "#514f48",
    "shown": "#00553d",
    "open": "#004a7c",
    "stale": "#6b345a",
    "contradicted": "#8c2f00",
    "not-needed-yet": "#514f48",
    "caution": "#664400",
}
"""The tones of the answer words and of a caution."""

DEMAND = "#0072b2"
CAPACITY = "#008a64"
LIMIT = "#c25200"
MEASURED = "#b0568a"
GHOST = "#8a877d"
"""What is asked of the gear, what it can stand, a limit, what was measured, and the record under a draft."""

SERIES = (DEMAND, LIMIT, CAPACITY, MEASURED, INK)
"""For series without a name of their own."""

PRESSURE = (PAPER, "#cbdce5", "#96bcd5", "#609dc6", "#2d7db1", "#0b5d8f", "#003f67", "#00233f")
"""From nothing to the most: one hue, its lightness falling in even steps."""
