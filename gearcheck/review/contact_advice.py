"""What reliefs and crownings can be had: over which torques and misalignments, and between which limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.meshing.advisor import FrontSoFar, relief_front
from gearcheck.meshing.candidates import ReliefLimits
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.review.chain import calculate
from gearcheck.review.changes import open_changes
from gearcheck.review.contact import ContactOf, at_torques, contact_of
from gearcheck.review.contact_made import POSITIONS, SLICES
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain

TORQUES = (0.5, 0.75, 1.0, 1.25)
"""Shares of the nominal torque at which the worst error counts."""
_SEED = 1
_START = (0.5, 0.95)  # of the flank: where a tip relief may start
_MOST = 1.5  # of the wind-up: a relief that is larger takes the flank out of contact
_WITHOUT_UM = 10.0  # misalignment either way where no class says what a helix may lean


@dataclass(frozen=True, kw_only=True)
class AdviceOver:
    """What the advisor looks at.

    Parameters
    ----------
    torques_Nm : tuple of float
        Of the pinion.
    misalignment_um : float
        Across the plane of the axes, either way of that of the record.
    from_class : bool
        Whether the helix slope that the class drawn allows stands for it.
    """

    torques_Nm: tuple[float, ...]
    misalignment_um: float
    from_class: bool


def advice_over(chain: Chain, torque_Nm: float) -> AdviceOver:
    """Return over which torques and misalignments reliefs are compared.

    Parameters
    ----------
    chain : Chain
        With the tolerances of the class drawn.
    torque_Nm : float
        Nominal, of the pinion.
    """
    drawn = chain.drawn
    allowed = None if drawn is None else drawn.helix_slope_um
    return AdviceOver(
        torques_Nm=tuple(share * torque_Nm for share in TORQUES),
        misalignment_um=_WITHOUT_UM if allowed is None else float(array(allowed)),
        from_class=allowed is not None,
    )


def advised(record: Record, chain: Chain, place: int) -> Iterator[FrontSoFar]:
    """Yield the front of reliefs and crownings of one mesh.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms.
    place : int
        Which mesh; without a loaded contact nothing comes.

    Yields
    ------
    FrontSoFar
        From the evenest mesh to the least pressure.
    """
    of = contact_of(record, chain, place, positions=POSITIONS, slices=SLICES)
    if isinstance(of, str):
        return
    over = advice_over(chain, of.torque_Nm)
    lean = of.misalignment
    yield from relief_front(
        bed=of.bed,
        pinion=of.pinion,
        wheel=of.wheel,
        torques_Nm=np.array(over.torques_Nm),
        misalignments=Misalignment(
            in_plane_um=lean.in_plane_um,
            out_of_plane_um=float(array(lean.out_of_plane_um))
            + over.misalignment_um * np.array([-1.0, 0.0, 1.0]),
        ),
        limits=_limits(of),
        generator=np.random.default_rng(_SEED),
    )


def _limits(of: ContactOf) -> ReliefLimits:
    """Tip relief of both gears, and the crowning of the gear under review."""
    wind_up = -float(array(at_torques(of, of.torque_Nm).mean_um))
    crowned = of.pinion if of.gear_is_pinion else of.wheel
    crowning = (0.0, max(_MOST * wind_up, 2.0 * float(array(crowned.helix_crowning_um))))
    return ReliefLimits(
        pinion_tip_relief_um=_amount(of.pinion, wind_up),
        pinion_tip_relief_start_mm=_start(of.pinion),
        wheel_tip_relief_um=_amount(of.wheel, wind_up),
        wheel_tip_relief_start_mm=_start(of.wheel),
        pinion_helix_crowning_um=crowning if of.gear_is_pinion else None,
        wheel_helix_crowning_um=None if of.gear_is_pinion else crowning,
    )


def _amount(form: FlankForm, wind_up: float) -> tuple[float, float]:
    return 0.0, max(_MOST * wind_up, 1.2 * float(array(form.tip_relief_um)))


def _start(form: FlankForm) -> tuple[float, float]:
    low, high = float(array(form.from_roll_mm)), float(array(form.to_roll_mm))
    first, last = (low + share * (high - low) for share in _START)
    drawn = form.tip_relief_start_mm
    return (
        (first, last) if drawn is None else (min(first, float(array(drawn))), max(last, float(array(drawn))))
    )


def draft_of(record: Record, place: int, point: Mapping[str, float]) -> dict[str, float]:
    """Return the draft that comes to a point of the front.

    Parameters
    ----------
    record : Record
        That is drafted.
    place : int
        Which mesh was looked at.
    point : mapping of str to float
        Tip relief, its start and helix crowning of pinion and wheel.

    Returns
    -------
    dict of str to float
        What a draft can move, within its reach; empty where it can move nothing of it.
    """
    mesh = calculate(record).meshes[place]
    gear, mate = mesh.gear.member.value, mesh.mate.member.value
    wanted = {
        "relief": point[f"{gear}_tip_relief_um"],
        "helix_crowning": point[f"{gear}_helix_crowning_um"],
        "mate_relief": point[f"{mate}_tip_relief_um"],
    }
    known = {change.key: change for change in open_changes(record)}
    found = {}
    for key, asked in wanted.items():
        if key in known:
            low, high = known[key].bounds(record)
            found[key] = round(min(max(asked, low), high), known[key].digits)
    return found
