"""The shear stress below the contact as a map, at the point of the path that governs."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import settling, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.stress_map import map_drawing
from gearcheck.hardening.fatigue_exposure import CriteriaExposure
from gearcheck.hardening.required import RequiredCaseDepth


class BelowContact:
    """The map of one mesh.

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
        "Elastic line contact in closed form, with the friction of [gear.subsurface] where it is given.",
        "Without safety; with the residual stress of the case as drawn, by the model of [gear.subsurface].",
        "The bar on top is the width of the contact.",
        "The rolling contact carries this field along the flank: each place below feels all of it once in a "
        "mesh.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._chart = SharedChart()
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, self._chart])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), ["shown", "settled"])

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        solved = self._solved()
        drawing = None if solved is None else map_drawing(solved, self._friction(), self._residual())
        self._said.refresh()
        self._chart.draw(drawing)

    def _friction(self) -> float:
        asked = self.state.drawn.record.subsurface
        return 0.0 if asked is None else float(array(asked.friction))

    def _residual(self) -> CriteriaExposure | None:
        """The case as drawn, in which the residual stress stands."""
        shown = self.state.drawn
        name = shown.chain.meshes[self._mesh()].name
        held = () if shown.balance is None else shown.balance.held_in(name)
        return held[0].exposure if held else None

    def _solved(self) -> RequiredCaseDepth | None:
        shown = self.state.drawn
        solved = shown.settled[self._mesh()].required if shown.settled else None
        if solved is None or solved.half_width_mm is None:
            return None
        return solved if array(solved.pressure_MPa).max() > 0 else None

    def _added(self) -> str:
        """What residual stress is in the picture."""
        held = self._residual()
        if held is None:
            return ", without residual stress"
        least = value(array(held.residual_stress_MPa).min(), 0, "MPa")
        return f", with the residual stress of the case drawn, down to {least}"

    def _words(self, _: Folds) -> str:
        head = '<h2 id="below">Below the contact</h2>'
        solved, name = self._solved(), self.state.shown.chain.meshes[self._mesh()].name
        if solved is None:
            return f"{head}<p>Without a contact pressure there is no stress to draw.</p>"
        pressure = value(array(solved.pressure_MPa).max(), 0, "MPa")
        where = "presses hardest" if solved.point is None else "asks for the deepest case"
        return (
            f"{head}<p>The shear stress in the tooth against {text(name)} where the path {where}; the "
            f"largest pressure on it is {pressure}, friction {value(self._friction(), 2)}{self._added()}.</p>"
            f"{settling(self.state)}"
        )
