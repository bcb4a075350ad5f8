"""Boost and diffuse times for a wanted case depth and a wanted surface carbon."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar, TypeAlias

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.carbon import CarbonProfile, carbon_profile, crossing
from gearcheck.hardening.cycle import (
    CarbonCriterion,
    CarbonSteel,
    Flags,
    Step,
    check_cycle,
    criterion_carbon,
    lasting,
    numbers_of,
    widened,
)
from gearcheck.hardening.diffusion import course

TIMES = Method(
    key="carburising.times",
    title="Boost and diffuse times",
    source="Fick's second law, solved for the two times",
    edition="",
    clause="search along the cycles that reach the depth",
    status=Status.FROM_MEMORY,
    implements=("one boost and one diffuse step, and fixed steps after them",),
    leaves_out=("many short pulses at low pressure: the boost stands for their sum",),
)

_NODES, _ZOOMS, _ROUNDS, _FINE_MM = 9, 3, 8, 1e-5
_CLOSE_MM, _CLOSE_WT = 2e-3, 1e-3

Ends: TypeAlias = tuple[Array, Array]
"""Case depth in mm and surface carbon in % at the end of a cycle."""


@dataclass(frozen=True, kw_only=True)
class CarburisingTimes(Result):
    """The two times, what they reach, and the surface carbons between which the cycle can choose."""

    method: ClassVar[Method] = TIMES
    wanted_depth_mm: Number = term("Case depth wanted", "CD_w", "mm")
    wanted_surface_carbon_wt: Number = term("Surface carbon wanted", "C_w", "%")
    longest_h: Number = term("Longest time allowed", "t_max", "h")
    least_surface_carbon_wt: Number = term(
        "Surface carbon without any boost", "C_1", "%", words="at the depth wanted or the longest time"
    )
    most_surface_carbon_wt: Number = term(
        "Surface carbon without a diffuse step",
        "C_2",
        "%",
        words="at the depth wanted or the longest time",
    )
    boost_hours: Number = term("Boost time", "t_b", "h", words="solved for")
    diffuse_hours: Number = term("Diffuse time", "t_d", "h", words="solved for")
    total_hours: Number = term("Boost and diffuse", "t", "h", "t_b+t_d")
    case_depth_mm: Number = term("Case depth reached", "CD", "mm", words="from the cycle with these times")
    surface_carbon_wt: Number = term(
        "Surface carbon reached", "C_s", "%", words="from the cycle with these times"
    )
    profile: CarbonProfile | None = None


def carburising_times(
    *,
    boost: Step,
    diffuse: Step,
    after: Sequence[Step],
    steel: CarbonSteel,
    criterion: CarbonCriterion,
    depth_mm: Number,
    surface_carbon_wt: Number,
    longest_h: Number,
    radius_mm: Number = np.inf,
) -> CarburisingTimes:
    """Return the boost and the diffuse time that give a wanted case depth and a wanted surface carbon.

    depth(t_b, t_d) = CD_w and surface(t_b, t_d) = C_w

    Parameters
    ----------
    boost, diffuse : Step
        The two steps; their own hours are not used.
    after : sequence of Step
        Fixed steps that follow, such as the drop to the quench.
    steel : CarbonSteel
        Core carbon, diffusivity, saturation.
    criterion : CarbonCriterion
        The carbon content that defines the case depth.
    depth_mm, surface_carbon_wt : float or array
        CD_w in mm as treated and C_w in %, shape (samples).
    longest_h : float or array
        Longest boost and diffuse together, h.
    radius_mm : float or array
        Of the surface: convex above 0, concave below 0, infinite where flat.

    Returns
    -------
    CarburisingTimes
        Both times in h, shape (samples), with the carbon profile that they give; a stop notice that names the
        limit, and no value, where no times do.

    Raises
    ------
    InputError
        What `carbon_profile` refuses, or a depth, surface carbon or longest time that is not above 0.

    Notes
    -----
    Source: the same diffusion as `carbon_profile`. Of every share of the boost in the time, the total that
    reaches the depth is solved for; on that line of cycles the surface carbon rises with the share.
    Valid for: as `carbon_profile`.
    Departures: solved to 2 µm and 0.001 %.
    Checked: TIMES-11, TIMES-RICH, TIMES-DEEP.

    Examples
    --------
    >>> from gearcheck.hardening.cycle import DiffusivityModel, GasStep
    >>> steel = CarbonSteel(core_carbon_wt=0.11, model=DiffusivityModel.COLLIN, diffusivity_factor=1,
    ...     saturation_factor=1, factors_source="plain iron-carbon", factors_status=Status.FROM_MEMORY)
    >>> boost = GasStep(hours=0, temperature_C=927, carbon_potential_wt=1.05, transfer_m_s=1.5e-7)
    >>> diffuse = GasStep(hours=0, temperature_C=927, carbon_potential_wt=0.80, transfer_m_s=1.5e-7)
    >>> found = carburising_times(boost=boost, diffuse=diffuse, after=[], steel=steel, depth_mm=1.087,
    ...     criterion=CarbonCriterion.EN_10052, surface_carbon_wt=0.7595, longest_h=20)
    >>> round(found.boost_hours, 1), round(found.diffuse_hours, 1)
    (6.0, 3.0)
    """
    steps = (boost, diffuse, *after)
    wanted, surface, longest = array(depth_mm), array(surface_carbon_wt), array(longest_h)
    R = array(radius_mm)
    _check(
        criterion, (lasting(boost, 0.0), lasting(diffuse, 0.0), *after), steel, wanted, surface, longest, R
    )
    line = _Line(steps, steel, criterion, R, wanted, longest)
    share, ends = _found(line, surface)
    total = line.total(share)[..., 0]
    times = {"boost_hours": total * share[..., 0], "diffuse_hours": total * (1 - share[..., 0])}
    profile = carbon_profile(
        cycle=(lasting(boost, times["boost_hours"]), lasting(diffuse, times["diffuse_hours"]), *after),
        steel=steel,
        criterion=criterion,
        depth_mm=0.0,
        radius_mm=R,
    )
    depth, carbon = array(profile.case_depth_mm), array(profile.surface_carbon_wt)
    good = (np.abs(depth - wanted) <= _CLOSE_MM) & (np.abs(carbon - surface) <= _CLOSE_WT)
    known = {name: np.where(good, value, np.nan) for name, value in times.items()}
    return CarburisingTimes(
        wanted_depth_mm=wanted,
        wanted_surface_carbon_wt=surface,
        longest_h=longest,
        least_surface_carbon_wt=ends[0],
        most_surface_carbon_wt=ends[1],
        total_hours=known["boost_hours"] + known["diffuse_hours"],
        case_depth_mm=np.where(good, depth, np.nan),
        surface_carbon_wt=np.where(good, carbon, np.nan),
        profile=profile if good.all() else None,
        notices=_stops(good, depth, wanted, surface, longest, ends) + _of_the_cycle(profile, good),
        **known,
    )


def _check(
    criterion: CarbonCriterion,
    cycle: Sequence[Step],
    steel: CarbonSteel,
    depth: Array,
    surface: Array,
    longest: Array,
    R: Array,
) -> None:
    faults = Faults()
    check_cycle(cycle, steel, faults)
    faults.need(criterion in list(CarbonCriterion), "criterion", criterion, "one of the criteria")
    for name, value, needed in (
        ("depth_mm", depth, "a depth above 0 mm"),
        ("surface_carbon_wt", surface, "carbon above 0 %"),
        ("longest_h", longest, "a time above 0 h, at most 1000 h"),
    ):
        faults.need(bool(((value > 0) & (value <= 1000)).all()), name, value, needed)
    faults.need(bool(((R != 0) & ~np.isnan(R)).all()), "radius_mm", R, "a radius that is not 0 mm")
    faults.check()


class _Line:
    """The cycles that reach the wanted depth, by the share of the boost on the last axis."""

    def __init__(
        self,
        steps: Sequence[Step],
        steel: CarbonSteel,
        criterion: CarbonCriterion,
        radius: Array,
        wanted: Array,
        longest: Array,
    ) -> None:
        self.steps = [widened(step) for step in steps]
        self.steel, self.radius = widened(steel), radius[..., None]
        self.level = criterion_carbon(criterion, steel.core_carbon_wt)[..., None]
        self.wanted, self.longest = wanted[..., None], longest[..., None]
        numbers = [value for part in (*self.steps, self.steel) for _, value in numbers_of(part)]
        arrays = (*numbers, self.radius, self.wanted, self.longest)
        self.shape = np.broadcast_shapes(*(value.shape for value in arrays))[:-1]

    def ends(self, share: Array, total: Array) -> Ends:
        """Return case depth and surface carbon at the end."""
        boost, diffuse, *after = self.steps
        cycle = (lasting(boost, share * total), lasting(diffuse, (1 - share) * total), *after)
        solved = course(cycle, self.steel, self.radius, array(np.inf))
        carbon = solved.carbon_wt[..., -1, :]
        depth = crossing(solved.nodes_mm, carbon, self.level)
        none = np.where(carbon[..., -1] >= self.level, solved.end_mm, 0.0)
        return array(np.where(np.isnan(depth), none, depth)), carbon[..., 0]

    def total(self, share: Array) -> Array:
        """Return the time of boost and diffuse that reaches the depth; the longest where none does."""
        longest = np.broadcast_to(np.sqrt(self.longest), share.shape)

        def miss(root: Array) -> Array:
            return self.ends(share, root**2)[0] - self.wanted

        # the depth grows nearly with the root of the time
        return array(false_position(miss, np.zeros(share.shape), longest) ** 2)


def _found(line: _Line, surface: Array) -> tuple[Array, Ends]:
    """Return the share of the boost that gives the surface carbon, and what no boost and only boost give."""
    # a short diffuse step takes carbon with the root of its time: the search runs over that root
    low, high = np.zeros((*line.shape, 1)), np.ones((*line.shape, 1))
    wanted, limits = surface[..., None], []
    for _ in range(_ZOOMS):
        root = low + (high - low) * np.linspace(0, 1, _NODES)
        share = 1 - (1 - root) ** 2
        carbon = line.ends(share, line.total(share))[1]
        limits += [carbon[..., 0], carbon[..., -1]]
        place = np.clip((carbon < wanted).sum(axis=-1, keepdims=True), 1, _NODES - 1)
        low, high, C_1, C_2 = (
            np.take_along_axis(known, at, axis=-1) for known in (root, carbon) for at in (place - 1, place)
        )
    part = np.clip((wanted - C_1) / np.where(C_2 == C_1, 1.0, C_2 - C_1), 0, 1)
    return 1 - (1 - low - (high - low) * part) ** 2, (limits[0], limits[1])


def false_position(miss: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Return where a rising function is zero, for all samples at once; the nearer end where it has no zero.

    Parameters
    ----------
    miss : callable
        The function, of an array of the shape of `low`.
    low, high : ndarray
        Where the search begins and ends.

    Returns
    -------
    ndarray of float
        By false position; the end that stays put counts half each time (Illinois).
    """
    at_low, at_high = miss(low), miss(high)
    outside = np.where(at_low > 0, low, np.where(at_high < 0, high, np.nan))
    side = np.zeros(low.shape)
    x = high
    for _ in range(_ROUNDS):
        spread = at_high - at_low
        x = high - at_high * (high - low) / np.where(spread == 0, 1.0, spread)
        x = np.where(np.isnan(outside), x, outside)
        y = miss(x)
        if (np.where(np.isnan(outside), np.abs(y), 0.0) < _FINE_MM).all():
            break
        above = y > 0
        at_low = np.where(above & (side > 0), at_low / 2, np.where(above, at_low, y))
        at_high = np.where(~above & (side < 0), at_high / 2, np.where(above, y, at_high))
        low, high = np.where(above, low, x), np.where(above, x, high)
        side = np.where(above, 1.0, -1.0)
    return array(x)


def _of_the_cycle(profile: CarbonProfile, good: Flags) -> tuple[Notice, ...]:
    """What the cycle itself has to say, where times were found."""
    return tuple(one for one in profile.notices if one.level is not Level.STOP) if good.any() else ()


def _stops(
    good: Flags, depth: Array, wanted: Array, surface: Array, longest: Array, ends: Ends
) -> tuple[Notice, ...]:
    """Say which limit keeps the times from being found."""
    if good.all():
        return ()
    named = np.broadcast_arrays(good, depth, wanted, surface, longest, *ends)
    _, reached, deep, C, most_h, least, most = (value[~named[0]].flat[0] for value in named)
    if most < C and reached > deep - _CLOSE_MM:
        text = (
            f"Without a diffuse step the surface holds {most:.3g} % at {deep:.3g} mm, less than {C:.3g} %: "
            "the boost is too weak."
        )
        key = "weak_boost"
    elif least > C:
        text = (
            f"Even without a boost the surface holds {least:.3g} %, more than {C:.3g} %: "
            "the diffuse step is too rich."
        )
        key = "rich_diffuse"
    else:
        text = f"With a surface of {C:.3g} % a depth of {deep:.3g} mm is not reached within {most_h:.3g} h."
        key = "too_deep"
    return (Notice(Level.STOP, f"carburising.times.{key}", text),)
