"""The next test planned by simulation, on request: how closely each plan would tell the strength."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_view import FatigueView, Wanted
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.running import Part, Running
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.plan import PlansSoFar, simulated_plans
from gearcheck.fatigue.quantities import LogStrength
from gearcheck.fatigue.simulated import Plan
from gearcheck.figures.fatigue_tests import percent
from gearcheck.review.fatigue import FatigueLife

SETS, SEED = 200, 20263
_FREQUENCY_HZ = 35.0
_SHAPES = ((3, 12), (4, 20), (4, 40), (6, 40), (4, 80))
"""Levels, and specimens on all of them."""
_SHORTER = 0.5
_STAIRCASE = 30


class FatiguePlans:
    """Plans of the next test, drawn from the fitted curve as if it were the truth.

    Parameters
    ----------
    view : FatigueView
        What is known of the tests.
    say : Say
        Where trouble is told.
    heard : callable
        How many seconds ago the page was heard of.
    """

    def __init__(self, view: FatigueView, say: Say, heard: Callable[[], float]) -> None:
        self._view = view
        self._found: PlansSoFar | None = None
        self._of: Wanted | None = None
        self._said, self._choice = Piece(self._words, say), Piece(self._chosen, say)
        self.running = Running(
            self._begin, self._show, say, start="Compare plans by simulation", counted="sets", heard=heard
        )
        self._width = _slider("Interval wanted, in % of the strength", 20.0, 4.0, 60.0)
        self._hours = _slider("Hours of one rig at most", 1000.0, 50.0, 5000.0)
        self._control = widgets.VBox([self._width, self._hours]).add_class("gc-control")
        self._control.layout.display = "none"
        self.widget = widgets.VBox([self._said, self.running.widget, self._control, self._choice])
        for slider in (self._width, self._hours):
            slider.observe(guarded(lambda _: self._choice.refresh(), say), "value")
        view.observe(guarded(lambda _: self._said.refresh(), say), "moved")

    def _begin(self) -> Iterator[Part]:
        """Nothing is worked out here: that waits for the thread."""
        life = self._view.life
        self._found, self._of = None, self._view.wanted
        if life is None or not _can(life):
            return iter(())
        return _parts(life, self._view.wanted)

    def _show(self, found: Any) -> None:
        self._found = found
        self._control.layout.display = ""
        self._said.refresh()
        self._choice.refresh()

    def _words(self, _: Folds) -> str:
        life = self._view.life
        if life is None or not _can(life):
            return ""
        head = "<h3>The next test</h3>"
        share = percent(self._view.wanted.reliability)
        asked = (
            f"<p>How closely would another test tell the strength that {share} stand at the run-out life? "
            f"Sets "
            "are drawn from the fitted curve, taken for the truth, and fitted anew.</p>"
        )
        found = self._found
        if found is None:
            return head + asked
        old = "" if self._of == self._view.wanted else "<p>This is of what was asked before.</p>"
        return f"{head}{asked}{old}{_table(found)}{notices(found.notices)}"

    def _chosen(self, _: Folds) -> str:
        found = self._found
        if found is None:
            return ""
        cheap = found.cheapest(width=self._width.value / 100)
        close = found.narrowest(rig_hours=self._hours.value)
        first = (
            "No plan here is as close as that"
            if cheap is None
            else f"The cheapest that is: <b>{cheap.name}</b>{_off(found, cheap)}"
        )
        then = (
            "no plan fits the hours"
            if close is None
            else f"the closest within the hours: <b>{close.name}</b>{_off(found, close)}"
        )
        lost = "A plan of which more than a tenth of the sets have no end of their likelihood is not named."
        return f"<p>{first}; {then}. {lost}</p>"


def _off(found: PlansSoFar, plan: Plan) -> str:
    """How far a plan lies off the truth on the whole, which no width of its interval tells."""
    off = float(array(found.off)[found.plans.index(plan)])
    return f", on the whole {value(abs(100 * off), 1, '%')} too {'high' if off > 0 else 'low'}"


def _slider(called: str, at: float, low: float, high: float) -> widgets.FloatSlider:
    return widgets.FloatSlider(
        value=at,
        min=low,
        max=high,
        step=1.0 if high < 100 else 50.0,
        description=called,
        readout_format=".0f",
        style={"description_width": "initial"},
    )


def _can(life: FatigueLife) -> bool:
    fit = life.fit
    return fit is not None and fit.converged and fit.curve is not Curve.ONE_LEVEL


def _plans(life: FatigueLife) -> tuple[Plan, ...]:
    """Levels over the range that was tested, fewer cycles, and a staircase about the median."""
    fit, run_out = life.fit, life.tests.run_out_cycles
    assert fit is not None
    stress = fit.data.stress_MPa
    plans = [_on_levels(levels, count, stress.max(), stress.min(), run_out) for levels, count in _SHAPES]
    shorter = _SHORTER * run_out
    plans.append(_on_levels(*_SHAPES[2], stress.max(), stress.min(), shorter, told=True))
    weak, median, strong = (
        float(fit.strength_MPa(cycles=run_out, failed_share=share)) for share in (0.16, 0.5, 0.84)
    )
    step = (strong - weak) / 2
    plans.append(
        Plan(
            name=f"staircase of {_STAIRCASE}, steps of {step:.0f} MPa",
            stress_MPa=(median,),
            specimens=(_STAIRCASE,),
            run_out_cycles=run_out,
            step_MPa=step,
        )
    )
    return tuple(plans)


def _on_levels(
    levels: int, count: int, high: float, low: float, run_out: float, *, told: bool = False
) -> Plan:
    each, more = divmod(count, levels)
    ends = f", run-out life {number_text(run_out, 2)}" if told else ""
    return Plan(
        name=f"{count} specimens on {levels} levels{ends}",
        stress_MPa=tuple(float(one) for one in np.geomspace(high, low, levels)),
        specimens=tuple(each + (place >= levels - more) for place in range(levels)),
        run_out_cycles=run_out,
    )


def _parts(life: FatigueLife, wanted: Wanted) -> Iterator[Part]:
    fit = life.fit
    assert fit is not None
    share, cycles = np.array([1.0 - wanted.reliability]), np.array([life.tests.run_out_cycles])
    found = simulated_plans(
        plans=_plans(life),
        quantity=LogStrength(fit.model, cycles, share),
        truths=fit.parameters,
        generator=np.random.default_rng(SEED),
        sets=SETS,
        confidence=wanted.confidence,
        frequency_Hz=_FREQUENCY_HZ,
        at_once=25,
    )
    for one in found:
        yield Part(done=int(array(one.done).sum()), of=SETS * len(one.plans), found=one)


def _table(found: PlansSoFar) -> str:
    columns = [array(one) for one in (found.width, found.off, found.lost, found.failing, found.rig_hours)]
    rows = []
    for place, plan in enumerate(found.plans):
        width, off, lost, failing, hours = (float(of[place]) for of in columns)
        cells = [value(100 * width, 0, "%"), value(100 * off, 1, "%"), value(100 * failing, 0, "%")]
        cells += [value(100 * lost, 0, "%"), value(hours, 0)]
        known = "".join(f'<td class="num">{cell if np.isfinite(width) else ""}</td>' for cell in cells)
        rows.append(f'<tr><th scope="row">{plan.name}</th>{known}</tr>')
    names = ("interval", "off the truth", "fail", "without an end", f"hours at {_FREQUENCY_HZ:.0f} Hz")
    head = '<th scope="col">plan</th>' + "".join(f'<th scope="col" class="num">{name}</th>' for name in names)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table>'
