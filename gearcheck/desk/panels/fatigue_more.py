"""What one more specimen, or some, would add to the chance of the endurance test, on request."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_endurance import gears_on_test
from gearcheck.desk.panels.fatigue_life_of import moved, widened
from gearcheck.desk.panels.fatigue_view import FatigueView, Wanted
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.running import Part, Running
from gearcheck.fatigue.endurance import endurance_test
from gearcheck.fatigue.more_tests import MoreTests, more_tests
from gearcheck.review.fatigue import FatigueLife

COUNTS = (1, 6)
_DRAWS, _LEVELS, SEED = 300, 5, 20262


class FatigueMore:
    """More specimens of the tests that are shown, level by level.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    say : Say
        Where trouble is told.
    heard : callable
        How many seconds ago the page was heard of.
    """

    def __init__(self, view: FatigueView, say: Say, heard: Callable[[], float]) -> None:
        self._view = view
        self._found: tuple[MoreTests, ...] = ()
        self._of: object = None
        self._said = Piece(self._words, say)
        self.running = Running(
            self._begin,
            self._show,
            say,
            start="See what more specimens would add",
            counted="cases",
            heard=heard,
        )
        self.widget = widgets.VBox([self._said, self.running.widget])
        view.observe(guarded(lambda _: self._said.refresh(), say), "moved")

    def _key(self) -> object:
        life = self._view.life
        return (self._view.wanted, id(life.draws) if life is not None else None)

    def _begin(self) -> Iterator[Part]:
        """Nothing is worked out here: that waits for the thread."""
        gears, life = gears_on_test(self._view), self._view.life
        self._found, self._of = (), self._key()
        return iter(()) if gears is None or life is None else _parts(life, self._view.wanted, gears)

    def _show(self, found: Any) -> None:
        self._found = found
        self._said.refresh()

    def _words(self, _: Folds) -> str:
        if gears_on_test(self._view) is None:
            return ""
        head = "<h3>What more specimens would add</h3>"
        asked = (
            "<p>By how much the chance would be known more closely, on the average of what they may show, if "
            "more specimens were tested at one level.</p>"
        )
        if not self._found:
            return head + asked
        old = "" if self._of == self._key() else "<p>This is of what was asked before.</p>"
        return f"{head}{asked}{old}{_table(self._found)}"


def _parts(life: FatigueLife, wanted: Wanted, gears: int) -> Iterator[Part]:
    assert life.endurance is not None
    assert life.fit is not None
    of, service = widened(life, wanted.scatter), moved(life.endurance, wanted.transfer)
    test = endurance_test(
        fit=of.fit,
        parameters=of.parameters,
        weights=of.weights,
        service=service,
        gears=gears,
        most_draws=_DRAWS,
    )
    found: list[MoreTests] = []
    cases = [(stress, count) for stress in _levels(life) for count in COUNTS]
    for stress, count in cases:
        one = more_tests(
            fit=of.fit,
            parameters=test.parameters,
            values=test.by_draw,
            stress_MPa=float(stress),
            run_out_cycles=life.tests.run_out_cycles,
            generator=np.random.default_rng(SEED),
            specimens=count,
        )
        found.append(one)
        yield Part(done=len(found), of=len(cases), found=tuple(found))


def _levels(life: FatigueLife) -> Array:
    """Over the range that was tested, highest first."""
    assert life.fit is not None
    stress = life.fit.data.stress_MPa
    return np.geomspace(stress.max(), stress.min(), _LEVELS)


def _table(found: tuple[MoreTests, ...]) -> str:
    levels = dict.fromkeys(float(array(one.stress_MPa)) for one in found)
    by = {(float(array(one.stress_MPa)), int(array(one.specimens))): one for one in found}
    rows = "".join(
        f'<tr><th scope="row" class="num">{value(level, 0)}</th>'
        f"{''.join(_cells(by.get((level, count))) for count in COUNTS)}</tr>"
        for level in levels
    )
    names = ["stress, MPa"]
    for count in COUNTS:
        more = "one more" if count == 1 else f"{count} more"
        names += [f"{more}: narrower by", "expected to fail"]
    head = "".join(f'<th scope="col" class="num">{name}</th>' for name in names)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _cells(one: MoreTests | None) -> str:
    if one is None:
        return '<td class="num"></td><td class="num"></td>'
    narrower, failing = (100 * float(array(share)) for share in (one.narrower, one.failing))
    return f'<td class="num">{value(narrower, 0, "%")}</td><td class="num">{value(failing, 0, "%")}</td>'
