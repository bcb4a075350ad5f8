"""What the scatter of manufacture does to the loaded contact: many gears on request, as bars."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.running import Part, Running
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.made import made_drawing
from gearcheck.meshing.scatter import ScatterSoFar
from gearcheck.review.contact_made import GEAR_SHARE, GEARS, SLICES, can_scatter, made_contact


class MadeContact:
    """Gears drawn at random within their classes, for the mesh that is shown.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    view : ContactView
        What is known of the mesh that is shown.
    say : Say
        Where trouble is told.
    heard : callable
        How many seconds ago the page was heard of.
    """

    MARGIN = (
        "Pitch, profile slope and helix slope scatter normally, so that 19 of 20 values keep what the class "
        "drawn allows; a gear without a class is taken as drawn.",
        f"{100 * GEAR_SHARE:.0f} % of the variance of the slopes is common to all teeth of a gear: an "
        "assumption of ours, as is the normal distribution. Your own measured gears say it better.",
        "The gears are the same at each run, so that two drafts differ by what they are.",
        f"For so many gears the face is cut into {SLICES} slices, fewer than above: hold them against "
        "what is as drawn here.",
    )

    def __init__(self, state: Sheet, view: ContactView, say: Say, heard: Callable[[], float]) -> None:
        self._state, self._view = state, view
        self._found: ScatterSoFar | None = None
        self._of: tuple[Mapping[str, float], int] | None = None
        self._charts = SharedChart(), SharedChart()
        self._said = Piece(self._words, say)
        self.running = Running(
            self._begin, self._show, say, start=f"Make {GEARS} gears", counted="gears", heard=heard
        )
        columns = [widgets.VBox([one]).add_class("gc-column") for one in self._charts]
        self._pair = widgets.Box(columns).add_class("gc-pair")
        self.widget = widgets.VBox([self._said, self.running.widget, self._pair])
        view.observe(guarded(lambda _: self._said.refresh(), say), "moved")

    def _begin(self) -> Iterator[Part]:
        """Nothing is worked out here: that waits for the thread."""
        shown, place = self._state.shown, self._view.place
        self._found, self._of = None, (dict(self._state.draft), place)
        found = made_contact(shown.record, shown.chain, place)
        return (Part(done=int(array(one.done)), of=int(array(one.of)), found=one) for one in found)

    def _show(self, found: Any) -> None:
        self._found = found
        self._said.refresh()
        of_error, of_pressure = self._charts
        of_error.draw(
            made_drawing(
                array(found.peak_to_peak_um),
                title="TE from peak to peak over a revolution",
                unit="µm",
                digits=2,
                drawn=_number(found.drawn_peak_to_peak_um),
            )
        )
        of_pressure.draw(
            made_drawing(
                array(found.largest_pressure_MPa),
                title="largest pressure p₀",
                unit="MPa",
                digits=0,
                drawn=_number(found.drawn_pressure_MPa),
            )
        )

    def _words(self, _: Folds) -> str:
        head = '<h2 id="made">What the scatter of manufacture does</h2>'
        if why := self._nothing():
            return f"{head}<p>No gears can be drawn at random: {text(why)}.</p>"
        asked = (
            f"<p>{GEARS} gears as the classes drawn let them be made, each over one revolution at the "
            "nominal torque.</p>"
        )
        if self._found is None:
            return f"{head}{asked}"
        grey = ' class="gc-old"' if self._is_old() else ""
        said = _sentence(self._found)
        old = "<p>This is of another draft or mesh: make them anew for what stands now.</p>" if grey else ""
        return f"{head}{asked}{old}<div{grey}><p>{said}</p>{notices(self._found.notices)}</div>"

    def _is_old(self) -> bool:
        return self._of != (self._state.draft, self._view.place)

    def _nothing(self) -> str:
        """Why no gears can be made; empty where they can, or where that is not known yet."""
        rest = self._view.at_rest
        if rest is None:
            return ""
        if isinstance(rest.of, str):
            return rest.of
        return can_scatter(rest.chain)


def _sentence(found: ScatterSoFar) -> str:
    count = int(array(found.done))
    order = float(np.quantile(array(found.mesh_order_um), 0.95))
    return (
        f"Of {count} gears half have an error below "
        f"{value(_number(found.median_peak_to_peak_um), 2, 'µm')} from peak to peak, and 19 of 20 below "
        f"<b>{value(_number(found.high_peak_to_peak_um), 2, 'µm')}</b>; as drawn it is "
        f"{value(_number(found.drawn_peak_to_peak_um), 2, 'µm')}. The largest contact pressure is below "
        f"<b>{value(_number(found.high_pressure_MPa), 0, 'MPa')}</b> for 19 of 20, and "
        f"{value(_number(found.drawn_pressure_MPa), 0, 'MPa')} as drawn. Mesh order 1 stays below "
        f"{value(order, 2, 'µm')} for 19 of 20."
    )


def _number(number: Number) -> float:
    return float(array(number))
