"""What trades against what: one realistic step of each input, and what it does to every margin."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.report.digits import MINUS, NO_BREAK
from gearcheck.review.trade import Trade

_SAME = 0.0005


def trades_html(state: Sheet) -> str:
    """Return the trade table, and beside it the shares of tolerance that move at all.

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
    if found is None:
        return '<p class="gc-settling">One step of each input is being worked out</p>'
    waits = "" if state.settled else " gc-settling"
    titles = {item.key: item.title for item in state.shown.requirements}
    moving = {key: series for key, series in found.trades.shares.items() if _moves(series)}
    moving, titles = _both_flanks(moving, titles)
    reserves = _table("Change of torque reserve", found.trades, found.trades.reserves, titles, _change)
    shares = (
        _table("Change of tolerance used, % of it", found.trades, moving, titles, _points) if moving else ""
    )
    return f'<div class="gc-trades{waits}">{reserves}{shares}</div>'


def _both_flanks(
    columns: Mapping[str, Array], titles: Mapping[str, str]
) -> tuple[dict[str, Array], dict[str, str]]:
    """One column where left and right flank move alike."""
    kept: dict[str, Array] = {}
    named = dict(titles)
    for key, series in columns.items():
        left = titles[key].replace("right flank", "left flank")
        twin = next((one for one in kept if titles[one] == left), None)
        if twin is not None and np.allclose(kept[twin], series, equal_nan=True):
            named[twin] = left.replace("left flank", "both flanks")
        else:
            kept[key] = series
    return kept, named


def _moves(series: Array) -> bool:
    return bool(np.nanmax(np.abs(series - series[0])) > _SAME)


def _table(
    caption: str,
    trades: Trade,
    columns: Mapping[str, Array],
    titles: Mapping[str, str],
    write: Callable[[float], str],
) -> str:
    heads = "".join(f'<th scope="col" class="num">{text(titles.get(key, key))}</th>' for key in columns)
    rows = "".join(
        f'<tr><th scope="row">{_step(trades, place)}</th>'
        + "".join(
            f'<td class="num">{write(series[place + 1] - series[0])}</td>' for series in columns.values()
        )
        + "</tr>"
        for place in range(len(trades.changes))
    )
    return (
        f'<div class="gc-scroll"><table class="gc-table"><caption>{caption}</caption>'
        f'<thead><tr><th scope="col">One step</th>{heads}</tr></thead><tbody>{rows}</tbody></table></div>'
    )


def _step(trades: Trade, place: int) -> str:
    change = trades.changes[place]
    before, after = (value(number, change.digits) for number in (trades.before[place], trades.after[place]))
    unit = f"{NO_BREAK}{change.unit}" if change.unit else ""
    return f"{text(change.label)} {before} to {after}{unit}"


def _signed(number: float, digits: int) -> str:
    if np.isnan(number):
        return "none known"
    if abs(number) < 0.5 * 10.0**-digits:
        return "same"
    return f"{'+' if number > 0 else MINUS}{abs(number):.{digits}f}"


def _change(number: float) -> str:
    return _signed(number, 2)


def _points(number: float) -> str:
    return _signed(100 * number, 0)
