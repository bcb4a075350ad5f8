"""Ranks of lives: the share that has failed by each of them, run-outs counted in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import marked, need_measured, need_whole

RANKS = Method(
    key="median_ranks",
    title="Median ranks of failures among run-outs",
    source="Johnson, The Statistical Treatment of Fatigue Experiments, 1964; Kececioglu, handbook volume 2, "
    "1994",
    edition="",
    clause="mean order numbers; median ranks",
    status=Status.FROM_MEMORY,
    implements=(
        "order numbers raised by the run-outs that were taken out before",
        "median rank exact by the beta distribution, and by the approximation of Benard",
    ),
    leaves_out=("lives known to an interval only", "mean ranks and other plotting positions"),
    departures=("Of a failure and a run-out at the same cycles the failure comes first.",),
)


@dataclass(frozen=True, kw_only=True)
class MedianRanks(Result):
    """Of each order number the share that has failed, in the median."""

    method: ClassVar[Method] = RANKS
    order: Number = term("Order number", "j")
    specimens: Number = term("Specimens", "n")
    exact: Number = term("Median rank", "F", words="median of the beta distribution with j and n + 1 - j")
    approximate: Number = term("Median rank by Benard", "F_B", "", "(j - 0.3)/(n + 0.4)")


def median_ranks(*, order: Number, specimens: Number) -> MedianRanks:
    """Return the median rank of a failure.

    F = median of Beta(j, n + 1 - j); F_B = (j - 0.3)/(n + 0.4)

    Parameters
    ----------
    order : float or array
        j, whole or adjusted for run-outs; NaN where there is none.
    specimens : int or array
        n, run-outs counted in.

    Returns
    -------
    MedianRanks
        Exact and approximate, as shares.

    Raises
    ------
    InputError
        An order number not from 1 to n, less than one specimen.

    Notes
    -----
    Source: Johnson 1964, Kececioglu 1994, from memory.
    Valid for: a sample of one population.
    Departures: none.
    Checked: RANK-02-RANKS, RANK-02-RANKS-EXACT.

    Examples
    --------
    >>> ranks = median_ranks(order=[1, 2], specimens=6)
    >>> print(ranks.exact.round(4), ranks.approximate.round(4))
    [0.1091 0.2644] [0.1094 0.2656]
    """
    j, n = array(order), array(specimens)
    faults = Faults()
    faults.need(not np.any((j < 1) | (j > n)), "order", order, "order numbers from 1 to the specimens")
    need_whole(faults, least=1, specimens=specimens)
    faults.check()
    return MedianRanks(
        order=j,
        specimens=n,
        exact=array(betaincinv(j, n + 1 - j, 0.5)),
        approximate=(j - 0.3) / (n + 0.4),
    )


def adjusted_ranks(*, cycles: Number, failed: Any) -> MedianRanks:
    """Return the ranks of failures among run-outs, each at the place of its specimen.

    j_i = j_(i-1) + (n + 1 - j_(i-1))/(1 + r_i), r_i the specimens that reached this life

    Parameters
    ----------
    cycles : array
        Lives, and the cycles at which run-outs were taken out; specimens on the last axis, in any order.
    failed : array of bool
        Whether each failed.

    Returns
    -------
    MedianRanks
        Order numbers and ranks; NaN at run-outs; a stop where nothing failed.

    Raises
    ------
    InputError
        Cycles not above 0, no specimen.

    Notes
    -----
    Source: Johnson 1964, Kececioglu 1994, from memory.
    Valid for: run-outs that were not taken out because they were about to fail.
    Departures: of a failure and a run-out at the same cycles the failure comes first.
    Checked: RANK-01, RANK-01-TABLE.

    Examples
    --------
    >>> ranks = adjusted_ranks(cycles=[5e5, 9e5, 1.5e6], failed=[True, False, True])
    >>> print(ranks.order)
    [1.  nan 2.5]
    """
    life, faults = array(cycles), Faults()
    faults.need(life.ndim > 0 and life.size > 0, "cycles", cycles, "one specimen or more")
    need_measured(faults, cycles=cycles)
    broke = marked(faults, failed, life)
    faults.check()
    count = life.shape[-1]
    turn = np.lexsort((~broke, life), axis=-1)
    reached = np.arange(count, 0, -1.0)
    share = np.where(np.take_along_axis(broke, turn, axis=-1), reached / (1 + reached), 1.0)
    in_turn = (count + 1) * (1 - np.cumprod(share, axis=-1))
    order = np.empty_like(in_turn)
    np.put_along_axis(order, turn, in_turn, axis=-1)
    order = np.where(broke, order, np.nan)
    return MedianRanks(
        order=order,
        specimens=count,
        exact=array(betaincinv(order, count + 1 - order, 0.5)),
        approximate=(order - 0.3) / (count + 0.4),
        notices=_notices(broke),
    )


def plotting_positions(*, cycles: Number, failed: Any) -> Array:
    """Return the share that has failed by each life, as it is drawn in a probability plot.

    F = median of Beta(j, n + 1 - j), j adjusted for run-outs

    Parameters
    ----------
    cycles : array
        Lives, and the cycles at which run-outs were taken out, in any order.
    failed : array of bool
        Whether each failed.

    Returns
    -------
    ndarray of float
        F at the place of each specimen; NaN at run-outs.

    Raises
    ------
    InputError
        Cycles not above 0, no specimen.

    Notes
    -----
    Source: Johnson 1964, Kececioglu 1994, from memory.
    Valid for: drawing; a line through the points is no substitute for a fit of failures and run-outs.
    Departures: none.
    Checked: RANK-02-POSITIONS.

    Examples
    --------
    >>> print(plotting_positions(cycles=[5e5, 9e5, 1.5e6], failed=[True, False, True]).round(4))
    [0.2063    nan 0.6475]
    """
    return array(adjusted_ranks(cycles=cycles, failed=failed).exact)


def _notices(failed: NDArray[np.bool_]) -> tuple[Notice, ...]:
    if np.all(failed.any(axis=-1)):
        return ()
    text = "All are run-outs: no failure has a rank. It is only known that all outlived the cycles they ran."
    return (Notice(Level.STOP, f"{RANKS.key}.no_failure", text),)
