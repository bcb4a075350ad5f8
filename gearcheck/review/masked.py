"""What keeps carbon from the places that stay soft: how far it creeps below the mask, and the plate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result
from gearcheck.hardening.cycle import CarbonSteel
from gearcheck.hardening.inputs import StepKind
from gearcheck.hardening.masking import MaskCreep, mask_creep
from gearcheck.hardening.stop_off import StopOffPlating, stop_off_plating
from gearcheck.review.carburised import Cycle, carbon_steel, furnace_cycle
from gearcheck.review.inputs import NO_FURNACE, NO_STEEL, Record
from gearcheck.review.remembered import remembered

LOW_PRESSURE = "no least thickness is known for carburising at low pressure"


@dataclass(frozen=True, kw_only=True)
class Masked:
    """The mask of a record against its furnace; what is None says why not."""

    creep: MaskCreep | None
    plate: StopOffPlating | None
    no_creep: str = ""
    no_plate: str = ""

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield both results with their titles, in reading order."""
        if self.creep is not None:
            yield "Carbon below the mask", self.creep
        if self.plate is not None:
            yield "Plate of the mask", self.plate


def masked(record: Record) -> Masked | None:
    """Hold the mask of a record against its furnace; None where the gear file has no section [gear.mask].

    Parameters
    ----------
    record : Record
        It may hold arrays.

    Returns
    -------
    Masked or None
        With the reason where the furnace is not known, or works at low pressure.
    """
    mask, furnace, steel = record.mask, record.furnace, record.gear.steel
    if mask is None:
        return None
    creep, why = None, NO_FURNACE if furnace is None else NO_STEEL
    if furnace is not None and steel is not None:
        creep, why = (
            _creep(
                furnace_cycle(furnace),
                carbon_steel(furnace, steel.grade),
                mask.soft_carbon_wt,
                mask.edge_tolerance_mm,
            ),
            "",
        )
    low_pressure = (StepKind.FLUX, StepKind.SATURATED)
    if furnace is not None and any(step.kind in low_pressure for step in furnace.steps):
        return Masked(creep=creep, plate=None, no_creep=why, no_plate=LOW_PRESSURE)
    plate = stop_off_plating(process=mask.practice, thickness_um=mask.plate_um)
    return Masked(creep=creep, plate=plate, no_creep=why)


@remembered
def _creep(cycle: Cycle, steel: CarbonSteel, carbon_wt: Number, edge_tolerance_mm: Number) -> MaskCreep:
    """About 0.2 s: no input that a slider of another sheet moves changes it."""
    return mask_creep(cycle=cycle, steel=steel, carbon_wt=carbon_wt, edge_tolerance_mm=edge_tolerance_mm)
