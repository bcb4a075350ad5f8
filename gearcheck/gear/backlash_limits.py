"""The least and the greatest backlash over the allowances of a pair."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Number, array
from gearcheck.gear.backlash import Backlash, backlash
from gearcheck.gear.faults import need
from gearcheck.gear.pair import PairGeometry


@dataclass(frozen=True, kw_only=True)
class Temperatures:
    """What the backlash runs at, and how the bodies grow.

    Parameters
    ----------
    pinion_C, wheel_C, housing_C : float or array
        Temperatures in °C; a last axis may hold several states.
    gear_um_m_K, housing_um_m_K : float or array
        Linear thermal expansion of both gears and of the housing in µm/(m·K).
    """

    pinion_C: Number
    wheel_C: Number
    housing_C: Number
    gear_um_m_K: Number
    housing_um_m_K: Number


@dataclass(frozen=True, kw_only=True)
class BacklashLimits:
    """Both ends of the backlash.

    Parameters
    ----------
    least : Backlash
        Both teeth at their thickest, the axes as close as allowed; apart, inside an internal gear.
    greatest : Backlash
        The other ends.
    """

    least: Backlash
    greatest: Backlash


def backlash_limits(
    *,
    pair: PairGeometry,
    pinion_allowance_mm: tuple[Number, Number],
    wheel_allowance_mm: tuple[Number, Number],
    centre_distance_allowance_mm: tuple[Number, Number],
    runout_mm: Number,
    temperatures: Temperatures,
) -> BacklashLimits:
    """Return the least and the greatest backlash over the allowances, at given temperatures.

    Parameters
    ----------
    pair : PairGeometry
        The nominal pair.
    pinion_allowance_mm, wheel_allowance_mm : tuple of number
        Lower and upper allowance of the normal thickness in mm.
    centre_distance_allowance_mm : tuple of number
        Lower and upper allowance of the centre distance in mm.
    runout_mm : float or array
        By how much the runouts of both gears bring the teeth closer and move them apart, in mm, 0 or more.
    temperatures : Temperatures
        Of gears and housing.

    Returns
    -------
    BacklashLimits
        Each end with its workings.

    Raises
    ------
    InputError
        A runout below 0, and what `backlash` refuses.

    Notes
    -----
    Source: ISO/TR 10064-2:1996, from memory.
    Checked: BACKLASH-02, BACKLASH-03.
    """
    faults = Faults()
    need(faults, "runout_mm", runout_mm, lambda value: value >= 0.0, "a length, 0 mm or more")
    faults.check()
    # towards the axis of an internal gear its teeth are further away
    close, apart = (0, 1) if pair.side > 0 else (1, 0)

    def end(thick: int, distance: int, side: float) -> Backlash:
        return backlash(
            pair=pair,
            pinion_allowance_mm=pinion_allowance_mm[thick],
            wheel_allowance_mm=wheel_allowance_mm[thick],
            centre_distance_allowance_mm=centre_distance_allowance_mm[distance],
            runout_mm=side * pair.side * array(runout_mm),
            pinion_temperature_C=temperatures.pinion_C,
            wheel_temperature_C=temperatures.wheel_C,
            housing_temperature_C=temperatures.housing_C,
            gear_expansion_um_m_K=temperatures.gear_um_m_K,
            housing_expansion_um_m_K=temperatures.housing_um_m_K,
        )

    return BacklashLimits(least=end(1, close, -1.0), greatest=end(0, apart, 1.0))
