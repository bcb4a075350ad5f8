"""The sections of a gear file that say how the gear is carburised, quenched, tempered and ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from gearcheck.basics.errors import Fault
from gearcheck.basics.tables import table
from gearcheck.hardening.diffusivity import DiffusivityModel
from gearcheck.hardening.inputs import Furnace, FurnaceStep, Grinding, Mask, StepKind, Subsurface
from gearcheck.hardening.moving_band import HeatFlux
from gearcheck.hardening.residual import ResidualStress
from gearcheck.hardening.stop_off import StopOff
from gearcheck.review.file_places import Place
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Kind, Plain, Size, Span, shown
from gearcheck.review.file_words import Choice, Words, YesNo, close_name

AUSTENITE = (727.0, 1148.0)


@dataclass(frozen=True)
class RowName(Kind):
    """A name of a table of the package."""

    table: str

    @property
    def _names(self) -> list[str]:
        return [row["name"] for row in table(self.table).rows]

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return "one of " + ", ".join(f'"{name}"' for name in self._names)

    def __call__(self, value: object) -> str:
        """Read it."""
        if not isinstance(value, str) or value not in self._names:
            self.refuse(value, close_name(value, self._names) if isinstance(value, str) else "")
        return value


Hot = Annotated[float, BeforeValidator(Size("°C", *AUSTENITE))]
Hours = Annotated[float, BeforeValidator(Size("h", 0.001, 1000))]


class StepEntry(Section):
    """[[gear.furnace.step]]: one step of the cycle."""

    kind: Annotated[StepKind, BeforeValidator(Choice(StepKind))]
    time: Hours
    temperature: Hot
    end_temperature: Hot | None = None
    carbon_potential: Annotated[float | None, BeforeValidator(Size("%", 0, 2.5))] = None
    transfer: Annotated[float | None, BeforeValidator(Size("m/s", 1e-9, 1e-4))] = None
    flux: Annotated[float | None, BeforeValidator(Size("g/(m²·h)", 1, 2000))] = None


class FurnaceSection(Section):
    """[gear.furnace]: what the heat treatment is predicted from."""

    core_carbon: Annotated[float, BeforeValidator(Size("%", 0.02, 0.6))]
    diffusivity: Annotated[DiffusivityModel, BeforeValidator(Choice(DiffusivityModel))]
    diffusivity_factor: Annotated[float, BeforeValidator(Plain(0.1, 5))]
    saturation_factor: Annotated[float, BeforeValidator(Plain(0.1, 2))]
    factors_source: Annotated[str, BeforeValidator(Words(120))]
    band: Annotated[str, BeforeValidator(RowName("jominy"))]
    section: Annotated[float, BeforeValidator(Size("mm", 5, 500))]
    bath: Annotated[str, BeforeValidator(RowName("quench_severity"))]
    quench_temperature: Annotated[float, BeforeValidator(Size("°C", -20, 250))]
    temper: Annotated[float, BeforeValidator(Size("°C", 100, 300))]
    temper_time: Hours
    depth_scatter: Annotated[float, BeforeValidator(Size("mm", 0, 2))]
    cold: Annotated[float | None, BeforeValidator(Size("°C", -200, 10))] = None
    cold_delay: Annotated[float | None, BeforeValidator(Size("h", 0, 1000))] = None
    tempered_before_cold: Annotated[bool, BeforeValidator(YesNo())] = False
    austenite: Annotated[float | None, BeforeValidator(Size("%", 0, 100))] = None
    surface_carbon: Annotated[float | None, BeforeValidator(Size("%", 0.2, 1.5))] = None
    step: list[StepEntry] = Field(min_length=1, max_length=50)


class GrindingSection(Section):
    """[gear.grinding]: the finishing pass, as its heat is worked out, and how its stock varies."""

    equivalent_diameter: Annotated[float, BeforeValidator(Size("mm", 1, 5000))]
    depth_of_cut: Annotated[float, BeforeValidator(Size("mm", 1e-4, 1))]
    work_speed: Annotated[float, BeforeValidator(Size("mm/s", 0.01, 10000))]
    specific_energy: Annotated[float, BeforeValidator(Size("J/mm³", 1, 1000))]
    flux: Annotated[HeatFlux, BeforeValidator(Choice(HeatFlux))]
    work_temperature: Annotated[float, BeforeValidator(Size("°C", 0, 120))]
    runout: Annotated[float | None, BeforeValidator(Size("mm", 0, 2))] = None
    centring: Annotated[float | None, BeforeValidator(Size("mm", 0, 1))] = None
    indexing: Annotated[float | None, BeforeValidator(Size("mm", 0, 0.5))] = None
    shift: Annotated[float | None, BeforeValidator(Size("mm", -1, 1))] = None
    superfinish: Annotated[tuple[float, float] | None, BeforeValidator(Span(Size("mm", 0, 0.2)))] = None


class MaskSection(Section):
    """[gear.mask]: the plate that keeps carbon from what must stay soft."""

    practice: Annotated[StopOff, BeforeValidator(Choice(StopOff))]
    plate: Annotated[float, BeforeValidator(Size("µm", 1, 1000))]
    distance: Annotated[float, BeforeValidator(Size("mm", 0, 500))]
    edge_tolerance: Annotated[float, BeforeValidator(Size("mm", 0, 20))]
    soft_carbon: Annotated[float, BeforeValidator(Size("%", 0.03, 1.5))]


class SubsurfaceSection(Section):
    """[gear.subsurface]: what fatigue below the surface asks for."""

    friction: Annotated[float, BeforeValidator(Plain(0, 0.5))]
    inclusion: Annotated[float, BeforeValidator(Size("µm", 1, 1000))]
    residual_stress: Annotated[ResidualStress, BeforeValidator(Choice(ResidualStress))]
    hardness_scatter: Annotated[float | None, BeforeValidator(Size("HV", 0, 100))] = None
    load_scatter: Annotated[float | None, BeforeValidator(Plain(0, 0.3))] = None


FITS = (DiffusivityModel.COLLIN, DiffusivityModel.AGREN, DiffusivityModel.LEE)
"""The fits that a gear file may name: the last takes the composition of the steel."""
_WANTS = {
    StepKind.GAS: ("carbon_potential", "transfer"),
    StepKind.FLUX: ("flux",),
    StepKind.SATURATED: (),
    StepKind.SEALED: (),
}
"""What each kind of step asks for; it takes nothing of the others."""


def between_furnace_keys(gear: Mapping[str, Any]) -> Iterator[tuple[Place, Fault]]:
    """Say what steps and cold treatment lack, or have too much of.

    Parameters
    ----------
    gear : mapping
        What [gear] holds, not checked yet.

    Yields
    ------
    place, fault : tuple of Place and Fault
        What lies between keys; the keys themselves are checked elsewhere.
    """
    furnace = gear.get("furnace")
    if not isinstance(furnace, dict):
        return
    steps = furnace.get("step")
    for number, step in enumerate(steps if isinstance(steps, list) else []):
        kind = step.get("kind") if isinstance(step, dict) else None
        if kind not in list(StepKind):
            continue
        for key in ("carbon_potential", "transfer", "flux"):
            wanted = key in _WANTS[StepKind(kind)]
            if (key in step) != wanted:
                needed = f"a value: the step is {kind}" if wanted else f"nothing: the step is {kind}"
                given = shown(step[key]) if key in step else ""
                yield ("gear", "furnace", "step", number, key), Fault("", given, needed)
    if ("cold" in furnace) != ("cold_delay" in furnace):
        lacking = "cold_delay" if "cold" in furnace else "cold"
        needed = "both cold and cold_delay, or neither"
        yield ("gear", "furnace", lacking), Fault("", "", needed)
    if furnace.get("diffusivity") in set(DiffusivityModel) - set(FITS):
        fits = " or ".join(f'"{one}"' for one in FITS)
        yield ("gear", "furnace", "diffusivity"), Fault("", shown(furnace["diffusivity"]), fits)
    if furnace.get("diffusivity") == DiffusivityModel.LEE:
        yield from _without_composition(gear.get("steel"))


def _without_composition(steel: object) -> Iterator[tuple[Place, Fault]]:
    """The fit by composition needs one."""
    grade = steel.get("grade") if isinstance(steel, dict) else None
    known = table("steel_compositions").names
    if isinstance(grade, str) and grade.replace(" ", "").lower() in {
        name.replace(" ", "").lower() for name in known
    }:
        return
    plain = " or ".join(f'"{one}"' for one in FITS if one != DiffusivityModel.LEE)
    why = "no [gear.steel]" if grade is None else f"no composition of {shown(grade)} is known"
    needed = f"{plain}; or a steel of known composition: {', '.join(known)}"
    yield ("gear", "furnace", "diffusivity"), Fault("", shown(DiffusivityModel.LEE), needed, why)


def furnace_of(section: FurnaceSection) -> Furnace:
    """Return the heat treatment that a gear file describes."""
    return Furnace(
        steps=tuple(
            FurnaceStep(
                kind=step.kind,
                hours=step.time,
                temperature_C=step.temperature,
                end_temperature_C=step.end_temperature,
                carbon_potential_wt=step.carbon_potential,
                transfer_m_s=step.transfer,
                flux_g_m2_h=step.flux,
            )
            for step in section.step
        ),
        core_carbon_wt=section.core_carbon,
        diffusivity=section.diffusivity,
        diffusivity_factor=section.diffusivity_factor,
        saturation_factor=section.saturation_factor,
        factors_source=section.factors_source,
        band=section.band,
        section_mm=section.section,
        bath=section.bath,
        quench_temperature_C=section.quench_temperature,
        temper_temperature_C=section.temper,
        temper_time_h=section.temper_time,
        depth_scatter_mm=section.depth_scatter,
        cold_temperature_C=section.cold,
        cold_delay_h=section.cold_delay,
        tempered_before_cold=section.tempered_before_cold,
        austenite_percent=section.austenite,
        surface_carbon_wt=section.surface_carbon,
    )


def grinding_of(section: GrindingSection) -> Grinding:
    """Return the finishing pass that a gear file describes."""
    least, largest = section.superfinish or (None, None)
    return Grinding(
        equivalent_diameter_mm=section.equivalent_diameter,
        depth_of_cut_mm=section.depth_of_cut,
        work_speed_mm_s=section.work_speed,
        specific_energy_J_mm3=section.specific_energy,
        flux=section.flux,
        work_temperature_C=section.work_temperature,
        runout_mm=section.runout,
        centring_mm=section.centring,
        indexing_mm=section.indexing,
        shift_mm=section.shift,
        superfinish_min_mm=least,
        superfinish_max_mm=largest,
    )


def mask_of(section: MaskSection) -> Mask:
    """Return the mask that a gear file describes."""
    return Mask(
        practice=section.practice,
        plate_um=section.plate,
        distance_mm=section.distance,
        edge_tolerance_mm=section.edge_tolerance,
        soft_carbon_wt=section.soft_carbon,
    )


def subsurface_of(section: SubsurfaceSection) -> Subsurface:
    """Return what a gear file says for fatigue below the surface."""
    return Subsurface(
        friction=section.friction,
        inclusion_root_area_um=section.inclusion,
        residual_stress=section.residual_stress,
        hardness_scatter_HV=section.hardness_scatter,
        load_scatter=section.load_scatter,
    )
