"""The curve from specimens drawn anew, on request: whole gears where teeth share one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_chart import at_run_out
from gearcheck.desk.panels.fatigue_tests import nothing
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.running import Part, Running
from gearcheck.fatigue.bootstrap import BootstrapSoFar, bootstrap_fits
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve
from gearcheck.figures.fatigue_tests import percent

REPLICATES = 1000
SEED = 20261


class FatigueBootstrap:
    """Specimens of the tests that are shown, drawn with replacement and fitted anew.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    say : Say
        Where trouble is told.
    heard : callable
        How many seconds ago the page was heard of.
    """

    MARGIN = (
        "The draws of the chart believe the form of the curve and take each specimen by itself. The "
        "bootstrap "
        "asks the specimens alone: what if others of the same kind had been tested?",
        "Where teeth share a gear, whole gears are drawn: many teeth of few gears tell of gears what few "
        "can.",
        "It is the same at each run, so that two drafts differ by what they are.",
    )

    def __init__(self, view: FatigueView, say: Say, heard: Callable[[], float]) -> None:
        self._view = view
        self._found: BootstrapSoFar | None = None
        self._of: FatigueFit | None = None
        self._said = Piece(self._words, say)
        start = f"Draw other specimens, {REPLICATES} times"
        self.running = Running(self._begin, self._show, say, start=start, counted="draws", heard=heard)
        self.widget = widgets.VBox([self._said, self.running.widget])
        view.observe(guarded(lambda _: self._said.refresh(), say), "moved")

    def _begin(self) -> Iterator[Part]:
        """Nothing is worked out here: that waits for the thread."""
        fit = self._fit()
        self._found, self._of = None, fit
        if fit is None:
            return iter(())
        found = bootstrap_fits(fit=fit, generator=np.random.default_rng(SEED), replicates=REPLICATES)
        return (Part(done=int(array(one.done)), of=int(array(one.of)), found=one) for one in found)

    def _fit(self) -> FatigueFit | None:
        life = self._view.life
        fit = None if life is None else life.fit
        return fit if fit is not None and fit.converged and fit.curve is not Curve.ONE_LEVEL else None

    def _show(self, found: Any) -> None:
        self._found = found
        if self._of is self._fit():
            self._view.refits = found.usable
        self._said.refresh()

    def _words(self, _: Folds) -> str:
        head = '<h2 id="longer">Longer work</h2><h3>The specimens drawn anew</h3>'
        life, fit = self._view.life, self._fit()
        if life is None:
            return head + nothing(self._view)
        if fit is None:
            return f"{head}<p>There is no curve with a summit to draw again.</p>"
        asked = "<p>How far would the curve move, had other specimens of the same kind been tested?</p>"
        found = self._found
        if found is None:
            return head + asked
        old = "" if fit is self._of else "<p>This is of other tests: draw again.</p>"
        return f"{head}{asked}{old}<p>{self._sentence(found)}</p>{notices(found.notices)}"

    def _sentence(self, found: BootstrapSoFar) -> str:
        life, wanted, fit = self._view.life, self._view.wanted, self._of
        assert life is not None
        assert fit is not None
        cycles = life.tests.run_out_cycles
        strength = fit.model.strength_MPa(
            found.usable, cycles=array(cycles), failed_share=array(1.0 - wanted.reliability)
        )
        low = float(np.quantile(strength, 1.0 - wanted.confidence))
        units = f"{number_text(float(array(found.units)))} {'gears' if found.clustered else 'specimens'}"
        band = self._view.band(wanted)
        beside = (
            "" if band is None else f"; the chart says {value(at_run_out(life, band, 'low_MPa'), 0, 'MPa')}"
        )
        return (
            f"Of {int(array(found.done))} draws from {units}, the strength that "
            f"{percent(wanted.reliability)} "
            f"stand for {number_text(cycles, 2)} cycles lies above <b>{value(low, 0, 'MPa')}</b> in "
            f"{percent(wanted.confidence)}{beside}."
        )
