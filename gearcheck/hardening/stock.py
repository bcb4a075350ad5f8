"""Stock on the flanks as it varies over the teeth, and the case that it leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.hardening.finished import lengths
from gearcheck.hardening.spread import Spread

STOCK = Method(
    key="stock.distribution",
    title="Case left by a stock that varies",
    source="geometry of the set-up; sums of independent deviations",
    edition="",
    clause="stock normal to the flank",
    status=Status.COMMON_PRACTICE,
    implements=(
        "eccentricity as a sine over the teeth, met at every phase",
        "distortion, etch and superfinish as uniform over their ranges",
        "indexing, pitch and the scatter of the case depth as normal",
        "their sum by its characteristic function, without random numbers",
    ),
    leaves_out=(
        "how one deviation goes with another: they are taken as independent",
        "what is common to one gear or one batch: the shares are those of all flanks of many gears",
        "the form of the distortion over face and profile: its range is met evenly",
    ),
    departures=(
        "A normal deviation of half a micrometre is always there, so that the sum is smooth.",
        "Of helical teeth the distribution takes the eccentricity in full, not times cos β_b.",
    ),
)

_SMALL_SHARE = 1e-4


@dataclass(frozen=True, kw_only=True)
class ToothStock(Result):
    """Stock on both flanks of every tooth at half height; teeth on the last axis."""

    method: ClassVar[Method] = STOCK
    left_stock_mm: Number = term("Nominal stock, left flank", "q_L", "mm")
    right_stock_mm: Number = term("Nominal stock, right flank", "q_R", "mm")
    eccentricity_mm: Number = term("Eccentricity of the teeth to the set-up", "e", "mm")
    indexing_mm: Number = term("Shift of the wheel from the middle of the space", "s", "mm")
    pressure_angle_deg: Number = term("Transverse pressure angle", "α_t", "°")
    base_helix_angle_deg: Number = term("Helix angle at the base circle", "β_b", "°")
    place_deg: Number = term("Place of the tooth from the eccentricity", "ψ", "°", words="tooth by tooth")
    left_mm: Number = term("Stock, left flank", "q_Lj", "mm", "q_L + (s + e·sin(α_t - ψ))·cos(β_b)")
    right_mm: Number = term("Stock, right flank", "q_Rj", "mm", "q_R + (e·sin(α_t + ψ) - s)·cos(β_b)")


@dataclass(frozen=True, kw_only=True)
class GroundCase(Result):
    """Stock and case left on a flank as distributions; shares of the quantiles on the last axis."""

    method: ClassVar[Method] = STOCK
    case_depth_mm: Number = term("Mean case depth as treated", "CHD_t", "mm")
    case_deviation_mm: Number = term("Standard deviation of the case depth", "σ_t", "mm")
    stock_mm: Number = term("Mean stock", "q", "mm")
    shift_mm: Number = term("Shift of the wheel into this flank, normal to it", "v", "mm")
    eccentricity_mm: Number = term("Eccentricity of the teeth to the set-up", "e", "mm")
    distortion_mm: Number = term("Half range of the distortion normal to the flank", "d", "mm")
    position_deviation_mm: Number = term("Standard deviation of indexing and pitch", "σ_p", "mm")
    etch_least_mm: Number = term("Least loss by etching", "w_1", "mm")
    etch_largest_mm: Number = term("Largest loss by etching", "w_2", "mm")
    superfinish_least_mm: Number = term("Least removal by superfinishing", "f_1", "mm")
    superfinish_largest_mm: Number = term("Largest removal by superfinishing", "f_2", "mm")
    required_mm: Number = term("Required finished case depth", "CHD_r", "mm")
    shares: Number = term("Shares of the quantiles", "s")
    stock_deviation_mm: Number = term("Standard deviation of the stock", "σ_q", "mm", "√(e²/2 + d²/3 + σ_p²)")
    mean_mm: Number = term(
        "Mean finished case depth", "CHD_f", "mm", "CHD_t - q - v - (w_1+w_2)/2 - (f_1+f_2)/2"
    )
    deviation_mm: Number = term(
        "Standard deviation of the finished case depth",
        "σ_f",
        "mm",
        "√(σ_q² + σ_t² + ((w_2-w_1)² + (f_2-f_1)²)/12)",
    )
    share_below: Number = term(
        "Share of the flank below the required depth", "s_r", words="from the distribution of the sum"
    )
    share_uncut: Number = term(
        "Share of the flank that is not cleaned up", "s_0", words="share of the stock below 0"
    )
    stock_quantile_mm: Number = term(
        "Stock below which each share lies", "q_s", "mm", words="from the distribution of the stock"
    )
    quantile_mm: Number = term(
        "Finished case depth below which each share lies", "CHD_s", "mm", words="from the distribution"
    )


def etch_loss_mm() -> tuple[float, float]:
    """Return the least and the largest loss of a flank by a surface temper etch.

    Returns
    -------
    least, largest : tuple of float
        In mm.

    Notes
    -----
    Source: AMS 2649, scope.
    Checked: ETCH-01.
    """
    values = table("etch_loss").value
    return values("least"), values("largest")


def usual_stock_mm() -> tuple[float, float]:
    """Return the least and the largest stock that shops usually leave on each flank.

    Returns
    -------
    least, largest : tuple of float
        In mm, normal to the flank, for modules of 2 to 6 mm.

    Notes
    -----
    Source: shop practice.
    Checked: GRIND-11.
    """
    values = table("grinding_stock").value
    return values("least"), values("largest")


def tooth_stock(
    *,
    teeth: int,
    left_stock_mm: Number,
    right_stock_mm: Number,
    runout_mm: Number,
    centring_mm: Number,
    indexing_mm: Number,
    pressure_angle_deg: Number,
    base_helix_angle_deg: Number,
) -> ToothStock:
    """Return the stock on both flanks of every tooth of an eccentric, shifted set-up.

    q_L + (s + e sin(α_t - ψ)) cos β_b, q_R + (e sin(α_t + ψ) - s) cos β_b, e = runout/2 + centring

    Parameters
    ----------
    teeth : int
        z.
    left_stock_mm, right_stock_mm : float or array
        Nominal stock normal to each flank, mm, shape (samples).
    runout_mm : float or array
        Runout of the teeth as treated to the surfaces that they are held by, mm.
    centring_mm : float or array
        Eccentricity of the holding, mm; added to half the runout, as if both lay the same way.
    indexing_mm : float or array
        s, transverse shift of the wheel from the middle of the space, mm; positive takes more off the left.
    pressure_angle_deg, base_helix_angle_deg : float or array
        α_t and β_b, °.

    Returns
    -------
    ToothStock
        Shape (samples, teeth), the first tooth where the eccentricity points; a caution where a flank has no
        stock.

    Raises
    ------
    InputError
        A runout or centring error below 0, or fewer than 3 teeth.

    Notes
    -----
    Source: geometry: the eccentricity seen along the normal of the flank.
    Valid for: an eccentricity that is small against the module.
    Departures: none.
    Checked: STOCK-TEETH.

    Examples
    --------
    >>> stock = tooth_stock(teeth=4, left_stock_mm=0.15, right_stock_mm=0.15, runout_mm=0.04, centring_mm=0.0,
    ...     indexing_mm=0.0, pressure_angle_deg=30, base_helix_angle_deg=0)
    >>> stock.left_mm.round(4).tolist(), stock.right_mm.round(4).tolist()
    ([0.16, 0.1327, 0.14, 0.1673], [0.16, 0.1673, 0.14, 0.1327])
    """
    faults = Faults()
    faults.need(teeth >= 3, "teeth", teeth, "3 teeth or more")
    for name, length in {"runout_mm": runout_mm, "centring_mm": centring_mm}.items():
        faults.need(not (array(length) < 0).any(), name, length, "a length of 0 mm or more")
    faults.check()
    q_L, q_R, s, e = (
        array(value)[..., None]
        for value in (left_stock_mm, right_stock_mm, indexing_mm, array(runout_mm) / 2 + array(centring_mm))
    )
    alpha, beta = (
        np.radians(array(angle))[..., None] for angle in (pressure_angle_deg, base_helix_angle_deg)
    )
    psi = 2 * np.pi * np.arange(teeth) / teeth
    left = q_L + (s + e * np.sin(alpha - psi)) * np.cos(beta)
    right = q_R + (e * np.sin(alpha + psi) - s) * np.cos(beta)
    least = min(left.min(), right.min())
    uncut: tuple[Notice, ...] = ()
    if least < 0:
        text = f"A flank has no stock: {least:.3g} mm at the tooth that has least; it is not cleaned up."
        uncut = (Notice(Level.CAUTION, "stock.uncut", text),)
    return ToothStock(
        left_stock_mm=q_L,
        right_stock_mm=q_R,
        eccentricity_mm=e,
        indexing_mm=s,
        pressure_angle_deg=np.degrees(alpha),
        base_helix_angle_deg=np.degrees(beta),
        place_deg=np.degrees(psi),
        left_mm=left,
        right_mm=right,
        notices=uncut,
    )


def ground_case(
    *,
    case_depth_mm: Number,
    case_deviation_mm: Number,
    stock_mm: Number,
    runout_mm: Number,
    centring_mm: Number,
    distortion_mm: Number,
    position_deviation_mm: Number,
    etch_mm: tuple[Number, Number],
    superfinish_mm: tuple[Number, Number],
    required_mm: Number,
    shares: Number,
    shift_mm: Number = 0.0,
) -> GroundCase:
    """Return the case left on a ground flank as a distribution, and the share of it that is too shallow.

    CHD_f = CHD_t - stock - shift - etch - superfinish, each with its own scatter

    Parameters
    ----------
    case_depth_mm, case_deviation_mm : float or array
        Mean and standard deviation of the case depth as treated, mm, shape (samples).
    stock_mm : float or array
        Nominal stock normal to the flank, mm; the left and the right flank are two samples.
    runout_mm, centring_mm : float or array
        Runout of the teeth as treated, and eccentricity of the holding, mm.
    distortion_mm : float or array
        Half range, normal to the flank, of the growth of helix and profile, mm.
    position_deviation_mm : float or array
        Standard deviation of indexing and pitch normal to the flank, mm.
    etch_mm, superfinish_mm : pair of float or array
        Least and largest that each takes off after grinding, mm; (0, 0) where there is none.
    required_mm : float or array
        Finished case depth that is required, mm.
    shares : float or array
        Shares of the quantiles, between 0 and 1, shape (shares).
    shift_mm : float or array
        v, what the set-up takes more off this flank, normal to it, mm; negative where it takes less.

    Returns
    -------
    GroundCase
        Shape (samples); the quantiles (samples, shares).

    Raises
    ------
    InputError
        A length below 0, a loss upside down, or a share that is not between 0 and 1.

    Notes
    -----
    Source: sums of independent deviations.
    Valid for: deviations that are independent of each other.
    Departures: half the runout and the centring error are added.
    Checked: STOCK-NORMAL, STOCK-UNIFORM, STOCK-SINE, STOCK-SHIFT, STOCK-TRIANGLE, STOCK-ALL, ETCH-01.

    Examples
    --------
    >>> case = ground_case(case_depth_mm=1.0, case_deviation_mm=0.03, stock_mm=[0.15, 0.12], runout_mm=0.04,
    ...     centring_mm=0.005, distortion_mm=0.03, position_deviation_mm=0.01, etch_mm=(0.0025, 0.0127),
    ...     superfinish_mm=(0.0, 0.0), required_mm=0.8, shares=[0.01, 0.99])
    >>> case.mean_mm.round(3).tolist(), case.share_below.round(3).tolist()
    ([0.842, 0.872], [0.148, 0.036])
    """
    given = lengths(
        case_depth_mm=case_depth_mm,
        case_deviation_mm=case_deviation_mm,
        stock_mm=stock_mm,
        eccentricity_mm=array(runout_mm) / 2 + array(centring_mm),
        distortion_mm=distortion_mm,
        position_deviation_mm=position_deviation_mm,
        etch_least_mm=etch_mm[0],
        etch_largest_mm=etch_mm[1],
        superfinish_least_mm=superfinish_mm[0],
        superfinish_largest_mm=superfinish_mm[1],
        required_mm=required_mm,
    )
    D, D_sigma, q, e, d, pitch, w_1, w_2, f_1, f_2, required = given.values()
    p = np.atleast_1d(array(shares))
    _check_shares(p, w_2 - w_1, f_2 - f_1)
    stock = Spread(e, [d], pitch)
    left = Spread(e, [d, (w_2 - w_1) / 2, (f_2 - f_1) / 2], np.hypot(D_sigma, pitch))
    v = array(shift_mm)
    mean = D - q - v - (w_1 + w_2 + f_1 + f_2) / 2
    below, uncut = left.below(required - mean), stock.below(-q - v)
    return GroundCase(
        **given,
        shift_mm=v,
        shares=p,
        stock_deviation_mm=stock.deviation,
        mean_mm=mean,
        deviation_mm=left.deviation,
        share_below=below,
        share_uncut=uncut,
        stock_quantile_mm=(q + v)[..., None] + stock.quantile(p),
        quantile_mm=mean[..., None] + left.quantile(p),
        notices=_notices(below, uncut, q),
    )


def _check_shares(p: Array, etch: Array, superfinish: Array) -> None:
    faults = Faults()
    faults.need(bool(((p > 0) & (p < 1)).all()), "shares", p, "shares between 0 and 1")
    for name, range_mm in (("etch_mm", etch), ("superfinish_mm", superfinish)):
        faults.need(not (range_mm < 0).any(), name, range_mm, "the least first, then the largest")
    faults.check()


def _notices(below: Array, uncut: Array, stock: Array) -> tuple[Notice, ...]:
    found = []
    if (below > _SMALL_SHARE).any():
        text = f"Up to {100 * np.nanmax(below):.2g} % of the flank has less than the required case depth."
        found.append(Notice(Level.CAUTION, "stock.shallow", text))
    if (uncut > _SMALL_SHARE).any():
        text = f"Up to {100 * np.nanmax(uncut):.2g} % of the flank has no stock: it is not cleaned up."
        found.append(Notice(Level.CAUTION, "stock.uncut", text))
    least, largest = usual_stock_mm()
    if (unusual := (stock < least) | (stock > largest)).any():
        text = (
            f"A stock of {stock[unusual].flat[0]:.3g} mm is not usual: {least:.2f} to {largest:.2f} mm on "
            "each flank for modules of 2 to 6 mm."
        )
        found.append(Notice(Level.NOTE, "stock.unusual", text))
    return tuple(found)


def ground_hardness(*, depth_mm: Number, hardness_HV: Number, removed_mm: Number) -> Array:
    """Return the hardness over depth below a surface that is ground down into a given profile.

    HV_f(z) = HV(z + removed)

    Parameters
    ----------
    depth_mm : array
        z of the given profile, mm, rising, shape (depths).
    hardness_HV : array
        Its hardness, shape (samples, depths).
    removed_mm : float or array
        What is taken off: stock, etch, superfinish, mm, shape (samples).

    Returns
    -------
    ndarray of float
        HV at the same depths below the new surface, shape (samples, depths): linear between those given, the
        last one beyond them, NaN above the first; the first is the hardness of the new surface where z is 0.

    Raises
    ------
    InputError
        Depths that do not rise, or a removal below 0.

    Notes
    -----
    Source: geometry.
    Valid for: a given profile that begins at the old surface, or above the new one.
    Departures: none.
    Checked: GROUND-HARDNESS.

    Examples
    --------
    >>> print(ground_hardness(depth_mm=[0.0, 0.1, 0.2], hardness_HV=[705, 712, 708], removed_mm=0.15)[0])
    710.0
    """
    z, removed = array(depth_mm), array(removed_mm)
    faults = Faults()
    rising = z.ndim == 1 and z.size >= 2 and bool((np.diff(z) > 0).all())
    faults.need(rising, "depth_mm", depth_mm, "two depths or more, each larger than the one before")
    faults.need(not (removed < 0).any(), "removed_mm", removed_mm, "a length of 0 mm or more")
    faults.check()
    at, hardness = np.broadcast_arrays(z + removed[..., None], array(hardness_HV))
    after = np.clip(np.searchsorted(z, at), 1, z.size - 1)
    share = np.minimum((at - z[after - 1]) / (z[after] - z[after - 1]), 1)
    low, high = (np.take_along_axis(hardness, place, axis=-1) for place in (after - 1, after))
    return array(np.where(share < 0, np.nan, low + share * (high - low)))
