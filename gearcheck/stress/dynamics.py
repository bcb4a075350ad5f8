"""Dynamic factor K_V of ISO 6336-1, method B, over all ranges of speed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, NamedTuple

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.involute import root
from gearcheck.gear.notices import flagged
from gearcheck.stress.inputs import SupercriticalKv
from gearcheck.stress.numbers import by_range

METHOD = Method(
    key="iso6336_1.dynamic_factor",
    title="Dynamic factor",
    source="ISO 6336-1",
    edition="2019",
    clause="clause 6, method B",
    status=Status.FROM_MEMORY,
    implements=(
        "subcritical, main resonance, intermediate and supercritical range",
        "reduced mass of two discs, solid or with a bore",
    ),
    leaves_out=(
        "webs and hubs in the reduced mass",
        "resonance of further meshes, of shafts and of webs; planetary gears",
        "reduction of the deviations in the subcritical range for special profile modifications",
    ),
    departures=(
        "Whether K_V may fall below 1 above the resonance follows the reading chosen.",
        "The line load in B_p, B_f, B_k and in the threshold of 100 N/mm counts K_γ, where the text has "
        "F_t·K_A/b.",
    ),
)


class DynamicCoefficients(NamedTuple):
    """C_v1 to C_v7."""

    C_v1: Array
    C_v2: Array
    C_v3: Array
    C_v4: Array
    C_v5: Array
    C_v6: Array
    C_v7: Array


@dataclass(frozen=True, kw_only=True)
class DynamicFactor(Result):
    """Dynamic factor with resonance ratio and the shares of the deviations."""

    method: ClassVar[Method] = METHOD
    pinion_speed_rpm: Number = term("Speed of the pinion", "n_1", "1/min")
    pinion_teeth: Number = term("Teeth of the pinion", "z_1")
    gear_ratio: Number = term("Gear ratio", "u")
    pinion_base_diameter_mm: Number = term("Base diameter of the pinion", "d_b1", "mm")
    pinion_mean_diameter_mm: Number = term("Mean of tip and root diameter of the pinion", "d_m1", "mm")
    pinion_density_kg_mm3: Number = term("Density of the pinion", "ρ_1", "kg/mm³")
    wheel_density_kg_mm3: Number = term("Density of the wheel", "ρ_2", "kg/mm³")
    pinion_inertia_share: Number = term("Inertia of the pinion against a solid disc", "j_1")
    wheel_inertia_share: Number = term("Inertia of the wheel against a solid disc", "j_2")
    total_contact_ratio: Number = term("Total contact ratio", "ε_γ")
    line_load_N_mm: Number = term("Line load with K_A and K_γ", "w", "N/mm")
    single_stiffness: Number = term("Single stiffness", "c′", "N/(mm·µm)")
    mesh_stiffness: Number = term("Mesh stiffness", "c_γα", "N/(mm·µm)")
    pitch_deviation_um: Number = term("Base pitch deviation after running-in", "f_pbeff", "µm")
    form_deviation_um: Number = term("Profile form deviation after running-in", "f_fαeff", "µm")
    tip_relief_um: Number = term("Tip relief that counts", "C_a", "µm")
    reduced_mass_kg_mm: Number = term(
        "Reduced mass per millimetre of face width",
        "m_red",
        "kg/mm",
        "π/8·(d_m1/d_b1)^2·d_m1^2/(1/(j_1·ρ_1) + 1/(j_2·ρ_2·u^2))",
    )
    resonance_ratio: Number = term("Resonance ratio", "N", "", "n_1·π·z_1/30000·√(m_red/c_γα)")
    resonance_start: Number = term(
        "Lower limit of the main resonance", "N_S", words="0.85; below 100 N/mm 0.5 + 0.35·√(w/100)"
    )
    pitch_share: Number = term("Share of the pitch deviation", "B_p", "", "c′·f_pbeff/w")
    form_share: Number = term("Share of the form deviation", "B_f", "", "c′·f_fαeff/w")
    relief_share: Number = term(
        "Share of the tip relief",
        "B_k",
        words="|1 - c′·C_a/w|; 1 where the reading does not count tip relief",
    )
    C_v1: Number = term("Pitch deviation, below and at resonance", "C_v1", words="table over ε_γ")
    C_v2: Number = term("Form deviation, below and at resonance", "C_v2", words="table over ε_γ")
    C_v3: Number = term("Change of stiffness, below resonance", "C_v3", words="table over ε_γ")
    C_v4: Number = term("Change of stiffness, at resonance", "C_v4", words="table over ε_γ")
    C_v5: Number = term("Pitch deviation, supercritical", "C_v5", words="table over ε_γ")
    C_v6: Number = term("Form deviation, supercritical", "C_v6", words="table over ε_γ")
    C_v7: Number = term("Change of stiffness, supercritical", "C_v7", words="table over ε_γ")
    subcritical_factor: Number = term(
        "Dynamic factor if subcritical", "K_Vsub", "", "N·(C_v1·B_p + C_v2·B_f + C_v3·B_k) + 1"
    )
    resonant_factor: Number = term(
        "Dynamic factor if in main resonance", "K_Vres", "", "C_v1·B_p + C_v2·B_f + C_v4·B_k + 1"
    )
    supercritical_factor: Number = term(
        "Dynamic factor if supercritical",
        "K_Vsup",
        words="C_v5·B_p + C_v6·B_f + C_v7, by the primary reading not below 1",
    )
    dynamic_factor: Number = term(
        "Dynamic factor",
        "K_V",
        words="up to N_S K_Vsub; up to 1.15 K_Vres; from 1.5 K_Vsup; between 1.15 and 1.5 in a straight line",
    )


def dynamic_coefficients(*, total_contact_ratio: Number) -> DynamicCoefficients:
    """Return the coefficients of the dynamic factor.

    C_v1 to C_v7 by the table over ε_γ, with its small jumps at ε_γ = 2.

    Parameters
    ----------
    total_contact_ratio : float or array
        ε_γ.

    Returns
    -------
    DynamicCoefficients
        C_v1 to C_v7.

    Notes
    -----
    Source: ISO 6336-1:2019, table of C_v, from memory.
    Valid for: ε_γ above 1.
    Departures: none; the jumps at 2 are the standard's own.
    Checked: ISO1-07.

    Examples
    --------
    >>> print(round(float(dynamic_coefficients(total_contact_ratio=2.5).C_v2), 5))
    0.25909
    """
    value = table("iso6336_1_factors").value
    ratio = array(total_contact_ratio)
    same = ratio * 0  # the shape of the ratio, NaN where it is NaN
    high = np.maximum(ratio, 2.0)

    def above_two(name: str) -> Array:
        return array(value(f"{name} above 2, numerator") / (high - value(f"{name} above 2, offset")))

    resonant = value("C_v4 above 2, numerator") - value("C_v4 above 2, slope") * high
    wave = value("C_v7, amplitude") * np.sin(np.pi * (ratio - 2)) + value("C_v7 at 2")
    return DynamicCoefficients(
        C_v1=value("C_v1") + same,
        C_v2=by_range(ratio, (2.0,), (value("C_v2"), above_two("C_v2"))),
        C_v3=by_range(ratio, (2.0,), (value("C_v3"), above_two("C_v3"))),
        C_v4=by_range(ratio, (2.0,), (value("C_v4"), resonant / (high - value("C_v4 above 2, offset")))),
        C_v5=value("C_v5") + same,
        C_v6=by_range(ratio, (2.0,), (value("C_v6"), above_two("C_v6"))),
        C_v7=by_range(ratio, (1.5, 2.5), (value("C_v7 to 1.5"), wave, value("C_v7 above 2.5"))),
    )


def dynamic_factor(
    *,
    pinion_speed_rpm: Number,
    pinion_teeth: Number,
    gear_ratio: Number,
    pinion_base_diameter_mm: Number,
    pinion_mean_diameter_mm: Number,
    pinion_density_kg_mm3: Number,
    wheel_density_kg_mm3: Number,
    total_contact_ratio: Number,
    line_load_N_mm: Number,
    single_stiffness: Number,
    mesh_stiffness: Number,
    pitch_deviation_um: Number,
    form_deviation_um: Number,
    tip_relief_um: Number,
    supercritical_kv: SupercriticalKv,
    pinion_inertia_share: Number = 1.0,
    wheel_inertia_share: Number = 1.0,
) -> DynamicFactor:
    """Return the dynamic factor.

    N = n_1/n_E1; K_V from B_p, B_f, B_k and C_v1 to C_v7 by the range of N

    Parameters
    ----------
    pinion_speed_rpm, pinion_teeth, gear_ratio : float or array
        n_1 in 1/min, z_1, u = z_2/z_1.
    pinion_base_diameter_mm, pinion_mean_diameter_mm : float or array
        d_b1 and d_m1 = (d_a1 + d_f1)/2 in mm.
    pinion_density_kg_mm3, wheel_density_kg_mm3 : float or array
        ρ of both gears in kg/mm³.
    total_contact_ratio : float or array
        ε_γ.
    line_load_N_mm : float or array
        F_t K_A K_γ/b in N/mm.
    single_stiffness, mesh_stiffness : float or array
        c' and c_γα in N/(mm·µm).
    pitch_deviation_um, form_deviation_um : float or array
        f_pb and f_fα after running-in, in µm.
    tip_relief_um : float or array
        The tip relief that counts in B_k, in µm; 0 gives B_k = 1.
    supercritical_kv : SupercriticalKv
        Whether K_V may fall below 1 above the resonance.
    pinion_inertia_share, wheel_inertia_share : float or array
        1 - q⁴ of both gears, q the bore over the mean diameter; 1 for a solid disc.

    Returns
    -------
    DynamicFactor
        m_red, N, N_S, B and C_v factors, K_V; a caution in the main resonance.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 6, method B, coefficients from memory.
    Valid for: one mesh of two discs.
    Departures: K_V above the resonance is not below 1, by the primary reading; the line load counts K_γ.
    Checked: ISO1-07 for the coefficients; the ranges by their meeting points.

    Examples
    --------
    >>> k = dynamic_factor(
    ...     pinion_speed_rpm=1500, pinion_teeth=20, gear_ratio=3, pinion_base_diameter_mm=75.175,
    ...     pinion_mean_diameter_mm=79, pinion_density_kg_mm3=7.83e-6, wheel_density_kg_mm3=7.83e-6,
    ...     total_contact_ratio=1.6, line_load_N_mm=400, single_stiffness=13, mesh_stiffness=19,
    ...     pitch_deviation_um=6, form_deviation_um=5, tip_relief_um=0,
    ...     supercritical_kv=SupercriticalKv.NOT_BELOW_1)
    >>> round(k.resonance_ratio, 4), round(k.dynamic_factor, 4)
    (0.0995, 1.0346)
    """
    given = {
        "pinion_speed_rpm": array(pinion_speed_rpm),
        "pinion_teeth": array(pinion_teeth),
        "gear_ratio": array(gear_ratio),
        "pinion_base_diameter_mm": array(pinion_base_diameter_mm),
        "pinion_mean_diameter_mm": array(pinion_mean_diameter_mm),
        "pinion_density_kg_mm3": array(pinion_density_kg_mm3),
        "wheel_density_kg_mm3": array(wheel_density_kg_mm3),
        "pinion_inertia_share": array(pinion_inertia_share),
        "wheel_inertia_share": array(wheel_inertia_share),
        "total_contact_ratio": array(total_contact_ratio),
        "line_load_N_mm": array(line_load_N_mm),
        "single_stiffness": array(single_stiffness),
        "mesh_stiffness": array(mesh_stiffness),
        "pitch_deviation_um": array(pitch_deviation_um),
        "form_deviation_um": array(form_deviation_um),
        "tip_relief_um": array(tip_relief_um),
    }
    resonance, shares = _resonance(given), _shares(given)
    ratio, start = resonance["resonance_ratio"], resonance["resonance_start"]
    coefficients = dynamic_coefficients(total_contact_ratio=total_contact_ratio)
    ranges = _ranges(ratio, shares, coefficients, supercritical_kv)
    return DynamicFactor(
        **given,
        **resonance,
        **shares,
        **coefficients._asdict(),
        **ranges,
        dynamic_factor=_by_speed(ratio, start, *ranges.values()),
        notices=_notices(ratio, start),
    )


def _resonance(given: dict[str, Array]) -> dict[str, Array]:
    mass = _reduced_mass(
        given["pinion_mean_diameter_mm"],
        given["pinion_base_diameter_mm"],
        given["pinion_inertia_share"] * given["pinion_density_kg_mm3"],
        given["wheel_inertia_share"] * given["wheel_density_kg_mm3"] * given["gear_ratio"] ** 2,
    )
    tooth_speed = given["pinion_speed_rpm"] * np.pi * given["pinion_teeth"] / 30000
    return {
        "reduced_mass_kg_mm": mass,
        "resonance_ratio": tooth_speed * root(mass / given["mesh_stiffness"]),
        "resonance_start": _resonance_start(given["line_load_N_mm"]),
    }


def _shares(given: dict[str, Array]) -> dict[str, Array]:
    """B_p, B_f and B_k: deviations over the deflection under load."""
    per_um = given["single_stiffness"] / given["line_load_N_mm"]
    return {
        "pitch_share": per_um * given["pitch_deviation_um"],
        "form_share": per_um * given["form_deviation_um"],
        "relief_share": np.abs(1 - per_um * given["tip_relief_um"]),
    }


def _ranges(
    ratio: Array, shares: dict[str, Array], c: DynamicCoefficients, reading: SupercriticalKv
) -> dict[str, Array]:
    """K_V as it would be below, at and above the resonance, in this order."""
    pitch, form, relief = shares["pitch_share"], shares["form_share"], shares["relief_share"]
    deviations = c.C_v1 * pitch + c.C_v2 * form
    supercritical = c.C_v5 * pitch + c.C_v6 * form + c.C_v7
    if reading is SupercriticalKv.NOT_BELOW_1:
        supercritical = np.maximum(supercritical, 1.0)
    return {
        "subcritical_factor": ratio * (deviations + c.C_v3 * relief) + 1,
        "resonant_factor": deviations + c.C_v4 * relief + 1,
        "supercritical_factor": supercritical,
    }


def _reduced_mass(mean: Array, base: Array, pinion_density: Array, wheel_density_u2: Array) -> Array:
    return np.pi / 8 * (mean / base) ** 2 * mean**2 / (1 / pinion_density + 1 / wheel_density_u2)


def _resonance_start(line_load: Array) -> Array:
    low = table("iso6336_1_factors").value("resonance, lower limit at no load")
    high = table("iso6336_1_factors").value("resonance, lower limit")
    light = table("iso6336_1_stiffness").value("light line load")
    start: Array = low + (high - low) * np.sqrt(np.minimum(line_load / light, 1.0))
    return start


def _by_speed(ratio: Array, start: Array, subcritical: Array, resonant: Array, supercritical: Array) -> Array:
    end = table("iso6336_1_factors").value("resonance, upper limit")
    above = table("iso6336_1_factors").value("supercritical, lower limit")
    between = supercritical + (resonant - supercritical) * (above - ratio) / (above - end)
    high = by_range(ratio, (end, above), (resonant, between, supercritical))
    return np.where(ratio <= start, subcritical, high)


def _notices(ratio: Array, start: Array) -> tuple[Notice, ...]:
    end = table("iso6336_1_factors").value("resonance, upper limit")
    text = (
        "Resonance ratio N = {ratio:.3g} lies in the main resonance, {start:.3g} to {end:.3g}: to be avoided."
    )
    resonant = np.asarray((ratio > start) & (ratio <= end))
    key = "iso6336_1.main_resonance"
    return tuple(flagged(resonant, Level.CAUTION, key, text, ratio=ratio, start=start, end=end))
