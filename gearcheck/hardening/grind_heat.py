"""Temperature of the ground flank: a moving band of heat with the energy that goes into the work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.hardening.moving_band import (
    HeatFlux,
    band_constant,
    fast_constant,
    heated_depth,
    largest_heated,
)

HEAT = Method(
    key="jaeger.grind_heat",
    title="Temperature of the ground flank",
    source="Jaeger, Moving sources of heat; Malkin, Grinding Technology",
    edition="1942; 1989",
    clause="moving band of heat; energy partition; line of rehardening burn",
    status=Status.FROM_MEMORY,
    valid=(
        Range("peclet", "L", 1e-3, np.inf, "", Level.STOP),
        Range("partition", "ε", 0, 1, "", Level.STOP),
    ),
    implements=(
        "Jaeger's integral at the surface for uniform and triangular flux at any Peclet number",
        "half-space under a flux for the depth, scaled to the surface by Jaeger's integral",
        "energy into the work by a given share, or all but 45 % of the chip formation energy",
    ),
    leaves_out=(
        "coolant in the contact and its film boiling: a given share may hold it",
        "properties that change with temperature",
        "heat left over from the passes before, other than in the temperature of the work",
        "edges, tips and chamfers, which run hotter than the flat flank",
        "the specific energy's own change with depth of cut, speed, and the wear of the wheel",
    ),
    departures=(
        "The line of burn is that of rehardening; a case tempered at 150 to 180 °C softens far below it.",
    ),
)

_SLOW_BAND = 5.0


@dataclass(frozen=True, kw_only=True)
class GrindHeat(Result):
    """Heat and temperature of one grinding pass, and the line of rehardening burn."""

    method: ClassVar[Method] = HEAT
    equivalent_diameter_mm: Number = term("Equivalent diameter of wheel and work", "d_e", "mm")
    depth_of_cut_mm: Number = term("Depth of cut", "a", "mm")
    work_speed_mm_s: Number = term("Speed of the work", "v_w", "mm/s")
    specific_energy_J_mm3: Number = term("Specific grinding energy", "u", "J/mm³")
    conductivity_W_mK: Number = term("Heat conductivity", "k", "W/(m·K)")
    diffusivity_mm2_s: Number = term("Thermal diffusivity", "α", "mm²/s")
    work_temperature_C: Number = term("Temperature of the work before the pass", "T_0", "°C")
    partition: Number = term(
        "Share of the energy that goes into the work", "ε", words="as given, or 1 - 0.45·13.8/u"
    )
    contact_length_mm: Number = term("Length of contact", "l_c", "mm", "√(a·d_e)")
    contact_time_s: Number = term("Time of contact", "t_c", "s", "l_c/v_w")
    flux_W_mm2: Number = term("Mean heat flux into the work", "q", "W/mm²", "ε·u·a·v_w/l_c")
    peclet: Number = term("Peclet number", "L", "", "v_w·l_c/(4·α)")
    constant: Number = term("Constant of the moving band", "C", words="largest of Jaeger's integral")
    fast_constant: Number = term(
        "Constant of a fast band", "C_f", words="2/√π for uniform flux, 0.943 of it for the triangle"
    )
    rise_K: Number = term("Rise of the surface", "θ", "K", "1000·C·q·√(α·l_c/v_w)/k")
    fast_rise_K: Number = term("Rise of the surface by a fast band", "θ_f", "K", "1000·C_f·q·√(α·l_c/v_w)/k")
    surface_temperature_C: Number = term("Peak temperature of the surface", "T_s", "°C", "T_0 + θ")
    burn_energy_J_mm3: Number = term(
        "Specific energy at which the flank rehardens", "u_b", "J/mm³", "6.2 + 7.2·d_e^0.25/(a^0.75·√(v_w))"
    )
    burn_share: Number = term("Share of the line of rehardening burn", "r_b", "", "u/u_b")
    flux: HeatFlux = HeatFlux.UNIFORM
    partition_given: Number | None = None


@dataclass(frozen=True, kw_only=True)
class GrindTemperature(Result):
    """Temperature below the ground flank; depths on the last axis."""

    method: ClassVar[Method] = HEAT
    depth_mm: Number = term("Depth below the ground surface", "z", "mm")
    end_rise_K: Number = term("Rise at the end of contact", "θ_e", "K", words="half-space under a flux")
    largest_rise_K: Number = term("Largest rise at that depth", "θ_z", "K", words="the largest over time")
    work_temperature_C: Number = term("Temperature of the work before the pass", "T_0", "°C")
    largest_temperature_C: Number = term("Peak temperature at that depth", "T_z", "°C", "T_0 + θ_z")


def chip_partition(*, specific_energy_J_mm3: Number) -> Array:
    """Return the share of the grinding energy that goes into the work when the chip carries its part off.

    ε = 1 - 0.45 · 13.8/u

    Parameters
    ----------
    specific_energy_J_mm3 : float or array
        u, J/mm³.

    Returns
    -------
    ndarray of float
        ε; NaN where the chip would carry all of it.

    Notes
    -----
    Source: Malkin, from memory.
    Valid for: dry conventional wheels; a coolant or a wheel that conducts takes more, so that ε is on the
    safe side.
    Departures: none.
    Checked: GRIND-05, GRIND-06.
    """
    values = table("grind_heat").value
    carried = values("share of it carried by the chip") * values("chip formation energy")
    u = array(specific_energy_J_mm3)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(u > carried, 1 - carried / u, np.nan)


def burn_energy_J_mm3(  # noqa: N802 - carries its unit
    *, equivalent_diameter_mm: Number, depth_of_cut_mm: Number, work_speed_mm_s: Number
) -> Array:
    """Return the specific energy at which the flank rehardens.

    u_b = 6.2 + 7.2 d_e^0.25 a^-0.75 v_w^-0.5

    Parameters
    ----------
    equivalent_diameter_mm, depth_of_cut_mm : float or array
        d_e and a, mm.
    work_speed_mm_s : float or array
        v_w, mm/s.

    Returns
    -------
    ndarray of float
        u_b in J/mm³.

    Notes
    -----
    Source: Malkin, from memory.
    Valid for: plain carbon and low-alloy steels. It is the limit of rehardening; temper burn comes earlier.
    Departures: none.
    Checked: GRIND-04, GRIND-05.
    """
    values = table("grind_heat").value
    d_e, a, v_w = array(equivalent_diameter_mm), array(depth_of_cut_mm), array(work_speed_mm_s)
    return values("burn start") + values("burn slope") * d_e**0.25 / (a**0.75 * np.sqrt(v_w))


def grind_heat(
    *,
    equivalent_diameter_mm: Number,
    depth_of_cut_mm: Number,
    work_speed_mm_s: Number,
    specific_energy_J_mm3: Number,
    partition: Number | None,
    flux: HeatFlux,
    conductivity_W_mK: Number,
    diffusivity_mm2_s: Number,
    work_temperature_C: Number,
) -> GrindHeat:
    """Return the peak temperature of a flank in one grinding pass.

    θ = C q √(α l_c/v_w)/k, q = ε u a v_w/l_c, l_c = √(a d_e)

    Parameters
    ----------
    equivalent_diameter_mm, depth_of_cut_mm : float or array
        d_e and a normal to the flank, mm.
    work_speed_mm_s : float or array
        v_w of the work past the wheel, mm/s.
    specific_energy_J_mm3 : float or array
        u: power over volume removed in a second, J/mm³.
    partition : float, array or None
        ε, the share of the energy that goes into the work; None: all but what the chip carries off.
    flux : HeatFlux
        How the heat is spread over the contact.
    conductivity_W_mK, diffusivity_mm2_s : float or array
        k in W/(m·K) and α in mm²/s of the work.
    work_temperature_C : float or array
        T_0 before the pass, °C.

    Returns
    -------
    GrindHeat
        Every step, and the line of rehardening burn; a stop notice and no value where the chip would
        carry off all of the energy.

    Raises
    ------
    InputError
        A length, speed, energy or property that is not above 0.

    Notes
    -----
    Source: Jaeger; Malkin; from memory.
    Valid for: a Peclet number above 0.001; below 5 the temperature over depth is too high, a caution.
    Departures: none at the surface.
    Checked: GRIND-04, GRIND-05, GRIND-06, GRIND-06-EXACT, GRIND-07.

    Examples
    --------
    >>> heat = grind_heat(equivalent_diameter_mm=200, depth_of_cut_mm=0.02, work_speed_mm_s=100,
    ...     specific_energy_J_mm3=40, partition=None, flux=HeatFlux.UNIFORM, conductivity_W_mK=34,
    ...     diffusivity_mm2_s=8.22, work_temperature_C=20)
    >>> round(heat.surface_temperature_C), round(heat.burn_share, 2)
    (459, 0.7)
    """
    given: dict[str, Any] = _above_zero(
        equivalent_diameter_mm=equivalent_diameter_mm,
        depth_of_cut_mm=depth_of_cut_mm,
        work_speed_mm_s=work_speed_mm_s,
        specific_energy_J_mm3=specific_energy_J_mm3,
        conductivity_W_mK=conductivity_W_mK,
        diffusivity_mm2_s=diffusivity_mm2_s,
    )
    d_e, a, v_w, u, k, alpha = given.values()
    share = chip_partition(specific_energy_J_mm3=u) if partition is None else array(partition)
    good = np.where((share >= 0) & (share <= 1), share, np.nan)
    l_c = np.sqrt(a * d_e)
    q = good * u * a * v_w / l_c
    L = v_w * l_c / (4 * alpha)
    C, C_fast = band_constant(peclet=L, flux=flux), fast_constant(flux=flux)
    scale = 1000 * q * np.sqrt(alpha * l_c / v_w) / k
    line = burn_energy_J_mm3(equivalent_diameter_mm=d_e, depth_of_cut_mm=a, work_speed_mm_s=v_w)
    return GrindHeat(
        **given,
        work_temperature_C=array(work_temperature_C),
        partition=share,
        contact_length_mm=l_c,
        contact_time_s=l_c / v_w,
        flux_W_mm2=q,
        peclet=L,
        constant=C,
        fast_constant=C_fast,
        rise_K=C * scale,
        fast_rise_K=C_fast * scale,
        surface_temperature_C=array(work_temperature_C) + C * scale,
        burn_energy_J_mm3=line,
        burn_share=u / line,
        flux=flux,
        partition_given=partition,
        notices=_notices(u, share, L, u / line),
    )


def _above_zero(**given: Number) -> dict[str, Array]:
    faults = Faults()
    for name, value in given.items():
        faults.need(not (array(value) <= 0).any(), name, value, "a number above 0")
    faults.check()
    return {name: array(value) for name, value in given.items()}


def _notices(u: Array, share: Array, L: Array, burn: Array) -> tuple[Notice, ...]:
    found = list(HEAT.outside(peclet=L, partition=share))
    if (np.isnan(share) & ~np.isnan(u)).any():
        text = (
            f"A specific energy of {u.min():.4g} J/mm³ is no more than what the chip carries off: none is "
            "left for the work, so give the share that goes into it."
        )
        found.append(Notice(Level.STOP, "jaeger.grind_heat.chip", text))
    if (L < _SLOW_BAND).any():
        text = f"Peclet number {L.min():.3g} is below 5: heat spreads sideways, the depth is overheated."
        found.append(Notice(Level.CAUTION, "jaeger.grind_heat.slow", text))
    if (burn >= 1).any():
        text = (
            f"The specific energy is {burn.max():.3g} of the line of rehardening burn: a skin of new, "
            "brittle martensite."
        )
        found.append(Notice(Level.CAUTION, "jaeger.grind_heat.burn", text))
    return tuple(found)


def grind_temperature(*, heat: GrindHeat, depth_mm: Number) -> GrindTemperature:
    """Return the temperature below the flank at the end of contact, and the largest that each depth sees.

    θ(z)/θ(0) = √π ierfc(z/(2 √(α t_c))) at the end of contact of uniform flux

    Parameters
    ----------
    heat : GrindHeat
        One pass, shape (samples).
    depth_mm : float or array
        z below the ground surface, mm, depths on the last axis; a single depth adds none.

    Returns
    -------
    GrindTemperature
        Shape (samples, depths).

    Raises
    ------
    InputError
        A depth below 0.

    Notes
    -----
    Source: Carslaw and Jaeger, from memory.
    Valid for: Peclet numbers from 5 on; below, heat that spreads sideways is neglected, to the safe side.
    Departures: scaled so that the surface reaches the peak of the moving band.
    Checked: GRIND-08, GRIND-08-LARGEST.

    Examples
    --------
    >>> heat = grind_heat(equivalent_diameter_mm=200, depth_of_cut_mm=0.02, work_speed_mm_s=100,
    ...     specific_energy_J_mm3=40, partition=None, flux=HeatFlux.UNIFORM, conductivity_W_mK=34,
    ...     diffusivity_mm2_s=8.22, work_temperature_C=20)
    >>> grind_temperature(heat=heat, depth_mm=[0.0, 0.1, 0.5]).largest_temperature_C.round().tolist()
    [459.0, 371.0, 168.0]
    """
    z = array(depth_mm)
    faults = Faults()
    faults.need(not (z < 0).any(), "depth_mm", depth_mm, "a depth of 0 mm or more")
    faults.check()
    last = (..., None) if z.ndim else ...
    alpha, t_c, rise, T_0 = (
        array(value)[last]
        for value in (heat.diffusivity_mm2_s, heat.contact_time_s, heat.rise_K, heat.work_temperature_C)
    )
    zeta = z / np.sqrt(alpha * t_c)
    end = heated_depth(depth=zeta, time=1.0, flux=heat.flux) / fast_constant(flux=heat.flux)
    largest = rise * largest_heated(depth=zeta, flux=heat.flux)
    return GrindTemperature(
        depth_mm=z,
        end_rise_K=rise * end,
        largest_rise_K=largest,
        work_temperature_C=T_0,
        largest_temperature_C=T_0 + largest,
        notices=heat.notices,
    )
