"""The stress-cycle chart that one can argue over: specimens, curves, and the duty of the gear."""

from __future__ import annotations

from collections.abc import Iterator

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_compared import Compared
from gearcheck.desk.panels.fatigue_later import FatigueLater
from gearcheck.desk.panels.fatigue_tests import nothing
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.fatigue.curve_band import CurveBand
from gearcheck.fatigue.inputs import Curve
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.fatigue_curve import CurveLine, Weight, curve_drawing
from gearcheck.figures.fatigue_tests import band_lines, duty_marks, percent, specimen_marks
from gearcheck.review.fatigue import FatigueLife

_FORGET = "forget"
_SHORT = {Curve.TWO_SLOPES: "two slopes", Curve.SPREADING: "scatter by stress"}
_MARKS = (
    "Filled marks failed; open marks with an arrow were sound when they were taken out; a cross is left out "
    "with a reason, a diamond was tested again. Curves are faint beyond the run-out life: there a rule "
    "speaks, "
    "not the tests."
)


class FatigueChart:
    """The chart of the tests that are shown, with what it says.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    compared : FatigueLater
        The other forms, drawn thin.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Confidence: of many curves as likely as these tests leave them, a share 1 − C lies below the bound. "
        "It knows this form of curve alone; the thin lines are medians of other forms.",
        "Scatter multiplies every scale of the fitted curve, about the same median: what if other heats "
        "scatter more than those that were tested?",
        "The gear: its weakest tooth, all gears of the set, and the transfers of the strength with what is "
        "not sure of them.",
        "These sliders move this sheet alone. What is agreed moves by a revision of the record.",
    )

    def __init__(self, view: FatigueView, compared: FatigueLater, say: Say) -> None:
        self._view, self._compared = view, compared
        self._chart = SharedChart()
        self._bands = self._worked_out()
        self._said, self._below = Piece(self._words, say, self._act), Piece(self._caption, say)
        self.widget = widgets.VBox([self._said, self._chart, self._below])
        self._chart.draw(self._drawing())
        view.observe(guarded(lambda _: self._follow(), say), "moved")
        compared.observe(guarded(lambda _: self._follow(), say), "found")

    def _act(self, act: str) -> None:
        if act == _FORGET:
            self._view.forget()

    def _follow(self) -> None:
        self._bands = self._worked_out()
        self._said.refresh()
        self._below.refresh()
        self._chart.draw(self._drawing())

    def _worked_out(self) -> tuple[CurveBand | None, CurveBand | None]:
        """As asked, and as the record asks where that differs."""
        view = self._view
        ghost = view.band(view.agreed) if view.moved_away else None
        return view.band(view.wanted), ghost

    def _drawing(self) -> Drawing | None:
        view, life = self._view, self._view.life
        if life is None or life.levels is None or life.stress.stress_MPa is None:
            return None
        now, ghost = self._bands
        lines = [*self._others(life)]
        if ghost is not None:
            lines += _ghosts(ghost, gear=view.service is not None)
        if now is not None:
            lines += band_lines(
                now, view.wanted.reliability, view.wanted.confidence, gear=view.service is not None
            )
        return curve_drawing(
            specimen_marks(life),
            lines,
            run_out_cycles=life.tests.run_out_cycles,
            duty=duty_marks(view.service),
            to_cycles=float(view.cycles[-1]),
        )

    def _others(self, life: FatigueLife) -> Iterator[CurveLine]:
        """The medians of the other forms of the same distribution, thin."""
        found: Compared | None = self._compared.found
        for form in () if found is None else found.forms:
            own = form.fit.curve is life.tests.curve
            known = np.isfinite(form.median_MPa)
            if own or form.fit.distribution is not life.tests.distribution or not known.any():
                continue
            yield CurveLine(
                label=_SHORT.get(form.fit.curve, str(form.fit.curve)),
                cycles=form.cycles[known],
                stress_MPa=form.median_MPa[known],
                weight=Weight.QUIET,
            )

    def _words(self, _: Folds) -> str:
        head = '<h2 id="curve">The curve</h2>'
        view, life = self._view, self._view.life
        if life is None:
            return head + nothing(view)
        now, ghost = self._bands
        if now is None:
            return f"{head}<p>There is no curve to argue over: {marked(why_not(life))}.</p>"
        said = "".join(f"<p>{line}</p>" for line in _sentences(view, life, now, ghost))
        back = (
            f'<button type="button" class="gc-do" data-act="{_FORGET}">back to what the record asks</button>'
        )
        told = "" if life.draws is None else notices(life.draws.notices)
        return f"{head}{said}{told}{f'<p>{back}</p>' if view.moved_away else ''}"

    def _caption(self, _: Folds) -> str:
        return f"<p>{_MARKS}</p>" if self._view.life is not None and self._view.life.levels else ""


def why_not(life: FatigueLife) -> str:
    """Return why there is no curve over several levels, without a full stop.

    Parameters
    ----------
    life : FatigueLife
        The tests.
    """
    if life.fit is not None and life.fit.curve is Curve.ONE_LEVEL and not life.fit.stops:
        return "tests at one level show a life at their stress, and no slope"
    return life.reason.rstrip(".") or "nothing is fitted"


def _ghosts(band: CurveBand, *, gear: bool) -> Iterator[CurveLine]:
    for stress in (band.low_MPa, *((band.gear_MPa,) if gear else ())):
        yield CurveLine(label="", cycles=array(band.cycles), stress_MPa=array(stress), weight=Weight.GHOST)


def at_run_out(life: FatigueLife, band: CurveBand, name: str) -> float:
    """Return one of the strengths of a band at the run-out life.

    Parameters
    ----------
    life : FatigueLife
        The tests.
    band : CurveBand
        Drawn through their run-out life.
    name : str
        Which strength.
    """
    place = int(np.argmin(np.abs(array(band.cycles) - life.tests.run_out_cycles)))
    return float(array(getattr(band, name))[place])


def _sentences(
    view: FatigueView, life: FatigueLife, now: CurveBand, ghost: CurveBand | None
) -> Iterator[str]:
    wanted = view.wanted

    def told(name: str) -> str:
        said = f"<b>{value(at_run_out(life, now, name), 0, 'MPa')}</b>"
        was = "" if ghost is None else value(at_run_out(life, ghost, name), 0)
        same = ghost is None or was == value(at_run_out(life, now, name), 0)
        return said if same else f"{said} (record {was})"

    survive, sure = percent(wanted.reliability), percent(wanted.confidence)
    yield (
        f"By the {text(life.tests.curve)}, {text(life.tests.distribution)}, half of the specimens stand "
        f"{told('median_MPa')} for {number_text(life.tests.run_out_cycles, 2)} cycles; {survive} of them "
        f"stand "
        f"{told('reliable_MPa')} by the fitted curve, and {told('low_MPa')} with {sure} confidence."
    )
    service = view.service
    if service is None:
        yield "What the gear bears is not known: its rating, or what is required of it, lacks something."
        return
    largest = float(array(service.stress_MPa).max())
    teeth = float(array(view.state.shown.record.gear.tooth.teeth))
    gears = f"sets of {service.gears} gears" if service.gears > 1 else "gears"
    yield (
        f"Of {gears} with {teeth:.0f} teeth {survive} stand {told('gear_MPa')} for as long, with the "
        f"same confidence. The duty reaches {value(largest, 0, 'MPa')}, and a tooth sees "
        f"{number_text(float(array(service.cycles).sum()), 2)} cycles in {value(service.life_h, 0, 'h')}."
    )
