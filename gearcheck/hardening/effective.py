"""Effective case depth of a hardness profile by each criterion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.hardening.traverse import OF_INDENTS, traverse_case_depth

DEPTHS = Method(
    key="case.effective_depths",
    title="Effective case depth by each criterion",
    source="ISO 18203; American practice for 50 HRC",
    edition="2016",
    clause="interpolation at the limit hardness",
    status=Status.FROM_MEMORY,
    implements=("one hardness profile, one depth to each limit hardness",),
    leaves_out=("depths by carbon",),
    departures=(
        "A surface softer than the hardest place below it, as by retained austenite, does not end the case: "
        "the first crossing below the hardest place counts.",
    ),
)

_STEP_HV = 25.0


@dataclass(frozen=True, kw_only=True)
class EffectiveCaseDepths(Result):
    """Case depths of hardness profiles by several criteria; criteria on the last axis."""

    method: ClassVar[Method] = DEPTHS
    criteria_HV: Number = term("Hardness that defines the case depth", "HV_g", "HV")
    case_depth_mm: Number = term(
        "Case depth", "CHD", "mm", words="straight line between the depths on either side"
    )


def effective_case_depths(
    *, depth_mm: Number, hardness_HV: Number, criteria_HV: Number
) -> EffectiveCaseDepths:
    """Return the case depth of hardness profiles by each of several criteria.

    CHD = depth at which the hardness falls to the limit hardness

    Parameters
    ----------
    depth_mm : array
        z in mm, rising, shape (depths).
    hardness_HV : array
        Hardness at each depth, shape (..., depths).
    criteria_HV : array
        Limit hardness of each criterion, such as 550, 610 or 513 HV for 50 HRC, shape (criteria).

    Returns
    -------
    EffectiveCaseDepths
        Depths in mm, shape (..., criteria); a stop notice and no value where a criterion is not met.

    Raises
    ------
    InputError
        Fewer than two depths, depths that do not rise, or lists of different length.

    Notes
    -----
    Source: ISO 18203, from memory; 50 HRC of American practice by ASTM E140.
    Valid for: profiles that reach through the case.
    Departures: the first crossing below the hardest place counts, with a caution where the surface is softer
    than the limit; a caution for a limit hardness that no document knows.
    Checked: HARD-19-BOTH, HARD-21.

    Examples
    --------
    >>> found = effective_case_depths(depth_mm=[0, 0.9, 1.1, 1.3], hardness_HV=[700, 620, 568, 512],
    ...     criteria_HV=[610, 550, 513])
    >>> found.case_depth_mm.round(3).tolist()
    [0.938, 1.164, 1.296]
    """
    limits = np.atleast_1d(array(criteria_HV))
    profiles = np.atleast_1d(array(hardness_HV))[..., None, :]
    below_skin = np.arange(profiles.shape[-1]) >= np.argmax(profiles, axis=-1)[..., None]
    filled = np.where(below_skin, profiles, profiles.max(axis=-1, keepdims=True))
    found = traverse_case_depth(depth_mm=depth_mm, hardness_HV=filled, criterion_HV=limits)
    return EffectiveCaseDepths(
        criteria_HV=limits,
        case_depth_mm=found.case_depth_mm,
        notices=tuple(one for one in found.notices if one.key not in OF_INDENTS)
        + _soft_skin(profiles[..., 0], filled[..., 0], limits)
        + _unusual(limits),
    )


def _soft_skin(surface: Array, hardest: Array, limits: Array) -> tuple[Notice, ...]:
    surface, hardest, limit = np.broadcast_arrays(surface, hardest, limits)
    soft = (surface < limit) & (hardest >= limit)
    if not soft.any():
        return ()
    text = (
        f"The surface with {surface[soft][0]:.0f} HV is softer than the limit hardness of "
        f"{limit[soft][0]:.4g} HV; the case depth counts through this skin."
    )
    return (Notice(Level.CAUTION, "case.effective_depths.soft_skin", text),)


def _unusual(limits: Array) -> tuple[Notice, ...]:
    known = table("case_criteria").column("HV")
    stepped = (limits >= known.min()) & (np.mod(limits, _STEP_HV) == 0)
    unusual = limits[~stepped & ~np.isin(limits, known)]
    if not unusual.size:
        return ()
    text = (
        f"A limit hardness of {unusual[0]:.4g} HV is unusual: 550 HV, higher in steps of {_STEP_HV:.0f} HV, "
        "or 513 HV for 50 HRC."
    )
    return (Notice(Level.CAUTION, "case.effective_depths.unusual", text),)
