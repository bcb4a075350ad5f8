"""The life of the gear and of the set under the duty, and where its scatter comes from."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_chart import why_not
from gearcheck.desk.panels.fatigue_later import FatigueLater, Job
from gearcheck.desk.panels.fatigue_life_of import LOST, LifeOf, can_live, life_of
from gearcheck.desk.panels.fatigue_tests import WAITS, nothing
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.fatigue.life_scatter import LifeScatter
from gearcheck.fatigue.service import Service
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.fatigue_life import LostLine, lost_by_life, lost_by_stress, shares_drawing
from gearcheck.figures.fatigue_tests import percent

_MANY, _LEAST = 1e-3, 1e-6  # more is told as a share that survives; of less no tests of specimens know
_SURE = 0.1  # in %: what would round to none, or to all, is told as less or more than that
_PARTS = (
    ("material", "material_share"),
    ("load", "load_share"),
    ("transfers, few gears", "transfer_share"),
    ("estimation", "estimation_share"),
    ("only together", "together"),
)


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
        "Material: teeth and gears differ. Estimation: more specimens would make it less. With the transfers "
        "stands what teeth of few gears leave open. Only these are told apart here; heats and makers that "
        "were not tested are in none.",
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
        if life is None or service is None or not can_live(life):
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
        if view.service is None or not can_live(life):
            lacking = "the rating of the gear, or what is required of it, lacks something"
            why = why_not(life) if not can_live(life) else lacking
            return f"{head}<p>There is no life to tell: {marked(why)}.</p>"
        found: LifeOf | None = self.later.found
        if found is None:
            return head + WAITS
        grey = ' class="gc-settling"' if self.later.waits else ""
        assert life.fit is not None
        said = "".join(
            f"<p>{line}</p>" for line in (*_sentences(found), *lost_sentences(found, life.fit.data.count))
        )
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


def chance(share: Number) -> str:
    """Return a chance as a share of which two digits can be told."""
    percent = 100 * float(array(share))
    if percent < _SURE:
        return f"under {value(_SURE, 1, '%')}"
    if percent >= 100 - _SURE:
        return f"over {value(100 - _SURE, 1, '%')}"
    return value(percent, 1, "%")


def _parts(found: LifeScatter) -> Iterator[tuple[str, float]]:
    for name, key in _PARTS:
        yield name, _one(getattr(found, key))


def _one(number: Number) -> float:
    return float(array(number))


def _drawing(found: LifeOf) -> Drawing | None:
    return _by_stress(found) if found.over_load else _by_life(found)


def _by_life(found: LifeOf) -> Drawing | None:
    """Over the life; None where next to nothing is lost for very long."""
    several = found.service.gears > 1
    name, sure = _sets(found.service), percent(found.wanted.confidence)
    of_set, of_gear = found.of_set, found.of_gear
    lines = [
        _line(f"{name}, with {sure} confidence", of_set.life_h, LOST, tones.CAPACITY),
        _line(f"{name}, fitted curve alone", of_set.plug_in_life_h, LOST, tones.DEMAND, dashed=True),
    ]
    if several:
        lines.append(_line(f"one gear, with {sure} confidence", of_gear.life_h, LOST, tones.QUIET))
    tested = _one(found.at.run_out_cycles) / _one(found.at.service_cycles) * _one(found.at.life_wanted_h)
    lost = 1.0 - found.wanted.reliability
    return lost_by_life(lines, wanted_h=found.service.life_h, agreed_lost=lost, run_out_h=tested)


def _by_stress(found: LifeOf) -> Drawing:
    """Over the load, within the life wanted."""
    duty = float(array(found.service.stress_MPa).max())
    stress, name = duty * np.array([_one(one.overload) for one in found.over_load]), _sets(found.service)
    mean, plug = (
        1.0 - np.array([_one(getattr(one, of)) for one in found.over_load]) for of in ("passed", "plug_in")
    )
    lines = [
        _line(f"{name} to come, all counted in", stress, mean, tones.CAPACITY),
        _line(f"{name}, fitted curve alone", stress, plug, tones.DEMAND, dashed=True),
    ]
    return lost_by_stress(lines, duty_MPa=duty, agreed_lost=1.0 - found.wanted.reliability)


def _line(label: str, at: Number, lost: Array, tone: str, *, dashed: bool = False) -> LostLine:
    return LostLine(label=label, place=array(at), lost=lost, tone=tone, dashed=dashed)


def _sets(service: Service) -> str:
    return f"sets of {service.gears} gears" if service.gears > 1 else "gears"


def _sentences(found: LifeOf) -> Iterator[str]:
    at, wanted, service = found.at, found.wanted, found.service
    life, plug, hours = _one(at.life_h), _one(at.plug_in_life_h), service.life_h
    share, sure = percent(wanted.reliability), percent(wanted.confidence)
    if np.isnan(life):
        yield f"What {share} of {_sets(service)} live with {sure} confidence cannot be told."
    elif found.over_load:
        yield (
            f"{share} of {_sets(service)} live <b>over ten thousand times</b> the {_hours(hours)} that are "
            f"wanted, with {sure} confidence. So far out a life says little; how far the load may rise says "
            "more, and is drawn."
        )
    else:
        yield (
            f"{share} of {_sets(service)} live <b>{_hours(life)}</b> under the duty with {sure} confidence; "
            f"{_hours(plug)} by the fitted curve alone. {_hours(hours)} are wanted."
        )


def lost_sentences(found: LifeOf, specimens: int) -> Iterator[str]:
    """Say what is lost at the life wanted: the worse number first, and no more nines than tests bear.

    Parameters
    ----------
    found : LifeOf
        The life as asked.
    specimens : int
        How many were tested.

    Yields
    ------
    str
        One sentence, or two.
    """
    low, mean = _one(found.at.low_reliability), _one(found.at.mean_reliability)
    if np.isnan(mean):
        return
    sure = f"with {percent(found.wanted.confidence)} confidence"
    to_come = "of those to come, all that is not known counted in"
    (first, how), (then, also) = sorted([(low, sure), (mean, to_come)])
    yield f"At the life wanted <b>{lost_words(first)}</b> {how}; {lost_words(then)} {also}."
    if 1.0 - then < _LEAST:
        yield f"Fewer than one in a million is a claim of the curve, not of the {specimens} specimens."


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
    if lost < _LEAST:
        return "fewer than one in a million is lost"
    return f"one in {number_text(float(f'{1.0 / lost:.2g}'), 2)} is lost"


def _hours(hours: float) -> str:
    return "without end" if np.isinf(hours) else f"{number_text(hours, 3)}\u00a0h"
