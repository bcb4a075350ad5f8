"""A straight stress-life or strain-life line by least squares, for tests that all ended in failure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import fdtri, stdtrit

from gearcheck.basics.digits import number_text, with_unit
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import marked, need_measured, need_shares

STRAIGHT_LINE = Method(
    key="astm_e739.straight_line",
    title="Straight line through lives",
    source="ASTM E739",
    edition="2010",
    clause="linear or linearised S-N and ε-N relations; worked example 8.3",
    status=Status.FROM_MEMORY,
    implements=(
        "log10 life on log10 load or on load, least squares, intervals of both coefficients",
        "test of linearity where tests were repeated; simultaneous band of the median line",
    ),
    leaves_out=("run-outs: it has no place for them", "scatter that changes with the load", "curved lines"),
    departures=(
        "Repeats are the tests of one load, or of the groups given; a group stands at the mean of its loads.",
        "All tests are held at the confidence given; the standard's example takes 95 %.",
    ),
)


class LoadScale(StrEnum):
    """What the line is straight over."""

    LOGARITHM = "log10 of the load"
    LOAD = "load"


@dataclass(frozen=True, kw_only=True)
class StraightLine(Result):
    """The line, its scatter, and whether it is straight."""

    method: ClassVar[Method] = STRAIGHT_LINE
    scale: LoadScale
    confidence: Number = term("Confidence", "C")
    specimens: Number = term("Specimens", "n")
    levels: Number = term("Loads, or groups of repeats", "l")
    replication_percent: Number = term("Share of repeats", "R_p", "%", "100·(1 - l/n)")
    low_load: Number = term("Least load tested", "L_u")
    high_load: Number = term("Greatest load tested", "L_o")
    mean_load: Number = term("Mean of the load's scale", "X_m")
    mean_log_life: Number = term("Mean of log10 life", "Y_m")
    load_squares: Number = term(
        "Squares of the load about its mean", "S_xx", words="Σ (X_i - X_m)²", digits=6
    )
    products: Number = term("Products about the means", "S_xy", words="Σ (X_i - X_m)(Y_i - Y_m)")
    life_squares: Number = term("Squares of life about its mean", "S_yy", words="Σ (Y_i - Y_m)²")
    slope: Number = term("Slope", "B", "", "S_xy/S_xx")
    intercept: Number = term("Intercept", "A", "", "Y_m - B·X_m")
    variance: Number = term("Variance about the line", "V", "", "max(S_yy - B·S_xy, 0)/(n - 2)")
    deviation: Number = term("Standard deviation of log10 life", "s", "", "√(V)")
    correlation: Number = term("Correlation", "r", "", "S_xy/√(S_xx·S_yy)")
    quantile: Number = term("Quantile of t", "t", words="two-sided, n - 2 degrees of freedom")
    slope_low: Number = term("Slope, lower limit", "B_u", "", "B - t·s/√(S_xx)")
    slope_high: Number = term("Slope, upper limit", "B_o", "", "B + t·s/√(S_xx)")
    intercept_low: Number = term("Intercept, lower limit", "A_u", "", "A - t·s·√(1/n + X_m²/S_xx)")
    intercept_high: Number = term("Intercept, upper limit", "A_o", "", "A + t·s·√(1/n + X_m²/S_xx)")
    lack_of_fit: Number = term(
        "Lack of fit", "F", words="mean square of the groups about the line over that of the repeats"
    )
    lack_of_fit_limit: Number = term(
        "Largest for a straight line", "F_p", words="quantile C of F, l - 2 and n - l"
    )

    @property
    def is_straight(self) -> bool | None:
        """Whether the repeats leave the line standing; None where nothing was repeated."""
        if self.lack_of_fit is None or self.lack_of_fit_limit is None:
            return None
        return bool(np.all(array(self.lack_of_fit) <= array(self.lack_of_fit_limit)))


def straight_line(
    *,
    load: Number,
    cycles: Number,
    failed: Any = True,
    scale: LoadScale,
    confidence: float,
    groups: Sequence[int] | None = None,
    specimens: Sequence[str] = (),
) -> StraightLine:
    """Return the straight line of log10 life by least squares.

    Y = A + B X, Y = log10 N, X = log10 of the load, or the load

    Parameters
    ----------
    load : array
        Stress in MPa or strain amplitude of each specimen.
    cycles : array
        N; specimens on the last axis, samples before it.
    failed : array of bool
        Whether each failed; one run-out stops the calculation.
    scale : LoadScale
        What the line is straight over.
    confidence : float
        C of intervals, band and test of linearity.
    groups : sequence of int, optional
        Which specimens are repeats of one another; without it those of exactly one load are.
    specimens : sequence of str
        Names, for the sentence about run-outs.

    Returns
    -------
    StraightLine
        A stop names run-outs, or says what is missing; a caution where the line is not straight.

    Raises
    ------
    InputError
        Loads or cycles not above 0, arrays that do not go together, a confidence not between 0 and 1.

    Notes
    -----
    Source: ASTM E739, from memory.
    Valid for: lives that are lognormal with one deviation at every load; between the loads tested.
    Departures: see the method.
    Checked: E739-01, E739-01-PRINTED, E739-02, E739-02-PRINTED, E739-03, E739-03-PRINTED.

    Examples
    --------
    >>> line = straight_line(load=[500, 500, 600, 600, 700, 700], confidence=0.95,
    ...     cycles=[9e5, 6e5, 2e5, 3e5, 8e4, 6e4], scale=LoadScale.LOGARITHM)
    >>> round(line.slope, 2), round(line.deviation, 3), line.is_straight
    (-6.99, 0.108, True)
    """
    X, life = array(load), array(cycles)
    broke, group = _checked(X, life, failed, confidence, groups)
    low, high = X.min(), X.max()
    X = np.log10(X) if scale is LoadScale.LOGARITHM else X
    levels = int(np.unique(group).size)
    nothing = {item.name: None for item in fields(StraightLine) if "term" in item.metadata}
    given: dict[str, Any] = nothing | {
        "scale": scale,
        "confidence": confidence,
        "specimens": X.size,
        "levels": levels,
        "replication_percent": 100 * (1 - levels / X.size),
        "low_load": low,
        "high_load": high,
    }
    stop = _stop(X, broke, life, specimens)
    if stop:
        return StraightLine(**given, notices=stop)
    values = _coefficients(X, np.log10(life), confidence) | _linearity(X, np.log10(life), group, confidence)
    line = StraightLine(**given | values)
    return replace(line, notices=_cautions(line))


def _checked(
    load: Array, life: Array, failed: Any, confidence: float, groups: Sequence[int] | None
) -> tuple[NDArray[np.bool_], NDArray[np.intp]]:
    """Whether each specimen failed, and its group, once all that was given goes together."""
    faults = Faults()
    faults.need(load.ndim == 1 and load.size > 0, "load", load, "one load a specimen, one specimen or more")
    same = load.ndim == 1 and life.ndim > 0 and life.shape[-1] == load.size
    faults.need(same, "cycles", f"{life.shape[-1:]} values", "one life for each load")
    broke = marked(faults, failed, life)
    faults.need(groups is None or len(groups) == load.size, "groups", groups, "one for each load")
    need_measured(faults, load=load, cycles=life)
    need_shares(faults, confidence=confidence)
    faults.check()
    return broke, np.unique(load if groups is None else np.asarray(groups), return_inverse=True)[1]


def _coefficients(X: Array, Y: Array, confidence: float) -> dict[str, Number]:
    n, mean, mean_life = X.size, X.mean(), Y.mean(axis=-1)
    x, y = X - mean, Y - Y.mean(axis=-1, keepdims=True)
    xx, xy, yy = x @ x, y @ x, (y**2).sum(axis=-1)
    B = xy / xx
    A = mean_life - B * mean
    variance = np.maximum(yy - B * xy, 0) / (n - 2)
    t = stdtrit(n - 2, (1 + confidence) / 2)
    s = np.sqrt(variance)
    of_B, of_A = t * s / np.sqrt(xx), t * s * np.sqrt(1 / n + mean**2 / xx)
    return {
        "mean_load": mean,
        "mean_log_life": mean_life,
        "load_squares": xx,
        "products": xy,
        "life_squares": yy,
        "slope": B,
        "intercept": A,
        "variance": variance,
        "deviation": s,
        "correlation": xy / np.sqrt(xx * np.where(yy > 0, yy, np.nan)),
        "quantile": t,
        "slope_low": B - of_B,
        "slope_high": B + of_B,
        "intercept_low": A - of_A,
        "intercept_high": A + of_A,
    }


def _linearity(X: Array, Y: Array, group: NDArray[np.intp], confidence: float) -> dict[str, Number]:
    """The groups about the line against the repeats about their groups."""
    n, count = X.size, np.bincount(group)
    levels = count.size
    if levels < 3 or levels == n:
        return {}
    member = np.eye(levels)[group] / count
    mean = Y @ member
    x = X - X.mean()
    B = (Y @ x) / (x @ x)
    on_line = Y.mean(axis=-1)[..., None] + B[..., None] * (X @ member - X.mean())
    about_line = (count * (on_line - mean) ** 2).sum(axis=-1) / (levels - 2)
    repeats = ((Y - mean[..., group]) ** 2).sum(axis=-1) / (n - levels)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = about_line / repeats
    return {"lack_of_fit": found, "lack_of_fit_limit": fdtri(levels - 2, n - levels, confidence)}


def _stop(X: Array, failed: NDArray[np.bool_], life: Array, specimens: Sequence[str]) -> tuple[Notice, ...]:
    """What leaves no line, with what can be told all the same."""
    if not failed.all():
        some = [int(i) for i in np.flatnonzero(~failed.reshape(-1, X.size).all(axis=0))]
        names = [specimens[i] if specimens else f"number {i + 1}" for i in some]
        cycles = life.reshape(-1, X.size)[0, some]
        told = ", ".join(
            f"{name} ({number_text(of)} cycles)" for name, of in zip(names[:12], cycles, strict=False)
        )
        more = f" and {len(some) - 12} more" if len(some) > 12 else ""
        text = (
            f"Run-outs: {told}{more}. {STRAIGHT_LINE.source} has no place for them, and left out they would "
            "make lives look shorter and less scattered than they are: fit failures and run-outs together."
        )
        return (Notice(Level.STOP, f"{STRAIGHT_LINE.key}.run_outs", text),)
    if X.size == 1:
        text = "One specimen: neither slope nor scatter can be told, only the life that it had."
    elif np.ptp(X) <= 1e-12 * np.abs(X).max():
        text = (
            "All specimens stand at one load: no slope can be told. Median and scatter of the lives at this "
            "load can: as those of one sample."
        )
    elif X.size == 2:
        text = "Two specimens: a line goes through both, and nothing is left that would show the scatter."
    else:
        return ()
    return (Notice(Level.STOP, f"{STRAIGHT_LINE.key}.too_few", text),)


def _cautions(line: StraightLine) -> tuple[Notice, ...]:
    found = []
    if line.is_straight is None:
        text = (
            f"{number_text(line.levels)} loads, {number_text(line.specimens - line.levels)} repeats: "
            "whether the line is straight "
            "cannot be tested. It takes three loads, and repeats that scatter."
        )
        found.append(("untested", text))
    elif not line.is_straight:
        text = (
            "The lives do not lie on a straight line: lack of fit "
            f"{number_text(np.max(line.lack_of_fit), 3)}, where "
            f"{number_text(line.lack_of_fit_limit, 3)} is the limit at "
            f"{with_unit(number_text(100 * line.confidence), '%')}. Band and "
            "design line fail."
        )
        found.append(("bent", text))
    if np.any(array(line.slope_high) >= 0):
        text = (
            f"At {with_unit(number_text(100 * line.confidence), '%')} confidence the slope may be 0 or "
            "more: no effect of the load is shown."
        )
        found.append(("level", text))
    return tuple(Notice(Level.CAUTION, f"{STRAIGHT_LINE.key}.{key}", text) for key, text in found)
