"""The scatter of a fit by drawing its specimens anew, whole gears where teeth share one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit, falls
from gearcheck.fatigue.inputs import FatigueData
from gearcheck.fatigue.model import points_of
from gearcheck.fatigue.newton import ENOUGH, FEW_STEPS, largest_likelihood

BOOTSTRAP = Method(
    key="bootstrap_fits",
    title="Bootstrap of a stress-cycle curve",
    source="Efron and Tibshirani, An Introduction to the Bootstrap",
    edition="1993",
    clause="cases drawn with replacement; clusters drawn whole; percentiles",
    status=Status.FROM_MEMORY,
    implements=("specimens, or whole gears with all their teeth, drawn with replacement and fitted anew",),
    leaves_out=("bias-corrected percentiles", "two stages: teeth drawn within the gears that were drawn"),
    departures=(
        "A draw counts where a step gains less than a thousandth of the log-likelihood, so also on a "
        "ridge, where its scatter of the limit vanishes; others are left out, and counted.",
        "Of few specimens percentiles hold less than they say: of 30, those of 90 % held the strength at "
        "which 1 % fail two times of three by a random limit, the truth below them: no bound of a design.",
    ),
)

_FEW = 10


@dataclass(frozen=True, kw_only=True)
class BootstrapSoFar(Result):
    """The draws that are done."""

    method: ClassVar[Method] = BOOTSTRAP
    clustered: bool
    parameters: Array
    converged: NDArray[np.bool_]
    of: Number = term("Draws asked for", "B")
    done: Number = term("Draws that are done", "B_d", words="so far")
    units: Number = term("What is drawn from", "n_u", words="specimens, or gears")
    lost: Number = term("Draws without an end", "B_0", words="left out")

    @property
    def usable(self) -> Array:
        """The parameters of the draws that came to an end."""
        return self.parameters[self.converged]


def bootstrap_fits(
    *,
    fit: FatigueFit,
    generator: np.random.Generator,
    replicates: int = 1000,
    clustered: bool | None = None,
    at_once: int = 50,
) -> Iterator[BootstrapSoFar]:
    """Yield a curve fitted anew to specimens drawn with replacement, so many at once.

    θ*_b = argmax Σ w_bi ln L_i(θ), w_b how often each specimen was drawn

    Parameters
    ----------
    fit : FatigueFit
        A fit that converged.
    generator : Generator
        Of random numbers; all are drawn first, so that the draws do not depend on `at_once`.
    replicates : int
        How many.
    clustered : bool, optional
        Whether whole gears are drawn; without, where the tests name gears that share several.
    at_once : int
        How many are fitted together.

    Yields
    ------
    BootstrapSoFar
        All that are done; whoever waits may stop after any of them.

    Raises
    ------
    InputError
        A fit without a summit, fewer than one draw, gears to be drawn where none are named.

    Notes
    -----
    Source: Efron and Tibshirani 1993, from memory.
    Valid for: ten units or more; with fewer gears than that its intervals are too short.
    Departures: see the method.
    Checked: FATIGUE-BOOTSTRAP.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> lives = np.array([17.9, 28.9, 33.0, 41.5, 42.1, 45.6, 48.4, 51.8, 52.0, 54.1])
    >>> tests = FatigueData(stress_MPa=np.full(10, 900.0), cycles=lives, failed=np.full(10, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.ONE_LEVEL)
    >>> every = bootstrap_fits(fit=fit, generator=np.random.default_rng(1), replicates=100)
    >>> [f"{found.done:.0f} of {found.of:.0f}" for found in every]
    ['50 of 100', '100 of 100']
    """
    shared = len(set(fit.data.gears)) < fit.data.count if fit.data.gears else False
    by_gear = shared if clustered is None else clustered
    _check(fit, replicates, by_gear)
    weights = _weights(fit.data, generator, replicates, by_gear)
    points, found, summits = points_of(fit.data), [], []
    for first in range(0, replicates, at_once):
        heavy = weights[first : first + at_once]
        start = np.repeat(fit.parameters[None], len(heavy), axis=0)
        largest = largest_likelihood(fit.model, points, start, heavy, most_steps=FEW_STEPS, enough=ENOUGH)
        found.append(largest.parameters)
        summits.append(largest.ended & falls(fit.model, largest.parameters, fit.data))
        yield _told(fit, replicates, by_gear, np.concatenate(found), np.concatenate(summits))


def _check(fit: FatigueFit, replicates: int, by_gear: bool) -> None:
    faults = Faults()
    faults.need(fit.converged, "fit", "no summit of the likelihood", "a fit that converged")
    faults.need(replicates >= 1, "replicates", replicates, "1 draw or more")
    faults.need(bool(fit.data.gears) or not by_gear, "clustered", "gears that are not named", "named gears")
    faults.check()


def _units(data: FatigueData, *, by_gear: bool) -> tuple[int, NDArray[np.intp]]:
    """Return how many units are drawn from, and to which of them each specimen belongs."""
    if not by_gear:
        return data.count, np.arange(data.count)
    names, place = np.unique(np.array(data.gears), return_inverse=True)
    return len(names), np.asarray(place)


def _weights(data: FatigueData, generator: np.random.Generator, replicates: int, by_gear: bool) -> Array:
    units, place = _units(data, by_gear=by_gear)
    drawn = generator.multinomial(units, np.full(units, 1.0 / units), size=replicates)
    return np.asarray(drawn[:, place], dtype=float)


def _told(
    fit: FatigueFit, replicates: int, by_gear: bool, parameters: Array, converged: NDArray[np.bool_]
) -> BootstrapSoFar:
    units, _ = _units(fit.data, by_gear=by_gear)
    lost = int((~converged).sum())
    said = []
    if lost:
        text = (
            f"{lost} of {converged.size} draws came to no end of the likelihood, or to a life that rises "
            "with stress: they are left out."
        )
        said.append(Notice(Level.CAUTION, f"{BOOTSTRAP.key}.lost", text))
    if units < _FEW:
        of = "gears" if by_gear else "specimens"
        text = f"Only {units} {of} are drawn from: the scatter comes out too small."
        said.append(Notice(Level.CAUTION, f"{BOOTSTRAP.key}.few_units", text))
    return BootstrapSoFar(
        clustered=by_gear,
        parameters=parameters,
        converged=converged,
        of=replicates,
        done=converged.size,
        units=units,
        lost=lost,
        notices=tuple(said),
    )
