"""Statistical size: a gear breaks at the weakest of its teeth, a specimen at the tooth that was tested."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import log_ndtr, ndtr, ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import need_shares

_STEP = 0.125
_BLOCK = 2000
_NODES = np.arange(-12.0, 10.0 + _STEP, _STEP)
_DENSITY = np.exp(-(_NODES**2) / 2) / np.sqrt(2 * np.pi) * _STEP

SIZE = Method(
    key="weakest_tooth",
    title="Statistical size, from one tooth to a gear",
    source="weakest link of equal teeth, of which those of one gear share a part of the scatter",
    edition="",
    clause="order statistics of the normal distribution; one normal effect a gear",
    status=Status.COMMON_PRACTICE,
    implements=("1 - (1 - p)^z where no scatter is shared, p where all of it is", "any share between"),
    leaves_out=(
        "how large the shared part is: it takes several teeth of several gears to see it",
        "scatter between batches, which no number of teeth of one batch shows",
    ),
    departures=(
        "The mean over the gears is a sum at equal steps: ten digits and more, up to a thousand teeth.",
        "Far in the tail it is a statement of the normal distribution, not of any count.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class SizeShift(Result):
    """How much weaker than a tooth a gear is, at the same share of failures."""

    method: ClassVar[Method] = SIZE
    teeth: Number = term("Teeth of the gear", "z")
    within_share: Number = term("Share of the variance between the teeth of one gear", "w")
    failed_share: Number = term("Share that fails, of teeth as of gears", "p")
    log_deviation: Number = term("Standard deviation of the logarithm of the strength of a tooth", "s")
    tooth_quantile: Number = term(
        "Strength at which p of the teeth fail",
        "u_1",
        words="in s from the median tooth: normal quantile of p",
    )
    quantile: Number = term(
        "Strength at which p of the gears fail", "u_z", words="in s from the median tooth: weakest of z teeth"
    )
    shift: Number = term("Shift from tooth to gear", "Δ_z", "", "u_z - u_1")
    factor: Number = term("Strength of a gear over that of a tooth", "f_size", "", "exp(s·Δ_z)")


def gear_failed_share(*, tooth_failed_share: Number, teeth: Number, within_share: Number) -> Array:
    """Return the share of gears with a broken tooth where this share of single teeth breaks.

    P = ∫ φ(g) (1 - (1 - Φ((u - √(1 - w) g)/√w))^z) dg, Φ(u) = p

    Parameters
    ----------
    tooth_failed_share : float or array
        p, 0 to 1: of teeth of many gears, one from each.
    teeth : float or array
        z, 1 or more; where two teeth were loaded at once and tested as one specimen, half as many.
    within_share : float or array
        w, share of the variance between teeth of one gear: 1 where teeth share nothing, 0 if all are alike.

    Returns
    -------
    ndarray of float
        P; correct far below p = 1e-9, where nearly P = z·p if w is not small.

    Raises
    ------
    InputError
        A share outside 0 to 1, or fewer than 1 tooth.

    Notes
    -----
    Source: weakest link; Appl. Sci. 13 (2023) 1546 takes w = 1 from pulsator to gear, abstract seen.
    Valid for: strength, or its logarithm, that is normal; a gear that is lost with its first tooth.
    Departures: a sum at equal steps, over the gears or over their weakest teeth, whichever scatter more.
    Checked: SIZE-01, SIZE-WITHIN.

    Examples
    --------
    >>> print(gear_failed_share(tooth_failed_share=0.01, teeth=24, within_share=[1, 0.4, 0]).round(4))
    [0.2143 0.0966 0.01  ]
    """
    p, z, w = array(tooth_failed_share), array(teeth), array(within_share)
    faults = Faults()
    faults.need(not np.any((p < 0) | (p > 1)), "tooth_failed_share", p, "a share from 0 to 1")
    _check(faults, z, w)
    return _share_and_density(ndtri(p), z, w)[0]


def tooth_failed_share(*, gear_failed_share: Number, teeth: Number, within_share: Number) -> Array:
    """Return the share of single teeth that may break where this share of gears may.

    p = Φ(u_z), the inverse of `gear_failed_share`

    Parameters
    ----------
    gear_failed_share : float or array
        P, above 0 and below 1.
    teeth, within_share : float or array
        z and w, as there.

    Returns
    -------
    ndarray of float
        p.

    Raises
    ------
    InputError
        A share outside its limits, or fewer than 1 tooth.

    Notes
    -----
    Source: weakest link.
    Valid for: as `gear_failed_share`.
    Departures: none.
    Checked: SIZE-01.

    Examples
    --------
    >>> print(tooth_failed_share(gear_failed_share=0.01, teeth=24, within_share=[1, 0]).round(6))
    [0.000419 0.01    ]
    """
    P, z, w = array(gear_failed_share), array(teeth), array(within_share)
    faults = Faults()
    need_shares(faults, gear_failed_share=P)
    _check(faults, z, w)
    return array(ndtr(_quantile(P, z, w)))


def size_shift(
    *, teeth: Number, within_share: Number, failed_share: Number, log_deviation: Number
) -> SizeShift:
    """Return by how much the strength of a gear lies below that of a tooth, at the same share of failures.

    Δ_z = u_z(p) - u_1(p), f_size = exp(s Δ_z)

    Parameters
    ----------
    teeth, within_share : float or array
        z and w, as in `gear_failed_share`.
    failed_share : float or array
        p, above 0 and below 1, of teeth and of gears.
    log_deviation : float or array
        s, standard deviation of the natural logarithm of the strength of a tooth; 0 or more.

    Returns
    -------
    SizeShift
        The shift in standard deviations, and what it makes of the strength.

    Raises
    ------
    InputError
        A share outside its limits, fewer than 1 tooth, or a deviation below 0.

    Notes
    -----
    Source: order statistics of the normal distribution.
    Valid for: as `gear_failed_share`; the lower the share, the less the shift.
    Departures: the inverse is found to 1e-12 of a standard deviation.
    Checked: SIZE-02, SIZE-SHARES, SIZE-TAIL.

    Examples
    --------
    >>> found = size_shift(teeth=24, within_share=1.0, failed_share=0.5, log_deviation=0.034)
    >>> round(found.shift, 2), round(found.factor, 3)
    (-1.9, 0.937)
    """
    p, z, w, s = array(failed_share), array(teeth), array(within_share), array(log_deviation)
    faults = Faults()
    need_shares(faults, failed_share=p)
    faults.need(not np.any(s < 0), "log_deviation", log_deviation, "0 or more")
    _check(faults, z, w)
    tooth, gear = ndtri(p), _quantile(p, z, w)
    return SizeShift(
        teeth=z,
        within_share=w,
        failed_share=p,
        log_deviation=s,
        tooth_quantile=tooth,
        quantile=gear,
        shift=gear - tooth,
        factor=np.exp(s * (gear - tooth)),
    )


def _check(faults: Faults, z: Array, w: Array) -> None:
    faults.need(not np.any(z < 1), "teeth", z, "1 tooth or more")
    faults.need(not np.any((w < 0) | (w > 1)), "within_share", w, "a share of the variance from 0 to 1")
    faults.check()


def _share_and_density(u: Array, z: Array, w: Array) -> tuple[Array, Array]:
    """Share of gears below a strength, and its density; in blocks, for each sample stands on many nodes."""
    u, z, w = np.broadcast_arrays(u, z, w)
    found = np.empty((2, u.size))
    for first in range(0, u.size, _BLOCK):
        rows = slice(first, first + _BLOCK)
        found[:, rows] = _of_a_block(*(of.reshape(-1)[rows, None] for of in (u, z, w)))
    share, density = found.reshape(2, *u.shape)
    return array(share), array(density)


def _of_a_block(u: Array, z: Array, w: Array) -> tuple[Array, Array]:
    """Both, nodes on the last axis.

    The larger part of the scatter is summed over: a step function of the smaller part would need finer steps.
    Over gears the z teeth stand inside the sum; over weakest teeth they stand in their density.
    """
    over_gears = w >= 0.5
    inside, outside = np.where(over_gears, z, 1.0), np.where(over_gears, 1.0, z)
    summed, rest = np.sqrt(np.where(over_gears, 1 - w, w)), np.sqrt(np.where(over_gears, w, 1 - w))
    weight = _DENSITY * outside * np.exp((outside - 1) * log_ndtr(-_NODES))
    place = (u - summed * _NODES) / rest
    sound = log_ndtr(-place)
    slope = inside * np.exp((inside - 1) * sound - place**2 / 2) / (rest * np.sqrt(2 * np.pi))
    return array((weight * -np.expm1(inside * sound)).sum(-1)), array((weight * slope).sum(-1))


def _quantile(p: Array, z: Array, w: Array) -> Array:
    """Strength below which p of the gears lie: Newton's steps on normal quantiles, kept in their bracket."""
    p, z, w = np.broadcast_arrays(p, z, w)
    wanted, low = ndtri(p), ndtri(p / z)
    u = np.where(w >= 0.5, low, wanted)
    for _ in range(60):
        share, density = _share_and_density(u, z, w)
        found = ndtri(np.clip(share, 1e-300, 1 - 1e-16))
        slope = density * np.sqrt(2 * np.pi) * np.exp(found**2 / 2)
        moved = np.clip(u - (found - wanted) / slope, low, wanted)
        done = bool(np.all(~(np.abs(moved - u) > 1e-12)))  # what is NaN stays so
        u = moved
        if done:
            break
    return array(u)
