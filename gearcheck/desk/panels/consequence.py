"""What a class comes to, on the page: the tolerance budget, every class in a row, the measured flanks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearcheck.basics.digits import NO_BREAK, decimals_text
from gearcheck.basics.tables import table
from gearcheck.desk.panels.numbers import marked, source, value
from gearcheck.desk.words import capital, text
from gearcheck.review.budget import GroupBudget, budget_words
from gearcheck.review.consequence import Consequences, MarginOverClass
from gearcheck.review.consequence_words import EFFORT_WORDS, correction_words, step_words
from gearcheck.review.effort import TABLE
from gearcheck.review.measured_flanks import MeasuredCorrection, MeasuredError
from gearcheck.review.measured_words import error_words, measured_correction_words

_FACTORS = ("K_V", "K_Hα", "K_Hβ")
NO_CLASS = "<p>No class is drawn: a section [gear.accuracy] in the gear file says which.</p>"
ALONE = (
    "Each group of tolerances of the gear is moved alone, the mates keep theirs. The class agreed is the "
    "contract: what the calculation would carry beyond it is room to talk about, not to take."
)


def budget_html(found: Sequence[GroupBudget]) -> str:
    """Return the tolerance budget as a table with a sentence for each group.

    Parameters
    ----------
    found : sequence of GroupBudget
        Of one record.

    Returns
    -------
    str
        HTML.
    """
    if not found:
        return NO_CLASS
    heads = ("Tolerances of", "agreed", "drawn", "carried", "What the calculation says")
    head = "".join(
        f'<th scope="col"{_number(place in (1, 2, 3))}>{words}</th>' for place, words in enumerate(heads)
    )
    body = "".join(_budget_row(item) for item in found)
    always = list(dict.fromkeys(title for item in found for title in item.always))
    fails = (
        f"<p>{marked('; '.join(always))}: fails at every class, so no class mends it.</p>" if always else ""
    )
    return (
        f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{fails}'
        f"<p>{ALONE}</p>"
    )


def _number(is_number: bool) -> str:
    return ' class="num"' if is_number else ""


def _budget_row(item: GroupBudget) -> str:
    carried = "any" if not item.moved else "none" if item.coarsest is None else f"{item.coarsest:g}"
    said = budget_words(item).partition("; ")[2]
    agreed = "none" if item.agreed is None else f"{item.agreed:g}"
    numbers = "".join(f'<td class="num">{one}</td>' for one in (agreed, f"{item.drawn:g}", carried))
    return (
        f'<tr><th scope="row">{text(capital(item.group))}</th>{numbers}<td>{marked(capital(said))}</td></tr>'
    )


def consequence_html(found: Consequences | None) -> str:
    """Return what a class finer and a class coarser come to, the correction, and every class in a row.

    Parameters
    ----------
    found : Consequences or None
        Of one record.

    Returns
    -------
    str
        HTML.
    """
    if found is None:
        return NO_CLASS
    said = (step_words(found, -1), step_words(found, 1), correction_words(found))
    sentences = "".join(f"<p>{marked(words)}</p>" for words in said if words)
    return f"{sentences}{_classes_table(found)}{_reached_html()}"


def effort_source_html() -> str:
    """Return where the relative effort comes from, for the margin."""
    rule = table(TABLE)
    return f"<p>Effort: {text(rule.note)}</p>{source(rule.cite, str(rule.status))}"


def _reached_html() -> str:
    """What reaches which classes, the finest first."""
    said = [
        f"{row['name']}: {row['finest']} to {row['coarsest']}" for row in table(TABLE).rows if "finest" in row
    ]
    lines = "".join(f"<li>{text(capital(one))}</li>" for one in reversed(said))
    return f"<p>Classes that are usually reached (common practice, from memory):</p><ul>{lines}</ul>"


def _classes_table(found: Consequences) -> str:
    moved = [
        name for name in _FACTORS if any(_moves(found, place, name) for place in range(len(found.meshes)))
    ]
    columns = [f"{marked(name)}" for name in moved]
    columns += [
        "flank",
        "root",
        f"stock,{NO_BREAK}µm",
        *([f"case left,{NO_BREAK}mm"] if _has_case(found) else []),
        f"needed,{NO_BREAK}mm",
        "effort",
    ]
    head = "".join(f'<th scope="col" class="num">{words}</th>' for words in columns)
    body = "".join(_class_row(found, place, moved) for place in range(found.classes.size))
    left = ", the case that it leaves of the least drawn" if _has_case(found) else ""
    several = ", the largest of all meshes" if len(found.meshes) > 1 else ""
    return (
        f'<table class="gc-table"><caption>Class by class: load factors{several}, the least torque reserve '
        "of flank and root, the most that a correction takes off a flank"
        f"{left}, the case needed, and the effort ({EFFORT_WORDS})"
        f'</caption><thead><tr><th scope="col">Class</th>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table>"
    )


def _moves(found: Consequences, mesh: int, symbol: str) -> bool:
    return any(one.moves for one in found.meshes[mesh].factors if one.symbol == symbol)


def _class_row(found: Consequences, place: int, factors: Sequence[str]) -> str:
    marks = [
        word
        for word, number in (("drawn", found.drawn), ("agreed", found.agreed))
        if number == found.classes[place]
    ]
    said = f", <b>{' and '.join(marks)}</b>" if marks else ""
    name = f"{found.classes[place]:g}{said}"
    cells = [value(_largest(found, symbol, place), 2) for symbol in factors]
    cells += [_least(found, start, place) for start in ("stress.flank.", "stress.root.")]
    cells.append(value(float(np.ravel(found.correction.stock_um)[place]), 0))
    if _has_case(found):
        cells.append(value(float(found.left_mm[place]), 2))
    needed = [float(mesh.needed_mm[place]) for mesh in found.meshes]
    cells.append(value(None if np.isnan(needed).all() else float(np.nanmax(needed)), 2))
    low, high = found.effort.low[place], found.effort.high[place]
    cells.append("1" if low == high == 1 else f"{low:.1f} to {high:.1f}")
    numbers = "".join(f'<td class="num">{cell}</td>' for cell in cells)
    return f'<tr><th scope="row">{name}</th>{numbers}</tr>'


def _has_case(found: Consequences) -> bool:
    """Without a case drawn there is none to be left."""
    return not np.isnan(found.left_mm).all()


def _largest(found: Consequences, symbol: str, place: int) -> float:
    values = [one.values[place] for mesh in found.meshes for one in mesh.factors if one.symbol == symbol]
    return float(np.nanmax(values)) if values and not np.isnan(values).all() else np.nan


def _least(found: Consequences, start: str, place: int) -> str:
    """The least reserve of flank or root at a class; in words where there is no factor."""
    own = [one for one in found.margins if one.key.startswith(start)]
    if not own:
        return ""
    least = min(own, key=lambda one: _rank(one, place))
    factor, ends = float(least.turns.factor[place]), float(least.turns.ends[place])
    if not np.isnan(factor):
        word = "" if least.meets[place] else f"{NO_BREAK}fails"
        return f"{value(factor, 2)}{word}"
    if not np.isnan(ends):
        return f"no value beyond{NO_BREAK}{decimals_text(ends, 2)}"
    return "over 20" if least.meets[place] else "none"


def _rank(one: MarginOverClass, place: int) -> float:
    known = [float(item) for item in (one.turns.factor[place], one.turns.ends[place]) if not np.isnan(item)]
    return min(known, default=np.inf if one.meets[place] else 0.0)


def measured_html(errors: Sequence[MeasuredError], corrections: Sequence[MeasuredCorrection]) -> str:
    """Return what the measured flanks make: transmission error and correction, a paragraph each.

    Parameters
    ----------
    errors : sequence of MeasuredError
        Of one review.
    corrections : sequence of MeasuredCorrection
        Of the same.

    Returns
    -------
    str
        HTML.
    """
    said = [
        *(error_words(item) for item in errors),
        *(measured_correction_words(item) for item in corrections),
    ]
    if not said:
        return (
            "<p>No pitch was measured that still holds: the flanks make no transmission error to tell of.</p>"
        )
    return "".join(f"<p>{marked(words)}</p>" for words in said)
