"""How far each criterion is used up below the flank of one mesh, for the case as drawn or another one."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import settling, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.exposures import exposures_drawing
from gearcheck.hardening.criteria import Criterion
from gearcheck.review.balance import Held

HEAD = '<h2 id="exposures">Criteria side by side</h2>'
NOTHING = (
    "The criteria are not held side by side: that takes a section [gear.subsurface], a case and the agreed "
    "safety below the surface."
)
_DEEPER = 1.3
"""Times the deepest finished case."""


class Exposures:
    """The chart with its sentence, and a button for each other hardness profile.

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
        "Exposure: stress times the agreed safety over strength. Each criterion holds a stress of its own "
        "against a strength of its own; the numbers of two criteria do not compare.",
        "At each depth the worst point of the path. Dang Van counts the residual stress, the others do not.",
        "With inclusions: the lower bound of the strength, not the expected one.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._profile = ""
        self._chart = SharedChart()
        self._said = Piece(self._words, say, self._act)
        self.widget = widgets.VBox([self._said, self._chart])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), ["shown", "settled"])

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        found, case = self._shown(), self.state.drawn.record.gear.case
        drawing = None
        if found is not None and case is not None:
            drawing = exposures_drawing(found.exposure, _DEEPER * float(case.finished_max_mm))
        self._said.refresh()
        self._chart.draw(drawing)

    def _act(self, act: str) -> None:
        self._profile = act.partition(":")[2]
        self.follow()

    def _held(self) -> tuple[Held, ...]:
        balance = self.state.drawn.balance
        name = self.state.drawn.chain.meshes[self._mesh()].name
        return () if balance is None else balance.held_in(name)

    def _shown(self) -> Held | None:
        found = self._held()
        return next((one for one in found if one.profile == self._profile), found[0] if found else None)

    def _words(self, _: Folds) -> str:
        found = self._shown()
        if found is None:
            return f"{HEAD}<p>{NOTHING}</p>"
        most = {one: found.largest(one) for one in Criterion}
        over = [one for one, (exposure, _) in most.items() if exposure > 1]
        worst = max(most, key=lambda one: most[one][0])
        exposure, depth = most[worst]
        used = ", ".join(text(one) for one in over)
        said = f"overstressed by {used}" if over else "no criterion finds it overstressed"
        others = "".join(
            f' <button type="button" class="gc-do" data-act="profile:{text(one.profile)}">{text(one.profile)}'
            "</button>"
            for one in self._held()
            if one.profile != found.profile
        )
        return (
            f"{HEAD}<p>The case {text(found.profile)}: {said}. The largest exposure is {value(exposure, 2)}, "
            f"by {text(worst)} at {value(depth, 2, 'mm')}.{others}</p>{_limits(found)}"
            f"{settling(self.state)}"
        )


def _limits(found: Held) -> str:
    """How deep a measured profile is assessed, and what is not known of it."""
    if not found.limits:
        return ""
    said = f"{found.limits[0].upper()}{found.limits[1:]}."
    return f'<p class="gc-quiet">{text(said)}</p>'
