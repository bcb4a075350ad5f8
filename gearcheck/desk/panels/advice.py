"""Where the profile shift would balance both gears of a mesh, with a draft that goes there."""

from __future__ import annotations

from collections.abc import Iterable

from gearcheck.basics.digits import MINUS
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.words import capital, text
from gearcheck.review.shift_advice import Goal, ShiftAdvice

_SAID = {
    Goal.SLIDING: ("Equal sliding", "specific sliding at the start of each flank", "ζ"),
    Goal.ROOTS: ("Equal roots", "root safety", "S_F"),
}
_SAME = 0.005


def advice_html(found: Iterable[ShiftAdvice]) -> str:
    """Return what the shift advisor says.

    Parameters
    ----------
    found : iterable of ShiftAdvice
        As `shift_advice` gives them.

    Returns
    -------
    str
        HTML: a paragraph for each mesh and goal.
    """
    said = "".join(_one(place, item) for place, item in enumerate(found))
    return said or "<p>There is no profile shift to move.</p>"


def _one(place: int, item: ShiftAdvice) -> str:
    title, what, symbol = _SAID[item.goal]
    head = f"<b>{title}, against {text(item.mesh)}.</b> "
    now = ""
    if item.gear_value is not None and item.mate_value is not None:
        now = (
            f"At x = {item.now:.2f} the {what} is {symbol} = {item.gear_value:.2f} on the gear and "
            f"{item.mate_value:.2f} on {text(item.mesh)}. "
        )
    if item.gear is None or item.mate is None:
        return f"<p>{head}{marked(now)}{marked(capital(item.reason))}.</p>"
    both = "" if item.balanced_value is None else f": both then {symbol} = {item.balanced_value:.2f}"
    there = f"It balances at x = {item.gear:.2f} on the gear and {item.mate:.2f} on {text(item.mesh)}{both}. "
    there = there.replace("= -", f"= {MINUS}").replace("and -", f"and {MINUS}")
    if abs(item.gear - item.now) < _SAME:
        return f"<p>{head}{marked(now)}It is balanced.</p>"
    button = f'<button type="button" class="gc-do" data-act="advise:{place}">put it on the sheet</button>'
    return f"<p>{head}{marked(now)}{marked(there)}{button}</p>"
