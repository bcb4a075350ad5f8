"""The smallest case depth that one criterion asks for, found by a scan and refined."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.hardening.below import Below
from gearcheck.hardening.criteria import CRITERIA, Criterion, stress_measures
from gearcheck.hardening.depth_notices import Mask, cautions, none_suffices, stops
from gearcheck.hardening.history import checked_contact
from gearcheck.hardening.residual import ResidualStress
from gearcheck.materials.fatigue import hydrostatic_weight

Places: TypeAlias = NDArray[np.intp]

# cases of the scan, in half-widths of the widest contact; the first is no case at all
_CASES = np.concatenate(([0.0], np.geomspace(0.02, 16, 60)))
_PARTS = np.linspace(0, 1, 9)
_ROUNDS = 6
_STEP = 1e-4


@dataclass(frozen=True, kw_only=True)
class CriterionDepth(Result):
    """Smallest case depth at 550 HV by one criterion, with every step at the depth that governs it."""

    method: ClassVar[Method] = CRITERIA
    criterion: Criterion
    residual_model: ResidualStress
    safety: Number = term("Safety against failure below the surface", "S")
    surface_hardness_HV: Number = term("Surface hardness", "HV_s", "HV")
    core_hardness_HV: Number = term("Core hardness", "HV_c", "HV")
    depth_mm: Number = term(
        "Least case depth at 550 HV on the finished flank",
        "CHD",
        "mm",
        words="the smallest whose exposure stays at 1 or less at every depth and point",
    )
    enough_to_mm: Number = term(
        "Case depth from which it is too deep again",
        "CHD_2",
        "mm",
        words="where the exposure passes 1 again, if it does",
    )
    governing_depth_mm: Number = term("Depth that governs", "z", "mm", words="of the largest exposure")
    governing_half_width_mm: Number = term(
        "Half-width of the contact that governs", "b_H", "mm", words="there"
    )
    governing_pressure_MPa: Number = term(
        "Hertz pressure of the contact that governs", "p_0", "MPa", words="there"
    )
    stress_MPa: Number = term("Stress of the load there", "τ", "MPa", words="as the criterion measures it")
    hardness_HV: Number = term("Hardness there", "HV", "HV", words="from the profile of the case")
    residual_stress_MPa: Number = term(
        "Residual stress there", "σ_R", "MPa", words="0 where it does not count"
    )
    residual_weight: Number = term(
        "Weight of the residual stress", "w", "", words="2·a/3 for Dang Van, else 0"
    )
    strength_MPa: Number = term("Strength there", "τ_P", "MPa", words="from the hardness")
    exposure: Number = term("Exposure there", "A", "", "(S·τ + w·σ_R)/τ_P")
    change_per_percent_mm: Number = term(
        "Change of the case depth when the constant of the strength is 1 % larger",
        "Δ_CHD",
        "mm",
        words="from the slope of the largest exposure over the case depth",
    )


def criterion_case_depth(
    *,
    criterion: Criterion,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    safety: Number,
    inclusion_root_area_um: Number,
    residual_model: ResidualStress,
    half_thickness_mm: Number = None,
    standard_depth_mm: Number = None,
    largest_depth_mm: Number = None,
) -> CriterionDepth:
    """Return the smallest case depth at which one criterion holds at every depth and point of contact.

    A(z) = (S τ(z) + w σ_R(z))/τ_P(HV(z)) <= 1

    Parameters
    ----------
    criterion : Criterion
        Stress measure and strength, as a pair.
    half_width_mm, pressure_MPa, friction : float or array
        b_H in mm, p_0 in MPa and μ along the path, shape (samples, points).
    surface_hardness_HV, core_hardness_HV, safety : float or array
        HV_s, HV_c of the finished flank and S, shape (samples).
    inclusion_root_area_um : float or array
        √area of the largest inclusion to reckon with, µm, shape (samples).
    residual_model : ResidualStress
        Which residual stress is added; it counts for Dang Van alone.
    half_thickness_mm : float or array, optional
        Half the tooth thickness at that place, mm; needed where the residual stress is balanced.
    standard_depth_mm : float or array, optional
        The figure of the governing standard; a solved depth below it is a caution.
    largest_depth_mm : float or array, optional
        The deepest case allowed, mm; none beyond it is tried.

    Returns
    -------
    CriterionDepth
        CHD at 550 HV in mm, shape (samples); a stop notice and no value where no case depth suffices.

    Raises
    ------
    InputError
        A half-width or pressure below 0, an inclusion of 0 µm, or a balance without a thickness.

    Notes
    -----
    Source: Pedersen and Rice; Pavlina and Van Tyne; Murakami; Dang Van; Lang; all constants from memory.
    Valid for: S of 0 or more, μ up to 0.5; a stop notice otherwise.
    Departures: assessed at 200 depths down to 20 half-widths, and between them by a parabola. With balanced
    residual stress more case is not always better, so that 61 cases up to 16 half-widths and half the
    thickness are tried, and the first that suffices is refined; a range of cases that suffices only between
    two of them would be missed.
    Checked: DEPTH-AMPLITUDE, DEPTH-INCLUSIONS, DEPTH-DANG-VAN, DEPTH-BALANCED, DEPTH-NONE.

    Examples
    --------
    >>> found = criterion_case_depth(criterion=Criterion.SHEAR_AMPLITUDE, half_width_mm=[0.3],
    ...     pressure_MPa=[1500], friction=[0.05], surface_hardness_HV=700, core_hardness_HV=400, safety=1.2,
    ...     inclusion_root_area_um=30, residual_model=ResidualStress.NONE)
    >>> round(found.depth_mm, 2), round(found.governing_depth_mm, 2)
    (0.16, 0.28)
    """
    below = loaded_flank(
        half_width_mm=half_width_mm,
        pressure_MPa=pressure_MPa,
        friction=friction,
        surface_hardness_HV=surface_hardness_HV,
        core_hardness_HV=core_hardness_HV,
        safety=safety,
        inclusion_root_area_um=inclusion_root_area_um,
        residual_model=residual_model,
        half_thickness_mm=half_thickness_mm,
    )
    return solved_depth(criterion, below, standard_depth_mm, largest_depth_mm)


def loaded_flank(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    safety: Number,
    inclusion_root_area_um: Number,
    residual_model: ResidualStress,
    half_thickness_mm: Number = None,
) -> Below:
    """Return the loaded flank, checked and broadcast: what every criterion reads.

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : float or array
        Along the path, shape (samples, points).
    surface_hardness_HV, core_hardness_HV, safety, inclusion_root_area_um, half_thickness_mm : float or array
        Shape (samples).
    residual_model : ResidualStress
        Which residual stress is added.

    Returns
    -------
    Below
        The steel of one shape of samples; the contact keeps its own, which may be less.

    Raises
    ------
    InputError
        A half-width or pressure below 0, an inclusion not above 0 µm, or a balance without a thickness.
    """
    checked_contact(half_width_mm=half_width_mm, pressure_MPa=pressure_MPa)
    h, size = array(half_thickness_mm), array(inclusion_root_area_um)
    balanced = residual_model is ResidualStress.BALANCED
    faults = Faults()
    faults.need(
        not balanced or not (np.isnan(h) | (h <= 0)).any(),
        "half_thickness_mm",
        half_thickness_mm,
        "above 0 mm",
    )
    faults.need(
        not (np.isnan(size) | (size <= 0)).any(),
        "inclusion_root_area_um",
        inclusion_root_area_um,
        "a size above 0 µm",
    )
    faults.check()
    b, p_0, mu = np.atleast_1d(
        *np.broadcast_arrays(array(half_width_mm), array(pressure_MPa), array(friction))
    )
    given = (surface_hardness_HV, core_hardness_HV, safety, size, h)
    *steel, _ = np.broadcast_arrays(*(array(value) for value in given), b[..., 0])
    surface, core, safety, inclusion, thickness = steel
    return Below(b, p_0, mu, surface, core, safety, inclusion, residual_model, thickness)


def solved_depth(
    criterion: Criterion, below: Below, standard_depth_mm: Number = None, largest_depth_mm: Number = None
) -> CriterionDepth:
    """Return the smallest case depth by one criterion of a loaded flank.

    Parameters
    ----------
    criterion : Criterion
        Stress measure and strength.
    below : Below
        The loaded flank.
    standard_depth_mm : float or array, optional
        The figure of the governing standard, mm.
    largest_depth_mm : float or array, optional
        The deepest case allowed, mm.

    Returns
    -------
    CriterionDepth
        As `criterion_case_depth`.
    """
    stopped, good = stops(below)
    cases = np.broadcast_to(below.width, below.core.shape)[..., None] * _CASES
    exposed = _largest(criterion, below)
    # no case is deeper than allowed or reaches beyond the middle of the tooth
    deepest = np.fmin(array(largest_depth_mm), below.half_thickness)
    possible = ~(cases > deepest[..., None])
    scan = np.where(possible, exposed(cases), np.inf)
    enough = scan <= 1
    some = enough.any(axis=-1) & good
    first = enough.argmax(axis=-1)
    depth = _edge(lambda case: exposed(case) <= 1, cases, first)
    again = possible & ~enough & (np.arange(len(_CASES)) > first[..., None])
    too_deep = _edge(lambda case: exposed(case) > 1, cases, again.argmax(axis=-1))
    best = taken(cases, np.where(np.isnan(scan), np.inf, scan).argmin(axis=-1))
    at = _governing(criterion, below, np.where(some, depth, best))
    known = {name: np.where(some, value, np.nan) for name, value in at.items()}
    known["depth_mm"] = np.where(some, depth, np.nan)
    known["enough_to_mm"] = np.where(some & again.any(axis=-1), too_deep, np.nan)
    known["change_per_percent_mm"] = np.where(some, _change(exposed, depth), np.nan)
    return CriterionDepth(
        criterion=criterion,
        residual_model=below.residual,
        safety=below.safety,
        surface_hardness_HV=below.surface,
        core_hardness_HV=below.core,
        residual_weight=_residual_weight(criterion),
        **known,
        notices=(
            *stopped,
            *none_suffices(criterion, at, below, good & ~some),
            *cautions(criterion, known, below, standard_depth_mm),
        ),
    )


def _largest(criterion: Criterion, below: Below) -> Callable[[Array], Array]:
    """The largest exposure of all depths as a function of the case depth."""
    return lambda case: below.largest(criterion, case)


def _edge(passes: Callable[[Array], Mask], cases: Array, first: Places) -> Array:
    """Where between the case before `first` and `first` it begins to pass; it passes at `first`."""
    low, high = taken(cases, np.maximum(first - 1, 0)), taken(cases, first)
    for _ in range(_ROUNDS):
        nodes = low[..., None] + (high - low)[..., None] * _PARTS
        found = passes(nodes)
        found[..., -1] = True
        place = found.argmax(axis=-1)
        low, high = taken(nodes, np.maximum(place - 1, 0)), taken(nodes, place)
    return high


def _residual_weight(criterion: Criterion) -> float:
    return 2 / 3 * hydrostatic_weight() if criterion is Criterion.DANG_VAN else 0.0


def _governing(criterion: Criterion, below: Below, case: Array) -> dict[str, Array]:
    """Return every step at the depth of the largest exposure of one case for each sample."""
    state = below.state(criterion, case[..., None])
    place = state.exposure[..., 0, :].argmax(axis=-1)

    def there(values: Array) -> Array:
        return taken(np.broadcast_to(values, state.exposure.shape)[..., 0, :], place)

    depth = taken(np.broadcast_to(below.depth, state.exposure[..., 0, :].shape), place)
    each = stress_measures(
        depth_mm=depth[..., None],
        half_width_mm=below.half_width,
        pressure_MPa=below.pressure,
        friction=below.friction,
    ).of(criterion)
    point = each.argmax(axis=-1)
    return {
        "governing_depth_mm": depth,
        "governing_half_width_mm": taken(np.broadcast_to(below.half_width, each.shape), point),
        "governing_pressure_MPa": taken(np.broadcast_to(below.pressure, each.shape), point),
        "stress_MPa": taken(each, point),
        "hardness_HV": there(state.hardness),
        "residual_stress_MPa": there(state.residual),
        "strength_MPa": there(state.strength),
        "exposure": there(state.exposure),
    }


def _change(exposed: Callable[[Array], Array], depth: Array) -> Array:
    """A falls as 1/k with the constant k: 1 % more of it moves the depth by 0.01/(dA/dCHD)."""
    both = exposed(depth[..., None] * np.array([1 - _STEP, 1 + _STEP]))
    with np.errstate(divide="ignore", invalid="ignore"):
        change = 0.01 * 2 * _STEP * depth / (both[..., 1] - both[..., 0])
    return array(np.where(depth == 0, 0.0, np.where(np.isfinite(change), change, np.nan)))
