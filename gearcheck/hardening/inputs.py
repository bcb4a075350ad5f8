"""What the hardening room needs to know of the case that the drawing asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.diffusivity import DiffusivityModel
from gearcheck.hardening.moving_band import HeatFlux
from gearcheck.hardening.residual import ResidualStress
from gearcheck.hardening.stop_off import StopOff


class CaseDepthRule(StrEnum):
    """The figure that says how deep the case must be; one governs, the others stand beside it."""

    ISO_6336_5 = "ISO 6336-5:2016"
    AGMA_2101_SHEAR = "AGMA 2101-D04 shear"
    AGMA_2101_NORMAL = "AGMA 2101-D04 normal curve"
    AGMA_2101_HEAVY = "AGMA 2101-D04 heavy curve"


DepthRule: TypeAlias = CaseDepthRule | Criterion
"""What may govern the case depth: a figure of a standard, or a criterion below the surface."""


@dataclass(frozen=True, kw_only=True)
class CaseSpecification:
    """Case depth at 550 HV on the flank at the pitch line, before and after grinding.

    Parameters
    ----------
    as_treated_min_mm, as_treated_max_mm : float or array
        Window after heat treatment, before grinding.
    finished_min_mm, finished_max_mm : float or array
        Window on the finished flank.
    left_stock_min_mm, left_stock_max_mm, right_stock_min_mm, right_stock_max_mm : float or array
        Grinding stock on each flank, normal to the flank.
    """

    as_treated_min_mm: Number
    as_treated_max_mm: Number
    finished_min_mm: Number
    finished_max_mm: Number
    left_stock_min_mm: Number
    left_stock_max_mm: Number
    right_stock_min_mm: Number
    right_stock_max_mm: Number

    def stock_mm(self, flank: str) -> tuple[Number, Number]:
        """The least and the largest stock of the left or the right flank."""
        if flank == "left":
            return self.left_stock_min_mm, self.left_stock_max_mm
        return self.right_stock_min_mm, self.right_stock_max_mm

    @property
    def least_stock_mm(self) -> Array:
        """The least stock of both flanks."""
        return np.minimum(array(self.left_stock_min_mm), array(self.right_stock_min_mm))

    @property
    def largest_stock_mm(self) -> Array:
        """The largest stock of both flanks."""
        return np.maximum(array(self.left_stock_max_mm), array(self.right_stock_max_mm))


@dataclass(frozen=True, kw_only=True)
class Subsurface:
    """What the criteria of fatigue below the surface ask for beside hardness and load.

    Parameters
    ----------
    friction : float or array
        μ of the flanks.
    inclusion_root_area_um : float or array
        √area of the largest inclusion to reckon with, µm.
    residual_stress : ResidualStress
        Which residual stress is added.
    hardness_scatter_HV : float, array or None
        Standard deviation of surface and core hardness from gear to gear, HV.
    load_scatter : float, array or None
        Standard deviation of the load from gear to gear, as a share of it.
    """

    friction: Number
    inclusion_root_area_um: Number
    residual_stress: ResidualStress
    hardness_scatter_HV: Number = None
    load_scatter: Number = None


@dataclass(frozen=True, kw_only=True)
class Mask:
    """The copper plate that keeps carbon from a place that stays soft.

    Parameters
    ----------
    practice : StopOff
        The process or the practice that asks for the thickness.
    plate_um : float or array
        Least thickness drawn, µm.
    distance_mm : float or array
        From the edge of the plate to what must stay soft, as drawn, mm.
    edge_tolerance_mm : float or array
        How far the edge may lie off its line, mm.
    soft_carbon_wt : float or array
        The carbon that must not come to what must stay soft, %.
    """

    practice: StopOff
    plate_um: Number
    distance_mm: Number
    edge_tolerance_mm: Number
    soft_carbon_wt: Number


class StepKind(StrEnum):
    """How a step of the furnace hands carbon over."""

    GAS = "gas"
    FLUX = "low pressure, by flux"
    SATURATED = "low pressure, saturated"
    SEALED = "no carbon"


@dataclass(frozen=True, kw_only=True)
class FurnaceStep:
    """One step of the furnace as it is written down; `review` makes a step of the calculation of it.

    Parameters
    ----------
    kind : StepKind
        How carbon is handed over.
    hours : float or array
        Time, h.
    temperature_C, end_temperature_C : float, array or None
        At its beginning and its end, °C; without an end it stays.
    carbon_potential_wt, transfer_m_s : float, array or None
        C_p in % and β in m/s, of gas alone.
    flux_g_m2_h : float, array or None
        Carbon supplied, g/(m²·h), of low pressure by flux alone.
    """

    kind: StepKind
    hours: Number
    temperature_C: Number
    end_temperature_C: Number = None
    carbon_potential_wt: Number = None
    transfer_m_s: Number = None
    flux_g_m2_h: Number = None


@dataclass(frozen=True, kw_only=True)
class Furnace:
    """How the gear is carburised, quenched and tempered.

    Parameters
    ----------
    steps : tuple of FurnaceStep
        The cycle in its order.
    core_carbon_wt : float or array
        Carbon before the furnace, %.
    diffusivity : DiffusivityModel
        The fit that carbon diffuses by.
    diffusivity_factor, saturation_factor : float or array
        Of the alloy, over plain iron-carbon.
    factors_source : str
        Where the two factors come from.
    band : str
        A name of the table of hardenability bands.
    section_mm : float or array
        Diameter of the round bar that cools like the tooth, mm.
    bath : str
        A name of the table of quench severities.
    quench_temperature_C : float or array
        Temperature that the quench reaches, °C.
    temper_temperature_C, temper_time_h : float or array
        The case temper, °C and h.
    depth_scatter_mm : float or array
        What the furnace holds the case depth to, ± mm.
    cold_temperature_C, cold_delay_h : float, array or None
        The cold treatment, °C, and how long after the quench it begins, h; None where there is none.
    tempered_before_cold : bool
        Whether the case is tempered before it.
    austenite_percent : float, array or None
        Retained austenite as measured at the surface, %, which replaces the prediction.
    surface_carbon_wt : float, array or None
        The carbon wanted at the surface, %, for which boost and diffuse times are solved.
    """

    steps: tuple[FurnaceStep, ...]
    core_carbon_wt: Number
    diffusivity: DiffusivityModel
    diffusivity_factor: Number
    saturation_factor: Number
    factors_source: str
    band: str
    section_mm: Number
    bath: str
    quench_temperature_C: Number
    temper_temperature_C: Number
    temper_time_h: Number
    depth_scatter_mm: Number
    cold_temperature_C: Number = None
    cold_delay_h: Number = None
    tempered_before_cold: bool = False
    austenite_percent: Number = None
    surface_carbon_wt: Number = None


@dataclass(frozen=True, kw_only=True)
class Grinding:
    """The finishing pass of the grind as the flank feels it, and how the stock that it takes off varies.

    What is None of the stock is not said, and nothing is counted for it.

    Parameters
    ----------
    equivalent_diameter_mm, depth_of_cut_mm : float or array
        d_e of wheel and flank, and a, mm.
    work_speed_mm_s : float or array
        v_w, mm/s.
    specific_energy_J_mm3 : float or array
        u, J/mm³, from the power of the spindle.
    flux : HeatFlux
        How the heat is spread over the contact.
    work_temperature_C : float or array
        Of the gear before the pass, °C.
    runout_mm, centring_mm : float, array or None
        Runout of the teeth as treated to the surfaces that they are held by, and eccentricity of the holding,
        mm.
    indexing_mm : float, array or None
        Standard deviation of indexing and pitch normal to the flank, mm.
    shift_mm : float, array or None
        Transverse shift of the wheel from the middle of the space, mm; positive takes more off the left
        flank.
    superfinish_min_mm, superfinish_max_mm : float, array or None
        What superfinishing takes off each flank after the grind, mm.
    """

    equivalent_diameter_mm: Number
    depth_of_cut_mm: Number
    work_speed_mm_s: Number
    specific_energy_J_mm3: Number
    flux: HeatFlux
    work_temperature_C: Number
    runout_mm: Number = None
    centring_mm: Number = None
    indexing_mm: Number = None
    shift_mm: Number = None
    superfinish_min_mm: Number = None
    superfinish_max_mm: Number = None
