"""The criteria of what lies below the surface: each a stress measure with the strength that goes with it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, array
from gearcheck.contact.field import axis_shear
from gearcheck.hardening.history import relative_depth
from gearcheck.hardening.rolling import LARGEST_FRICTION, measures


class Criterion(StrEnum):
    """What is held against what; a stress measure is never held against the strength of another."""

    YIELDING = "yielding"
    SHEAR_AMPLITUDE = "amplitude of orthogonal shear"
    INCLUSIONS = "amplitude of orthogonal shear, with inclusions"
    DANG_VAN = "Dang Van"


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One criterion in words.

    Parameters
    ----------
    stress : str
        The stress measure.
    strength : str
        What it is held against.
    residual_stress : bool
        Whether residual stress counts.
    constant : str
        The constant that the depth hangs on.
    source : str
        Where it comes from.
    status : Status
        How well it is known.
    """

    stress: str
    strength: str
    residual_stress: bool
    constant: str
    source: str
    status: Status = Status.FROM_MEMORY


PAIRS = {
    Criterion.YIELDING: Pair(
        stress="largest shear stress on the load line",
        strength="0.55 of the shear yield strength, 0.577 σ_y, σ_y = 2.876 HV - 90.7",
        residual_stress=False,
        constant="0.55",
        source="Pedersen and Rice 1961; Pavlina and Van Tyne 2008",
    ),
    Criterion.SHEAR_AMPLITUDE: Pair(
        stress="amplitude of the orthogonal shear over the rolling cycle",
        strength="the fully reversed shear limit of a steel without inclusions, 0.577 · 1.6 HV",
        residual_stress=False,
        constant="0.577 · 1.6",
        source="1.6 HV as quoted by Murakami; ratio of von Mises",
    ),
    Criterion.INCLUSIONS: Pair(
        stress="amplitude of the orthogonal shear over the rolling cycle",
        strength="the lower bound with an inclusion, 0.774 · 1.56 (HV + 120)/(√area)^(1/6)",
        residual_stress=False,
        constant="0.774 · 1.56",
        source="Murakami 2002",
    ),
    Criterion.DANG_VAN: Pair(
        stress="largest τ + a σ_h over the rolling cycle, with residual stress",
        strength="the fully reversed shear limit 0.577 · 1.6 HV, a = 3 (0.577 - 1/2)",
        residual_stress=True,
        constant="0.577 · 1.6",
        source="Dang Van 1973; 1.6 HV as quoted by Murakami; ratio of von Mises",
    ),
}

CRITERIA = Method(
    key="case.criteria",
    title="Exposure below the surface by several criteria",
    source="Pedersen and Rice; Murakami; Dang Van",
    edition="1961; 2002; 1973",
    clause="",
    status=Status.FROM_MEMORY,
    valid=(
        Range("safety", "S", 0, np.inf, "", Level.STOP),
        Range("friction", "μ", -LARGEST_FRICTION, LARGEST_FRICTION, "", Level.STOP),
        Range("core_hardness_HV", "HV_c", 130, 550, "HV", Level.CAUTION),
    ),
    implements=tuple(f"{name}: {pair.stress} against {pair.strength}" for name, pair in PAIRS.items()),
    leaves_out=(
        "flank fracture by ISO/TS 6336-4: it is not built, for its constants go with its own stress formula",
        "the benefit of a hydrostatic stress in the amplitude of orthogonal shear",
        "number of cycles: every limit is one of endurance",
    ),
    departures=(
        "The safety raises the stress of the load, not the residual stress.",
        "Above 400 HV the fatigue limit without inclusions is extrapolated; the one with inclusions is a "
        "lower bound and stands beside it.",
    ),
)


@dataclass(frozen=True)
class Envelope:
    """The stress measures of all criteria, MPa, without residual stress.

    Parameters
    ----------
    shear : ndarray
        Largest shear on the load line.
    amplitude : ndarray
        Amplitude of the orthogonal shear.
    dang_van : ndarray
        Largest τ + a σ_h.
    """

    shear: Array
    amplitude: Array
    dang_van: Array

    def of(self, criterion: Criterion) -> Array:
        """Return the stress measure of one criterion."""
        if criterion is Criterion.YIELDING:
            return self.shear
        return self.dang_van if criterion is Criterion.DANG_VAN else self.amplitude


def stress_measures(
    *, depth_mm: Array, half_width_mm: Array, pressure_MPa: Array, friction: Array
) -> Envelope:
    """Return the stress measures of each contact at a depth of its own.

    Parameters
    ----------
    depth_mm, half_width_mm, pressure_MPa, friction : ndarray
        Broadcast against one another.

    Returns
    -------
    Envelope
        Each measure in MPa, of the same shape; no value where the friction is more than 0.5.
    """
    mu = np.where(np.abs(friction) > LARGEST_FRICTION, np.nan, friction)
    zeta = relative_depth(depth_mm=depth_mm, half_width_mm=half_width_mm)
    cycle = measures(z_over_b=zeta, friction=mu)
    shear = axis_shear(z_over_b=np.minimum(zeta, 1e9))
    return Envelope(*(array(pressure_MPa * part) for part in (shear, cycle.amplitude, cycle.dang_van)))


def envelope(*, depth_mm: Array, half_width_mm: Array, pressure_MPa: Array, friction: Array) -> Envelope:
    """Return the stress measures at each depth, the largest of all points of contact.

    Parameters
    ----------
    depth_mm : ndarray
        Shape (..., depths).
    half_width_mm, pressure_MPa, friction : ndarray
        Shape (..., points).

    Returns
    -------
    Envelope
        Each measure in MPa, shape (..., depths).
    """
    b, p_0, mu = (part[..., None, :] for part in (half_width_mm, pressure_MPa, friction))
    every = stress_measures(depth_mm=depth_mm[..., None], half_width_mm=b, pressure_MPa=p_0, friction=mu)
    return Envelope(*(array(part.max(axis=-1)) for part in (every.shear, every.amplitude, every.dang_van)))
