"""The callouts of the drawing: what stands on it, what set it, and what happens if it is relaxed."""

from __future__ import annotations

from gearcheck.desk.panels.characteristic import serves_html
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.words import text
from gearcheck.review.callouts import Callout, callouts
from gearcheck.review.results import Review


def callouts_html(shown: Review) -> str:
    """Return every callout in the order of making.

    Parameters
    ----------
    shown : Review
        Of the revision that holds.

    Returns
    -------
    str
        HTML.
    """
    return f'<div class="gc-callouts">{"".join(_callout(shown, item) for item in callouts(shown))}</div>'


def _callout(shown: Review, item: Callout) -> str:
    stands = "".join(f"<p>{marked(line)}</p>" for line in item.lines)
    keys = tuple(one.key for one in item.set_by)
    set_by = f"<p>Set by {serves_html(shown, keys)}.</p>" if keys else ""
    step = f" <b>{text(item.step)}</b>: {marked('; '.join(item.effects))}." if item.step else ""
    return (
        f'<section class="gc-row gc-callout" data-key="{text(item.key)}"><div class="gc-main">'
        f'<h3>{text(item.title)}</h3>{stands}<p class="gc-relaxed">If relaxed: '
        f'{text(item.if_relaxed)}{step}</p></div><div class="gc-margin">{set_by}</div></section>'
    )
