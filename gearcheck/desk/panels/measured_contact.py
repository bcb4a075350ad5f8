"""The teeth that were measured, under load: one revolution of the gear, and what orders it is made of."""

from __future__ import annotations

from collections.abc import Iterator

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_later import OfMesh
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.load_picture import WAITS
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.figures.revolution import spectrum_drawing, turn_drawing, turn_of

NOT_MEASURED = (
    "No teeth to put in: it takes a pitch that was measured on the part and holds, from a section "
    "[[evidence.pitch]] of the gear file; traces of profile and helix are added where there are any."
)


class MeasuredContact:
    """One revolution of the gear under review with the teeth that were measured.

    Parameters
    ----------
    view : ContactView
        What is known of the mesh that is shown.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "The measured gear against a mate as drawn, at the nominal torque. Teeth count in the order in which "
        "they come into mesh.",
        "z: number of teeth of the gear. A gear off centre makes order 1, and sidebands beside the mesh "
        "orders; one misplaced tooth fills the orders below them.",
        "A tooth without a trace takes the mean of those that were traced.",
    )

    def __init__(self, view: ContactView, say: Say) -> None:
        self._view = view
        self._turn, self._spectrum = SharedChart(), SharedChart()
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, self._turn, self._spectrum])
        self._follow()
        view.later.observe(guarded(lambda _: self._follow(), say), ["found", "waits"])
        view.observe(guarded(lambda _: self._follow(), say), "moved")

    def _follow(self) -> None:
        self._said.refresh()
        rest = self._view.at_rest
        turn = None
        if rest is not None and rest.turned is not None and not isinstance(rest.of, str):
            turn = turn_of(rest.turned, gear_is_pinion=rest.of.gear_is_pinion)
        self._turn.draw(None if turn is None else turn_drawing(turn))
        self._spectrum.draw(None if turn is None else spectrum_drawing(turn))

    def _words(self, _: Folds) -> str:
        head = '<h2 id="measured">With the teeth that were measured</h2>'
        rest = self._view.at_rest
        if rest is None:
            return f"{head}{WAITS}"
        if rest.turned is None:
            return f"{head}<p>{NOT_MEASURED}</p>"
        grey = ' class="gc-settling"' if self._view.later.waits else ""
        said = "".join(f"<p>{line}</p>" for line in _sentences(rest))
        return f"{head}<div{grey}>{said}{notices(rest.turned.notices)}</div>"


def _sentences(rest: OfMesh) -> Iterator[str]:
    found, of = rest.turned, rest.of
    assert found is not None
    assert not isinstance(of, str)
    member = "pinion" if of.gear_is_pinion else "wheel"
    teeth = int(array(getattr(found, f"{member}_teeth")))
    peak = value(float(array(found.peak_to_peak_um)), 2, "µm")
    yield (
        f"Over a revolution of {teeth} teeth the error under load is <b>{peak}</b> from peak to peak, "
        f"{value(float(array(getattr(found, f'{member}_arcsec'))), 1)}″ at the gear; as drawn it is "
        f"{value(rest.at('peak_to_peak_um'), 2, 'µm')} in each mesh cycle."
    )
    turn = float(array(getattr(found, f"{member}_turn_um")))
    order = float(array(found.orders_um).ravel()[0])
    sides = array(getattr(found, f"{member}_sidebands_um"))[0]
    yield (
        f"Once a turn it has an amplitude of {value(turn, 2, 'µm')}, at mesh order 1 "
        f"one of {value(order, 2, 'µm')}, and in the sidebands of that up to "
        f"{value(float(np.max(sides)), 2, 'µm')}."
    )
    tooth = rest.order[int(array(getattr(found, f"pressure_{member}_tooth"))) - 1]
    yield (
        f"The largest contact pressure is {value(float(array(found.largest_pressure_MPa)), 0, 'MPa')}, on "
        f"tooth {tooth}."
    )
