"""How fast carbon moves in austenite: published fits side by side, and a constant as given."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

DIFFUSIVITY = Method(
    key="austenite.carbon_diffusivity",
    title="Diffusivity of carbon in austenite",
    source="Collin, Gunnarson and Thulin; Ågren; Lee, Matlock and Van Tyne",
    edition="1972; 1986; 2011",
    clause="fits for austenite, the last with alloy",
    status=Status.FROM_MEMORY,
    valid=(
        Range("temperature_C", "T_C", 800, 1100, "°C", Level.CAUTION),
        Range("carbon_wt", "C", 0, 1.5, "%", Level.CAUTION),
    ),
    implements=("plain austenite times a factor of the steel, or the composition of the steel",),
    leaves_out=("ferrite below the line A_3, carbides above the line A_cm, the gradient of alloy",),
    departures=(
        "The ranges are ours: those of carburising.",
        "Both fits rest on much the same measurements, so that their agreement is no proof of either.",
    ),
)

ARRHENIUS = Method(
    key="austenite.arrhenius",
    title="Diffusivity by frequency factor and activation energy",
    source="Callister, Materials Science and Engineering",
    edition="",
    clause="Arrhenius' law",
    status=Status.FROM_MEMORY,
    implements=("one diffusivity for every carbon content",),
    leaves_out=("its rise with carbon, a factor of about 2.5 between core and surface at 927 °C",),
)

_KELVIN = 273.15
_GAS_J_mol_K = 8.314462618
_CARBON_G_MOL, _IRON_G_MOL = 12.011, 55.845


class DiffusivityModel(StrEnum):
    """Which fit the diffusion is worked out with."""

    COLLIN = "Collin, Gunnarson and Thulin 1972"
    AGREN = "Ågren 1986"
    LEE = "Lee, Matlock and Van Tyne 2011, by composition"
    CONSTANT = "constant, as given"


@dataclass(frozen=True, kw_only=True)
class Alloy:
    """What a steel holds beside carbon, % by mass.

    Parameters
    ----------
    manganese_wt, silicon_wt, nickel_wt, chromium_wt, molybdenum_wt : float or array
        %.
    """

    manganese_wt: Number
    silicon_wt: Number
    nickel_wt: Number
    chromium_wt: Number
    molybdenum_wt: Number


@dataclass(frozen=True, kw_only=True)
class CarbonDiffusivity(Result):
    """Diffusivity by each fit, and the one chosen times the factor of the steel."""

    method: ClassVar[Method] = DIFFUSIVITY
    carbon_wt: Number = term("Carbon", "C", "%")
    temperature_C: Number = term("Temperature", "T_C", "°C")
    alloy_factor: Number = term("Factor of the steel on the diffusivity", "k_D")
    temperature_K: Number = term("Absolute temperature", "T", "K", "T_C+273.15")
    site_fraction: Number = term("Atoms of carbon to one of iron", "y", "", "(C/12.011)/((100-C)/55.845)")
    collin_m2_s: Number = term(
        "Diffusivity by Collin, Gunnarson and Thulin",
        "D_1",
        "m²/s",
        "0.47e-4·exp(-1.6·C-(37000-6600·C)/(1.987·T))",
    )
    agren_m2_s: Number = term(
        "Diffusivity by Ågren",
        "D_2",
        "m²/s",
        "4.53e-7·(1+y·(1-y)·8339.9/T)·exp(-(1/T-2.221e-4)·(17767-26436·y))",
    )
    manganese_wt: Number = term("Manganese", "Mn", "%")
    silicon_wt: Number = term("Silicon", "Si", "%")
    nickel_wt: Number = term("Nickel", "Ni", "%")
    chromium_wt: Number = term("Chromium", "Cr", "%")
    molybdenum_wt: Number = term("Molybdenum", "Mo", "%")
    lee_m2_s: Number = term(
        "Diffusivity by Lee, Matlock and Van Tyne",
        "D_3",
        "m²/s",
        "1e-4·(0.146-0.036·C·(1-1.075·Cr)-0.0315·Mn+0.0509·Si-0.0085·Ni+0.3031·Mo)"
        "·exp(-(144.3-15·C+0.37·C²-4.3663·Mn+4.0507·Si-1.2407·Ni+7.726·Cr+12.1266·Mo)/(0.008314·T))",
    )
    diffusivity_m2_s: Number = term(
        "Diffusivity", "D", "m²/s", words="the fit chosen, times the factor of the steel"
    )


@dataclass(frozen=True, kw_only=True)
class ArrheniusDiffusivity(Result):
    """One diffusivity for every carbon content."""

    method: ClassVar[Method] = ARRHENIUS
    frequency_factor_m2_s: Number = term("Frequency factor", "D_0", "m²/s")
    activation_energy_kJ_mol: Number = term("Activation energy", "Q", "kJ/mol")
    temperature_C: Number = term("Temperature", "T_C", "°C")
    diffusivity_m2_s: Number = term("Diffusivity", "D", "m²/s", "D_0·exp(-1000·Q/(8.314462618·(T_C+273.15)))")


def site_fraction(carbon_wt: Array) -> Array:
    """Return y, the atoms of carbon to one of iron.

    Parameters
    ----------
    carbon_wt : ndarray
        % by mass.

    Returns
    -------
    ndarray of float
        y.
    """
    return array((carbon_wt / _CARBON_G_MOL) / ((100 - carbon_wt) / _IRON_G_MOL))


def plain_m2_s(model: DiffusivityModel, carbon_wt: Array, temperature_C: Array) -> Array:
    """Return the diffusivity of plain iron-carbon austenite by Collin or by Ågren, without any notice.

    Parameters
    ----------
    model : DiffusivityModel
        Collin or Ågren.
    carbon_wt, temperature_C : ndarray
        C in % by mass and T in °C; they broadcast.

    Returns
    -------
    ndarray of float
        D in m²/s.
    """
    value, T = table("carbon_diffusivity").value, temperature_C + _KELVIN
    if model == DiffusivityModel.COLLIN:
        energy = value("Collin energy") - value("Collin energy of carbon") * carbon_wt
        exponent = value("Collin carbon") * carbon_wt + energy / (value("Collin gas constant") * T)
        return array(value("Collin factor") * np.exp(-exponent))
    y = site_fraction(carbon_wt)
    fall = (1 / T - value("Ågren inverse temperature")) * (
        value("Ågren energy") - value("Ågren energy of a site") * y
    )
    return array(value("Ågren factor") * (1 + y * (1 - y) * value("Ågren site") / T) * np.exp(-fall))


def alloyed_m2_s(alloy: Alloy, carbon_wt: Array, temperature_C: Array) -> Array:
    """Return the diffusivity of alloyed austenite by Lee, Matlock and Van Tyne, without any notice.

    Parameters
    ----------
    alloy : Alloy
        Its numbers broadcast with those that follow.
    carbon_wt, temperature_C : ndarray
        C in % by mass and T in °C.

    Returns
    -------
    ndarray of float
        D in m²/s.
    """
    known, C = table("carbon_diffusivity"), carbon_wt
    value = known.value
    with_carbon = 1 - value("Lee chromium with carbon") * array(alloy.chromium_wt)
    factor = value("Lee factor") + value("Lee factor of carbon") * C * with_carbon
    energy = value("Lee energy") + value("Lee energy of carbon") * C
    energy = energy + value("Lee energy of carbon squared") * C**2
    for item in fields(alloy):
        row, content = known.row(f"Lee {item.name}"), array(getattr(alloy, item.name))
        factor, energy = factor + row["factor"] * content, energy + row["energy"] * content
    T = temperature_C + _KELVIN
    return array(1e-4 * factor * np.exp(-energy / (value("Lee gas constant") * T)))


def carbon_diffusivity(
    *,
    carbon_wt: Number,
    temperature_C: Number,
    model: DiffusivityModel,
    alloy_factor: Number,
    alloy: Alloy | None = None,
) -> CarbonDiffusivity:
    """Return the diffusivity of carbon in austenite by each fit, and the one chosen for a steel.

    D = k_D D_1, k_D D_2 or k_D D_3, D_1 = 0.47e-4 exp(-1.6 C - (37000 - 6600 C)/(1.987 T)),
    D_2 = 4.53e-7 (1 + y (1 - y) 8339.9/T) exp(-(1/T - 2.221e-4) (17767 - 26436 y)), D_3 by composition

    Parameters
    ----------
    carbon_wt : float or array
        C, % by mass.
    temperature_C : float or array
        T_C, °C.
    model : DiffusivityModel
        Collin, Ågren, or Lee by composition.
    alloy_factor : float or array
        k_D, the diffusivity of the steel over that of the fit: with Collin and Ågren 1 for plain iron-carbon
        and less where chromium and molybdenum bind carbon; with Lee 1, unless a test says otherwise.
    alloy : Alloy, optional
        The composition, needed by Lee.

    Returns
    -------
    CarbonDiffusivity
        D in m²/s, with each fit beside it.

    Raises
    ------
    InputError
        A factor that is not above 0, a model without a fit, or no composition where it is needed.

    Notes
    -----
    Source: Collin, Gunnarson and Thulin 1972 (also quoted as Goldstein and Moren, and as Tibbetts: one fit
    under three names); Ågren 1986; Lee, Matlock and Van Tyne 2011. Constants from memory.
    Valid for: 800 to 1100 °C and up to 1.5 % carbon; a caution outside.
    Departures: none.
    Checked: CARB-20, CARB-21, CARB-LEE-9310, CARB-LEE-8620.

    Examples
    --------
    >>> found = carbon_diffusivity(carbon_wt=0.5, temperature_C=927, model=DiffusivityModel.COLLIN,
    ...     alloy_factor=1)
    >>> print(f"{found.diffusivity_m2_s:.3e} {found.agren_m2_s:.3e}")
    1.539e-11 1.474e-11
    """
    C, T_C, k = array(carbon_wt), array(temperature_C), array(alloy_factor)
    faults = Faults()
    faults.need(bool((k > 0).all()), "alloy_factor", alloy_factor, "a factor above 0")
    fits = [fit for fit in DiffusivityModel if fit != DiffusivityModel.CONSTANT]
    faults.need(model in fits, "model", model, " or ".join(fits))
    by_composition = model == DiffusivityModel.LEE
    faults.need(alloy is not None or not by_composition, "alloy", alloy, "the composition, for Lee")
    faults.check()
    known: dict[DiffusivityModel, Array] = {
        fit: plain_m2_s(fit, C, T_C) for fit in fits if fit != DiffusivityModel.LEE
    }
    known[DiffusivityModel.LEE] = array(None) if alloy is None else alloyed_m2_s(alloy, C, T_C)
    return CarbonDiffusivity(
        carbon_wt=C,
        temperature_C=T_C,
        alloy_factor=k,
        temperature_K=T_C + _KELVIN,
        site_fraction=site_fraction(C),
        collin_m2_s=known[DiffusivityModel.COLLIN],
        agren_m2_s=known[DiffusivityModel.AGREN],
        lee_m2_s=known[DiffusivityModel.LEE],
        diffusivity_m2_s=k * known[model],
        **{item.name: getattr(alloy, item.name, None) for item in fields(Alloy)},
        notices=DIFFUSIVITY.outside(temperature_C=T_C, carbon_wt=C),
    )


def arrhenius_diffusivity(
    *, frequency_factor_m2_s: Number, activation_energy_kJ_mol: Number, temperature_C: Number
) -> ArrheniusDiffusivity:
    """Return one diffusivity for every carbon content, as textbooks give it.

    D = D_0 exp(-Q/(R T))

    Parameters
    ----------
    frequency_factor_m2_s : float or array
        D_0, m²/s.
    activation_energy_kJ_mol : float or array
        Q, kJ/mol.
    temperature_C : float or array
        T_C, °C.

    Returns
    -------
    ArrheniusDiffusivity
        D in m²/s.

    Raises
    ------
    InputError
        A frequency factor or energy that is not above 0.

    Notes
    -----
    Source: Arrhenius' law; the constants are the caller's.
    Valid for: the carbon content at which its constants were found.
    Departures: none.
    Checked: CARB-23, CARB-24.

    Examples
    --------
    >>> found = arrhenius_diffusivity(frequency_factor_m2_s=2.3e-5, activation_energy_kJ_mol=148,
    ...     temperature_C=927)
    >>> print(f"{found.diffusivity_m2_s:.2e}")
    8.33e-12
    """
    D_0, Q, T_C = array(frequency_factor_m2_s), array(activation_energy_kJ_mol), array(temperature_C)
    faults = Faults()
    faults.need(
        bool((D_0 > 0).all()), "frequency_factor_m2_s", frequency_factor_m2_s, "a factor above 0 m²/s"
    )
    faults.need(
        bool((Q > 0).all()), "activation_energy_kJ_mol", activation_energy_kJ_mol, "an energy above 0 kJ/mol"
    )
    faults.check()
    return ArrheniusDiffusivity(
        frequency_factor_m2_s=D_0,
        activation_energy_kJ_mol=Q,
        temperature_C=T_C,
        diffusivity_m2_s=D_0 * np.exp(-1000 * Q / (_GAS_J_mol_K * (T_C + _KELVIN))),
    )
