"""What the flanks feel along the path of contact: charts one below the other, on one axis."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.along import course_drawing
from gearcheck.review.along import Courses, courses

KEYS = ("pressure", "sliding", "film", "specific film", "temperature")
"""What may be known, in reading order."""


class Along:
    """The charts of one mesh.

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
        "A and E: start and end of contact. B to D: one pair of teeth carries all. C: the pitch point, where "
        "the flanks roll without sliding.",
        "The load is shared as by unmodified teeth; relief takes load off the ends.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._charts = {key: SharedChart() for key in KEYS}
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, *self._charts.values()])
        self._follow(None)
        state.observe(guarded(self._follow, say), "shown")

    def _both(self) -> tuple[Courses | None, Courses | None]:
        shown, ghost, place = self.state.shown, self.state.ghost, self._mesh()
        now = courses(shown.record, shown.chain.meshes[place])
        if shown is ghost:
            return now, None
        return now, courses(ghost.record, ghost.chain.meshes[place])

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        self._follow(None)

    def _follow(self, _: Any) -> None:
        now, before = self._both()
        self._said.refresh()
        for key, chart in self._charts.items():
            drawing = None if now is None else course_drawing(now, key, before)
            chart.draw(drawing)

    def _words(self, _: Folds) -> str:
        shown = self.state.shown
        mesh = shown.chain.meshes[self._mesh()]
        found = courses(shown.record, mesh)
        head = '<h2 id="along">Along the path of contact</h2>'
        if found is None:
            return f"{head}<p>The pair against {text(mesh.name)} has no path of contact.</p>"
        lines = "".join(f"<p>{text(line)}</p>" for line in found.missing)
        if found.loads:
            worst = " ".join(text(line) for line in found.loads)
            lines = f"<p>The curves belong to different steps of the duty. {worst}</p>{lines}"
        grey = " Grey and dotted: the record." if self.state.draft else ""
        return (
            f"{head}<p>Against {text(mesh.name)}, from the root of the pinion at the left to its tip at the "
            f"right.{grey}</p>{lines}"
        )
