"""The fatigue sheet: from specimens that broke on a rig to a life that one can sign."""

from __future__ import annotations

import time
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.basics.numbers import array
from gearcheck.desk.opening import Opened, opened
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.fatigue_bootstrap import FatigueBootstrap
from gearcheck.desk.panels.fatigue_chart import FatigueChart
from gearcheck.desk.panels.fatigue_compared import fatigue_compared
from gearcheck.desk.panels.fatigue_endurance import FatigueEndurance
from gearcheck.desk.panels.fatigue_gear import FatigueGear
from gearcheck.desk.panels.fatigue_life import FatigueLifePicture
from gearcheck.desk.panels.fatigue_models import FatigueModels
from gearcheck.desk.panels.fatigue_more import FatigueMore
from gearcheck.desk.panels.fatigue_plan import FatiguePlans
from gearcheck.desk.panels.fatigue_sliders import passing_slider, wanted_sliders
from gearcheck.desk.panels.fatigue_tests import FatigueTested
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import StationSheet
from gearcheck.desk.words import text
from gearcheck.review.fatigue_guesses import FATIGUE_QUESTIONS

SHEET = "fatigue.ipynb"
STATION = "fatigue"
TESTS, MARGINS = "tests", "margins"
PLACES: tuple[tuple[str, str], ...] = (
    (TESTS, "What was tested"),
    ("curve", "The curve"),
    ("models", "Forms"),
    ("gear", "Specimen to gear"),
    ("life", "Life"),
    ("endurance", "Endurance test"),
    ("longer", "Longer work"),
    (MARGINS, "Margins"),
    ("guesses", "Three guesses"),
)

MOVED = ("torque",)
"""What moves the load of the gear; what the record lacks has no slider."""


def open_fatigue(query: str = "") -> OpenFatigue | RefusedFatigue:
    """Open the fatigue sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenFatigue or RefusedFatigue
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        found = opened(query)
        return (UntestedFatigue if found.record.fatigue is None else OpenFatigue)(found, query)
    except InputError as error:
        return RefusedFatigue(error)


class OpenFatigue(StationSheet):
    """The fatigue sheet with its panels; takes what `StationSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, FATIGUE_QUESTIONS
    STATION = FOOT = STATION

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self._last = time.monotonic()
        self.tests = 0
        self._view = FatigueView(self.state, lambda: self.tests, self._say)
        self._compared = fatigue_compared(self._view, self._say)

    def _outcome(self) -> str:
        """With the differences between specimen and part that nobody answers for."""
        left = [
            f"{count} {'is' if count == 1 else 'are'} open for the tests of the {text(life.tests.place)}"
            for life in self.state.drawn.fatigue
            if (count := int(array(life.pedigree.open)))
        ]
        said = "Of the differences between specimen and part "
        caution = f'<p class="gc-caution">{said}{", ".join(left)}.</p>' if left else ""
        return super()._outcome() + caution

    def _heard(self, *given: Any) -> None:
        self._last = time.monotonic()
        super()._heard(*given)

    def _silence(self) -> float:
        """For how many seconds the page was not heard of."""
        return time.monotonic() - self._last

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "tests":
            self.tests, self._view.refits = int(what), None
            self._view.forget()
        else:
            super()._act(act)

    def _others(self) -> str:
        """A button for the tests that are not shown."""
        given = self.state.record.fatigue
        buttons = [
            f'<button type="button" class="gc-do" data-act="tests:{place}">the tests of the {text(one.place)}'
            "</button>"
            for place, one in enumerate(() if given is None else given.tests)
            if place != self.tests
        ]
        return f"<p>{' '.join(buttons)}</p>" if buttons else ""

    def tested(self) -> None:
        """Show what was tested, level by level."""
        self._row(FatigueTested(self._view, self._others, self._say, self._act))

    def curve(self) -> None:
        """Show the stress-cycle chart, with the sliders of what is asked."""
        self._row(FatigueChart(self._view, self._compared, self._say))
        show(controls_row(wanted_sliders(self._view, self._say)))

    def models(self) -> None:
        """Show the forms side by side, and how the specimens lie about the one that governs."""
        self._row(FatigueModels(self._view, self._compared, self._say))

    def gear(self) -> None:
        """Show in what specimens and part differ, and what answers each difference."""
        self._row(FatigueGear(self._view, self._say))

    def life(self) -> None:
        """Show the life of the gear and of the set under the duty."""
        self._row(FatigueLifePicture(self._view, self._say))
        show(controls_row(sliders_of(self.state, MOVED, self._say)))

    def endurance(self) -> None:
        """Show the chance that the endurance test passes."""
        self._row(FatigueEndurance(self._view, self._say))
        show(controls_row([passing_slider(self._view, self._say)]))

    def longer(self) -> None:
        """Show what takes longer, on request."""
        given = (self._view, self._say, self._silence)
        bootstrap, more, plans = FatigueBootstrap(*given), FatigueMore(*given), FatiguePlans(*given)
        show_row(widgets.VBox([bootstrap.widget, more.widget, plans.widget]), bootstrap.MARGIN)

    def _row(self, panel: Any) -> None:
        show_row(panel.widget, panel.MARGIN)


class UntestedFatigue(OpenFatigue):
    """The same of a record without tests of specimens: it says so, and asks nothing of them."""

    PLACES = tuple(place for place in PLACES if place[0] in (TESTS, MARGINS))

    def _nothing(self) -> None:
        """Show nothing."""

    curve = models = gear = life = endurance = longer = guesses = _nothing


class RefusedFatigue(RefusedRecordSheet):
    """The same without a record that can be read."""

    tested = curve = models = gear = life = endurance = longer = margins = guesses = (
        RefusedRecordSheet._nothing
    )
