"""The forms of curve side by side, which of them governs and why, and how the specimens lie about it."""

from __future__ import annotations

from collections.abc import Iterator

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_by_count import by_count_html
from gearcheck.desk.panels.fatigue_compared import SHARES, Compared, Form
from gearcheck.desk.panels.fatigue_later import FatigueLater
from gearcheck.desk.panels.fatigue_tests import WAITS, nothing
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.fatigue.compared import HARDLY
from gearcheck.fatigue.residuals import fit_residuals
from gearcheck.figures.fatigue_residuals import probability_drawing, residuals_drawing
from gearcheck.figures.fatigue_tests import percent
from gearcheck.review.fatigue import FatigueLife

_PLOTS = (
    "Left: about the governing curve each specimen should lie as far as its distribution lets it, at every "
    "stress alike. Right: failures at their plotting positions, run-outs counted in; about the line, where "
    "the "
    "distribution holds."
)


class FatigueModels:
    """The forms of the tests that are shown.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    compared : FatigueLater
        All forms.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "AIC: twice the number of parameters less twice the log-likelihood, lives in cycles; less is better, "
        "and a difference below 2 tells nothing, from 6 on the specimens hardly speak for the form. It does "
        "not decide: what is known of the steel does.",
        "Every form takes failures and run-outs in one likelihood. Lognormal and Weibull part far out, "
        "where no specimen is.",
        "Residuals of the random limit: the quantile of the share that should have failed.",
    )

    def __init__(self, view: FatigueView, compared: FatigueLater, say: Say) -> None:
        self._view, self._compared = view, compared
        self._residuals, self._paper = SharedChart(), SharedChart()
        self._of: object = None
        self._said, self._below = Piece(self._words, say), Piece(self._caption, say)
        columns = [widgets.VBox([one]).add_class("gc-column") for one in (self._residuals, self._paper)]
        pair = widgets.Box(columns).add_class("gc-pair")
        self.widget = widgets.VBox([self._said, self._below, pair])
        self._follow()
        view.observe(guarded(lambda _: self._follow(), say), "moved")
        compared.observe(guarded(lambda _: self._said.refresh(), say), "found")

    def _follow(self) -> None:
        """None of it moves with what is asked: only other tests draw it anew."""
        life = self._view.life
        fit = None if life is None else life.fit
        if fit is self._of and fit is not None:
            return
        self._of = fit
        self._said.refresh()
        self._below.refresh()
        if fit is None or fit.stops:
            self._residuals.draw(None)
            self._paper.draw(None)
            return
        found = fit_residuals(fit=fit)
        self._residuals.draw(residuals_drawing(fit, found))
        self._paper.draw(probability_drawing(fit, found))

    def _words(self, _: Folds) -> str:
        head = '<h3 id="models">Which form, and why</h3>'
        life = self._view.life
        if life is None:
            return head + nothing(self._view)
        if life.fit is None:
            return f"{head}<p>{marked(life.reason)}</p>"
        why = f"<b>The {text(life.tests.curve)}, {text(life.tests.distribution)}, governs</b>"
        said = f"<p>{why}: {text(life.tests.because)}</p>"
        found: Compared | None = self._compared.found
        if life.fit.stops:
            return f"{head}{said}{notices(life.fit.notices)}"
        if found is None:
            return f"{head}{said}{notices(life.fit.notices)}{WAITS}"
        table = f"{_far_off(life, found)}{_table(life, found)}{_nothing_there(found)}"
        told = notices((*life.fit.notices, *found.found.notices))
        return f"{head}{said}{table}{told}{by_count_html(life)}"

    def _caption(self, _: Folds) -> str:
        life = self._view.life
        return f"<p>{_PLOTS}</p>" if life is not None and life.fit is not None and not life.fit.stops else ""


def _far_off(life: FatigueLife, found: Compared) -> str:
    """A caution where the specimens hardly speak for the form that governs."""
    own = next((form for form in found.forms if _governs(life, form)), None)
    if own is None or not own.above_best > HARDLY:
        return ""
    best = min((form for form in found.forms if np.isfinite(form.above_best)), key=lambda one: one.above_best)
    said = "".join(
        f" {percent(1 - SHARES[-1])} stand {value(form.strength_MPa[-1], 0, 'MPa')} by {name}{end}"
        for form, name, end in ((own, "the form that governs", ","), (best, "the other", "."))
        if np.isfinite(form.strength_MPa[-1])
    )
    return (
        f'<p class="gc-caution">Its AIC lies {value(own.above_best, 1)} above that of the '
        f"{text(best.fit.curve)}, {text(best.fit.distribution)}. From {value(HARDLY, 0)} on the specimens "
        f"hardly speak for a form (common practice): what is known of the steel must, and the reason has to "
        f"say it.{said}</p>"
    )


def _nothing_there(found: Compared) -> str:
    """Why a form that has its summit tells no strength."""
    lacking = any(form.fit.converged and np.isnan(form.strength_MPa).any() for form in found.forms)
    said = (
        "None: where the scatter grows as the stress falls, the curve of that share turns back before the "
        "run-out life."
    )
    return f"<p>{said}</p>" if lacking else ""


def _governs(life: FatigueLife, form: Form) -> bool:
    return (form.fit.curve, form.fit.distribution) == (life.tests.curve, life.tests.distribution)


def _table(life: FatigueLife, found: Compared) -> str:
    heads = [
        ("form", ""),
        ("ln L", "num"),
        ("AIC", "num"),
        ("above the least", "num"),
        ("summit", ""),
        *((f"{percent(1 - share)} stand at the run-out life, MPa", "num") for share in SHARES),
    ]
    if found.stress_MPa is not None:
        heads.append((f"{percent(1 - SHARES[-1])} live at the duty’s highest stress, cycles", "num"))
    head = "".join(f'<th scope="col" class="{kind}">{name}</th>' for name, kind in heads)
    rows = "".join(_row(life, found, form) for form in found.forms)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _row(life: FatigueLife, found: Compared, form: Form) -> str:
    fit = form.fit
    name = f"{fit.curve}, {fit.distribution}"
    name = f"<b>{text(name)}: governs</b>" if _governs(life, form) else text(name)
    return f'<tr><th scope="row">{name}</th>{"".join(_cells(found, form))}</tr>'


def _cells(found: Compared, form: Form) -> Iterator[str]:
    fit = form.fit
    if fit.stops:
        width = 6 + (found.stress_MPa is not None)
        why = "; ".join(notice.text for notice in fit.notices)
        yield f'<td colspan="{width}">{marked(why)}</td>'
        return
    none = "none" if fit.converged else "no summit"
    likelihood, akaike = float(array(fit.log_likelihood)), float(array(fit.akaike))
    for number, decimals in ((likelihood, 1), (akaike, 1), (form.above_best, 1)):
        yield f'<td class="num">{value(number, decimals) if np.isfinite(number) else none}</td>'
    yield f"<td>{'reached' if fit.converged else 'not reached'}</td>"
    for strength in form.strength_MPa:
        yield f'<td class="num">{value(strength, 0) if np.isfinite(strength) else none}</td>'
    if found.stress_MPa is not None:
        cycles = form.life_cycles
        said = none if np.isnan(cycles) else "without end" if np.isinf(cycles) else number_text(cycles, 2)
        yield f'<td class="num">{said}</td>'
