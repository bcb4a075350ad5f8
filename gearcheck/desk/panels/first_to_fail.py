"""Which mode of failure comes first: two charts that follow a draft at rest, over speed and over life."""

from __future__ import annotations

from functools import partial
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.later import Later, waiting_html
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.figures.failure import beyond, failure_drawing, first_words
from gearcheck.review.failure_map import Against, FailureMap

_OVER = {Against.SPEED: "Over speed, the torque held", Against.LIFE: "Over the life required"}


class FirstToFail:
    """The charts, each with a sentence.

    Parameters
    ----------
    later : Later
        What follows the draft.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Each line: the factor on torque at which that mode reaches its limit. The lowest, shaded, is the "
        "one that fails first.",
        "Full lines: the gear under review. Broken lines: its mates. The number beside a name is the reserve "
        "at the right end of its line.",
        "Under a duty the torque and the speed of all its steps go along, and scuffing, micropitting, case "
        "depth and yielding are those of the step that is worst for each at that speed.",
        "A mode that this record does not reach has no line; that it is missing does not mean it is safe.",
    )

    def __init__(self, later: Later, say: Say) -> None:
        self._later = later
        self._charts = {against: SharedChart() for against in Against}
        self._said = {
            against: Piece(partial(self._sentence, place), say) for place, against in enumerate(Against)
        }
        parts: list[widgets.Widget] = [Piece(self._head, say)]
        for against in Against:
            parts += [self._said[against], self._charts[against]]
        self.widget = widgets.VBox(parts)
        self._follow(None)
        later.observe(guarded(self._follow, say), ["found", "waits"])

    def _head(self, _: Folds) -> str:
        return '<h2 id="first">What fails first</h2>'

    def _sentence(self, place: int, _: Folds) -> str:
        return waiting_html(self._later, lambda found: _said(found.maps[place]))

    def _follow(self, _: Any) -> None:
        found = self._later.found
        for place, (against, chart) in enumerate(self._charts.items()):
            self._said[against].refresh()
            drawing = None if found is None else failure_drawing(found.maps[place], found.now[place])
            chart.draw(drawing)


def _said(found: FailureMap) -> str:
    if not found.modes:
        return f"<p>{_OVER[found.against]}: this record reaches no mode that hangs on torque.</p>"
    far = beyond(found)
    rest = f" Beyond the scale: {marked('; '.join(far))}." if far else ""
    return f"<p>{_OVER[found.against]}: {marked(first_words(found))}.{rest}</p>"
