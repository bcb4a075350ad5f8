"""Furnace cycles and steels of the tests, written as the check values write them."""

from __future__ import annotations

from gearcheck.basics.methods import Status
from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.closed_form import saturated_hours, transfer_profile
from gearcheck.hardening.cycle import CarbonCriterion, CarbonSteel, GasStep, SealedStep
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel, arrhenius_diffusivity, carbon_diffusivity
from gearcheck.hardening.harris import harris_depth
from gearcheck.hardening.masking import mask_creep
from gearcheck.hardening.stop_off import StopOff, stop_off_plating
from gearcheck.hardening.times import carburising_times


def steel(core=0.11, *, constant=None, model=None, diffusivity=1.0, saturation=1.0, alloy=None):
    """Plain iron-carbon unless something else is said."""
    known = DiffusivityModel.CONSTANT if constant is not None else DiffusivityModel.COLLIN
    return CarbonSteel(
        core_carbon_wt=core,
        model=model or known,
        diffusivity_factor=diffusivity,
        saturation_factor=saturation,
        factors_source="plain iron-carbon",
        factors_status=Status.FROM_MEMORY,
        constant_m2_s=constant,
        alloy=alloy,
    )


def gas(hours, potential, *, transfer=1.5e-7, temperature=927.0, end=None):
    return GasStep(
        hours=hours,
        temperature_C=temperature,
        end_temperature_C=end,
        carbon_potential_wt=potential,
        transfer_m_s=transfer,
    )


def sealed(hours, *, temperature=927.0):
    return SealedStep(hours=hours, temperature_C=temperature)


def written(step):
    """A step of a check value: gas where it names a potential, sealed where it does not."""
    return GasStep(**step) if "carbon_potential_wt" in step else SealedStep(**step)


BOOST, DIFFUSE, DROP = gas(6, 1.05), gas(3, 0.80), gas(0.5, 0.80, temperature=843.0)


def examples():
    """One result of each calculation of carburising."""
    given = {"steel": steel(), "criterion": CarbonCriterion.EN_10052}
    yield carbon_diffusivity(
        carbon_wt=[0.1, 0.8], temperature_C=927.0, model=DiffusivityModel.AGREN, alloy_factor=0.9
    )
    nickel = Alloy(manganese_wt=0.55, silicon_wt=0.25, nickel_wt=3.25, chromium_wt=1.2, molybdenum_wt=0.11)
    yield carbon_diffusivity(
        carbon_wt=0.5, temperature_C=927.0, model=DiffusivityModel.LEE, alloy_factor=1.0, alloy=nickel
    )
    yield arrhenius_diffusivity(
        frequency_factor_m2_s=2.3e-5, activation_energy_kJ_mol=148.0, temperature_C=927.0
    )
    yield harris_depth(hours=[4.0, 8.0], temperature_C=925.0)
    yield saturated_hours(
        core_carbon_wt=0.2, surface_carbon_wt=1.0, carbon_wt=0.4, depth_mm=1.0, diffusivity_m2_s=1.6e-11
    )
    yield transfer_profile(
        core_carbon_wt=0.2,
        carbon_potential_wt=1.1,
        diffusivity_m2_s=1.6e-11,
        transfer_m_s=2e-7,
        hours=4.0,
        depth_mm=[0.0, 0.5],
    )
    yield carbon_profile(cycle=[BOOST, DIFFUSE, DROP], **given, depth_mm=[0.0, 0.5, 1.0])
    yield carburising_times(
        boost=BOOST, diffuse=DIFFUSE, after=[], **given, depth_mm=1.0, surface_carbon_wt=0.8, longest_h=20.0
    )
    yield mask_creep(cycle=[BOOST], steel=steel(), carbon_wt=0.25, edge_tolerance_mm=0.5)
    yield stop_off_plating(process=StopOff.GAS, thickness_um=25.0)
