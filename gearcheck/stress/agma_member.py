"""Stresses, limits and safety factors of one gear by ANSI/AGMA 2101."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.stress.agma_factors import bending_cycle_factor, pitting_cycle_factor, rim_factor
from gearcheck.stress.agma_inputs import AgmaMember, AgmaService
from gearcheck.stress.agma_limits import allowable_bending_MPa, allowable_contact_MPa

METHOD = Method(
    key="agma2101.member",
    title="Stresses and safety factors of one gear",
    source="ANSI/AGMA 2101",
    edition="D04",
    clause="pitting resistance and bending strength",
    status=Status.FROM_MEMORY,
    implements=("contact stress and bending stress, their allowable values and safety factors",),
    departures=("The whole depth is that of the tooth as drawn: half of d_a - d_f.",),
)


@dataclass(frozen=True, kw_only=True)
class AgmaMemberRating(Result):
    """The chain of one gear, from the load to S_H and S_F."""

    method: ClassVar[Method] = METHOD
    SHARED: ClassVar[tuple[str, ...]] = (
        "tangential_force_N",
        "working_pitch_diameter_mm",
        "face_width_mm",
        "transverse_module_mm",
        "overload_factor",
        "dynamic_factor",
        "load_distribution_factor",
        "surface_condition_factor",
        "elastic_coefficient",
        "temperature_factor",
        "reliability_factor",
    )
    tangential_force_N: Number = term("Transmitted tangential load", "F_t", "N")
    working_pitch_diameter_mm: Number = term("Operating pitch diameter of the pinion", "d_w1", "mm")
    face_width_mm: Number = term("Net face width", "b", "mm")
    transverse_module_mm: Number = term("Transverse module", "m_t", "mm")
    overload_factor: Number = term("Overload factor", "K_o")
    dynamic_factor: Number = term("Dynamic factor", "K_v")
    load_distribution_factor: Number = term("Load distribution factor", "K_H")
    surface_condition_factor: Number = term("Surface condition factor", "Z_R")
    elastic_coefficient: Number = term("Elastic coefficient", "Z_E", "√MPa")
    temperature_factor: Number = term("Temperature factor", "Y_θ")
    reliability_factor: Number = term("Reliability factor", "Y_Z")
    size_factor: Number = term("Size factor", "K_s")
    pitting_geometry_factor: Number = term("Geometry factor, pitting", "Z_I")
    bending_geometry_factor: Number = term("Geometry factor, bending", "Y_J")
    whole_depth_mm: Number = term("Whole depth", "h_t", "mm")
    rim_factor: Number = term(
        "Rim thickness factor", "K_B", words="1.6·ln(2.242·h_t/t_R) below t_R = 1.2·h_t, else 1"
    )
    load_cycles: Number = term("Stress cycles", "n_L")
    contact_number_MPa: Number = term("Allowable contact stress number", "σ_HP", "MPa")
    bending_number_MPa: Number = term("Allowable bending stress number", "σ_FP", "MPa")
    pitting_cycle_factor: Number = term(
        "Stress cycle factor, pitting",
        "Z_N",
        words="2.466·n_L^-0.056 from 1e4 to 1e7 cycles; beyond 1.4488·n_L^-0.023, "
        "in critical service the first line",
    )
    bending_cycle_factor: Number = term(
        "Stress cycle factor, bending",
        "Y_N",
        words="carburised 6.1514·n_L^-0.1192 from 1e3 to 3e6 cycles, through-hardened by hardness; beyond "
        "1.3558·n_L^-0.0178, in critical service 1.6831·n_L^-0.0323",
    )
    hardness_ratio_factor: Number = term(
        "Hardness ratio factor",
        "Z_W",
        words="1 of the pinion and of a carburised wheel; else by both hardnesses",
    )
    contact_stress_MPa: Number = term(
        "Contact stress", "σ_H", "MPa", "Z_E·√(F_t·K_o·K_v·K_s·K_H·Z_R/(d_w1·b·Z_I))"
    )
    permissible_contact_MPa: Number = term(
        "Permissible contact stress", "σ_H_zul", "MPa", "σ_HP·Z_N·Z_W/(Y_θ·Y_Z)"
    )
    contact_safety: Number = term("Safety factor, pitting", "S_H", "", "σ_H_zul/σ_H")
    bending_stress_MPa: Number = term("Bending stress", "σ_F", "MPa", "F_t·K_o·K_v·K_s·K_H·K_B/(b·m_t·Y_J)")
    permissible_bending_MPa: Number = term(
        "Permissible bending stress", "σ_F_zul", "MPa", "σ_FP·Y_N/(Y_θ·Y_Z)"
    )
    bending_safety: Number = term("Safety factor, bending", "S_F", "", "σ_F_zul/σ_F")


def agma_member_rating(
    *,
    gear: AgmaMember,
    pitting_geometry_factor: Number,
    bending_geometry_factor: Number,
    whole_depth_mm: Number,
    hardness_ratio_factor: Number,
    service: AgmaService,
    **shared: Number,
) -> AgmaMemberRating:
    """Return stresses, limits and safety factors of one gear, its geometry factors given.

    Parameters
    ----------
    gear : AgmaMember
        Material, life, rim.
    pitting_geometry_factor, bending_geometry_factor : float or array
        Z_I and Y_J.
    whole_depth_mm : float or array
        h_t in mm, for the rim.
    hardness_ratio_factor : float or array
        Z_W.
    service : AgmaService
        Line of the stress cycle factors beyond the knee.
    **shared : float or array
        What both gears share: the names in `AgmaMemberRating.SHARED`.

    Returns
    -------
    AgmaMemberRating
        σ_H, σ_F, S_H, S_F with every factor.
    """
    given = {name: array(value) for name, value in shared.items()}
    values: dict[str, Any] = {
        **given,
        "size_factor": array(gear.size_factor),
        "pitting_geometry_factor": array(pitting_geometry_factor),
        "bending_geometry_factor": array(bending_geometry_factor),
        "whole_depth_mm": array(whole_depth_mm),
        "rim_factor": rim_factor(
            rim_thickness_mm=gear.rim_thickness_mm, whole_depth_mm=array(whole_depth_mm)
        ),
        "load_cycles": array(gear.load_cycles),
        "contact_number_MPa": allowable_contact_MPa(gear=gear),
        "bending_number_MPa": allowable_bending_MPa(gear=gear),
        "pitting_cycle_factor": pitting_cycle_factor(load_cycles=gear.load_cycles, service=service),
        "bending_cycle_factor": bending_cycle_factor(
            load_cycles=gear.load_cycles,
            hardening=gear.hardening,
            hardness_HB=gear.hardness_HB,
            service=service,
        ),
        "hardness_ratio_factor": array(hardness_ratio_factor),
    }
    return AgmaMemberRating(**values, **_stresses(values))


def _stresses(values: dict[str, Any]) -> dict[str, Any]:
    load = values["tangential_force_N"] * values["overload_factor"] * values["dynamic_factor"]
    load = load * values["size_factor"] * values["load_distribution_factor"]
    b, d_w1, m_t = (
        values[f"{name}_mm"] for name in ("face_width", "working_pitch_diameter", "transverse_module")
    )
    pressed = load * values["surface_condition_factor"] / (d_w1 * b * values["pitting_geometry_factor"])
    sigma_H = values["elastic_coefficient"] * np.sqrt(pressed)
    sigma_F = load * values["rim_factor"] / (b * m_t * values["bending_geometry_factor"])
    weakened = values["temperature_factor"] * values["reliability_factor"]
    limit_H = values["contact_number_MPa"] * values["pitting_cycle_factor"]
    limit_H = limit_H * values["hardness_ratio_factor"] / weakened
    limit_F = values["bending_number_MPa"] * values["bending_cycle_factor"] / weakened
    return {
        "contact_stress_MPa": sigma_H,
        "permissible_contact_MPa": limit_H,
        "contact_safety": limit_H / sigma_H,
        "bending_stress_MPa": sigma_F,
        "permissible_bending_MPa": limit_F,
        "bending_safety": limit_F / sigma_F,
    }
