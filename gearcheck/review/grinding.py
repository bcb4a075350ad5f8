"""The finishing pass of a record: its heat, and the deepest cut that keeps the hardness of the skin."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.hardening.grind_heat import GrindHeat, grind_heat
from gearcheck.hardening.grind_limit import GrindLever, GrindLimit, pass_below_softening
from gearcheck.hardening.inputs import Grinding
from gearcheck.hardening.moving_band import HeatFlux
from gearcheck.review.inputs import Record
from gearcheck.review.remembered import remembered

_DEEPEST_MM = 1.0
_SLOWEST = 1.001e-3  # Peclet number: below 0.001 the pass has no temperature


def pass_heat(record: Record) -> GrindHeat | None:
    """Return the heat of the finishing pass; None where the gear file says nothing of it.

    Parameters
    ----------
    record : Record
        It may hold arrays.

    Returns
    -------
    GrindHeat or None
        Of the shape of the pass.
    """
    cut = record.grinding
    if cut is None:
        return None
    return _heat(cut.flux, cut.depth_of_cut_mm, *_of_pass(cut))


def cut_limit(record: Record) -> GrindLimit | None:
    """Return the deepest cut that keeps the loss of hardness unseen, whatever cut is given.

    It is solved once for the same pass and temper, so that a slider of anything else asks for nothing new.

    Parameters
    ----------
    record : Record
        It may hold arrays.

    Returns
    -------
    GrindLimit or None
        None where the gear file does not say how the gear is ground, or tempered.
    """
    cut, furnace = record.grinding, record.furnace
    if cut is None or furnace is None:
        return None
    return _limit(cut.flux, furnace.temper_temperature_C, furnace.temper_time_h, *_of_pass(cut))


def austenite_rise_K(record: Record) -> Array:  # noqa: N802 - carries its unit
    """Return by how much a pass may heat the flank before austenite begins to form.

    Parameters
    ----------
    record : Record
        With a grind.

    Returns
    -------
    ndarray of float
        From the temperature before the pass, K.
    """
    assert record.grinding is not None
    start = table("grind_heat").value("start of austenite")
    return array(start - array(record.grinding.work_temperature_C))


def unseen_loss_HV() -> float:  # noqa: N802 - carries its unit
    """Return the loss of hardness that a test does not see."""
    return float(table("grind_heat").value("loss of hardness that is not seen"))


def _of_pass(cut: Grinding) -> tuple[Number, ...]:
    """The pass but for its depth of cut."""
    return cut.equivalent_diameter_mm, cut.work_speed_mm_s, cut.specific_energy_J_mm3, cut.work_temperature_C


@remembered
def _heat(
    flux: HeatFlux, depth: Number, diameter: Number, speed: Number, energy: Number, before: Number
) -> GrindHeat:
    value = table("grind_heat").value
    return grind_heat(
        equivalent_diameter_mm=diameter,
        depth_of_cut_mm=depth,
        work_speed_mm_s=speed,
        specific_energy_J_mm3=energy,
        partition=None,
        flux=flux,
        conductivity_W_mK=value("conductivity of hardened steel"),
        diffusivity_mm2_s=value("diffusivity of hardened steel"),
        work_temperature_C=before,
    )


@remembered
def _limit(flux: HeatFlux, temper: Number, hours: Number, *of_pass: Number) -> GrindLimit:
    heat = _heat(flux, _DEEPEST_MM, *of_pass)
    # so fine that the pass is just fast enough to have a temperature: L = v_w √(a d_e)/(4 α)
    length = 4 * array(heat.diffusivity_mm2_s) * _SLOWEST / array(heat.work_speed_mm_s)
    finest = length**2 / array(heat.equivalent_diameter_mm)
    return pass_below_softening(
        heat=heat,
        lever=GrindLever.DEPTH_OF_CUT,
        lowest=finest,
        highest=np.maximum(_DEEPEST_MM, 2 * finest),
        permissible_loss_HV=unseen_loss_HV(),
        temper_temperature_C=temper,
        temper_time_h=hours,
    )
