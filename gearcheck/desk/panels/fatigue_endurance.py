"""The endurance test that is planned: the chance that it passes, and what specimens must show before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_chart import why_not
from gearcheck.desk.panels.fatigue_later import FatigueLater, Job
from gearcheck.desk.panels.fatigue_life import chance
from gearcheck.desk.panels.fatigue_life_of import can_live, moved, widened
from gearcheck.desk.panels.fatigue_tests import WAITS, nothing
from gearcheck.desk.panels.fatigue_view import FatigueView, Wanted
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.fatigue.draws import DRAWS
from gearcheck.fatigue.endurance import EnduranceTest, endurance_test
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.must_show import NeededOfSpecimens, needed_of_specimens
from gearcheck.review.fatigue import FatigueLife

_NOT_PLANNED = (
    "No endurance test is planned: [fatigue.endurance] of the gear file names its torque, its time and how "
    "many gears have to pass."
)
_PRIORS = {
    Curve.RANDOM_LIMIT: "Random limit",
    Curve.FIXED_LIMIT: "Fixed limit",
    Curve.TWO_SLOPES: "Two slopes",
}


@dataclass(frozen=True, kw_only=True)
class Passing:
    """The chance, and what would make it the one that is wanted."""

    test: EnduranceTest
    needed: NeededOfSpecimens


class FatigueEndurance:
    """What to expect of the test that is planned.

    Parameters
    ----------
    view : FatigueView
        What is known of the tests of specimens.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "The chance is averaged over all that the specimens leave open, under the weak prior that is told "
        "with it. The bootstrap below needs none; once it has run, it stands beside.",
        "Taken at the best estimate it would forget that mean and scatter are known from few. Taken gear by "
        "gear it would forget that all gears share what is not known: the power comes first, the mean after.",
        "A test that is passed shows little of many nines: read it together with the specimens, never alone.",
    )

    def __init__(self, view: FatigueView, say: Say) -> None:
        self._view = view
        self.later = FatigueLater(view, say, self._job)
        self.widget = Piece(self._html, say)
        self.later.observe(guarded(lambda _: self.widget.refresh(), say), ["found", "waits"])

    def _job(self) -> Job | None:
        view = self._view
        gears = gears_on_test(view)
        if gears is None or view.life is None:
            return None
        life, wanted, refits = view.life, view.wanted, view.refits
        key = (wanted, gears, id(life.endurance), id(life.draws), id(refits))
        return key, partial(_worked_out, life, wanted, gears, refits)

    def _html(self, _: Folds) -> str:
        head = '<h2 id="endurance">The endurance test</h2>'
        if self._view.life is None:
            return head + nothing(self._view)
        if gears_on_test(self._view) is None:
            return f"{head}<p>{_why_not(self._view)}</p>"
        found: Passing | None = self.later.found
        if found is None:
            return head + WAITS
        grey = ' class="gc-settling"' if self.later.waits else ""
        prior = text(prior_words(self._view.life.tests.curve))
        lines = (*_planned(self._view), *_sentences(found), prior)
        said = "".join(f"<p>{line}</p>" for line in lines)
        told = notices(found.test.notices) + notices(found.needed.notices)
        return f"{head}<div{grey}>{said}{told}</div>"


def gears_on_test(view: FatigueView) -> int | None:
    """Return how many gears are to be tested; None where no test is planned, or nothing is known of it.

    Parameters
    ----------
    view : FatigueView
        What is known of the tests of specimens.
    """
    fatigue, life = view.state.record.fatigue, view.life
    if fatigue is None or fatigue.endurance is None or life is None:
        return None
    known = life.endurance is not None and can_live(life)
    return fatigue.endurance.gears if known else None


def prior_words(curve: Curve) -> str:
    """Return the weak prior of a curve in a sentence, as the method of the draws states it.

    Parameters
    ----------
    curve : Curve
        The curve in use.
    """
    own = _PRIORS.get(curve, "Lines")
    found = re.search(rf"{own}: ((?:[^.]|\.(?=\d))+)\.", " ".join(DRAWS.departures))
    more = "" if found is None else f"; {own.lower()}: {found[1]}"
    return f"Its prior is weak: flat in the parameters of the curve, scales by their logarithm{more}."


def _why_not(view: FatigueView) -> str:
    fatigue, life = view.state.record.fatigue, view.life
    if fatigue is None or fatigue.endurance is None or life is None:
        return _NOT_PLANNED
    lacking = "the rating of the gear, or what is required of it, lacks something"
    return f"No chance can be told: {marked(why_not(life) if not can_live(life) else lacking)}."


def _worked_out(life: FatigueLife, wanted: Wanted, gears: int, refits: Array | None) -> Passing:
    assert life.endurance is not None
    of, service = widened(life, wanted.scatter), moved(life.endurance, wanted.transfer)
    test = endurance_test(
        fit=of.fit,
        parameters=of.parameters,
        weights=of.weights,
        service=service,
        gears=gears,
        bootstrap=refits,
    )
    needed = needed_of_specimens(
        fit=of.fit,
        parameters=of.parameters,
        weights=of.weights,
        service=service,
        gears=gears,
        wanted=wanted.passing,
    )
    return Passing(test=test, needed=needed)


def _planned(view: FatigueView) -> Iterator[str]:
    fatigue, life = view.state.record.fatigue, view.life
    assert fatigue is not None
    assert fatigue.endurance is not None
    assert life is not None
    assert life.endurance is not None
    planned, service = fatigue.endurance, life.endurance
    yield (
        f"Planned: {_gears(planned.gears)} at {value(planned.torque_Nm, 0, 'N·m')} for "
        f"{value(planned.hours, 0, 'h')}, {number_text(float(array(service.cycles).sum()), 2)} cycles a "
        f"tooth "
        f"at {value(float(array(service.stress_MPa).max()), 0, 'MPa')}.{_without_application(view)}"
    )


def _without_application(view: FatigueView) -> str:
    """Why its stress is less than in proportion to that of the duty, where the duty has a factor on it."""
    record = view.state.shown.record
    factor = float(array(record.meshes[0].application_factor))
    if record.duty is not None or factor == 1:
        return ""
    return (
        f" A rig holds its torque: the application factor {value(factor, 2)} of the rating counts in the "
        "duty, not here."
    )


def _gears(count: int) -> str:
    return f"{count} gear{'s'[: count != 1]}"


def _sentences(found: Passing) -> Iterator[str]:
    test, needed = found.test, found.needed
    yield (
        f"The chance that it is passed is <b>{chance(test.passed)}</b>: the mean over all curves that the "
        f"specimens leave likely, of which one in ten says less than {chance(test.low)}.{_again(test)}"
    )
    yield (
        f"By the fitted curve alone it would be {chance(test.plug_in)}, which is too sure; gear by gear, "
        f"{chance(test.each_apart)}, which is wrong too."
    )
    cycles = number_text(_one(needed.run_out_cycles), 2)
    yield (
        f"Before a chance of {chance(needed.wanted)}, the specimens must show a median of at least "
        f"{_told(needed.needed_MPa, 0, 'MPa')} at {cycles} cycles with the scatter found (they show "
        f"{value(_one(needed.strength_MPa), 0, 'MPa')}), or a scatter of the strength of at most "
        f"{_told(100 * array(needed.largest_scatter), 1, '%')} with the median found (they show "
        f"{value(100 * _one(needed.scatter), 1, '%')})."
    )


def _again(test: EnduranceTest) -> str:
    again = _one(test.bootstrap)
    return "" if np.isnan(again) else f" The bootstrap, without a prior, says {chance(again)}."


def _one(number: Number) -> float:
    return float(array(number))


def _told(number: Number, decimals: int, unit: str) -> str:
    known = _one(number)
    return "no value that is near" if np.isnan(known) else f"<b>{value(known, decimals, unit)}</b>"
