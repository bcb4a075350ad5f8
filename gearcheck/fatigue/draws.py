"""Parameters as likely as the tests leave them: draws weighted by the likelihood, with a weak prior."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import logsumexp

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit, falls
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.model import points_of
from gearcheck.fatigue.newton import quietly
from gearcheck.fatigue.proposal import Bells, Proposal, drawn, followed

DRAWS = Method(
    key="likelihood_draws",
    title="Parameters as likely as the tests leave them",
    source="importance sampling; West, J. Royal Statistical Society B 55",
    edition="1993",
    clause="kernels follow the weight; prior flat in the parameters of the curve, scales by their logarithm",
    status=Status.COMMON_PRACTICE,
    implements=(
        "posterior under a prior that is flat in the parameters of the curve: of one lognormal sample the "
        "reference prior 1/σ",
    ),
    leaves_out=("knowledge of other tests", "teeth of one gear that share more than the curve"),
    departures=(
        "Random limit: flat in the median limit itself; scatter of limit and of life, by their logarithm, "
        "normal about 0.05 and 0.3 within a factor of e; else a vanishing scatter were as likely as any.",
        "Fixed limit: flat in the limit itself. Two slopes: the knee within a decade of the tests.",
        "Lines: a life that rises with stress over the stresses tested is ruled out.",
        "Of a random limit about a tenth of the draws counts: with 3000 of them a bound of 90 % comes back "
        "within 1.5 % of the strength.",
    ),
)

_WIDER = 1.5  # of the t distribution, so that no tail is left out
_AT_ONCE = 60  # so that what is worked on stays near the processor
_ROUNDS = 3
_FEW = 100
_LIFE_SCATTER, _LIMIT_SCATTER = 0.3, 0.05
_WITH_KNEE = 4


@dataclass(frozen=True, kw_only=True)
class LikelihoodDraws(Result):
    """Draws of parameters, of shape (draws, p), with weights that add to 1."""

    method: ClassVar[Method] = DRAWS
    parameters: Array
    weights: Array
    drawn: Number = term("Draws", "m")
    effective: Number = term("Draws that count", "m_eff", words="1 over the sum of the squared weights")

    def quantile(self, values: Array, share: Number) -> Array:
        """Return what a share of the weight lies below, along the first axis of values.

        Parameters
        ----------
        values : ndarray of shape (draws, ...)
            One value, or several, of each draw.
        share : float
            Between 0 and 1.
        """
        order = np.argsort(values, axis=0)
        heavy = self.weights.reshape(-1, *(1,) * (values.ndim - 1))
        summed = np.cumsum(np.take_along_axis(np.broadcast_to(heavy, values.shape), order, axis=0), axis=0)
        place = np.minimum((summed < share).sum(axis=0), len(values) - 1)
        sorted_ = np.take_along_axis(values, order, axis=0)
        return np.asarray(np.take_along_axis(sorted_, place[None], axis=0)[0])


def likelihood_draws(
    *, fit: FatigueFit, generator: np.random.Generator, draws: int = 4000
) -> LikelihoodDraws:
    """Return parameters drawn as likely as the tests leave them.

    w_j ∝ L(θ_j)/q(θ_j), θ_j of kernels q that follow the likelihood

    Parameters
    ----------
    fit : FatigueFit
        A fit that converged.
    generator : Generator
        Of random numbers.
    draws : int
        How many.

    Returns
    -------
    LikelihoodDraws
        A caution where few of them count.

    Raises
    ------
    InputError
        A fit without a summit, fewer than 100 draws.

    Notes
    -----
    Source: importance sampling; the prior is flat in the parameters of the curve.
    Valid for: likelihoods with a summit; how many draws count tells it.
    Departures: see the method.
    Checked: FATIGUE-DRAWS.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> lives = np.array([17.9, 28.9, 33.0, 41.5, 42.1, 45.6, 48.4, 51.8, 52.0, 54.1])
    >>> tests = FatigueData(stress_MPa=np.full(10, 900.0), cycles=lives, failed=np.full(10, True))
    >>> found = likelihood_draws(
    ...     fit=fatigue_fit(data=tests, curve=Curve.ONE_LEVEL), generator=np.random.default_rng(1))
    >>> bool(found.effective > 2000), found.parameters.shape
    (True, (4000, 2))
    """
    faults = Faults()
    usable = fit.converged and bool(np.isfinite(fit.covariance).all())
    faults.need(usable, "fit", "no summit of the likelihood", "a fit that converged")
    faults.need(draws >= 100, "draws", draws, "100 draws or more")
    faults.check()
    proposal: Proposal = (Bells(fit.parameters[None], fit.covariance * _WIDER**2),)
    for _ in range(_ROUNDS):  # each draws from where the last found weight
        proposal = followed(generator, *_weighed(fit, generator, proposal, max(draws // 4, 200)))
    theta, weights = _weighed(fit, generator, proposal, draws)
    effective = 1.0 / float((weights**2).sum())
    said: tuple[Notice, ...] = ()
    if effective < min(_FEW, 0.1 * draws):
        text = (
            f"Only about {effective:.0f} of {draws} draws count: the likelihood is far from a bell, and what "
            "rests on them is rough."
        )
        said = (Notice(Level.CAUTION, f"{DRAWS.key}.few_count", text),)
    return LikelihoodDraws(parameters=theta, weights=weights, drawn=draws, effective=effective, notices=said)


def _weighed(
    fit: FatigueFit, generator: np.random.Generator, proposal: Proposal, draws: int
) -> tuple[Array, Array]:
    """Draws of a proposal, and their weights."""
    theta, log_density = drawn(generator, proposal, draws)
    logarithms = _log_likelihoods(fit, theta) + _log_prior(fit, theta) - log_density
    return theta, np.asarray(np.exp(logarithms - logsumexp(logarithms)))


@quietly()
def _log_prior(fit: FatigueFit, theta: Array) -> Array:
    """Return the logarithm of the weak prior of the method, of parameters of shape (draws, p)."""
    if fit.curve is Curve.FIXED_LIMIT:
        return np.asarray(theta[:, 4])
    if fit.curve is Curve.RANDOM_LIMIT:
        life, limit = theta[:, 2] - np.log(_LIFE_SCATTER), theta[:, 4] - np.log(_LIMIT_SCATTER)
        return np.asarray(theta[:, 3] - 0.5 * (life**2 + limit**2))
    if fit.curve is Curve.TWO_SLOPES and theta.shape[1] == _WITH_KNEE:
        low, high = np.log(fit.data.cycles.min()) - np.log(10), np.log(fit.data.cycles.max()) + np.log(10)
        return np.where((theta[:, 3] > low) & (theta[:, 3] < high), 0.0, -np.inf)
    return np.where(falls(fit.model, theta, fit.data), 0.0, -np.inf)


@quietly()
def _log_likelihoods(fit: FatigueFit, theta: Array) -> Array:
    points = points_of(fit.data)
    parts = [
        fit.model.scored(theta[first : first + _AT_ONCE], points).log_likelihood.sum(axis=-1)
        for first in range(0, len(theta), _AT_ONCE)
    ]
    found = np.concatenate(parts) - float(array(fit.log_likelihood))
    return np.where(np.isfinite(found), found, -np.inf)
