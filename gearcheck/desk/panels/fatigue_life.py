"""The life of the gear and of the set under the duty, and where its scatter comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_chart import percent
from gearcheck.desk.panels.fatigue_later import FatigueLater, Job
from gearcheck.desk.panels.fatigue_tests import WAITS, nothing
from gearcheck.desk.panels.fatigue_view import FatigueView, Wanted
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.fatigue.curve_band import wider
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.life_scatter import LifeScatter, life_scatter
from gearcheck.fatigue.life_spectrum import LifeDistribution, life_distribution
from gearcheck.fatigue.service import Service
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.fatigue_life import FURTHEST, LostLine, lost_drawing, shares_drawing
from gearcheck.review.fatigue import FatigueLife

_LOST = np.array([1e-6, 1e-5, 1e-4, 3e-4, 1e-3, 3e-3, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9])
_DRAWS = 300
_MANY, _NONE = 1e-3, 1e-12  # more is told as a share that survives, less is none that could be told
_PARTS = (
    ("material", "material_share"),
    ("load", "load_share"),
    ("transfers", "transfer_share"),
    ("estimation", "estimation_share"),
    ("only together", "together"),
)


@dataclass(frozen=True, kw_only=True)
class LifeOf:
    """The life as asked: of the set at the reliability, its distribution, that of one gear, the scatter."""

    wanted: Wanted
    service: Service
    at: LifeDistribution
    of_set: LifeDistribution
    of_gear: LifeDistribution
    scatter: LifeScatter


class FatigueLifePicture:
    """The life of the tests that are shown; it is worked out beside the page, and follows what is asked.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Each tooth keeps its quantile of strength at every stress; the damage of the spectrum is summed on "
        "the curve of that quantile, and a set is lost with its first tooth.",
        "Confidence takes the curve for as uncertain as the tests leave it, and each transfer for as "
        "uncertain "
        "as it says.",
        "Material: teeth and gears differ. Estimation: more specimens would make it less. Only the two of "
        "them "
        "and the transfers are told apart here; heats and makers that were not tested are in none.",
    )

    def __init__(self, view: FatigueView, say: Say) -> None:
        self._view = view
        self.later = FatigueLater(view, say, self._job)
        self._lost, self._shares = SharedChart(), SharedChart()
        self._said, self._below = Piece(self._words, say), Piece(self._of_scatter, say)
        self.widget = widgets.VBox([self._said, self._lost, self._below, self._shares])
        self.later.observe(guarded(lambda _: self._draw(), say), ["found", "waits"])
        self._draw()

    def _job(self) -> Job | None:
        life, service, wanted = self._view.life, self._view.service, self._view.wanted
        if life is None or service is None or life.draws is None:
            return None
        return (wanted, id(service), id(life.draws)), partial(life_of, life, service, wanted)

    def _draw(self) -> None:
        self._said.refresh()
        self._below.refresh()
        found: LifeOf | None = self.later.found
        self._lost.draw(None if found is None else _drawing(found))
        parts = [] if found is None or found.scatter.stops else list(_parts(found.scatter))
        self._shares.draw(shares_drawing(parts, "share of the variance of ln life") if parts else None)

    def _words(self, _: Folds) -> str:
        head = '<h2 id="life">The life</h2>'
        view, life = self._view, self._view.life
        if life is None:
            return head + nothing(view)
        if view.service is None or life.draws is None:
            why = life.reason or "the rating of the gear, or what is required of it, lacks something"
            return f"{head}<p>There is no life to tell: {marked(why)}.</p>"
        found: LifeOf | None = self.later.found
        if found is None:
            return head + WAITS
        grey = ' class="gc-settling"' if self.later.waits else ""
        said = "".join(f"<p>{line}</p>" for line in _sentences(found))
        return f"{head}<div{grey}>{said}{notices(found.at.notices)}</div>"

    def _of_scatter(self, _: Folds) -> str:
        found: LifeOf | None = self.later.found
        if found is None:
            return ""
        if found.scatter.stops:
            return notices(found.scatter.notices)
        return (
            "<h3>Where its scatter comes from</h3><p>The logarithm of the life of sets to come has a "
            "standard "
            f"deviation of <b>{value(_one(found.scatter.deviation), 2)}</b>.</p>"
        )


def life_of(life: FatigueLife, service: Service, wanted: Wanted) -> LifeOf:
    """Work out the life as asked.

    Parameters
    ----------
    life : FatigueLife
        Tests with a fit and its draws.
    service : Service
        What the gear bears.
    wanted : Wanted
        What is asked.

    Returns
    -------
    LifeOf
        Of the set, and of one gear.
    """
    of, service = widened(life, wanted.scatter), moved(service, wanted.transfer)

    def distribution(service: Service, reliability: Number) -> LifeDistribution:
        return life_distribution(
            fit=of.fit,
            parameters=of.parameters,
            weights=of.weights,
            service=service,
            reliability=reliability,
            confidence=wanted.confidence,
            most_draws=_DRAWS,
        )

    return LifeOf(
        wanted=wanted,
        service=service,
        at=distribution(service, wanted.reliability),
        of_set=distribution(service, 1.0 - _LOST),
        of_gear=distribution(replace(service, gears=1), 1.0 - _LOST),
        scatter=life_scatter(fit=of.fit, parameters=of.parameters, weights=of.weights, service=service),
    )


@dataclass(frozen=True, kw_only=True)
class Widened:
    """A fit with its draws, of another scatter than was fitted."""

    fit: FatigueFit
    parameters: Array
    weights: Array


def widened(life: FatigueLife, scatter: float) -> Widened:
    """Return the fit of tests with so many times its scatter.

    Parameters
    ----------
    life : FatigueLife
        Tests with a fit and its draws.
    scatter : float
        The factor.
    """
    fit, draws = life.fit, life.draws
    assert fit is not None
    assert draws is not None
    return Widened(
        fit=replace(fit, parameters=wider(fit.model, fit.parameters, scatter)),
        parameters=wider(fit.model, draws.parameters, scatter),
        weights=draws.weights,
    )


def moved(service: Service, transfer: float) -> Service:
    """Return a service with one more factor on the strength.

    Parameters
    ----------
    service : Service
        What the gear bears.
    transfer : float
        The factor.
    """
    return replace(service, log_factor=service.log_factor + float(np.log(transfer)))


def chance(share: Number) -> str:
    """Return a chance as a share of which two digits can be told."""
    return value(100 * float(array(share)), 1, "%")


def _parts(found: LifeScatter) -> Iterator[tuple[str, float]]:
    for name, key in _PARTS:
        yield name, _one(getattr(found, key))


def _one(number: Number) -> float:
    return float(array(number))


def _drawing(found: LifeOf) -> Drawing | None:
    sure = percent(found.wanted.confidence)
    several = found.service.gears > 1
    name = f"sets of {found.service.gears} gears" if several else "gears"
    lines = [
        LostLine(
            label=f"{name}, with {sure} confidence",
            life_h=array(found.of_set.life_h),
            lost=_LOST,
            tone=tones.CAPACITY,
        ),
        LostLine(
            label=f"{name}, fitted curve alone",
            life_h=array(found.of_set.plug_in_life_h),
            lost=_LOST,
            tone=tones.DEMAND,
            dashed=True,
        ),
    ]
    if several:
        lines.append(
            LostLine(
                label=f"one gear, with {sure} confidence",
                life_h=array(found.of_gear.life_h),
                lost=_LOST,
                tone=tones.QUIET,
            )
        )
    tested = _one(found.at.run_out_cycles) / _one(found.at.service_cycles) * _one(found.at.life_wanted_h)
    return lost_drawing(
        lines, wanted_h=found.service.life_h, agreed_lost=1.0 - found.wanted.reliability, run_out_h=tested
    )


def _sentences(found: LifeOf) -> Iterator[str]:
    at, wanted, service = found.at, found.wanted, found.service
    sets = f"sets of {service.gears} gears" if service.gears > 1 else "gears"
    life, plug = _one(at.life_h), _one(at.plug_in_life_h)
    yield (
        f"{percent(wanted.reliability)} of {sets} live <b>{_hours(life, service.life_h)}</b> under the "
        f"duty with "
        f"{percent(wanted.confidence)} confidence; {_hours(plug, service.life_h)} by the fitted curve alone. "
        f"{_hours(service.life_h, service.life_h)} are wanted."
    )
    low, mean = _one(at.low_reliability), _one(at.mean_reliability)
    yield (
        f"At the life wanted <b>{lost_words(low)}</b> with that confidence; of those to come, all that is "
        f"not "
        f"known counted in, {lost_words(mean)}."
    )
    if _drawing(found) is None:
        yield (
            "Within ten thousand times the life wanted next to none is lost: how far the load may rise says "
            "more than a life, and stands among the margins."
        )


def lost_words(reliability: float) -> str:
    """Return how many are lost at a reliability, in words that bear many nines.

    Parameters
    ----------
    reliability : float
        The share that survives.
    """
    lost = 1.0 - reliability
    if np.isnan(lost):
        return "no share can be told"
    if lost > _MANY:
        return f"{percent(round(reliability, 4))} survive"
    if lost < _NONE:
        return "fewer than one in 10¹² are lost"
    return f"one in {number_text(float(f'{1.0 / lost:.2g}'), 2)} is lost"


def _hours(hours: float, wanted: float) -> str:
    if np.isnan(hours):
        return "no life"
    if np.isfinite(hours) and hours > FURTHEST * wanted:
        return "over ten thousand times as long as wanted"
    return "without end" if np.isinf(hours) else f"{number_text(hours, 3)}\u00a0h"
