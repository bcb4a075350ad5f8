"""The same tests by two methods of long standing: as a staircase, and as a straight line of lives."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.fatigue.inputs import FatigueData
from gearcheck.fatigue.staircase import STAIRCASE, Staircase, staircase
from gearcheck.fatigue.straight_line import STRAIGHT_LINE, LoadScale, straight_line
from gearcheck.figures.fatigue_tests import percent
from gearcheck.review.fatigue import FatigueLife

_FEWEST_LEVELS, _FEWEST_EACH = 3, 2
_ALIKE = 0.02  # of a step: so far its levels may lie from equal steps


def by_count_html(life: FatigueLife) -> str:
    """Return what the staircase and the straight line say of tests, quietly: neither of them governs.

    Parameters
    ----------
    life : FatigueLife
        The tests.
    """
    if life.levels is None:
        return ""
    data, confidence = life.levels.data, life.tests.confidence
    return "".join((*_as_staircase(data, confidence), *_as_line(data, confidence)))


def stairs(data: FatigueData) -> tuple[Array, Array, float] | None:
    """Return the part of tests that forms a staircase: the lowest levels, equal steps apart.

    Parameters
    ----------
    data : FatigueData
        What counts.

    Returns
    -------
    stress, failed, step : ndarray, ndarray and float, or None
        Stresses on whole steps, in the order of the file; None without three levels, two failures and two
        run-outs.
    """
    levels = np.unique(np.round(data.stress_MPa, 6))
    apart = np.diff(levels)
    if apart.size + 1 < _FEWEST_LEVELS:
        return None
    unequal = np.flatnonzero(np.abs(apart - apart[0]) > _ALIKE * apart[0])
    last = int(unequal[0]) if unequal.size else apart.size
    step = float((levels[last] - levels[0]) / last)
    taken = data.stress_MPa <= levels[last] + 0.5 * step
    failed = data.failed[taken]
    if last + 1 < _FEWEST_LEVELS or min(failed.sum(), (~failed).sum()) < _FEWEST_EACH:
        return None
    return levels[0] + step * np.round((data.stress_MPa[taken] - levels[0]) / step), failed, step


def _as_staircase(data: FatigueData, confidence: float) -> Iterator[str]:
    part = stairs(data)
    if part is None:
        return
    stress, failed, step = part
    found = staircase(stress_MPa=stress, failed=failed, step_MPa=step, confidence=confidence)
    levels = np.unique(np.round((stress - stress.min()) / step)).size
    yield (
        f'<p class="gc-note">As a staircase, the {failed.size} specimens of the {levels} lowest levels, '
        f"{value(step, 0, 'MPa')} apart: by {marked(f'{STAIRCASE.source}, {STAIRCASE.edition}')} "
        f"({STAIRCASE.status}) half of them stand {_told(found.mean_MPa)}, with a standard deviation of "
        f"{_told(found.deviation_MPa)}; {_by_likelihood(found, confidence)}.</p>{notices(found.notices)}"
    )


def _by_likelihood(found: Staircase, confidence: float) -> str:
    same = found.likelihood
    if same.stops:
        return "by likelihood no scatter can be told"
    return (
        f"by likelihood {_told(same.mean_MPa)} and {_told(same.deviation_MPa)}, the first between "
        f"{_told(same.mean_low_MPa)} and {_told(same.mean_high_MPa)} with {percent(confidence)} confidence"
    )


def _as_line(data: FatigueData, confidence: float) -> Iterator[str]:
    found = straight_line(
        load=data.stress_MPa,
        cycles=data.cycles,
        failed=data.failed,
        scale=LoadScale.LOGARITHM,
        confidence=confidence,
        specimens=data.specimens,
    )
    name = f"{marked(STRAIGHT_LINE.source)} ({STRAIGHT_LINE.status})"
    if found.stops:
        yield f'<p class="gc-note">No straight line by {name}. {marked(found.stops[0].text)}</p>'
        return
    yield (
        f'<p class="gc-note">As a straight line of log life over log stress, by {name}: slope '
        f"{value(_one(found.slope), 2)}, "
        f"standard deviation of log10 life {value(_one(found.deviation), 3)}.</p>"
        f"{notices(found.notices)}"
    )


def _told(stress: Number) -> str:
    return "no value" if stress is None else value(_one(stress), 0, "MPa")


def _one(number: Number) -> float:
    return float(array(number))
