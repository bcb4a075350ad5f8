"""How the teeth of gears that are made alike scatter, and gears drawn from it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import erf

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array
from gearcheck.meshing.form import ToothDeviations

_TRIAL = 2000
"""So many gears tell how large the wave of a turn may be, always the same ones."""


@dataclass(frozen=True, kw_only=True)
class GearScatter:
    """Standard deviations of the loaded flanks of one gear, µm on the transverse line of action.

    Parameters
    ----------
    index_um : float
        Index deviation of each tooth for itself.
    turn_um : float
        Index deviation that goes once around: of the parts of its wave along two axes.
    profile_slope_um, helix_slope_um : float
        Of each tooth for itself.
    gear_profile_slope_um, gear_helix_slope_um : float
        Of all teeth of a gear together.
    """

    index_um: float = 0.0
    turn_um: float = 0.0
    profile_slope_um: float = 0.0
    helix_slope_um: float = 0.0
    gear_profile_slope_um: float = 0.0
    gear_helix_slope_um: float = 0.0


@dataclass(frozen=True, kw_only=True)
class ManufacturingScatter:
    """How both gears of a mesh scatter.

    Parameters
    ----------
    pinion, wheel : GearScatter or None
        None for a gear without deviations.
    """

    pinion: GearScatter | None = None
    wheel: GearScatter | None = None


def scatter_within(
    *,
    teeth: int,
    transverse_pressure_angle_deg: float,
    single_pitch_um: float,
    cumulative_pitch_um: float,
    profile_slope_um: float,
    helix_slope_um: float,
    gear_share: float,
    kept: float = 0.9545,
) -> GearScatter:
    """Return the scatter of gears of which most keep each of their tolerances.

    Each tolerance of a single value is z standard deviations, z that of `kept` of a normal distribution; a
    single pitch is the difference of two index deviations, s_i = s_p/√2. The wave of a turn is as large as
    the cumulative pitch then leaves room for.

    Parameters
    ----------
    teeth : int
        z.
    transverse_pressure_angle_deg : float
        At the measuring circle, °: pitch is measured along its arc.
    single_pitch_um, cumulative_pitch_um : float
        Tolerances f_p, either side of 0, and F_p, a range, µm.
    profile_slope_um, helix_slope_um : float
        Tolerances f_Hα and f_Hβ, either side of 0, µm.
    gear_share : float
        Share of the variance of both slopes that all teeth of a gear have together, from 0 to 1.
    kept : float
        Share of single values, and of cumulative pitches, that keep their tolerance.

    Returns
    -------
    GearScatter
        On the transverse line of action.

    Raises
    ------
    InputError
        A tolerance below 0, or a share outside its range.

    Notes
    -----
    Source: common practice: tolerances as standard deviations; the wave of a turn by trial on 2000 gears.
    Valid for: processes in the middle of their tolerances.
    Departures: single pitches of the wave of a turn are not counted: it moves slowly.
    Checked: SCATTER-HAND, SCATTER-TOLERANCE.

    Examples
    --------
    >>> found = scatter_within(teeth=30, transverse_pressure_angle_deg=20, single_pitch_um=6,
    ...     cumulative_pitch_um=22, profile_slope_um=5, helix_slope_um=6, gear_share=0.5)
    >>> round(found.index_um, 2), round(found.gear_helix_slope_um, 2)
    (1.99, 2.12)
    """
    faults = Faults()
    given = {
        "single_pitch_um": single_pitch_um,
        "cumulative_pitch_um": cumulative_pitch_um,
        "profile_slope_um": profile_slope_um,
        "helix_slope_um": helix_slope_um,
    }
    for name, value in given.items():
        faults.need(value >= 0, name, value, "0 µm or more")
    faults.need(0 <= gear_share <= 1, "gear_share", gear_share, "a share from 0 to 1")
    faults.need(0 < kept < 1, "kept", kept, "a share between 0 and 1")
    faults.check()
    deviations = float(brentq(lambda z: _inside(z) - kept, 1e-3, 8.0))
    arc = float(np.cos(np.radians(transverse_pressure_angle_deg)))
    index = single_pitch_um / deviations / np.sqrt(2.0)
    turn = _turn(teeth, index, cumulative_pitch_um, kept)
    own, shared = np.sqrt(1.0 - gear_share) / deviations, np.sqrt(gear_share) / deviations
    return GearScatter(
        index_um=float(index * arc),
        turn_um=float(turn * arc),
        profile_slope_um=float(profile_slope_um * own),
        helix_slope_um=float(helix_slope_um * own),
        gear_profile_slope_um=float(profile_slope_um * shared),
        gear_helix_slope_um=float(helix_slope_um * shared),
    )


def _inside(deviations: float) -> float:
    return float(erf(deviations / np.sqrt(2.0)))


def _turn(teeth: int, index: float, cumulative: float, kept: float) -> float:
    """The wave of a turn with which `kept` of the gears keep their cumulative pitch."""
    generator = np.random.default_rng(0)
    own = index * generator.standard_normal((_TRIAL, teeth))
    wave = _wave(generator.standard_normal((_TRIAL, 2)), teeth)

    def over(size: float) -> float:
        return float(np.quantile(np.ptp(own + size * wave, axis=-1), kept)) - cumulative

    return float(brentq(over, 0.0, cumulative + 1e-9, xtol=1e-9)) if over(0.0) < 0.0 else 0.0


def _wave(parts: Array, teeth: int) -> Array:
    turn = 2.0 * np.pi * np.arange(teeth) / teeth
    return np.asarray(parts[..., :1] * np.cos(turn) + parts[..., 1:] * np.sin(turn))


def made_teeth(
    scatter: GearScatter, *, teeth: int, gears: int, generator: np.random.Generator
) -> ToothDeviations:
    """Return gears drawn at random.

    Slopes count 0 in the middle of the profile and of the face, where the pitch is measured.

    Parameters
    ----------
    scatter : GearScatter
        Normal distributions.
    teeth, gears : int
        Of each gear, and how many.
    generator : Generator
        Of random numbers.

    Returns
    -------
    ToothDeviations
        Shape (gears, teeth), traces of two places.
    """
    own = generator.standard_normal((gears, teeth, 3))
    together = generator.standard_normal((gears, 4))
    index = scatter.index_um * own[..., 0] + scatter.turn_um * _wave(together[:, :2], teeth)
    profile = scatter.profile_slope_um * own[..., 1] + scatter.gear_profile_slope_um * together[:, 2:3]
    helix = scatter.helix_slope_um * own[..., 2] + scatter.gear_helix_slope_um * together[:, 3:]
    ends = np.array([-0.5, 0.5])
    return ToothDeviations(
        index_um=index, profile_um=profile[..., None] * ends, helix_um=helix[..., None] * ends
    )
