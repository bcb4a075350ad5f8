"""Each clause that can be read two ways: the reading followed, and what the other does to this gear."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from gearcheck.basics.digits import MINUS, NO_BREAK
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.words import text
from gearcheck.figures.failure import short_names
from gearcheck.review.alternatives import Alternative, Effect

BESIDE = "agma."
_COLUMNS = 6
_SHOWN = 0.0005  # what is smaller is not seen in tenths of a per cent


def readings_html(found: Iterable[Alternative]) -> str:
    """Return the table of readings: a row for each other reading, a column for each margin.

    Parameters
    ----------
    found : iterable of Alternative
        As `alternatives` gives them; none where the record names no methods.

    Returns
    -------
    str
        HTML: the clauses that this gear feels, the most first, then those that it does not.
    """
    every = list(found)
    if not every:
        return "<p>The record names no methods, so no clause is read yet.</p>"
    told = {one.clause for one in every if one.effects}
    same = dict.fromkeys(one.clause for one in every if one.clause not in told)
    rest = f"<p>This gear does not feel: {marked('; '.join(same))}.</p>" if same else ""
    return _table(_felt(every, beside=False), "Margin as followed") + rest


def beside_html(found: Iterable[Alternative]) -> str:
    """Return the same table for the standard that stands beside: what its own clauses do to its safeties."""
    return _table(_felt(found, beside=True), "Safety as followed")


def _felt(every: Iterable[Alternative], *, beside: bool) -> list[Alternative]:
    """The readings that move margins of the governing standard, or of the one beside it, the most first."""
    own = [
        replace(one, effects=tuple(item for item in one.effects if item.key.startswith(BESIDE) is beside))
        for one in every
    ]
    return sorted((one for one in own if one.effects), key=lambda one: -abs(one.effects[0].change))


def _table(felt: list[Alternative], followed: str) -> str:
    if not felt:
        return ""
    columns = _columns(felt)
    heads = "".join(f'<th scope="col" class="num">{text(name)}</th>' for name, _ in columns.values())
    margins = "".join(
        f'<td class="num" data-name="{text(name)}">{now:.2f}</td>' for name, now in columns.values()
    )
    rows = "".join(_row(one, columns) for one in felt)
    return (
        '<table class="gc-table gc-readings"><thead><tr><th scope="col">Clause, followed and otherwise</th>'
        f'{heads}</tr></thead><tbody><tr><th scope="row">{followed}</th>{margins}</tr>'
        f"{rows}</tbody></table>"
    )


def _columns(felt: list[Alternative]) -> dict[str, tuple[str, float]]:
    """The margins that any reading moves, by their keys, with their short names: the tightest."""
    known = {effect.key: effect for one in felt for effect in one.effects}
    tightest = sorted(known, key=lambda key: known[key].now)[:_COLUMNS]
    own = {key: known[key].title.partition(", ANSI")[0].lower() for key in tightest}
    names = short_names(
        {key: own[key] if key.startswith(BESIDE) else known[key].title for key in sorted(own)}
    )
    return {key: (name, known[key].now) for key, name in names.items()}


def _row(one: Alternative, columns: Mapping[str, tuple[str, float]]) -> str:
    own = "" if one.primary else " (not the primary reading)"
    effects = {effect.key: effect for effect in one.effects}
    cells = "".join(_cell(effects.get(key), name) for key, (name, _) in columns.items())
    return (
        f'<tr><th scope="row" title="{text(one.about)}">{marked(one.clause)}<br><span class="gc-quiet">'
        f"{marked(one.used)}{own}; otherwise {marked(one.other)}</span></th>{cells}</tr>"
    )


def _cell(effect: Effect | None, name: str) -> str:
    """The change of one margin; a narrow page writes its name before it, and leaves out what stays."""
    if effect is None or abs(effect.change) < _SHOWN:
        return '<td class="num" data-same>·</td>'
    return f'<td class="num" data-name="{text(name)}">{_change(effect)}</td>'


def _change(effect: Effect) -> str:
    """In per cent, and the answer where it hangs on the reading."""
    sign = "+" if effect.change > 0 else MINUS
    said = f"{sign}{100 * abs(effect.change):.1f}{NO_BREAK}%"
    if effect.change > 1:
        said = f"{1 + effect.change:.1f}{NO_BREAK}times"
    if effect.key.startswith(BESIDE):
        return said
    if effect.now >= 1 > effect.other:
        return f'{said}<br><span class="gc-answer fails">fails</span>'
    if effect.now < 1 <= effect.other:
        return f'{said}<br><span class="gc-answer meets">meets</span>'
    return said
