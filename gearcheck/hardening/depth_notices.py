"""What there is to say about a solved case depth: why it has no value, and where its value is weak."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.hardening.below import Below
from gearcheck.hardening.criteria import CRITERIA, Criterion
from gearcheck.hardening.deepest import PEAK
from gearcheck.hardening.profile import CRITERION_HV, case_notices
from gearcheck.hardening.residual import RESIDUAL, ResidualStress
from gearcheck.hardening.rolling import LARGEST_FRICTION
from gearcheck.materials.fatigue import FATIGUE
from gearcheck.materials.hardness import YIELD_STRENGTH

Mask: TypeAlias = NDArray[np.bool_]


def stops(below: Below) -> tuple[tuple[Notice, ...], Mask]:
    """Return the stop notices of what was given, and which samples can be solved.

    Parameters
    ----------
    below : Below
        The loaded flank.

    Returns
    -------
    notices, solvable : tuple
        The stop notices, and a mask of the samples.
    """
    found = list(CRITERIA.outside(safety=below.safety, friction=below.friction))
    found += case_notices(surface_hardness_HV=below.surface, core_hardness_HV=below.core)
    width, pressure, rubbing = (
        np.isfinite(part).all(axis=-1) for part in (below.half_width, below.pressure, below.friction)
    )
    pressed = width & pressure & rubbing
    if not pressed.all():
        text = "Contact pressure or friction along the path has no value, so no case depth follows from it."
        found.append(Notice(Level.STOP, "criterion_case_depth.no_pressure", text))
    exists = (below.surface > CRITERION_HV) & (below.core < CRITERION_HV) & (below.safety >= 0)
    rubbed = (np.abs(below.friction) <= LARGEST_FRICTION).all(axis=-1)
    return tuple(found), exists & pressed & rubbed


def none_suffices(criterion: Criterion, at: dict[str, Array], below: Below, none: Mask) -> tuple[Notice, ...]:
    """Return a stop notice where no case depth suffices; it names what governs.

    Parameters
    ----------
    criterion : Criterion
        Stress measure and strength.
    at : dict
        Every step at the depth of the largest exposure of the best case.
    below : Below
        The loaded flank.
    none : ndarray of bool
        Where none suffices.

    Returns
    -------
    tuple of Notice
        Empty where there is a case depth for every sample.
    """
    if not none.any():
        return ()
    first = {name: value[none].flat[0] for name, value in at.items()}
    middle = (below.surface[none].flat[0] + below.core[none].flat[0]) / 2
    place = "the case near its surface" if first["hardness_HV"] > middle else "the core"
    text = (
        f"No case depth suffices by {criterion}, {place} governs: at best an exposure of "
        f"{first['exposure']:.4g} is left at {first['governing_depth_mm']:.3g} mm, where the hardness is "
        f"{first['hardness_HV']:.4g} HV."
    )
    return (Notice(Level.STOP, "criterion_case_depth.none_suffices", text),)


def cautions(
    criterion: Criterion, known: dict[str, Array], below: Below, standard_depth_mm: Number
) -> tuple[Notice, ...]:
    """Return where a solved depth is weak: too shallow, below the standard's figure, or too deep soon.

    Parameters
    ----------
    criterion : Criterion
        Stress measure and strength.
    known : dict
        The steps of the solution.
    below : Below
        The loaded flank.
    standard_depth_mm : float, array or None
        The figure of the governing standard, mm.

    Returns
    -------
    tuple of Notice
        Notes and cautions.
    """
    found, depth = [], known["depth_mm"]
    if (depth == 0).any():
        safety = below.safety[depth == 0].flat[0]
        text = f"By {criterion} the core alone carries the load at a safety of {safety:.3g}."
        found.append(Notice(Level.NOTE, "criterion_case_depth.core_alone", text))
    peak = PEAK * known["governing_half_width_mm"]
    figure = np.broadcast_to(array(standard_depth_mm), depth.shape)
    for least, what, key in (
        (peak, "the depth of the largest shear stress, 0.786 b_H", "shallow"),
        (figure, "the figure of the standard", "below_standard"),
    ):
        if (depth < least).any():
            text = (
                f"The case depth of {depth[depth < least][0]:.3g} mm by {criterion} is less than {what}, "
                f"{least[depth < least][0]:.3g} mm."
            )
            found.append(Notice(Level.CAUTION, f"criterion_case_depth.{key}", text))
    again = known["enough_to_mm"]
    if (again > 0).any():
        text = f"By {criterion} a case of {again[again > 0][0]:.3g} mm or more is too deep again."
        found.append(Notice(Level.CAUTION, "criterion_case_depth.too_deep", text))
    return (*found, *_outside(criterion, known, below))


def _outside(criterion: Criterion, known: dict[str, Array], below: Below) -> tuple[Notice, ...]:
    """What lies outside the ranges of the methods that one criterion goes by."""
    found = CRITERIA.outside(core_hardness_HV=below.core)
    hardness = known["hardness_HV"][known["depth_mm"] > 0]
    if criterion is Criterion.YIELDING:
        return (*found, *YIELD_STRENGTH.outside(hardness_HV=hardness))
    found += FATIGUE.outside(hardness_HV=hardness)
    if criterion is Criterion.INCLUSIONS:
        found += FATIGUE.outside(inclusion_root_area_um=below.inclusion)
    if criterion is Criterion.DANG_VAN and below.residual is not ResidualStress.NONE:
        found += RESIDUAL.outside(hardness_above_core_HV=below.surface - below.core)
    return found
