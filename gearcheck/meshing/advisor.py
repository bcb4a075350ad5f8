"""Tip relief and crowning weighed: how evenly the mesh turns against how hard its flanks press."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, differential_evolution
from scipy.stats import qmc

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.meshing.candidates import OUTCOMES, ReliefLimits, Trial
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.meshing.mesh_bed import MeshBed

ADVISOR = Method(
    key="relief_front",
    title="Modifications that nothing else beats in both error and pressure",
    source="points spread by Sobol's sequence, then differential evolution for several weights of both aims",
    edition="",
    clause="set of points of which none is beaten in both aims by another",
    status=Status.COMMON_PRACTICE,
    implements=(
        "amount and start of tip relief, crowning of helix and profile, of both gears",
        "peak to peak error, the worst of all torques and misalignments",
        "contact pressure, the worst of all misalignments at the highest torque",
        "points with more load on tip corners than is allowed are left out",
    ),
    leaves_out=(
        "what a modification costs to make, how closely it is kept, noise, and scuffing",
        "points between those that were tried: a set of points, not a proof that none is better",
    ),
    departures=("Pressure at a tip corner counts as that of a line contact: its share of the load is told.",),
)
SPREAD, BATCH = 64, 16
"""Points spread at first, and so many at once."""
MEMBERS, GENERATIONS = 20, 5
"""Of the evolution for each weight: it begins with the best points so far."""
CLOSE = 0.02
"""Points that differ by less in both aims are told once."""


@dataclass(frozen=True, kw_only=True)
class FrontSoFar(Result):
    """What no point that was tried beats in both aims, from the evenest mesh to the least pressure.

    Arrays have one entry a point of the front; those named "every" one a point tried, the drawn flanks first.
    """

    method: ClassVar[Method] = ADVISOR
    of: Number = term("Points to be tried, at most", "N_p")
    done: Number = term("Points tried", "N_d", "", words="so far")
    drawn_peak_to_peak_um: Number = term("Peak to peak as drawn", "TE_pp0", "µm", words="worst of all loads")
    drawn_pressure_MPa: Number = term(
        "Largest contact pressure as drawn", "p_00", "MPa", words="worst at the highest torque"
    )
    pinion_tip_relief_um: Number = term("Tip relief, pinion", "C_αa1", "µm", words="tried")
    pinion_tip_relief_start_mm: Number = term("Roll where it starts, pinion", "ρ_Ca1", "mm", words="tried")
    wheel_tip_relief_um: Number = term("Tip relief, wheel", "C_αa2", "µm", words="tried")
    wheel_tip_relief_start_mm: Number = term("Roll where it starts, wheel", "ρ_Ca2", "mm", words="tried")
    pinion_helix_crowning_um: Number = term("Helix crowning, pinion", "C_β1", "µm", words="tried")
    wheel_helix_crowning_um: Number = term("Helix crowning, wheel", "C_β2", "µm", words="tried")
    pinion_profile_crowning_um: Number = term("Profile crowning, pinion", "C_α1", "µm", words="tried")
    wheel_profile_crowning_um: Number = term("Profile crowning, wheel", "C_α2", "µm", words="tried")
    peak_to_peak_um: Number = term(
        "Peak to peak error", "TE_pp", "µm", words="worst of all torques and misalignments"
    )
    largest_pressure_MPa: Number = term(
        "Largest contact pressure", "p_0max", "MPa", words="worst misalignment, highest torque"
    )
    face_load_factor: Number = term(
        "Equivalent face load factor", "K_Hβ", "", words="worst misalignment, highest torque"
    )
    pinion_root_share: Number = term(
        "Largest root moment, pinion", "m_1", "", words="share of the whole load at the tip"
    )
    wheel_root_share: Number = term(
        "Largest root moment, wheel", "m_2", "", words="share of the whole load at the tip"
    )
    corner_share: Number = term(
        "Largest share on tip corners", "X_k", "", words="load off the path of contact over the whole"
    )
    every_peak_to_peak_um: Number = term(
        "Peak to peak of every point tried", "TE_ppi", "µm", words="worst of all loads"
    )
    every_pressure_MPa: Number = term(
        "Largest pressure of every point tried", "p_0i", "MPa", words="worst at the highest torque"
    )
    every_left_out: Number = term(
        "Left out, of every point tried", "L_i", "", words="1 where tip corners carry more than is allowed"
    )


def relief_front(
    *,
    bed: MeshBed,
    pinion: FlankForm,
    wheel: FlankForm,
    torques_Nm: Number,
    limits: ReliefLimits,
    generator: np.random.Generator,
    misalignments: Misalignment | None = None,
    most_on_corners: float | None = None,
    rounds: int = 8,
) -> Iterator[FrontSoFar]:
    """Yield the modifications that nothing tried beats in both error and pressure, round by round.

    min (max TE_pp, max p_0): a point stays where no other is at most as high in both and lower in one

    Parameters
    ----------
    bed : MeshBed
        Few positions and slices are enough, such as 16 and 11.
    pinion, wheel : FlankForm
        As drawn, without samples: the first point tried.
    torques_Nm : float or array
        T_1 over 0, N·m, shape (torques,).
    limits : ReliefLimits
        Of what may move.
    generator : Generator
        Of random numbers: how the points are spread, and how they evolve.
    misalignments : Misalignment, optional
        Of the axes, numbers of shape (cases,).
    most_on_corners : float, optional
        Share of the load that tip corners may carry, the worst misalignment at the highest torque, from 0 on:
        a point with more is left out, unless all are; without it none is.
    rounds : int
        Weights of both aims for which the front is refined.

    Yields
    ------
    FrontSoFar
        After each batch and round; whoever waits may stop after any of them.

    Raises
    ------
    InputError
        No torque, nothing that moves, limits off the flank, a relief without its start.

    Notes
    -----
    Source: Sobol's sequence and differential evolution of scipy; contact as of `loaded_contact`.
    Valid for: T_1 over 0.
    Departures: the front is that of the points tried.
    Checked: FRONT-RELIEF.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.meshing.compliance import gear_compliance
    >>> from gearcheck.meshing.inputs import Body
    >>> from gearcheck.meshing.mesh_bed import mesh_bed
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> gives = gear_compliance(gear=pair.pinion, pair=pair, body=Body(), face_width_mm=32, waves=4)
    >>> bed = mesh_bed(pair=pair, pinion=gives, wheel=gives, positions=8, slices=3)
    >>> flank = FlankForm(from_roll_mm=pair.pinion.start_radius_mm, to_roll_mm=pair.pinion.tip_radius_mm)
    >>> limits = ReliefLimits(pinion_helix_crowning_um=(0, 8))
    >>> every = relief_front(bed=bed, pinion=flank, wheel=flank, torques_Nm=[150, 300], limits=limits,
    ...     generator=np.random.default_rng(1), rounds=0)
    >>> [f"{found.done:.0f} of {found.of:.0f}" for found in every]
    ['17 of 65', '33 of 65', '49 of 65', '65 of 65']
    """
    faults = Faults()
    faults.need(rounds >= 0, "rounds", rounds, "0 rounds or more")
    most = np.inf if most_on_corners is None else most_on_corners
    faults.need(most >= 0, "most_on_corners", most, "a share of 0 or more")
    faults.check()
    trial = Trial(bed, pinion, wheel, np.atleast_1d(array(torques_Nm)), _cases(misalignments), limits)
    trial.check()
    low, high = trial.spans.T
    pool = _Pool(trial, 1 + SPREAD + rounds * MEMBERS * GENERATIONS, most)
    pool.add(trial.drawn[None])
    sequence = qmc.Sobol(low.size, scramble=True, seed=generator).random(SPREAD)
    for first in range(0, SPREAD, BATCH):
        pool.add(low + (high - low) * sequence[first : first + BATCH])
        yield pool.front()
    for weight in _from_the_middle(rounds):
        _refine(pool, weight, low, high, generator)
        yield pool.front()


def _cases(lean: Misalignment | None) -> Misalignment:
    lean = lean or Misalignment()
    in_plane, out_of_plane = np.broadcast_arrays(
        np.atleast_1d(array(lean.in_plane_um)), np.atleast_1d(array(lean.out_of_plane_um))
    )
    return Misalignment(in_plane_um=in_plane, out_of_plane_um=out_of_plane)


def _from_the_middle(rounds: int) -> Array:
    """Weights of the error between 0 and 1, the balanced ones first: who stops early has those."""
    weights = (np.arange(rounds) + 0.5) / max(rounds, 1)
    return array(weights[np.argsort(np.abs(weights - 0.5), kind="stable")])


class _Pool:
    """All points that were tried."""

    def __init__(self, trial: Trial, of: int, most: float) -> None:
        self.trial, self.of, self._most = trial, of, most
        self.points = np.empty((0, len(trial.moved)))
        self.outcomes = np.empty((0, len(OUTCOMES)))

    def add(self, points: Array) -> Array:
        """Try points, and return their aims."""
        self.points = np.concatenate([self.points, points])
        self.outcomes = np.concatenate([self.outcomes, self.trial.outcomes(points)])
        return self.aims[-len(points) :]

    @property
    def left_out(self) -> NDArray[np.bool_]:
        """Which points have too much load on tip corners; none where all that were solved have."""
        over = self.outcomes[:, OUTCOMES.index("corner_share")] > self._most
        return over & (~over & ~np.isnan(self.outcomes[:, 0])).any()

    @property
    def aims(self) -> Array:
        """Error and pressure; what was not solved, or is left out, is never best."""
        never = np.isnan(self.outcomes[:, 0]) | self.left_out
        return np.where(never[:, None], np.inf, self.outcomes[:, :2])

    def front(self) -> FrontSoFar:
        best = thinned(self.aims, unbeaten(self.aims))
        peak, pressure = self.outcomes[:, 0], self.outcomes[:, 1]
        return FrontSoFar(
            of=self.of,
            done=len(peak),
            drawn_peak_to_peak_um=peak[0],
            drawn_pressure_MPa=pressure[0],
            **self.trial.inputs(self.points[best]),
            **dict(zip(OUTCOMES, self.outcomes[best].T, strict=True)),
            every_peak_to_peak_um=peak,
            every_pressure_MPa=pressure,
            every_left_out=array(self.left_out),
            notices=tuple(self._said()),
        )

    def _said(self) -> Iterator[Notice]:
        corner = self.outcomes[:, OUTCOMES.index("corner_share")]
        unsolved = int(np.isnan(corner).sum())
        if unsolved:
            text = f"{unsolved} of {corner.size} points were not solved: they are left out."
            yield Notice(Level.CAUTION, f"{ADVISOR.key}.unsolved", text)
        if unsolved < corner.size and np.nanmin(corner) > self._most:
            text = "Every point tried has more load on tip corners than is allowed: none is left out for it."
            yield Notice(Level.CAUTION, f"{ADVISOR.key}.corners", text)


def unbeaten(aims: Array) -> NDArray[np.intp]:
    """Return which points no other beats: at most as high in every aim, and lower in one.

    Parameters
    ----------
    aims : ndarray
        Shape (points, aims); infinite where there is no value.

    Returns
    -------
    ndarray of int
        Places of the points; of equal ones the first.

    Examples
    --------
    >>> unbeaten(np.array([[1.0, 5.0], [2.0, 2.0], [2.0, 3.0], [5.0, 1.0], [2.0, 2.0]])).tolist()
    [0, 1, 3]
    """
    _, first = np.unique(aims, axis=0, return_index=True)
    kept = np.sort(first)
    mine = aims[kept]
    as_low = (mine[:, None] <= mine).all(axis=-1)
    lower = (mine[:, None] < mine).any(axis=-1)
    beaten = (as_low & lower).any(axis=0) | ~np.isfinite(mine).all(axis=-1)
    return kept[~beaten]


def thinned(aims: Array, front: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return a front without points that are nearly those beside them.

    Parameters
    ----------
    aims : ndarray
        Of all points, shape (points, 2).
    front : ndarray of int
        By `unbeaten`.

    Returns
    -------
    ndarray of int
        From the lowest first aim to the lowest second one; both ends stay, and so does point 0.

    Examples
    --------
    >>> aims = np.array([[9.0, 9.0], [1.0, 5.0], [1.001, 4.99], [3.0, 2.0]])
    >>> thinned(aims, unbeaten(aims)).tolist()
    [1, 3]
    """
    order = front[np.argsort(aims[front, 0], kind="stable")]
    kept: list[int] = []
    for one in order.tolist():
        ends = one in (0, order[-1])
        near = kept and (np.abs(aims[one] / aims[kept[-1]] - 1.0) < CLOSE).all()
        if near and ends and kept[-1] not in (0, order[0]):
            kept.pop()
        if ends or not near:
            kept.append(one)
    return np.array(kept, dtype=np.intp)


def _refine(pool: _Pool, weight: float, low: Array, high: Array, generator: np.random.Generator) -> None:
    """Try some points for one weight of both aims, by an evolution from the best within the limits."""
    aims, begun = pool.aims, False
    front = aims[unbeaten(aims)]
    if not len(front):
        return
    ideal = front.min(axis=0)
    scale = np.maximum(np.ptp(front, axis=0), 1e-3 * ideal)
    score = _score(ideal, scale, np.array([weight, 1.0 - weight]))
    inside = np.flatnonzero(((pool.points >= low) & (pool.points <= high)).all(axis=-1))
    best = inside[np.argsort(score(aims[inside]), kind="stable")[:MEMBERS]]

    def tried(members: Array, /) -> Array:
        nonlocal begun
        if not begun:  # those it begins with are known
            begun = True
            return score(aims[best])
        return score(pool.add(np.atleast_2d(members.T)))

    all_at_once: Any = tried
    differential_evolution(
        all_at_once,
        Bounds(low, high),
        init=pool.points[best],
        maxiter=GENERATIONS,
        mutation=(0.4, 0.9),
        recombination=0.9,
        tol=0.0,
        polish=False,
        updating="deferred",
        vectorized=True,
        seed=generator,
    )


def _score(ideal: Array, scale: Array, weight: Array) -> Callable[[Array], Array]:
    """The larger of both weighted aims, and a little of their sum so that neither is given away."""

    def score(aims: Array) -> Array:
        over = weight * (aims - ideal) / scale
        return array(over.max(axis=-1) + 0.05 * over.sum(axis=-1))

    return score
