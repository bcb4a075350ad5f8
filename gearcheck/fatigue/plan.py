"""Which plan of tests tells a strength, or a life, as closely as is wanted: by simulation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import need_positive, need_shares, need_whole
from gearcheck.fatigue.newton import quietly
from gearcheck.fatigue.quantities import LogLife, LogStrength
from gearcheck.fatigue.simulated import Plan, refitted, simulated_tests

PLANS = Method(
    key="simulated_plans",
    title="Plans of tests by simulation",
    source="sets of tests drawn from a curve that is taken for the truth, each fitted anew",
    edition="",
    clause="interval between quantiles of ln(estimate/truth) over the sets",
    status=Status.COMMON_PRACTICE,
    implements=(
        "levels, specimens, run-out life, steps of a staircase; cost in specimens, cycles and hours",
    ),
    leaves_out=(
        "the choice of the form of the curve: it is fitted as it is drawn",
        "teeth that share a gear",
    ),
    departures=(
        "The interval is that of the estimates about the truth, as wide as an interval of that confidence is "
        "on the whole; a set without an end of its likelihood is left out and counted.",
        "Every set is fitted from the truth, which no one knows: it ends sooner, not elsewhere.",
    ),
)

_TOO_MANY = 0.1
_FEW = 50


@dataclass(frozen=True, kw_only=True)
class PlansSoFar(Result):
    """Plans side by side, one entry each; NaN where none of its sets is done."""

    method: ClassVar[Method] = PLANS
    plans: tuple[Plan, ...]
    confidence: Number = term("Confidence of the interval", "C")
    of: Number = term("Sets asked for", "M", words="of each plan")
    frequency_Hz: Number = term("Frequency of the rig", "f", "Hz")
    done: Number = term("Sets that are done", "M_d")
    lost: Number = term("Share of sets without an end", "p_0", words="too few failures, or all on one level")
    off: Number = term("Off the truth", "e", words="median of ln(estimate/truth)")
    width: Number = term(
        "Width of the interval",
        "W",
        words="of ln(estimate/truth) between (1 - C)/2 and (1 + C)/2 of the sets",
    )
    specimens: Number = term("Specimens", "n")
    failing: Number = term("Share that fails", "p_f", words="mean of the sets")
    cycles: Number = term("Cycles of all specimens together", "n_c", words="mean of the sets")
    rig_hours: Number = term("Hours of one rig", "t", "h", "n_c/(3600·f)")

    def cheapest(self, *, width: float) -> Plan | None:
        """Return the plan of the fewest hours among those that are as narrow as wanted; None where none is.

        Parameters
        ----------
        width : float
            Of the interval, as a difference of logarithms.
        """
        return self._first(array(self.rig_hours), array(self.width) <= width)

    def narrowest(self, *, rig_hours: float = np.inf, specimens: float = np.inf) -> Plan | None:
        """Return the plan of the narrowest interval within a budget; None where none is.

        Parameters
        ----------
        rig_hours, specimens : float
            The budget.
        """
        within = (array(self.rig_hours) <= rig_hours) & (array(self.specimens) <= specimens)
        return self._first(array(self.width), within)

    def _first(self, by: Array, allowed: NDArray[np.bool_]) -> Plan | None:
        usable = allowed & (array(self.lost) <= _TOO_MANY) & np.isfinite(by)
        return self.plans[int(np.argmin(np.where(usable, by, np.inf)))] if usable.any() else None


def simulated_plans(
    *,
    plans: Sequence[Plan],
    quantity: LogStrength | LogLife,
    truths: Array,
    generator: np.random.Generator,
    sets: int = 200,
    confidence: float = 0.9,
    frequency_Hz: float = 50.0,
    at_once: int = 50,
) -> Iterator[PlansSoFar]:
    """Yield how closely each plan tells a strength or a life, after every few sets.

    W = q_(1 + C)/2 - q_(1 - C)/2 of ln(ĝ/g) over sets drawn from the truth and fitted anew

    Parameters
    ----------
    plans : sequence of Plan
        Side by side; each gets the same number of sets in turn.
    quantity : LogStrength or LogLife
        One strength or life of a model, whose form is drawn from and fitted.
    truths : ndarray of shape (p,) or (draws, p)
        Parameters that are assumed or fitted, or draws of them, of which each set takes its own.
    generator : Generator
        Of random numbers; all are drawn first, so that the sets do not depend on `at_once`.
    sets : int
        Of each plan.
    confidence : float
        C of the interval.
    frequency_Hz : float
        Of the rig.
    at_once : int
        How many sets are fitted together.

    Yields
    ------
    PlansSoFar
        All that are done; whoever waits may stop after any of them.

    Raises
    ------
    InputError
        A plan that cannot be, two of one name, parameters that are none of the model's.

    Notes
    -----
    Source: simulation; common practice.
    Valid for: specimens that are independent of one another.
    Departures: see the method.
    Checked: PLAN-ROOT-N, PLAN-LINE.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.inputs import Curve, Distribution
    >>> from gearcheck.fatigue.model import model_of
    >>> model = model_of(Curve.STRAIGHT, distribution=Distribution.LOGNORMAL, centre=np.log(800.0))
    >>> few, many = (
    ...     Plan(name=f"{n} a level", stress_MPa=(900.0, 750.0), specimens=(n, n), run_out_cycles=6e6)
    ...     for n in (4, 12))
    >>> *_, last = simulated_plans(
    ...     plans=[few, many], truths=np.array([13.5, -9.0, np.log(0.4)]), sets=100,
    ...     quantity=LogStrength(model, np.array([1e6]), np.array([0.01])),
    ...     generator=np.random.default_rng(1))
    >>> bool(last.width[1] < 0.7 * last.width[0]), last.cheapest(width=1.0).name
    (True, '4 a level')
    """
    _check(plans, quantity, truths, sets, confidence, frequency_Hz)
    rows = np.atleast_2d(array(truths))[np.arange(sets) % len(np.atleast_2d(truths))]
    shares = [generator.uniform(size=(sets, plan.count)) for plan in plans]
    found: list[list[Array]] = [[] for _ in plans]
    for first in range(0, sets, at_once):
        some = slice(first, first + at_once)
        for plan, share, so_far in zip(plans, shares, found, strict=True):
            so_far.append(_tried(plan, quantity, rows[some], share[some]))
            yield _told(plans, found, sets, confidence, frequency_Hz)


@quietly()
def _tried(plan: Plan, quantity: LogStrength | LogLife, truths: Array, shares: Array) -> Array:
    """Of each set: ln(estimate/truth), cycles of all its specimens, share that failed."""
    tests = simulated_tests(plan, quantity.model, truths, shares)
    which = np.zeros(len(truths), dtype=np.intp)
    estimate, truth = (quantity.values(of, which) for of in (refitted(quantity.model, truths, tests), truths))
    return np.stack([estimate - truth, np.exp(tests.y).sum(axis=1), tests.failed.mean(axis=1)], axis=1)


def _told(
    plans: Sequence[Plan], found: list[list[Array]], sets: int, confidence: float, frequency: float
) -> PlansSoFar:
    every = [np.concatenate(of) if of else np.empty((0, 3)) for of in found]
    ends = [0.5 * (1.0 - confidence), 0.5, 0.5 * (1.0 + confidence)]
    known = [of[np.isfinite(of[:, 0]), 0] for of in every]
    low, middle, high = np.array(
        [np.quantile(of, ends) if of.size > 1 else np.full(3, np.nan) for of in known]
    ).T
    cycles = _means(every, 1)
    return PlansSoFar(
        plans=tuple(plans),
        confidence=confidence,
        of=sets,
        frequency_Hz=frequency,
        done=np.array([float(len(of)) for of in every]),
        lost=np.array(
            [1.0 - ok.size / len(of) if len(of) else np.nan for ok, of in zip(known, every, strict=True)]
        ),
        off=middle,
        width=high - low,
        specimens=np.array([float(plan.count) for plan in plans]),
        failing=_means(every, 2),
        cycles=cycles,
        rig_hours=cycles / (3600.0 * frequency),
        notices=tuple(_notices(plans, every, known)),
    )


def _means(every: list[Array], column: int) -> Array:
    return np.array([of[:, column].mean() if len(of) else np.nan for of in every])


def _notices(plans: Sequence[Plan], every: list[Array], known: list[Array]) -> Iterator[Notice]:
    for plan, of, ok in zip(plans, every, known, strict=True):
        lost = len(of) - ok.size
        if lost > _TOO_MANY * len(of):
            text = (
                f"{lost} of {len(of)} sets of “{plan.name}” come to no end: such a plan may leave nothing to "
                "estimate, and its width is that of the lucky ones."
            )
            yield Notice(Level.CAUTION, f"{PLANS.key}.lost", text)
    done = min(len(of) for of in every)
    if done < _FEW:
        text = f"{done} sets are done of some plans: their widths are rough."
        yield Notice(Level.NOTE, f"{PLANS.key}.few", text)


def _check(
    plans: Sequence[Plan],
    quantity: LogStrength | LogLife,
    truths: Array,
    sets: int,
    confidence: float,
    frequency: float,
) -> None:
    faults = Faults()
    names = [plan.name for plan in plans]
    faults.need(
        len(set(names)) == len(names) > 0, "plans", ", ".join(names), "one or more, each with its name"
    )
    for plan in plans:
        plan.checked(faults)
    width = len(quantity.model.names)
    shape = np.shape(truths)
    faults.need(
        len(shape) in (1, 2) and shape[-1] == width, "truths", shape, f"{width} parameters, or draws of them"
    )
    faults.need(quantity.count == 1, "quantity", f"{quantity.count} places", "one strength or life")
    need_whole(faults, least=2, sets=sets)
    need_shares(faults, confidence=confidence)
    need_positive(faults, frequency_Hz=frequency)
    faults.check()
