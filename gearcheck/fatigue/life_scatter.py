"""Where the scatter of a life comes from: material, load, transfer, estimation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtr

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.life_curves import log_lives
from gearcheck.fatigue.life_spectrum import equally_likely
from gearcheck.fatigue.service import Service

SCATTER = Method(
    key="life_scatter",
    title="Scatter of life by its source",
    source="variance of conditional means of the logarithm of life",
    edition="",
    clause="V_i = Var(E(ln L | source i)); material, load, transfer and estimation independent",
    status=Status.COMMON_PRACTICE,
    implements=("the share of each source by itself, and of what they do only together",),
    leaves_out=("scatter between batches and makers, which the tests do not show",),
    departures=(
        "Two hundred draws of the parameters; sums at steps of half to three quarters of a deviation.",
    ),
)

_MATERIAL = np.arange(-4.0, 4.1, 0.5)
_SHIFTS = np.arange(-6.0, 6.1, 0.75)
_DRAWS = 200


@dataclass(frozen=True, kw_only=True)
class LifeScatter(Result):
    """Standard deviations of ln L and shares of its variance; the shares and what is left add up to 1."""

    method: ClassVar[Method] = SCATTER
    deviation: Number = term("Standard deviation of ln L, all sources", "s", words="of sets of gears to come")
    material: Number = term("By the material alone", "s_M", words="specimens, teeth and gears differ")
    load: Number = term("By the load alone", "s_F", words="sets are loaded differently")
    transfer: Number = term("By the transfers alone", "s_T", words="what is not sure of them")
    estimation: Number = term("By estimation alone", "s_E", words="what the tests leave open of the curve")
    material_share: Number = term("Share of the material", "a_M", "", "s_M^2/s^2")
    load_share: Number = term("Share of the load", "a_F", "", "s_F^2/s^2")
    transfer_share: Number = term("Share of the transfers", "a_T", "", "s_T^2/s^2")
    estimation_share: Number = term("Share of estimation", "a_E", "", "s_E^2/s^2")
    together: Number = term("Share that sources have only together", "a_0", "", "1 - (a_M + a_F + a_T + a_E)")


def life_scatter(
    *, fit: FatigueFit, parameters: Array, service: Service, weights: Array | None = None
) -> LifeScatter:
    """Return where the scatter of the logarithm of life comes from.

    a_i = Var(E(ln L | source i))/Var(ln L)

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens.
    parameters : ndarray of shape (draws, p)
        As likely as the tests leave them.
    service : Service
        As for the life.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.

    Returns
    -------
    LifeScatter
        A stop where some lives are endless: a variance has no meaning then.

    Raises
    ------
    InputError
        A service that cannot be.

    Notes
    -----
    Source: conditional variances; common practice.
    Valid for: as `life_distribution`.
    Departures: see the method.
    Checked: LIFE-SCATTER.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.duty.damage import BelowKnee
    >>> from gearcheck.fatigue.draws import likelihood_draws
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(1))
    >>> found = life_scatter(
    ...     fit=fit, parameters=drawn.parameters, weights=drawn.weights,
    ...     service=Service(stress_MPa=np.array([800.0]), cycles=np.array([1e5]), log_deviation=0.05,
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> round(found.load_share, 2), bool(found.transfer_share > 0.1)
    (0.0, True)
    """
    faults = Faults()
    service.checked(faults)
    faults.check()
    theta = equally_likely(parameters, weights, _DRAWS)
    normal = np.exp(-0.5 * _MATERIAL**2)
    of_material = normal / normal.sum()
    quantiles = service.specimen_quantile(ndtr(_MATERIAL))
    spread = float(np.hypot(service.load_deviation, service.log_deviation))
    steps = _SHIFTS if spread else np.zeros(1)
    moved = np.broadcast_to(spread * steps - service.log_factor, (len(theta), steps.size))
    table, _ = log_lives(fit.model, theta, quantiles, service, moved)
    if not np.isfinite(table).all():
        return _endless(table)
    of_shift = np.exp(-0.5 * steps**2) / np.exp(-0.5 * steps**2).sum()
    whole = table @ of_material
    mean = float((whole @ of_shift).mean())
    by_shift = whole.mean(axis=0)
    parts = (
        _variance(np.einsum("bhk,h->k", table, of_shift) / len(theta), of_material),
        _moved(by_shift, spread * steps, service.load_deviation, service.log_deviation),
        _moved(by_shift, spread * steps, service.log_deviation, service.load_deviation),
        float((whole @ of_shift).var()),
    )
    total = float(np.einsum("bhk,h,k->", (table - mean) ** 2, of_shift, of_material) / len(theta))
    return _told(total, parts)


def _variance(values: Array, weights: Array) -> float:
    return float(weights @ (values - weights @ values) ** 2)


def _moved(values: Array, shifts: Array, own: float, other: float) -> float:
    """Variance over one of two shifts that add up, of what is left when the other is averaged."""
    if not own:
        return 0.0
    steps = _MATERIAL
    weights = np.exp(-0.5 * steps**2) / np.exp(-0.5 * steps**2).sum()
    both = own * steps[:, None] + other * steps
    inside = np.clip(both, shifts[0], shifts[-1])
    return _variance(np.interp(inside, shifts, values) @ weights, weights)


def _told(total: float, parts: tuple[float, float, float, float], *said: Notice) -> LifeScatter:
    of = [part / total if total else np.nan for part in parts]
    return LifeScatter(
        deviation=np.sqrt(total),
        material=np.sqrt(parts[0]),
        load=np.sqrt(parts[1]),
        transfer=np.sqrt(parts[2]),
        estimation=np.sqrt(parts[3]),
        material_share=of[0],
        load_share=of[1],
        transfer_share=of[2],
        estimation_share=of[3],
        together=1.0 - sum(of),
        notices=said,
    )


def _endless(table: Array) -> LifeScatter:
    share = float(np.mean(~np.isfinite(table)))
    text = (
        f"{number_text(share, 2)} of the lives looked at have no end, or no value: their logarithm has no "
        "variance. Take "
        "a damage rule by which every stress counts."
    )
    nan = float("nan")
    return _told(nan, (nan, nan, nan, nan), Notice(Level.STOP, f"{SCATTER.key}.endless", text))
