"""What ISO 6336-5 allows a steel to stand, and what it asks of its hardness."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.hardness import HV_from_HRC
from gearcheck.materials.inputs import Steel, Treatment
from gearcheck.materials.steels import known_steel
from gearcheck.materials.treated import METHOD_TREATED, treated_lines

METHOD = Method(
    key="iso6336_5.strength_limits",
    title="Allowable stress numbers of a case-carburised steel",
    source="ISO 6336-5",
    edition="2016",
    clause="case-carburised wrought steels",
    status=Status.FROM_MEMORY,
    implements=("material qualities ML, MQ, ME at 1 % failure",),
    leaves_out=(
        "other heat treatments: by lines of their own",
        "cleanness, grain size, microstructure and the other requirements of a quality",
        "reliability other than 1 % failure",
    ),
    departures=(
        "MQ with a core from 25 to below 30 HRC takes the bending line 461 only where a hardenability of "
        "28 HRC or more at 12 mm from the quenched end is given; else 425.",
        "MQ with a core below 25 HRC lies outside the quality: the lowest MQ line, 425, with a caution.",
        "Core limits in HRC are compared in HV by ASTM E140.",
    ),
)
_BY_QUALITY = "table of ISO 6336-5, by quality"


@dataclass(frozen=True, kw_only=True)
class StrengthLimits(Result):
    """Allowable stress numbers, the hardness that the quality asks for, and the elastic constants."""

    method: ClassVar[Method] = METHOD
    grade: str
    quality: str
    treatment: Treatment = Treatment.CASE_CARBURISED
    surface_hardness_HV: Number = term("Lowest specified surface hardness", "HV_s", "HV")
    core_hardness_HV: Number = term("Lowest specified core hardness", "HV_c", "HV")
    hardenability_HRC: Number = term("Lowest hardness at 12 mm from the quenched end", "HRC_J12", "HRC")
    surface_hardness_min_HV: Number = term(
        "Lowest surface hardness of the quality", "HV_smin", "HV", words=_BY_QUALITY
    )
    surface_hardness_max_HV: Number = term(
        "Highest surface hardness of the quality",
        "HV_smax",
        "HV",
        words="table of ISO 6336-5, by quality; ML has none",
    )
    core_hardness_min_HRC: Number = term(
        "Lowest core hardness of the quality", "HRC_cmin", "HRC", words=_BY_QUALITY
    )
    core_hardness_min_HV: Number = term(
        "The same in Vickers", "HV_cmin", "HV", words="HRC_cmin converted by ASTM E140"
    )
    flank_limit_MPa: Number = term("Allowable stress number, contact", "σ_Hlim", "MPa", words=_BY_QUALITY)
    root_limit_MPa: Number = term(
        "Nominal stress number, bending",
        "σ_Flim",
        "MPa",
        words="table of ISO 6336-5, by quality and, in MQ, by core hardness and hardenability",
    )
    stress_correction: Number = term("Stress correction of the reference test gear", "Y_ST")
    unnotched_limit_MPa: Number = term("Allowable stress number, bending", "σ_FE", "MPa", "σ_Flim·Y_ST")
    elastic_modulus_MPa: Number = term("Modulus of elasticity", "E", "MPa")
    poisson_ratio: Number = term("Poisson's ratio", "ν")
    density_kg_mm3: Number = term("Density", "ρ", "kg/mm³")


@dataclass(frozen=True, kw_only=True)
class TreatedLimits(StrengthLimits):
    """The same of a steel that is hardened otherwise."""

    method: ClassVar[Method] = METHOD_TREATED


def strength_limits(*, steel: Steel) -> StrengthLimits:
    """Return what a steel is allowed to stand by its heat treatment, material quality and hardness.

    σ_FE = σ_Flim · Y_ST, with σ_Hlim and σ_Flim from the table of ISO 6336-5: constant for a case and for
    nitrided steel, A · HV + B for through-hardened and induction-hardened steel

    Parameters
    ----------
    steel : Steel
        Grade, quality, treatment, lowest surface and core hardness in HV, hardenability in HRC or None.

    Returns
    -------
    StrengthLimits
        σ_Hlim, σ_Flim, σ_FE in MPa; σ_Flim of a case has the shape of core hardness and hardenability
        together, those of a through-hardened steel the shapes of its hardness.

    Raises
    ------
    InputError
        A grade that is not known for the treatment, or carbon steel for gas nitriding.

    Notes
    -----
    Source: ISO 6336-5:2016, values from memory.
    Valid for: wrought steel within the hardness limits of its quality; outside, a caution.
    Departures: MQ with a core below 25 HRC takes the lowest MQ line, with a caution; a line A · HV + B is
    held at its upper end and goes on below its lower end.
    Checked: ISO5-01, ISO5-TREATED.

    Examples
    --------
    >>> from gearcheck.materials.inputs import Quality, Treatment
    >>> steel = Steel(grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320)
    >>> limits = strength_limits(steel=steel)
    >>> limits.flank_limit_MPa, limits.root_limit_MPa, limits.unnotched_limit_MPa
    (1500.0, 500.0, 1000.0)
    >>> soft = strength_limits(steel=Steel(
    ...     grade="42CrMo4", quality=Quality.MQ, surface_hardness_HV=300, core_hardness_HV=None,
    ...     treatment=Treatment.THROUGH_HARDENED))
    >>> round(soft.flank_limit_MPa, 1), round(soft.root_limit_MPa, 1)
    (766.9, 314.5)
    """
    if steel.treatment is Treatment.CASE_CARBURISED:
        return _case(steel)
    lines = treated_lines(steel)
    return TreatedLimits(
        **_common(steel, lines.root_limit),
        surface_hardness_min_HV=lines.low_HV,
        surface_hardness_max_HV=lines.high_HV,
        core_hardness_min_HRC=None,
        core_hardness_min_HV=None,
        flank_limit_MPa=lines.flank_limit,
        notices=lines.notices,
    )


def _case(steel: Steel) -> StrengthLimits:
    rows = [row for row in table("iso6336_5_case_carburised").rows if row["quality"] == steel.quality]
    core_min_HRC = rows[0]["core_min_HRC"]
    core_min = HV_from_HRC(hardness_HRC=core_min_HRC).hardness_HV
    bending = _bending_limit(rows, array(steel.core_hardness_HV), array(steel.hardenability_HRC))
    return StrengthLimits(
        **_common(steel, bending),
        surface_hardness_min_HV=rows[0]["surface_min_HV"],
        surface_hardness_max_HV=rows[0].get("surface_max_HV"),
        core_hardness_min_HRC=core_min_HRC,
        core_hardness_min_HV=core_min,
        flank_limit_MPa=rows[0]["sigma_Hlim"],
        notices=_notices(steel, rows, bending, float(core_min)),
    )


def _common(steel: Steel, bending: Array) -> dict[str, Any]:
    stress_correction = table("iso6336_3_limits").value("Y_ST")
    steel_values = table("steel_properties").value
    return {
        "grade": known_steel(steel.grade, treatment=steel.treatment),
        "quality": str(steel.quality),
        "treatment": steel.treatment,
        "surface_hardness_HV": steel.surface_hardness_HV,
        "core_hardness_HV": array(steel.core_hardness_HV),
        "hardenability_HRC": steel.hardenability_HRC,
        "root_limit_MPa": bending,
        "stress_correction": stress_correction,
        "unnotched_limit_MPa": bending * stress_correction,
        "elastic_modulus_MPa": steel_values("modulus of elasticity"),
        "poisson_ratio": steel_values("Poisson's ratio"),
        "density_kg_mm3": steel_values("density"),
    }


def _bending_limit(rows: list[Mapping[str, Any]], core: Array, hardenability: Array) -> Array:
    """The lowest line of the quality, and where a higher line has the core and hardenability, that line."""
    limit = np.where(np.isnan(core), np.nan, rows[0]["sigma_Flim"])
    for row in rows[1:]:
        reached = core >= HV_from_HRC(hardness_HRC=row["core_min_HRC"]).hardness_HV
        if "hardenability_min_HRC" in row:
            reached = reached & (hardenability >= row["hardenability_min_HRC"])
        limit = np.where(reached, row["sigma_Flim"], limit)
    return limit


def _notices(
    steel: Steel, rows: list[Mapping[str, Any]], bending: Array, core_min: float
) -> tuple[Notice, ...]:
    quality, found = steel.quality, []
    surface, core = array(steel.surface_hardness_HV), array(steel.core_hardness_HV)
    low, high = rows[0]["surface_min_HV"], rows[0].get("surface_max_HV", np.inf)
    outside = surface[(surface < low) | (surface > high)]
    if outside.size:
        asked = f"{low:g} HV or more" if np.isinf(high) else f"{low:g} to {high:g} HV"
        text = f"Surface hardness {outside.flat[0]:.4g} HV lies outside quality {quality}: {asked}."
        found.append(Notice(Level.CAUTION, "iso6336_5.surface_hardness", text))
    soft = core[core < core_min]
    if soft.size:
        text = f"Core hardness {soft.flat[0]:.4g} HV lies below quality {quality}: {core_min:g} HV or more."
        found.append(Notice(Level.CAUTION, "iso6336_5.core_hardness", text))
    for row in rows:
        if "hardenability_min_HRC" in row and np.any((bending == rows[0]["sigma_Flim"]) & (core >= core_min)):
            text = (
                f"σ_Flim = {rows[0]['sigma_Flim']:g} MPa, since no hardenability of "
                f"{row['hardenability_min_HRC']:g} HRC or more at 12 mm from the quenched end is given; "
                f"with it, it is {row['sigma_Flim']:g} MPa."
            )
            found.append(Notice(Level.NOTE, "iso6336_5.hardenability", text))
    return tuple(found)
