"""What trades against what: one realistic step of each input, and what it does to every margin."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from gearcheck.basics.digits import MINUS, NO_BREAK
from gearcheck.basics.numbers import Array
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.review.contact_changes import CONTACT
from gearcheck.review.trade import Trade

_SHOWN = 0.005  # what is smaller is not seen in two decimals, or in whole per cent


def trades_html(state: Sheet) -> str:
    """Return the trade tables: a row for each margin that moves at all, a column for each step.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.

    Returns
    -------
    str
        HTML; in grey while it waits for a slider to rest.
    """
    found = state.slower
    if found is None or found.trades is None:
        return '<p class="gc-settling">One step of each input is being worked out</p>'
    waits = "" if state.settled else " gc-settling"
    trades = found.trades
    titles = {item.key: item.title for item in state.shown.requirements}
    moved = {key: series for key, series in trades.reserves.items() if _moves(series)}
    reserves = _table("Change of torque reserve", trades, moved, titles, _change)
    used = {key: series for key, series in trades.shares.items() if _moves(series)}
    used, titles = _both_flanks(used, titles)
    shares = _table("Change of the share used, % of tolerance or limit", trades, used, titles, _points)
    others = len(trades.reserves) + len(trades.shares) - len(moved) - len(used)
    same = "<p>No step moves any of the other margins.</p>" if others else ""
    if any(item.key.startswith(CONTACT) for item in state.shown.requirements):
        same += "<p>What a step does to the loaded contact is not in it: that is slower work.</p>"
    return f'<div class="gc-trades{waits}">{reserves}{shares}{same}</div>'


def together_html(state: Sheet) -> str:
    """Return what else moves with each input, for the margin."""
    lines = "".join(
        f"<p>{text(change.label)}: {text(change.goes_with)}.</p>"
        for change in state.changes
        if change.goes_with and change.traded
    )
    return f"<p>One realistic step of each input on the real calculation. With it go:</p>{lines}"


def _both_flanks(
    rows: Mapping[str, Array], titles: Mapping[str, str]
) -> tuple[dict[str, Array], dict[str, str]]:
    """One row where left and right flank move alike."""
    kept: dict[str, Array] = {}
    named = dict(titles)
    for key, series in rows.items():
        left = titles[key].replace("right flank", "left flank")
        twin = next((one for one in kept if titles[one] == left), None)
        if twin is not None and np.allclose(kept[twin], series, equal_nan=True):
            named[twin] = left.replace("left flank", "both flanks")
        else:
            kept[key] = series
    return kept, named


def _moves(series: Array) -> bool:
    """Whether a step changes what is written of it; a reserve that is lost or found does."""
    known = ~np.isnan(series)
    return bool((known != known[0]).any() or (np.abs(series - series[0])[known] >= _SHOWN).any())


def _table(
    caption: str,
    trades: Trade,
    rows: Mapping[str, Array],
    titles: Mapping[str, str],
    write: Callable[[float], str],
) -> str:
    if not rows:
        return ""
    steps = range(len(trades.changes))
    heads = "".join(f'<th scope="col" class="num">{_step(trades, place)}</th>' for place in steps)
    body = "".join(
        f'<tr><th scope="row">{text(titles.get(key, key))}</th>'
        + "".join(f'<td class="num">{write(series[place + 1] - series[0])}</td>' for place in steps)
        + "</tr>"
        for key, series in rows.items()
    )
    return (
        f'<table class="gc-table"><caption>{caption}</caption>'
        f'<thead><tr><th scope="col">One step</th>{heads}</tr></thead><tbody>{body}</tbody></table>'
    )


def _step(trades: Trade, place: int) -> str:
    change = trades.changes[place]
    before, after = (value(number, change.digits) for number in (trades.before[place], trades.after[place]))
    unit = f"{NO_BREAK}{change.unit}" if change.unit else ""
    return f"{text(change.label)} {before}{NO_BREAK}to {after}{unit}"


def _signed(number: float, digits: int) -> str:
    if np.isnan(number):
        return "none known"
    if abs(number) < 0.5 * 10.0**-digits:
        return "·"
    return f"{'+' if number > 0 else MINUS}{abs(number):.{digits}f}"


def _change(number: float) -> str:
    return _signed(number, 2)


def _points(number: float) -> str:
    return _signed(100 * number, 0)
