"""The consequences of a class in sentences: a class finer, a class coarser, what a correction leaves."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import decimals_text
from gearcheck.review.consequence import Consequences, MarginOverClass
from gearcheck.review.words import lower_first

EFFORT_WORDS = "common practice, from memory: a rule of thumb, no price"


def step_words(found: Consequences, step: int) -> str:
    """Say what the next finer or coarser class changes.

    Parameters
    ----------
    found : Consequences
        Of a record.
    step : int
        1 for a class coarser, -1 for a class finer.

    Returns
    -------
    str
        One or two sentences; empty where there is no such class.
    """
    other = found.place + step
    if not 0 <= other < found.classes.size:
        return ""
    word = "coarser" if step > 0 else "finer"
    parts = [*_factors(found, other), *_tightest(found, other)]
    moved = "; ".join(parts) if parts else "no load factor and no reserve changes"
    lost = [one.title for one in found.margins if one.meets[found.place] and not one.meets[other]]
    won = [one.title for one in found.margins if not one.meets[found.place] and one.meets[other]]
    turned = "".join(
        f" {_listed(titles)} then {verb if len(titles) == 1 else plural}."
        for titles, verb, plural in ((lost, "fails", "fail"), (won, "meets", "meet"))
        if titles
    )
    low, high = found.effort.low[other], found.effort.high[other]
    return (
        f"One class {word}, {found.classes[other]:g} instead of {found.drawn:g}: {moved}.{turned} The teeth "
        f"take {decimals_text(low, 1)} to {decimals_text(high, 1)} times the effort ({EFFORT_WORDS})."
    )


def _factors(found: Consequences, other: int) -> Iterator[str]:
    several = len(found.meshes) > 1
    for mesh in found.meshes:
        for factor in mesh.factors:
            now, then = factor.values[found.place], factor.values[other]
            if factor.symbol in ("K_V", "K_Hα", "K_Hβ") and abs(then - now) >= 0.005:
                where = f" with {mesh.name}" if several else ""
                yield f"{factor.symbol}{where} {then:.2f} instead of {now:.2f}"


def _tightest(found: Consequences, other: int) -> Iterator[str]:
    """The flank and the root with the least reserve, where it moves."""
    for words, start in (("flank", "stress.flank."), ("root", "stress.root.")):
        own = [one for one in found.margins if one.key.startswith(start)]
        known = [one for one in own if np.isfinite(one.turns.factor[found.place])]
        if not known:
            continue
        least = min(known, key=lambda one: float(one.turns.factor[found.place]))
        now, then = _reserve(least, found.place), _reserve(least, other)
        if now != then:
            yield f"torque reserve of the {words} {then} instead of {now} ({lower_first(least.title)})"


def _reserve(margin: MarginOverClass, place: int) -> str:
    factor, ends = margin.turns.factor[place], margin.turns.ends[place]
    if np.isfinite(factor):
        return decimals_text(float(factor), 2)
    return f"unknown beyond {decimals_text(float(ends), 2)}" if np.isfinite(ends) else "none"


def correction_words(found: Consequences) -> str:
    """Say what it takes to bring flanks at the limits of the class drawn into true, and what that leaves.

    Parameters
    ----------
    found : Consequences
        Of a record.

    Returns
    -------
    str
        One or two sentences; empty where the tolerances have no value.
    """
    stock = np.ravel(found.correction.stock_um)[found.place]
    if np.isnan(stock):
        return ""
    left = found.left_mm[found.place]
    said = (
        f"To bring flanks that use all of class {found.drawn:g} into true, up to "
        f"{decimals_text(float(stock), 0, 'µm')} has to come off on each flank: pitch, profile and helix at "
        "their limits at one place, which is rare."
    )
    if np.isnan(left):
        return said
    needs = [(mesh.name, float(mesh.needed_mm[found.place])) for mesh in found.meshes]
    told = [
        f"where {decimals_text(need, 2, 'mm')} is needed against {name}{_short(left, need)}"
        for name, need in needs
        if not np.isnan(need)
    ]
    return (
        f"{said} The least case drawn is then {decimals_text(float(left), 2, 'mm')} {_listed(told)}".rstrip()
        + "."
    )


def _short(left: float, need: float) -> str:
    return "" if left >= need else f", {decimals_text(need - left, 2, 'mm')} short"


def _listed(words: list[str]) -> str:
    return ", ".join(words[:-1]) + " and " + words[-1] if len(words) > 1 else "".join(words)
