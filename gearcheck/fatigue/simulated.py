"""Tests of specimens as they might come out: a plan, and sets drawn from a curve taken for the truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.fatigue.families import Points
from gearcheck.fatigue.footing import LEVEL_RATIO
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.model import FatigueModel
from gearcheck.fatigue.needs import need_positive, need_whole
from gearcheck.fatigue.newton import ENOUGH, FEW_STEPS, largest_likelihood


@dataclass(frozen=True, kw_only=True)
class Plan:
    """How specimens are to be tested: on levels, or as a staircase.

    Parameters
    ----------
    name : str
        As the user calls it.
    stress_MPa : tuple of float
        The levels; of a staircase the stress of its first specimen.
    specimens : tuple of int
        On each level, or of the staircase.
    run_out_cycles : float
        When a specimen is taken out.
    step_MPa : float or None
        Of a staircase: down after a failure, up after a run-out; None for levels.
    """

    name: str
    stress_MPa: tuple[float, ...]
    specimens: tuple[int, ...]
    run_out_cycles: float
    step_MPa: float | None = None

    @property
    def count(self) -> int:
        """Specimens, all together."""
        return sum(self.specimens)

    def checked(self, faults: Faults) -> None:
        """Note what cannot be used.

        Parameters
        ----------
        faults : Faults
            Where it is noted.
        """
        need_positive(faults, stress_MPa=self.stress_MPa, run_out_cycles=self.run_out_cycles)
        need_whole(faults, least=1, specimens=self.specimens)
        faults.need(
            len(self.stress_MPa) == len(self.specimens) > 0,
            f"{self.name}, specimens",
            f"{len(self.specimens)} counts for {len(self.stress_MPa)} levels",
            "one count a level",
        )
        if self.step_MPa is not None:
            need_positive(faults, step_MPa=self.step_MPa)
            faults.need(
                len(self.stress_MPa) == 1,
                f"{self.name}, stress_MPa",
                self.stress_MPa,
                "one stress to begin at",
            )


def simulated_tests(plan: Plan, model: FatigueModel, truths: Array, shares: Array) -> Points:
    """Return sets of tests as they come out, of shape (sets, specimens).

    Parameters
    ----------
    plan : Plan
        How they are tested.
    model : FatigueModel
        The form of the curve.
    truths : ndarray of shape (sets, p)
        Its parameters, one row a set.
    shares : ndarray of shape (sets, specimens)
        The share of specimens that is weaker than each.

    Returns
    -------
    Points
        Failures and run-outs.
    """
    if plan.step_MPa is None:
        stress = np.broadcast_to(np.repeat(plan.stress_MPa, plan.specimens), shares.shape)
        lives = model.life_cycles(truths[:, None, :], stress_MPa=stress, failed_share=shares)
    else:
        stress, lives = _staircase(plan, plan.step_MPa, model, truths, shares)
    failed = lives <= plan.run_out_cycles
    cycles = np.maximum(np.where(failed, lives, plan.run_out_cycles), 1.0)
    return Points(x=np.log(stress), y=np.log(cycles), failed=failed)


def _staircase(
    plan: Plan, step: float, model: FatigueModel, truths: Array, shares: Array
) -> tuple[Array, Array]:
    """Each specimen stands where the one before sends it, so they are tested one after the other."""
    at = np.full(len(truths), float(plan.stress_MPa[0]))
    stresses, lives = [], []
    for share in shares.T:
        life = model.life_cycles(truths, stress_MPa=at, failed_share=share)
        stresses.append(at)
        lives.append(life)
        at = np.maximum(at + np.where(life <= plan.run_out_cycles, -step, step), 0.5 * step)
    return np.stack(stresses, axis=1), np.stack(lives, axis=1)


def refitted(model: FatigueModel, truths: Array, tests: Points) -> Array:
    """Return the parameters fitted to each set; NaN where its likelihood has no end.

    Parameters
    ----------
    model : FatigueModel
        The form of the curve.
    truths : ndarray of shape (sets, p)
        Where each begins.
    tests : Points
        Of shape (sets, specimens).

    Returns
    -------
    ndarray of float
        Of shape (sets, p).
    """
    found = largest_likelihood(model, tests, truths, most_steps=FEW_STEPS, enough=ENOUGH)
    ended = found.ended & tests.failed.any(axis=1)
    if model.curve is not Curve.ONE_LEVEL:  # a slope needs failures on two levels
        high = np.where(tests.failed, tests.x, -np.inf).max(axis=1)
        low = np.where(tests.failed, tests.x, np.inf).min(axis=1)
        ended &= high - low > np.log(LEVEL_RATIO)
    return array(np.where(ended[:, None], found.parameters, np.nan))
