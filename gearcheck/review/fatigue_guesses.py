"""Three questions on tests of specimens, answered by the calculation on the gear under review."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.fatigue.compared import compared_fits
from gearcheck.fatigue.counting import success_run
from gearcheck.fatigue.fit import FatigueFit, fatigue_fit
from gearcheck.fatigue.inputs import FatigueData
from gearcheck.fatigue.weakest import gear_failed_share
from gearcheck.review.chain import calculate
from gearcheck.review.fatigue import FatigueLife, fatigue_lives
from gearcheck.review.guesses import Answer, Question, Tried
from gearcheck.review.inputs import Record

SIX_NINES, SURE = 0.999999, 0.95
SPECIMEN_SHARE = 0.99
WITHIN = 0.7
"""Share of the variance within a gear, where the tests do not say."""
_SAME = 0.01
_COMPETES = 6.0  # above the least criterion: a form that is further off has nothing to say


def _tests(record: Record) -> FatigueLife | None:
    found = fatigue_lives(record, calculate(record), with_reserves=False)
    return found[0] if found and found[0].fit is not None and found[0].fit.converged else None


def _run_outs(record: Record) -> Answer | None:
    life = _tests(record)
    if life is None or life.fit is None or life.fit.data.failed.all():
        return None
    data, run_out = life.fit.data, life.tests.run_out_cycles
    as_failed = replace(data, failed=np.full(data.count, True))
    cases = (
        ("as it stands", data),
        ("run-outs counted as failures", as_failed),
        ("run-outs left out", data.some(data.failed)),
    )
    found = [_strength(life.fit, given, run_out) for _, given in cases]
    if not np.isfinite(found[:2]).all():
        return None
    grown = found[1] / found[0] - 1
    right = 2 if abs(grown) < _SAME else 0 if grown < 0 else 1
    tried = tuple(
        Tried(words=words, values=None, said=_stands(strength))
        for (words, _), strength in zip(cases, found, strict=True)
    )
    word = ("It falls", "It rises", "It hardly moves")[right]
    said = f"{word}, by {abs(100 * grown):.0f} %: {int((~data.failed).sum())} of {data.count} ran out."
    return Answer(right=right, tried=tried, said=said)


def _strength(of: FatigueFit, data: FatigueData, cycles: float) -> float:
    """Strength of half of the specimens by the same form; NaN where these tests cannot carry it."""
    fit = of if data is of.data else fatigue_fit(data=data, curve=of.curve, distribution=of.distribution)
    return float(fit.strength_MPa(cycles=cycles, failed_share=0.5)) if fit.converged else float("nan")


def _stands(strength: float) -> str:
    return "the curve has no summit" if np.isnan(strength) else f"half of them stand {strength:.0f} MPa"


def _six_nines(record: Record) -> Answer | None:
    life = _tests(record)
    if life is None or life.fit is None:
        return None
    needed = float(array(success_run(reliability=SIX_NINES, confidence=SURE)))
    found = compared_fits(data=life.fit.data, cycles=life.tests.run_out_cycles, failed_share=1.0 - SIX_NINES)
    above, strength = array(found.above_best), array(found.strength_MPa)
    near = [place for place in np.argsort(above) if above[place] < _COMPETES and np.isfinite(strength[place])]
    if not near:
        return None
    tried = tuple(
        Tried(
            words=f"{found.fits[place].curve}, {found.fits[place].distribution}",
            values=None,
            said=f"{strength[place]:.0f} MPa at six nines; AIC {above[place]:.1f} above the least",
        )
        for place in near
    )
    low, high = strength[near].min(), strength[near].max()
    said = (
        f"{number_text(needed, 7)} without a failure, at {100 * SURE:.0f} % confidence; "
        f"{life.fit.data.count} "
        f"were tested. What forms within {_COMPETES:.0f} of the least AIC say of six nines reaches from "
        f"{low:.0f} to {high:.0f} MPa."
    )
    return Answer(right=2, tried=tried, said=said)


def _many_teeth(record: Record) -> Answer | None:
    life = _tests(record)
    if life is None:
        return None
    teeth = float(array(record.gear.tooth.teeth))
    within = life.tests.within_gear_share
    known = WITHIN if within is None else float(array(within))
    shares = (known, 1.0, 0.0)
    survive = 1.0 - array(
        gear_failed_share(tooth_failed_share=1.0 - SPECIMEN_SHARE, teeth=teeth, within_share=np.array(shares))
    )
    words = (
        f"{100 * known:.0f} % of the variance within a gear",
        "all of it: each tooth by itself",
        "none of it: teeth of a gear alike",
    )
    tried = tuple(
        Tried(words=name, values=None, said=f"{100 * share:.1f} % of the gears survive")
        for name, share in zip(words, survive, strict=True)
    )
    right = 1 if known == 1.0 else 0 if known == 0.0 else 2
    whose = "" if within is not None else " The tests do not say how much lies within a gear: 0.7 is ours."
    said = (
        f"{100 * survive[0]:.1f} % of gears with {teeth:.0f} teeth survive where 99 % of the teeth do.{whose}"
    )
    return Answer(right=right, tried=tried, said=said)


FATIGUE_QUESTIONS = (
    Question(
        key="run_outs",
        ask="The run-outs are counted as failures, at the cycles at which they were taken out. What "
        "becomes of "
        "the strength that half of the specimens stand at the run-out life?",
        guesses=("it falls", "it rises", "it hardly moves"),
        reason=(
            "A run-out says: longer than this. Called a failure it says: exactly this, which nobody saw. "
            "Strength, scatter and slope are then no longer those of the steel. Leaving run-outs out is "
            "no better: what is left are the weak ones of the low levels. A likelihood takes each as it is."
        ),
        work=_run_outs,
    ),
    Question(
        key="six_nines",
        ask="One gear in a million may fail. How many specimens would have to pass a test, all of them, to "
        "show "
        "that by counting alone?",
        guesses=("about as many as were tested", "some ten thousand", "about three million"),
        reason=(
            "A count knows nothing of the tail: who has tested forty has seen one in forty. All beyond is "
            "what "
            "the distribution says that somebody chose, and forms that agree among the specimens part far "
            "out. "
            "Six nines are a claim of the model: say so, and ask what in the steel or the process bounds the "
            "tail, such as a proof load, a crack inspection, a stop on the load."
        ),
        work=_six_nines,
    ),
    Question(
        key="many_teeth",
        ask="At some stress 99 % of single teeth survive. What share of gears with all their "
        "teeth survives the same stress?",
        guesses=("99 %, as the teeth do", "0.99 to the power of the teeth", "something in between"),
        reason=(
            "A gear fails with its weakest tooth, and it has many. Were each tooth drawn by itself, the "
            "shares "
            "would multiply. But teeth of one gear share heat, furnace and grind: a good gear has good "
            "teeth. "
            "So it lies in between, and where depends on the share of the scatter within a gear, which "
            "only tests of several teeth of several gears show."
        ),
        work=_many_teeth,
    ),
)
"""The questions of the fatigue sheet."""
