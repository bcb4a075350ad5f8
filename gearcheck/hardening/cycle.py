"""What a furnace does, step by step, and the steel as carbon sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from typing import Any, TypeAlias, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel, alloyed_m2_s, plain_m2_s

DENSITY_g_cm3 = 7.85
"""Steel; 1 % by mass times 1 mm is 78.5 g/m²."""


class CarbonCriterion(StrEnum):
    """Which carbon content says how deep the case is; a depth without it says nothing."""

    EN_10052 = "0.35 %"
    HARDNESS = "0.40 %"
    SAE_J423 = "core + 0.04 %"
    HARRIS = "core + 0.07 %"


def criterion_carbon(criterion: CarbonCriterion, core_carbon_wt: Number) -> Array:
    """Return the carbon content in % that a criterion stands for in a steel."""
    row, core = table("carbon_criteria").row(criterion), array(core_carbon_wt)
    return array(row["value"] + core * row["above_core"])


def saturation_carbon(temperature_C: Number) -> Array:
    """Return the carbon in % that austenite of plain iron holds; NaN outside 727 to 1148 °C."""
    line = table("carbon_saturation")
    at, most = line.column("temperature_C"), line.column("carbon_wt")
    return array(np.interp(array(temperature_C), at, most, left=np.nan, right=np.nan))


@dataclass(frozen=True, kw_only=True)
class GasStep:
    """Gas of a known carbon potential that hands carbon over, or takes it away, by a transfer coefficient.

    Parameters
    ----------
    hours : float or array
        Time, h.
    temperature_C, end_temperature_C : float or array
        Temperature at the beginning and at the end, in a straight line between; without an end it stays.
    carbon_potential_wt : float or array
        C_p, %.
    transfer_m_s : float or array
        β, m/s; infinite where the surface follows the potential at once.
    """

    hours: Number
    temperature_C: Number
    end_temperature_C: Number | None = None
    carbon_potential_wt: Number
    transfer_m_s: Number


@dataclass(frozen=True, kw_only=True)
class FluxBoost:
    """Low pressure: a flux as the gas supplies it until the surface is saturated, then what saturation takes.

    Parameters
    ----------
    hours : float or array
        Time, h.
    temperature_C, end_temperature_C : float or array
        Temperature at the beginning and at the end, in a straight line between; without an end it stays.
    flux_g_m2_h : float or array
        Carbon supplied, g/(m²·h).
    """

    hours: Number
    temperature_C: Number
    end_temperature_C: Number | None = None
    flux_g_m2_h: Number


@dataclass(frozen=True, kw_only=True)
class SaturatedBoost:
    """Low pressure with more gas than the steel takes: the surface stands at saturation.

    Parameters
    ----------
    hours : float or array
        Time, h.
    temperature_C, end_temperature_C : float or array
        Temperature at the beginning and at the end, in a straight line between; without an end it stays.
    """

    hours: Number
    temperature_C: Number
    end_temperature_C: Number | None = None


@dataclass(frozen=True, kw_only=True)
class SealedStep:
    """Vacuum or inert gas: no carbon comes or goes, it only spreads.

    Parameters
    ----------
    hours : float or array
        Time, h.
    temperature_C, end_temperature_C : float or array
        Temperature at the beginning and at the end, in a straight line between; without an end it stays.
    """

    hours: Number
    temperature_C: Number
    end_temperature_C: Number | None = None


Step: TypeAlias = GasStep | FluxBoost | SaturatedBoost | SealedStep
Part = TypeVar("Part")
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class CarbonSteel:
    """A steel as carbon sees it: its core, how fast carbon moves in it, and how much its austenite holds.

    Parameters
    ----------
    core_carbon_wt : float or array
        Carbon before the furnace, %.
    model : DiffusivityModel
        The fit for plain iron-carbon, or a constant.
    diffusivity_factor : float or array
        Diffusivity of the steel over that of the model; 1 for plain iron-carbon.
    saturation_factor : float or array
        Saturation of the steel over that of plain iron-carbon; 1 for plain, less with chromium.
    factors_source : str
        Where the two factors come from.
    factors_status : Status
        How well they are known.
    constant_m2_s : float or array, optional
        The diffusivity where the model is a constant, m²/s.
    alloy : Alloy, optional
        The composition where the model asks for it.
    """

    core_carbon_wt: Number
    model: DiffusivityModel
    diffusivity_factor: Number
    saturation_factor: Number
    factors_source: str
    factors_status: Status
    constant_m2_s: Number | None = None
    alloy: Alloy | None = None

    def diffusivity_mm2_s(self, carbon_wt: Array, temperature_C: Array) -> Array:
        """Return the diffusivity in mm²/s; the last axis of both is the place."""
        if self.model == DiffusivityModel.CONSTANT:
            plain = np.broadcast_to(array(self.constant_m2_s)[..., None], carbon_wt.shape)
        elif self.alloy is not None:
            plain = alloyed_m2_s(widened(self.alloy), carbon_wt, temperature_C)
        else:
            plain = plain_m2_s(self.model, carbon_wt, temperature_C)
        return array(1e6 * array(self.diffusivity_factor)[..., None] * plain)

    def saturation_wt(self, temperature_C: Number) -> Array:
        """Return the carbon in % that the austenite of this steel holds."""
        return array(array(self.saturation_factor) * saturation_carbon(temperature_C))


@dataclass(frozen=True)
class Supply:
    """What the surface meets at one moment: a potential behind a transfer coefficient, at most a flux.

    Parameters
    ----------
    potential_wt : ndarray
        %.
    transfer_mm_s : ndarray
        mm/s; 0 where the surface is sealed, infinite where it is held.
    most : ndarray
        Largest flux, %·mm/s.
    """

    potential_wt: Array
    transfer_mm_s: Array
    most: Array

    def along(self) -> Supply:
        """Return the same for a row of places, on a last axis."""
        return Supply(self.potential_wt[..., None], self.transfer_mm_s[..., None], self.most[..., None])


def supply(step: Step, temperature_C: Array, steel: CarbonSteel) -> Supply:
    """Return what the surface meets in a step at a temperature."""
    none, endless = array(0.0), array(np.inf)
    if isinstance(step, GasStep):
        return Supply(array(step.carbon_potential_wt), 1000 * array(step.transfer_m_s), endless)
    if isinstance(step, SealedStep):
        return Supply(none, none, endless)
    most = endless
    if isinstance(step, FluxBoost):
        most = array(step.flux_g_m2_h) / (10 * DENSITY_g_cm3 * 3600)
    return Supply(steel.saturation_wt(temperature_C), endless, most)


def temperature_at(step: Step, share: float) -> Array:
    """Return the temperature in °C when a share of the step's time is over."""
    begin = array(step.temperature_C)
    end = begin if step.end_temperature_C is None else array(step.end_temperature_C)
    return array(begin + share * (end - begin))


def numbers_of(part: Step | CarbonSteel | Alloy) -> Iterator[tuple[str, Array]]:
    """Yield the numbers that a step, a steel or its alloy holds, by their names."""
    for item in fields(part):
        value = getattr(part, item.name)
        if isinstance(value, Alloy):
            yield from numbers_of(value)
        elif value is not None and not isinstance(value, str):
            yield item.name, array(value)


def lasting(step: Step, hours: Number) -> Step:
    """Return the same step with another time."""
    return replace(step, hours=hours)


def widened(part: Part) -> Part:
    """Return the same step, steel or alloy with one more axis at the end of every number."""
    whole: Any = part
    own = {item.name for item in fields(whole)}
    wide: dict[str, Any] = {name: value[..., None] for name, value in numbers_of(whole) if name in own}
    if isinstance(whole, CarbonSteel) and whole.alloy is not None:
        wide["alloy"] = widened(whole.alloy)
    return cast(Part, replace(whole, **wide))


def _austenite(temperature_C: Array) -> Flags:
    line = table("carbon_saturation").column("temperature_C")
    return _from_to(line[0], line[-1])(temperature_C)


def _from_to(low: float, high: float) -> Callable[[Array], Flags]:
    return lambda value: (value >= low) & (value <= high)


def _above_zero(value: Array) -> Flags:
    return (value > 0) & np.isfinite(value)


_TEMPERATURE = ("a temperature from 727 to 1148 °C: austenite", _austenite)
_NEEDS: dict[str, tuple[str, Callable[[Array], Flags]]] = {
    "hours": ("a time from 0 to 1000 h", _from_to(0, 1000)),
    "temperature_C": _TEMPERATURE,
    "end_temperature_C": _TEMPERATURE,
    "carbon_potential_wt": ("a carbon potential from 0 to 2.5 %", _from_to(0, 2.5)),
    "transfer_m_s": ("a transfer coefficient above 0 m/s", lambda value: value > 0),
    "flux_g_m2_h": ("a flux above 0 g/(m²·h)", _above_zero),
    "core_carbon_wt": ("carbon from 0 to 0.6 %", _from_to(0, 0.6)),
    "diffusivity_factor": ("a factor above 0", _above_zero),
    "saturation_factor": ("a factor above 0", _above_zero),
    **{item.name: ("a content from 0 to 5 %", _from_to(0, 5)) for item in fields(Alloy)},
    "constant_m2_s": ("a diffusivity above 0 m²/s", _above_zero),
}


def check_cycle(cycle: Sequence[Step], steel: CarbonSteel, faults: Faults) -> None:
    """Note every fault of a cycle and a steel, each with its place."""
    faults.need(len(cycle) > 0, "cycle", "no step", "at least one step")
    for place, part in [*((f"cycle[{number}]", step) for number, step in enumerate(cycle)), ("steel", steel)]:
        for name, value in numbers_of(part):
            needed, holds = _NEEDS[name]
            faults.need(bool(np.all(holds(value))), f"{place}.{name}", value, needed)
    faults.need(steel.model in list(DiffusivityModel), "steel.model", steel.model, "one of its models")
    constant = steel.model == DiffusivityModel.CONSTANT
    faults.need(
        constant == (steel.constant_m2_s is not None),
        "steel.constant_m2_s",
        steel.constant_m2_s,
        f"a diffusivity with the model {DiffusivityModel.CONSTANT!r}, and only there",
    )
    by_composition = steel.model == DiffusivityModel.LEE
    faults.need(
        by_composition == (steel.alloy is not None),
        "steel.alloy",
        steel.alloy,
        f"the composition with the model {DiffusivityModel.LEE!r}, and only there",
    )
