"""The staircase: each specimen a step lower after a failure, a step higher after a run-out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import marked, need_measured, need_positive, need_shares
from gearcheck.fatigue.staircase_likelihood import (
    StaircaseLikelihood,
    staircase_likelihood,
    told_instead,
)

STAIRCASE = Method(
    key="dixon_mood.staircase",
    title="Staircase by Dixon and Mood",
    source="Dixon and Mood, Journal of the American Statistical Association 43",
    edition="1948",
    clause="pages 109 to 126",
    status=Status.FROM_MEMORY,
    implements=(
        "mean and deviation from the rarer event; of as many failures as run-outs the failures",
        "maximum likelihood of the same specimens beside it",
    ),
    leaves_out=("leaving out the first specimens, before the staircase turned",),
    departures=(
        "With one level that saw both, the deviation is refused; what is written there by custom is shown.",
    ),
)


LEAST_SPREAD = 0.3
"""Below it Dixon and Mood's deviation does not hold."""


class StaircaseEvent(StrEnum):
    """What is counted: the rarer of the two."""

    FAILURES = "failures"
    RUN_OUTS = "run-outs"


@dataclass(frozen=True, kw_only=True)
class Staircase(Result):
    """Mean and deviation of the strength at the run-out life, by counting and by likelihood."""

    method: ClassVar[Method] = STAIRCASE
    event: StaircaseEvent
    specimens: Number = term("Specimens", "n")
    failures: Number = term("Failures", "n_f")
    step_MPa: Number = term("Step", "d", "MPa")
    least_MPa: Number = term("Least stress with the event", "S_0", "MPa", words="level 0")
    events: Number = term("Events", "F", words="of the rarer kind")
    first_moment: Number = term("Levels of the events", "A", words="Σ i·f_i")
    second_moment: Number = term("Squares of the levels", "B", words="Σ i²·f_i")
    half_step: Number = term("Half a step", "e", words="-1/2 of failures, 1/2 of run-outs")
    mean_MPa: Number = term("Mean strength", "μ", "MPa", "S_0 + d·(A/F + e)", digits=5)
    spread: Number = term("Spread of the levels", "q", "", "(B·F - A²)/F²")
    customary_MPa: Number = term("Deviation written by custom where q is below 0.3", "σ_c", "MPa", "0.53·d")
    deviation_MPa: Number = term(
        "Standard deviation",
        "σ",
        "MPa",
        words="1.62·d·(q + 0.029) from q = 0.3 up, else σ_c; none with one mixed level",
    )
    likelihood: StaircaseLikelihood


def staircase(*, stress_MPa: Number, failed: Any, step_MPa: float, confidence: float) -> Staircase:
    """Return mean and deviation of the strength from a staircase.

    μ = S_0 + d (A/F ∓ 1/2), σ = 1.62 d (q + 0.029), q = (B F - A²)/F²

    Parameters
    ----------
    stress_MPa : array
        Of each specimen, in the order of the tests.
    failed : array of bool
        Whether each failed before the run-out life.
    step_MPa : float
        d.
    confidence : float
        Of the limits by likelihood.

    Returns
    -------
    Staircase
        A stop where nothing failed or nothing survived; cautions where the deviation is a custom or refused,
        and where the specimens do not follow one another as in a staircase.

    Raises
    ------
    InputError
        Stresses that are not a whole number of steps apart, a step not above 0.

    Notes
    -----
    Source: Dixon and Mood 1948, from memory; formulas as reprinted in Frattura ed Integrità Strutturale 58
    (2021), page 347.
    Valid for: steps between half and twice the deviation; one run-out life.
    Departures: see the method.
    Checked: DM-01, DM-02, DM-RUN-OUTS.

    Examples
    --------
    >>> found = staircase(stress_MPa=[420, 440, 460, 440, 460, 480, 460, 440, 420, 440],
    ...                   failed=[0, 0, 1, 0, 0, 1, 1, 1, 0, 0], step_MPa=20, confidence=0.9)
    >>> round(found.mean_MPa, 1), round(found.deviation_MPa, 1), round(found.likelihood.mean_MPa, 1)
    (450.0, 17.1, 451.7)
    """
    stress, faults = array(stress_MPa), Faults()
    need_measured(faults, stress_MPa=stress)
    need_positive(faults, step_MPa=step_MPa)
    need_shares(faults, confidence=confidence)
    broke = marked(faults, failed, stress)
    faults.check()
    level = (stress - stress.min(initial=np.inf)) / step_MPa
    whole = not np.any(np.abs(level - np.round(level)) > 1e-3)
    faults.need(
        whole, "stress_MPa", stress, f"stresses a whole number of steps of {number_text(step_MPa)} MPa apart"
    )
    faults.check()
    likelihood = staircase_likelihood(stress_MPa=stress, failed=broke, confidence=confidence)
    failures = int(broke.sum())
    event = StaircaseEvent.FAILURES if 2 * failures <= stress.size else StaircaseEvent.RUN_OUTS
    values = _counted(stress, broke, event, step_MPa) if 0 < failures < stress.size else {}
    return Staircase(
        **dict.fromkeys(_COUNTED) | values,
        event=event,
        specimens=stress.size,
        failures=failures,
        step_MPa=step_MPa,
        customary_MPa=0.53 * step_MPa,
        likelihood=likelihood,
        notices=_notices(stress, broke, step_MPa, values.get("spread")),
    )


_COUNTED = (
    *("least_MPa", "events", "first_moment", "second_moment", "half_step"),
    *("mean_MPa", "spread", "deviation_MPa"),
)


def _counted(
    stress: Array, failed: NDArray[np.bool_], event: StaircaseEvent, step: float
) -> dict[str, float | None]:
    """What the levels of the rarer event give."""
    of_failures = event is StaircaseEvent.FAILURES
    at = stress[failed] if of_failures else stress[~failed]
    least, half = float(at.min()), -0.5 if of_failures else 0.5
    level = np.round((at - least) / step)
    F, A, B = float(level.size), float(level.sum()), float((level**2).sum())
    q = (B * F - A**2) / F**2
    deviation = 1.62 * step * (q + 0.029) if q >= LEAST_SPREAD else 0.53 * step
    values = (least, F, A, B, half, least + step * (A / F + half), q)
    return dict(zip(_COUNTED, (*values, None if told_instead(stress, failed) else deviation), strict=True))


def _notices(
    stress: Array, failed: NDArray[np.bool_], step: float, spread: float | None
) -> tuple[Notice, ...]:
    said = told_instead(stress, failed)
    if spread is None:
        return (Notice(Level.STOP, f"{STAIRCASE.key}.one_kind", said),)
    found = []
    if said:
        text = (
            f"{said} By custom 0.53 of a step, {number_text(0.53 * step, 3)} MPa, is written there: it is "
            "no estimate."
        )
        found.append(("no_scatter", text))
    elif spread < LEAST_SPREAD:
        text = (
            f"q = {number_text(spread, 2)} is below {number_text(LEAST_SPREAD)}: the deviation is 0.53 of "
            "a step by custom, "
            "no estimate. Smaller steps are needed to see it."
        )
        found.append(("customary", text))
    astray = int((np.abs(np.diff(stress) - np.where(failed[:-1], -step, step)) > 1e-3 * step).sum())
    if astray:
        text = (
            f"{astray} specimens do not stand a step below a failure or a step above a run-out: Dixon and "
            "Mood count a staircase in the order of its tests. The likelihood asks for no order."
        )
        found.append(("order", text))
    return tuple(Notice(Level.CAUTION, f"{STAIRCASE.key}.{key}", text) for key, text in found)
