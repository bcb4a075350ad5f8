"""How far the needed case depth scatters with hardness, load and stock."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.below import Below
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_depth import loaded_flank, solved_depth
from gearcheck.hardening.required import required_case_depth
from gearcheck.hardening.residual import ResidualStress

_AT_ONCE = 50  # samples

BAND = Method(
    key="case.band",
    title="Scatter of the needed case depth",
    source="samples drawn at random",
    edition="",
    clause="normal distributions, independent of one another",
    status=Status.COMMON_PRACTICE,
    valid=(Range("samples", "n", 100, np.inf),),
    implements=(
        "hardness of surface and core, line load and stock scatter; the depth is solved for each sample",
    ),
    leaves_out=(
        "scatter of the constants of the criteria, which weighs more",
        "what hardness and load have in common",
    ),
    departures=(
        "A sample that no case depth satisfies counts as deeper than all others.",
        "Between two samples a quantile takes the deeper, the safe side.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class CaseDepthBand(Result):
    """Quantiles of the needed case depth; criteria on the first axis, quantiles on the last."""

    method: ClassVar[Method] = BAND
    criteria: tuple[Criterion, ...]
    samples: Number = term("Samples", "n")
    share: Number = term("Share of the gears", "q")
    surface_scatter_HV: Number = term("Standard deviation of the surface hardness", "s_s", "HV")
    core_scatter_HV: Number = term("Standard deviation of the core hardness", "s_c", "HV")
    load_scatter: Number = term("Standard deviation of the line load, as a share of it", "s_w")
    stock_mm: Number = term("Stock, mean", "q_m", "mm")
    stock_scatter_mm: Number = term("Standard deviation of the stock", "s_q", "mm")
    finished_mm: Number = term(
        "Finished case depth that is enough for that share", "CHD_f", "mm", words="quantile of the samples"
    )
    as_treated_mm: Number = term(
        "Case depth as treated that is enough for that share",
        "CHD_t",
        "mm",
        words="quantile of finished depth plus stock",
    )
    drawn_mm: Number = term("Least finished case depth drawn", "CHD_d", "mm")
    share_short: Number = term(
        "Share of the gears that need more case than is drawn", "q_d", words="of the samples"
    )
    unsolved: Number = term(
        "Share that no case depth satisfies", "q_0", words="samples without a solution over all samples"
    )


def case_depth_band(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    safety: Number,
    inclusion_root_area_um: Number,
    residual_model: ResidualStress,
    surface_scatter_HV: Number,
    core_scatter_HV: Number,
    load_scatter: Number,
    stock_mm: Number,
    stock_scatter_mm: Number,
    generator: np.random.Generator,
    share: Number = (0.05, 0.5, 0.95),
    samples: int = 200,
    half_thickness_mm: Number = None,
    drawn_mm: Number = None,
) -> CaseDepthBand:
    """Return how the needed case depth scatters with hardness, load and stock, by each criterion.

    CHD_i solved for HV_s + s_s n, HV_c + s_c n, w (1 + s_w n), with n from a normal distribution; as treated
    CHD_i + q_i

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : array
        b_H in mm, p_0 in MPa and μ along the path at the mean load, shape (points).
    surface_hardness_HV, core_hardness_HV, safety, inclusion_root_area_um : float
        HV_s, HV_c, S and √area in µm; the means.
    residual_model : ResidualStress
        Which residual stress is added; it counts for Dang Van alone.
    surface_scatter_HV, core_scatter_HV : float
        Standard deviations s_s and s_c in HV.
    load_scatter : float
        Standard deviation of the line load as a share of it, s_w.
    stock_mm, stock_scatter_mm : float
        Mean stock of the flank and its standard deviation, mm.
    generator : numpy.random.Generator
        Where the samples come from.
    share : float or array
        Shares of the gears for which the depth has to be enough, 0 to 1, shape (quantiles).
    samples : int
        How many.
    half_thickness_mm : float, optional
        Half the tooth thickness at that place, mm; needed where the residual stress is balanced.
    drawn_mm : float, optional
        The least finished case depth of the drawing, mm.

    Returns
    -------
    CaseDepthBand
        Depths in mm, shape (criteria, quantiles); no value where so many gears have no solution.

    Raises
    ------
    InputError
        A standard deviation below 0, a share outside 0 to 1, fewer than one sample, and what the solution
        refuses.

    Notes
    -----
    Source: random samples.
    Valid for: scatter that is small against its mean; a caution below 100 samples.
    Departures: stress and every length below a contact grow with the root of the line load, so that a sample
    of the load is solved as one of the safety.
    Checked: BAND-LOAD.

    Examples
    --------
    >>> band = case_depth_band(half_width_mm=[0.3], pressure_MPa=[1500], friction=[0.05],
    ...     surface_hardness_HV=700, core_hardness_HV=400, safety=1.2, inclusion_root_area_um=30,
    ...     residual_model=ResidualStress.NONE, surface_scatter_HV=15, core_scatter_HV=15, load_scatter=0.05,
    ...     stock_mm=0.12, stock_scatter_mm=0.02, generator=np.random.default_rng(1))
    >>> band.finished_mm[0].round(2).tolist(), band.as_treated_mm[0].round(2).tolist()
    ([0.36, 0.44, 0.56], [0.47, 0.56, 0.68])
    """
    spread = {
        "surface_scatter_HV": surface_scatter_HV,
        "core_scatter_HV": core_scatter_HV,
        "load_scatter": load_scatter,
        "stock_scatter_mm": stock_scatter_mm,
    }
    shares = np.atleast_1d(array(share))
    _check(spread, shares, samples)
    drawn = generator.standard_normal((4, samples))
    rooted = np.sqrt(np.maximum(1 + load_scatter * drawn[2], 0))
    half_thickness = (
        None if half_thickness_mm is None else array(half_thickness_mm) / np.maximum(rooted, 1e-9)
    )
    depth = rooted * _depths(
        {"half_width_mm": half_width_mm, "pressure_MPa": pressure_MPa},
        {
            "surface_hardness_HV": surface_hardness_HV + surface_scatter_HV * drawn[0],
            "core_hardness_HV": core_hardness_HV + core_scatter_HV * drawn[1],
            "safety": safety * rooted,
        },
        friction=friction,
        inclusion_root_area_um=inclusion_root_area_um,
        residual_model=residual_model,
        half_thickness_mm=half_thickness,
    )
    stock = stock_mm + stock_scatter_mm * drawn[3]
    return CaseDepthBand(
        criteria=tuple(Criterion),
        samples=samples,
        share=shares,
        **spread,
        stock_mm=stock_mm,
        finished_mm=_quantiles(depth, shares),
        as_treated_mm=_quantiles(depth + stock, shares),
        drawn_mm=drawn_mm,
        # one that no case depth satisfies needs more than is drawn
        share_short=None if drawn_mm is None else (~(depth <= array(drawn_mm))).mean(axis=-1),
        unsolved=np.isnan(depth).mean(axis=-1),
        notices=BAND.outside(samples=samples),
    )


def _check(spread: dict[str, Number], shares: Array, samples: int) -> None:
    faults = Faults()
    for name, value in spread.items():
        faults.need(bool(array(value) >= 0), name, value, "a standard deviation of 0 or more")
    faults.need(bool(((shares >= 0) & (shares <= 1)).all()), "share", shares, "shares from 0 to 1")
    faults.need(samples >= 1, "samples", samples, "1 or more")
    faults.check()


def _depths(along: dict[str, Number], steel: dict[str, Number], **more: Number) -> Array:
    """The solved depth of every sample by every criterion, shape (criteria, samples)."""
    below = loaded_flank(**along, **steel, **more)
    found = [required_case_depth(**along, **steel).depth_mm]
    found += [_solved(name, below) for name in Criterion if name is not Criterion.YIELDING]
    return np.stack([np.atleast_1d(array(depth)) for depth in found])


def _solved(criterion: Criterion, below: Below) -> Array:
    """The solved depth of every sample, some at a time: more exposures at once fall out of the cache."""
    starts = range(0, len(below.core), _AT_ONCE)
    some = (below.some(slice(start, start + _AT_ONCE)) for start in starts)
    return np.concatenate([np.atleast_1d(array(solved_depth(criterion, one).depth_mm)) for one in some])


def _quantiles(depth: Array, shares: Array) -> Array:
    """Quantiles over the samples; without a value where they fall among samples without a solution."""
    found = np.quantile(np.where(np.isnan(depth), np.inf, depth), shares, axis=-1, method="higher")
    return array(np.where(np.isinf(found), np.nan, found).T)
