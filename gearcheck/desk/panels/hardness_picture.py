"""Hardness over depth: what is needed, drawn and measured, with the shear stress below it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import settling, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.case_scale import case_answer, case_scale, case_scale_drawing
from gearcheck.figures.depth import DepthLine, depth_curves, depth_drawing
from gearcheck.figures.depths import depth_lines, drawn_depth
from gearcheck.figures.hardness import HardnessCurve, hardness_curves, hardness_drawing


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
        "The metal does not yield as long as the green lines lie above the blue one at every depth.",
        "Grey: what the furnace is predicted to leave, softest under the largest stock, where the record "
        "says how the gear is carburised.",
        "Needed: the depth by the figure that governs. Solved: the least that does not yield.",
        "550 HV is where a case depth is read; it says nothing of the hardness nearer the surface or deeper.",
        "Every depth of the curves is that of the finished flank. A traverse of the case as treated is moved "
        "by the stock that came off; where nobody says how much, by the largest that is drawn.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._scale, self._hardness, self._shear = SharedChart(), SharedChart(), SharedChart()
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, self._scale, self._hardness, self._shear])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), ["shown", "settled"])

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        shown, place = self.state.drawn, self._mesh()
        lines = [one for one in depth_lines(shown, self.state.ghost, place) if not _is_told(one)]
        depths = case_scale(shown, place)
        scale = case_scale_drawing(depths) if depths else None
        reach = self._reach(lines)
        curves = hardness_curves(shown, place, to_mm=reach)
        above = hardness_drawing(curves, lines) if curves else None
        solved = shown.settled[place].required if shown.settled else None
        sheared = depth_curves(solved, drawn_depth(shown), to_mm=reach or None) if lines else ()
        below = depth_drawing(lines, sheared) if sheared else None
        self._said.refresh()
        for chart, drawing in ((self._scale, scale), (self._hardness, above), (self._shear, below)):
            chart.draw(drawing)

    def _reach(self, lines: Sequence[DepthLine]) -> float:
        """How deep both charts go, so that a depth stands at the same place in each; 0 without a case."""
        case = self.state.drawn.record.gear.case
        if case is None:
            return 0.0
        deepest = max((line.depth_mm for line in lines), default=0.0)
        return max(1.8 * float(case.finished_max_mm), 1.75 * deepest)

    def _words(self, _: Folds) -> str:
        shown = self.state.shown
        name = shown.chain.meshes[self._mesh()].name
        head = '<h2 id="picture">Hardness over depth</h2>'
        gear = shown.record.gear
        parts = (("[gear.case]", gear.case), ("[gear.steel]", gear.steel))
        missing = [name for name, part in parts if part is None]
        if missing:
            told = f"section{'s' if len(missing) > 1 else ''} {' and '.join(missing)} missing"
            return f"{head}<p>No hardness is drawn: {told}.</p>"
        waits = settling(self.state)
        told = " ".join(closest(hardness_curves(self.state.drawn, self._mesh())))
        greyed = ' class="gc-settling"' if waits else ""
        return (
            f"{head}<p{greyed}><strong>{text(case_answer(self.state.drawn, self._mesh()))}</strong></p>"
            f"<p>All depths at 550 HV of the mesh with {text(name)}; below, the hardness and the shear "
            f"stress at each depth.</p><p{greyed}>{told}</p>{waits}"
        )


def _is_told(line: DepthLine) -> bool:
    """Whether a depth stands on the scale above alone, so that the curves are not crossed by every depth."""
    return line.label.startswith(("left at least", "measured"))


def closest(curves: Sequence[HardnessCurve]) -> Iterator[str]:
    """Say where each case comes closest to what is needed, or from where to where it falls short."""
    needed = next((one for one in curves if one.label.startswith("needed")), None)
    if needed is None:
        return
    for name, label in (
        ("The shallowest case drawn", "drawn, shallowest"),
        ("The softest case predicted", "predicted, softest"),
    ):
        for one in (one for one in curves if one.label == label):
            spare = array(one.hardness_HV) - array(needed.hardness_HV)
            at = int(np.nanargmin(spare))
            asked = value(needed.hardness_HV[at], 0, "HV")
            least = f"{value(one.hardness_HV[at], 0, 'HV')} where {asked} is needed"
            depth = value(one.depth_mm[at], 2, "mm")
            short = one.depth_mm[spare < 0]
            if short.size == 0:
                yield f"{name} is closest at {depth}: {least}."
                continue
            reach = f"{value(short[0], 2)} to {value(short[-1], 2, 'mm')}"
            yield f"{name} falls short from {reach}, most at {depth}: {least}."
