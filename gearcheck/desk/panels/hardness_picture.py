"""Hardness over depth: what is needed, drawn and measured, with the shear stress below it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

import ipywidgets as widgets

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import settling
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.depth import depth_curves, depth_drawing
from gearcheck.figures.depths import depth_lines, drawn_depth
from gearcheck.figures.hardness import hardness_curves, hardness_drawing
from gearcheck.review.inputs import State, TraversePlace


class HardnessPicture:
    """The picture of one mesh: hardness above, shear stress below.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    mesh : callable
        Gives the place of the mesh that is shown.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "It does not yield where the green lines lie above the blue one at every depth, not at 550 HV alone.",
        "550 HV is where a case depth is read; it says nothing of the hardness above or below it.",
        "Every depth is that of the finished flank. A traverse of the case as treated is moved by the stock "
        "that came off.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._hardness, self._shear = SharedChart(), SharedChart()
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, self._hardness, self._shear])
        self._follow(None)
        state.observe(guarded(self._follow, say), ["shown", "settled"])

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        self._follow(None)

    def _follow(self, _: Any) -> None:
        shown, place = self.state.drawn, self._mesh()
        lines, curves = depth_lines(shown, self.state.ghost, place), hardness_curves(shown, place)
        above = hardness_drawing(curves, lines) if curves else None
        solved = shown.settled[place].required if shown.settled else None
        sheared = depth_curves(solved, drawn_depth(shown)) if lines else ()
        below = depth_drawing(lines, sheared) if sheared else None
        self._said.refresh()
        for chart, drawing in ((self._hardness, above), (self._shear, below)):
            chart.show(cast(Any, drawing), words="" if drawing is None else f"{drawing.words}.")

    def _words(self, _: Folds) -> str:
        shown = self.state.shown
        name = shown.chain.meshes[self._mesh()].name
        head = '<h2 id="picture">Hardness over depth</h2>'
        if shown.record.gear.case is None or shown.record.gear.steel is None:
            return (
                f"{head}<p>The record draws no case: sections [gear.case] and [gear.steel] are missing.</p>"
            )
        unplaced = sum(
            item.place is TraversePlace.PITCH_LINE
            and item.state is not State.FINISHED
            and item.stock_removed_mm is None
            for item in shown.record.traverse
        )
        left_out = (
            f"<p>{unplaced} traverse{'s' if unplaced > 1 else ''} of the case as treated "
            f"{'are' if unplaced > 1 else 'is'} not drawn: how much was ground off there is not said.</p>"
            if unplaced
            else ""
        )
        return (
            f"{head}<p>What the contact with {text(name)} asks of the metal at each depth, and what the case "
            f"gives it.</p>{settling(self.state)}{left_out}"
        )
