"""How unevenly the loaded mesh turns: its error over a mesh cycle, its orders, and both over torque."""

from __future__ import annotations

from collections.abc import Iterator

import ipywidgets as widgets
import numpy as np

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_later import NOMINAL, OfMesh
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.load_picture import WAITS
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.figures.turning import (
    OverTorque,
    cycle_drawing,
    orders_drawing,
    over_torque,
    torque_drawing,
)
from gearcheck.stress.inputs import Member


class TurningPicture:
    """The transmission error of the mesh that is shown.

    Parameters
    ----------
    view : ContactView
        What is known of it.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Positive: the driven gear runs ahead. What is drawn is how the error changes over a cycle; its mean "
        "is the wind-up of the teeth and is heard by nobody.",
        "Mesh order 1 is the tone of the mesh, order 2 its octave. How loud they get, shafts and housing "
        "decide.",
        "A relief fits one torque: below, it takes contact off the flanks; above, deflection brings the tips "
        "in early.",
    )

    def __init__(self, view: ContactView, say: Say) -> None:
        self._view = view
        self._cycle, self._orders, self._torque = SharedChart(), SharedChart(), SharedChart()
        self._said = Piece(self._words, say)
        columns = [widgets.VBox([one]).add_class("gc-column") for one in (self._cycle, self._orders)]
        pair = widgets.Box(columns).add_class("gc-pair")
        self.widget = widgets.VBox([self._said, pair, self._torque])
        self._follow()
        view.observe(guarded(lambda _: self._follow(), say), "moved")

    def _follow(self) -> None:
        self._said.refresh()
        now, ghost = self._view.now, self._view.ghost
        loaded, was = (None if one is None else one.over for one in (now, ghost))
        self._cycle.draw(None if loaded is None else cycle_drawing(loaded, was, NOMINAL))
        self._orders.draw(None if loaded is None else orders_drawing(loaded, was, NOMINAL))
        over = _over(now)
        self._torque.draw(None if over is None else torque_drawing(over, _over(ghost)))

    def _words(self, _: Folds) -> str:
        head = '<h2 id="turning">How unevenly it turns</h2>'
        now = self._view.now
        if now is None:
            return f"{head}{WAITS}"
        if now.over is None:
            return f"{head}<p>There is no transmission error to show, for the same reason.</p>"
        grey = ' class="gc-settling"' if self._view.waits else ""
        return f"{head}<div{grey}>{''.join(f'<p>{line}</p>' for line in _sentences(now))}</div>"


def _over(found: OfMesh | None) -> OverTorque | None:
    if found is None or found.over is None or isinstance(found.of, str):
        return None
    return over_torque(found.over, found.of.torque_Nm)


def _sentences(now: OfMesh) -> Iterator[str]:
    member = "pinion" if now.chain.gear.member is Member.PINION else "wheel"
    yield (
        "At the nominal torque, with the flanks as drawn, the transmission error is "
        f"<b>{value(now.at('peak_to_peak_um'), 2, 'µm')}</b> from peak to peak on the line of action: "
        f"{value(now.at(f'{member}_arcsec'), 1)}″ at the gear, around a wind-up of "
        f"{value(-now.at('mean_um'), 1, 'µm')}."
    )
    over = _over(now)
    assert over is not None
    yield with_torque(over)


def with_torque(over: OverTorque) -> str:
    """Say how the error goes with the torque.

    Parameters
    ----------
    over : OverTorque
        At two torques or more.
    """
    peak, rises = over.peak_to_peak_um, np.diff(over.peak_to_peak_um)

    def told(place: int) -> str:
        share = 100.0 * float(over.torque_Nm[place]) / over.nominal_Nm
        return f"{value(float(peak[place]), 2, 'µm')} at {value(share, 0, '%')}"

    if (rises > 0).all() or (rises < 0).all():
        way = "grows" if rises[0] > 0 else "falls"
        return f"It {way} with the torque all the way: {told(0)} of the nominal one, {told(-1)}."
    return (
        f"Of the torques drawn it is least, {told(over.least)} of the nominal one, and largest, "
        f"{told(int(np.nanargmax(peak)))}."
    )
