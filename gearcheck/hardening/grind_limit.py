"""How hard a flank may be ground: the depth of cut, speed or energy that keeps it cool enough."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.grind_heat import GrindHeat, grind_heat
from gearcheck.hardening.grind_softening import tempered_loss_HV

LIMIT = Method(
    key="grind_limit",
    title="Largest depth of cut, speed or energy of a pass",
    source="Jaeger; Malkin; Hollomon and Jaffe",
    edition="1942; 1989; 1945",
    clause="solved for one input of the pass",
    status=Status.FROM_MEMORY,
    implements=("bisection between the ends of a range; the temperature rises with each of the three",),
    leaves_out=("the specific energy's own change with depth of cut and speed: it is held",),
)

_STEPS = 60


class GrindLever(StrEnum):
    """The input of a pass that is solved for; the value names the argument of the pass."""

    DEPTH_OF_CUT = "depth_of_cut_mm"
    WORK_SPEED = "work_speed_mm_s"
    SPECIFIC_ENERGY = "specific_energy_J_mm3"


@dataclass(frozen=True, kw_only=True)
class GrindLimit(Result):
    """The largest value of one input that keeps the surface within its limit."""

    method: ClassVar[Method] = LIMIT
    lowest: Number = term("Least value looked at, in the unit of the input", "x_1")
    highest: Number = term("Largest value looked at", "x_2")
    permissible: Number = term("Limit that is kept, in °C or HV", "y_P")
    largest: Number = term("Largest value that keeps the limit", "x", words="solved; x_2 where all keep it")
    surface_temperature_C: Number = term("Peak temperature there", "T_s", "°C", words="from the pass")
    reached: Number = term("What it reaches there, in °C or HV", "y", words="from the pass at x")
    lever: GrindLever = GrindLever.DEPTH_OF_CUT


def pass_below_temperature(
    *, heat: GrindHeat, lever: GrindLever, lowest: Number, highest: Number, permissible_C: Number
) -> GrindLimit:
    """Return the largest depth of cut, work speed or specific energy that keeps a surface temperature.

    T_s(x) = permissible, all else of the pass as it is

    Parameters
    ----------
    heat : GrindHeat
        The pass to be changed, shape (samples).
    lever : GrindLever
        What is changed.
    lowest, highest : float or array
        The range looked at, mm, mm/s or J/mm³.
    permissible_C : float or array
        Surface temperature that must not be passed, °C.

    Returns
    -------
    GrindLimit
        The value and the temperature there; a stop notice and no value where even the least is too hot.

    Raises
    ------
    InputError
        A range that is not above 0 or is upside down.

    Notes
    -----
    Source: Jaeger; Malkin, from memory; solved by bisection.
    Valid for: as the pass.
    Departures: the specific energy is held while depth of cut or speed change.
    Checked: GRIND-06-BACK, GRIND-06-LIMIT.

    Examples
    --------
    >>> from gearcheck.hardening.moving_band import HeatFlux
    >>> heat = grind_heat(equivalent_diameter_mm=200, depth_of_cut_mm=0.02, work_speed_mm_s=100,
    ...     specific_energy_J_mm3=40, partition=None, flux=HeatFlux.UNIFORM, conductivity_W_mK=34,
    ...     diffusivity_mm2_s=8.22, work_temperature_C=20)
    >>> cut = pass_below_temperature(heat=heat, lever=GrindLever.DEPTH_OF_CUT, lowest=0.001, highest=0.05,
    ...     permissible_C=300)
    >>> round(cut.largest, 4)
    0.0111
    """
    return _largest(
        heat, lever, lowest, highest, permissible_C, "°C", lambda found: found.surface_temperature_C
    )


def pass_below_softening(
    *,
    heat: GrindHeat,
    lever: GrindLever,
    lowest: Number,
    highest: Number,
    permissible_loss_HV: Number,
    temper_temperature_C: Number,
    temper_time_h: Number,
) -> GrindLimit:
    """Return the largest depth of cut, work speed or specific energy that keeps the hardness of the surface.

    greatest loss of hardness at the surface (x) = permissible, all else of the pass as it is

    Parameters
    ----------
    heat : GrindHeat
        The pass to be changed, shape (samples).
    lever : GrindLever
        What is changed.
    lowest, highest : float or array
        The range looked at, mm, mm/s or J/mm³.
    permissible_loss_HV : float or array
        Loss of hardness at the surface that must not be passed, HV.
    temper_temperature_C, temper_time_h : float or array
        T_t in °C and t_t in h of the case temper.

    Returns
    -------
    GrindLimit
        The value and the loss there; a stop notice and no value where even the least softens too much.

    Raises
    ------
    InputError
        A range that is not above 0 or is upside down, a time that is not above 0.

    Notes
    -----
    Source: Jaeger; Malkin; Hollomon and Jaffe; shop practice for the loss; solved by bisection.
    Valid for: as the pass; a flank that rehardens is never within a loss of less than some 400 HV.
    Departures: the specific energy is held while depth of cut or speed change.
    Checked: GRIND-SOFT-BACK.

    Examples
    --------
    >>> from gearcheck.hardening.moving_band import HeatFlux
    >>> heat = grind_heat(equivalent_diameter_mm=200, depth_of_cut_mm=0.02, work_speed_mm_s=100,
    ...     specific_energy_J_mm3=40, partition=None, flux=HeatFlux.UNIFORM, conductivity_W_mK=34,
    ...     diffusivity_mm2_s=8.22, work_temperature_C=20)
    >>> cut = pass_below_softening(heat=heat, lever=GrindLever.DEPTH_OF_CUT, lowest=0.001, highest=0.05,
    ...     permissible_loss_HV=20, temper_temperature_C=180, temper_time_h=2)
    >>> round(cut.largest, 4), round(cut.surface_temperature_C)
    (0.0149, 371)
    """
    t_t = array(temper_time_h)
    faults = Faults()
    faults.need(not (t_t <= 0).any(), "temper_time_h", temper_time_h, "a time above 0 h")
    faults.check()

    def loss(found: GrindHeat) -> Array:
        return tempered_loss_HV(
            temperature_C=found.surface_temperature_C,
            time_h=array(found.contact_time_s) / 3600,
            temper_temperature_C=temper_temperature_C,
            temper_time_h=t_t,
        )[1]

    return _largest(heat, lever, lowest, highest, permissible_loss_HV, "HV", loss)


def _largest(
    heat: GrindHeat,
    lever: GrindLever,
    lowest: Number,
    highest: Number,
    permissible: Number,
    unit: str,
    measure: Callable[[GrindHeat], Number],
) -> GrindLimit:
    """Bisect one input of the pass so that `measure`, which rises with it, keeps its limit."""
    faults = Faults()
    faults.need(not (array(lowest) <= 0).any(), "lowest", lowest, "a number above 0")
    ordered = not (array(highest) <= array(lowest)).any()
    faults.need(ordered, "highest", highest, "a number above the lowest")
    faults.check()
    limit = array(permissible)
    at_low, at_high = (array(measure(_changed(heat, lever, value))) for value in (lowest, highest))
    low, high, limit, at_low, at_high = np.broadcast_arrays(
        array(lowest), array(highest), limit, at_low, at_high
    )
    none, every = ~(at_low <= limit), at_high <= limit
    first, last = low, high
    for _ in range(_STEPS):
        middle = (low + high) / 2
        kept = array(measure(_changed(heat, lever, middle))) <= limit
        low, high = np.where(kept, middle, low), np.where(kept, high, middle)
    largest = np.where(none, np.nan, np.where(every, last, low))
    found = _changed(heat, lever, largest)
    return GrindLimit(
        lowest=first,
        highest=last,
        permissible=limit,
        largest=largest,
        surface_temperature_C=found.surface_temperature_C,
        reached=measure(found),
        lever=lever,
        notices=_notices(none, every, at_low, limit, unit),
    )


def _changed(heat: GrindHeat, lever: GrindLever, value: Number) -> GrindHeat:
    given: dict[str, Any] = {
        name: getattr(heat, name)
        for name in (
            "equivalent_diameter_mm",
            "depth_of_cut_mm",
            "work_speed_mm_s",
            "specific_energy_J_mm3",
            "flux",
            "conductivity_W_mK",
            "diffusivity_mm2_s",
            "work_temperature_C",
        )
    }
    return grind_heat(**{**given, lever.value: value}, partition=heat.partition_given)


def _notices(
    none: NDArray[np.bool_], every: NDArray[np.bool_], at_low: Array, limit: Array, unit: str
) -> tuple[Notice, ...]:
    found = []
    unknown, none = none & np.isnan(at_low), none & ~np.isnan(at_low)
    if unknown.any():
        text = "The least value of the range gives the pass no temperature: begin the range higher."
        found.append(Notice(Level.STOP, "grind_limit.unknown", text))
    if none.any():
        text = (
            f"No value of the range keeps the limit of {limit[none].flat[0]:.4g} {unit}: its least reaches "
            f"{at_low[none].flat[0]:.4g} {unit}."
        )
        found.append(Notice(Level.STOP, "grind_limit.none", text))
    if every.any():
        text = f"The whole range keeps the limit of {limit[every].flat[0]:.4g} {unit}."
        found.append(Notice(Level.NOTE, "grind_limit.all", text))
    return tuple(found)
