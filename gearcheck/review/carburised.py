"""The cycle and the steel of a record as the diffusion takes them."""

from __future__ import annotations

from gearcheck.basics.methods import Status
from gearcheck.hardening.cycle import (
    CarbonSteel,
    FluxBoost,
    GasStep,
    SaturatedBoost,
    SealedStep,
    Step,
)
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel
from gearcheck.hardening.inputs import Furnace, FurnaceStep, StepKind
from gearcheck.materials.composition import steel_composition

Cycle = tuple[Step, ...]


def furnace_cycle(furnace: Furnace) -> Cycle:
    """The steps of the furnace as the diffusion takes them."""
    return tuple(_step(one) for one in furnace.steps)


def carbon_steel(furnace: Furnace, grade: str) -> CarbonSteel:
    """The steel as carbon sees it.

    Parameters
    ----------
    furnace : Furnace
        With the fit that carbon diffuses by.
    grade : str
        The steel; its composition counts where the fit asks for it.

    Returns
    -------
    CarbonSteel
        With an alloy for the fit by composition.

    Raises
    ------
    InputError
        Where the fit asks for a composition that is not known.
    """
    by_composition = furnace.diffusivity == DiffusivityModel.LEE
    return CarbonSteel(
        core_carbon_wt=furnace.core_carbon_wt,
        model=furnace.diffusivity,
        diffusivity_factor=furnace.diffusivity_factor,
        saturation_factor=furnace.saturation_factor,
        factors_source=furnace.factors_source,
        factors_status=Status.COMMON_PRACTICE,
        alloy=_alloy(grade) if by_composition else None,
    )


def boost_place(furnace: Furnace) -> int | None:
    """The place of the boost, the first step that hands carbon over; None where no step follows it."""
    places = (place for place, step in enumerate(furnace.steps) if step.kind is not StepKind.SEALED)
    first = next(places, None)
    return first if first is not None and first + 1 < len(furnace.steps) else None


def _alloy(grade: str) -> Alloy:
    found = steel_composition(grade=grade)
    return Alloy(
        manganese_wt=found.manganese_percent,
        silicon_wt=found.silicon_percent,
        nickel_wt=found.nickel_percent,
        chromium_wt=found.chromium_percent,
        molybdenum_wt=found.molybdenum_percent,
    )


def _step(one: FurnaceStep) -> Step:
    timed = {
        "hours": one.hours,
        "temperature_C": one.temperature_C,
        "end_temperature_C": one.end_temperature_C,
    }
    if one.kind is StepKind.GAS:
        return GasStep(**timed, carbon_potential_wt=one.carbon_potential_wt, transfer_m_s=one.transfer_m_s)
    if one.kind is StepKind.FLUX:
        return FluxBoost(**timed, flux_g_m2_h=one.flux_g_m2_h)
    return SaturatedBoost(**timed) if one.kind is StepKind.SATURATED else SealedStep(**timed)
