"""The relief advisor: what can be had of an even turn and a low pressure, and what each point trades."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.running import Part, Running
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.front import PICKED, Tried, front_drawing
from gearcheck.meshing.advisor import FrontSoFar
from gearcheck.review.contact_advice import (
    TORQUES,
    advice_over,
    advised,
    draft_of,
    left_out,
    no_corner_agreed,
    start_diameter_mm,
)
from gearcheck.review.contact_made import SLICES
from gearcheck.review.contact_of import ContactOf

_TRY = "try"


class ReliefAdvisor:
    """The front of reliefs for the mesh that is shown.

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
        "A point of the front is one that nothing tried beats in both: less error, or less pressure, costs "
        "the other. Which one is yours, the contract and the noise decide. Crosses: left out where no tip "
        "corner may press.",
        "Error: the worst of all torques and misalignments. Pressure: the worst misalignment at the highest "
        "torque. A tip corner counts as a line; what it carries is told.",
        "It moves tip relief of both gears, not of an internal one, and the crowning of the gear under "
        "review, on the flanks as drawn. What they cost to make, and how closely they are kept, stands in no "
        "number here.",
        f"For so many flanks the face is cut into {SLICES} slices, fewer than above: hold a point against "
        "what is as drawn here, and try it as a draft before you choose it.",
    )

    def __init__(self, state: Sheet, view: ContactView, say: Say, heard: Callable[[], float]) -> None:
        self._state, self._view = state, view
        self._found: FrontSoFar | None = None
        self._of: tuple[Mapping[str, float], int] | None = None
        self._chart = SharedChart(watch=(PICKED,))
        self._said, self._point = Piece(self._words, say), Piece(self._chosen_words, say, self._act)
        self.running = Running(
            self._begin, self._show, say, start="Look for reliefs", counted="flanks", heard=heard
        )
        self._slider = widgets.IntSlider(
            value=1,
            min=1,
            max=1,
            description="Along the front, from the evenest turn to the least pressure",
            style={"description_width": "initial"},
        )
        self._control = widgets.VBox([self._slider]).add_class("gc-control")
        self._control.layout.display = "none"
        parts = [self._said, self.running.widget, self._chart, self._control, self._point]
        self.widget = widgets.VBox(parts)
        self._slider.observe(guarded(lambda _: self._draw(), say), "value")
        self._chart.observe(guarded(self._pick, say), "picked")
        view.observe(guarded(lambda _: self._moved(), say), "moved")

    def _begin(self) -> Iterator[Part]:
        """Nothing is worked out here: that waits for the thread."""
        shown, place = self._state.shown, self._view.place
        self._found, self._of = None, (dict(self._state.draft), place)
        found = advised(shown.record, shown.chain, place, self._state.record)
        return (Part(done=int(array(one.done)), of=int(array(one.of)), found=one) for one in found)

    def _show(self, found: Any) -> None:
        before = self._found
        self._found = found
        size = array(found.peak_to_peak_um).size
        self._control.layout.display = "" if size > 1 else "none"
        place = self._slider.value if before is not None else (size + 1) // 2
        self._slider.max = max(size, 1)
        self._slider.value = min(place, size)
        self._draw()

    def _draw(self) -> None:
        self._said.refresh()
        self._point.refresh()
        found = self._found
        self._chart.draw(None if found is None else front_drawing(_tried(found), self._slider.value - 1))

    def _pick(self, event: Any) -> None:
        """A point of the chart that was clicked."""
        picked = (event["new"].get(PICKED) or {}).get("place") or []
        if picked and self._found is not None:
            self._slider.value = int(picked[0]) + 1

    def _moved(self) -> None:
        self._said.refresh()
        self._point.refresh()

    def _act(self, act: str) -> None:
        if act == _TRY and self._found is not None and self._of is not None:
            self._state.move_all(self._draft(self._found))

    def _draft(self, found: FrontSoFar) -> Mapping[str, float]:
        rest = self._view.at_rest
        if rest is None or isinstance(rest.of, str):
            return {}
        return draft_of(self._state.record, rest.of, _at(found, self._slider.value - 1))

    def _is_old(self) -> bool:
        return self._of != (self._state.draft, self._view.place)

    def _words(self, _: Folds) -> str:
        head = '<h2 id="advisor">Relief advisor</h2>'
        rest = self._view.at_rest
        if rest is None:
            return f"{head}<p>{_ASKED}</p>"
        if isinstance(rest.of, str):
            return f"{head}<p>There is no relief to look for: {text(rest.of)}.</p>"
        over = advice_over(self._state.shown.chain, rest.of.torque_Nm)
        lean = value(over.misalignment_um, 0, "µm")
        why = "the helix slope that the class drawn allows" if over.from_class else "an assumption of ours"
        corners = " No tip corner may press, as agreed." if no_corner_agreed(self._state.shown.record) else ""
        said = (
            f"<p>{_ASKED} Compared over {100 * TORQUES[0]:.0f} to {100 * TORQUES[-1]:.0f} % of the nominal "
            f"torque, with the axes as in the record and {lean} to either side: {why}.{corners}</p>"
        )
        found = self._found
        return f"{head}{said}{'' if found is None else notices(found.notices)}"

    def _chosen_words(self, _: Folds) -> str:
        found = self._found
        if found is None or self._of is None:
            return ""
        place = self._slider.value - 1
        rest = self._view.at_rest
        if rest is None or isinstance(rest.of, str):
            return ""
        said = "".join(f"<p>{line}</p>" for line in _of_point(found, place, rest.of))
        draft = self._draft(found)
        part = _part(left_out(self._state.record, rest.of))
        if draft and all(abs(self._state.value(key) - one) < 1e-9 for key, one in draft.items()):
            return f"{said}<p>It is on the sheet now, as a draft rounds it.{part}</p>"
        old = "<p>This was looked for on another draft or mesh.</p>" if self._is_old() else ""
        button = f'<button type="button" class="gc-do" data-act="{_TRY}">try this one as a draft</button>'
        return f"{old}{said}<p>{f'{button}{part}' if draft else _NO_DRAFT}</p>"


def _part(missing: tuple[str, ...]) -> str:
    """Why a draft is a part of a point only."""
    return f" Only in part: {text('; '.join(missing))}." if missing else ""


_ASKED = "There is no best relief: an even turn and a low pressure ask for different ones."
_NO_DRAFT = (
    "No draft can try it: where a relief starts, and a crowning, need their section, [gear.modification] or "
    "[mesh.mate.modification]."
)


def _at(found: FrontSoFar, place: int) -> Mapping[str, float]:
    """The modifications of one point, by their names."""
    names = ("tip_relief_um", "tip_relief_start_mm", "helix_crowning_um")
    each = (f"{member}_{name}" for member in ("pinion", "wheel") for name in names)
    return {name: float(array(getattr(found, name)).ravel()[place]) for name in each}


def _tried(found: FrontSoFar) -> Tried:
    error, pressure = array(found.every_peak_to_peak_um), array(found.every_pressure_MPa)
    own = zip(array(found.peak_to_peak_um), array(found.largest_pressure_MPa), strict=True)
    front = tuple(int(np.flatnonzero((error == um) & (pressure == most))[0]) for um, most in own)
    drawn = float(array(found.drawn_peak_to_peak_um)), float(array(found.drawn_pressure_MPa))
    out = array(found.every_left_out) > 0
    return Tried(error_um=error, pressure_MPa=pressure, front=front, drawn=drawn, left_out=out)


def _of_point(found: FrontSoFar, place: int, of: ContactOf) -> Iterator[str]:
    def number(name: str, where: int = place) -> float:
        return float(array(getattr(found, name)).ravel()[where])

    at = _at(found, place)
    yield (
        f"Point {place + 1} of {array(found.peak_to_peak_um).size}: {_relief(at, 'pinion', of)}; "
        f"{_relief(at, 'wheel', of)}."
    )
    yield (
        f"Worst error <b>{value(number('peak_to_peak_um'), 2, 'µm')}</b>, as drawn "
        f"{value(float(array(found.drawn_peak_to_peak_um)), 2, 'µm')}; largest pressure "
        f"<b>{value(number('largest_pressure_MPa'), 0, 'MPa')}</b>, as drawn "
        f"{value(float(array(found.drawn_pressure_MPa)), 0, 'MPa')}. Equivalent K<sub>Hβ</sub> "
        f"{value(number('face_load_factor'), 2)}; tip corners carry {_on_corners(number('corner_share'))}."
    )
    yield from _traded(array(found.peak_to_peak_um), array(found.largest_pressure_MPa), place)


def _on_corners(share: float) -> str:
    return (
        f"up to {value(100 * share, 1, '%')} of the load, at the highest torque" if share > 0 else "nothing"
    )


def _relief(at: Mapping[str, float], member: str, of: ContactOf) -> str:
    amount, crowning = at[f"{member}_tip_relief_um"], at[f"{member}_helix_crowning_um"]
    start = at[f"{member}_tip_relief_start_mm"]
    if bool(getattr(of.bed.pair, member).internal):
        return f"internal {member} as drawn"
    diameter = start_diameter_mm(of, member, start)
    relief = f"tip relief of {value(amount, 1, 'µm')} from a diameter of {value(diameter, 2, 'mm')} on"
    if amount <= 0 or not np.isfinite(start):
        relief = "no tip relief"
    crowned = f" and {value(crowning, 1, 'µm')} of helix crowning" if crowning > 0 else ""
    return f"{member} with {relief}{crowned}"


def _traded(error: Array, pressure: Array, place: int) -> Iterator[str]:
    """What the points beside it give and take."""
    if place + 1 < error.size:
        more, less = error[place + 1] - error[place], pressure[place] - pressure[place + 1]
        yield (
            f"One point further {value(float(more), 2, 'µm')} more error buys {value(float(less), 0, 'MPa')} "
            "less pressure."
        )
