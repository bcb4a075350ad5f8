"""Carbon over depth at one diffusivity, in closed form: what the solver is held against."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import erfc, erfcx, erfinv

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term

HALF_SPACE = Method(
    key="carslaw.half_space",
    title="Carbon below a flat surface at one diffusivity",
    source="Carslaw and Jaeger, Conduction of Heat in Solids",
    edition="1959",
    clause="semi-infinite solid, surface held or with transfer",
    status=Status.FROM_MEMORY,
    implements=("one diffusivity, one temperature, one potential, a flat and deep section",),
    leaves_out=(
        "the rise of the diffusivity with carbon: at 927 °C the true case is up to half as deep again",
    ),
)


@dataclass(frozen=True, kw_only=True)
class SaturatedHours(Result):
    """Time until a depth holds a given carbon, the surface held from the start."""

    method: ClassVar[Method] = HALF_SPACE
    core_carbon_wt: Number = term("Carbon of the core", "C_0", "%")
    surface_carbon_wt: Number = term("Carbon of the surface", "C_s", "%")
    carbon_wt: Number = term("Carbon wanted", "C", "%")
    depth_mm: Number = term("Depth that shall hold it", "x", "mm")
    diffusivity_m2_s: Number = term("Diffusivity", "D", "m²/s")
    share: Number = term("What is missing to the surface, as a share", "r", "", "(C_s-C)/(C_s-C_0)")
    ratio: Number = term("Depth over the diffusion length", "u", words="the u with erf(u) = r")
    hours: Number = term("Time", "t", "h", "(x/(2·u))^2/(3.6e9·D)")


@dataclass(frozen=True, kw_only=True)
class TransferProfile(Result):
    """Carbon over depth where a gas hands it over by a transfer coefficient."""

    method: ClassVar[Method] = HALF_SPACE
    core_carbon_wt: Number = term("Carbon of the core", "C_0", "%")
    carbon_potential_wt: Number = term("Carbon potential", "C_p", "%")
    diffusivity_m2_s: Number = term("Diffusivity", "D", "m²/s")
    transfer_m_s: Number = term("Transfer coefficient", "β", "m/s")
    hours: Number = term("Time", "t", "h")
    depth_mm: Number = term("Depth", "x", "mm")
    length_mm: Number = term("Diffusion length", "L", "mm", "2·√(3.6e9·D·t)")
    transfer_number: Number = term("Transfer over diffusion", "h", "", "β·L/(2000·D)")
    uptake_wt_mm: Number = term(
        "Carbon taken up", "U", "%·mm", words="the integral over depth of what is above the core"
    )
    carbon_wt: Number = term(
        "Carbon", "C", "%", words="C_0 + (C_p - C_0)·(erfc(x/L) - exp(2·h·x/L + h²)·erfc(x/L + h))"
    )


def saturated_hours(
    *,
    core_carbon_wt: Number,
    surface_carbon_wt: Number,
    carbon_wt: Number,
    depth_mm: Number,
    diffusivity_m2_s: Number,
) -> SaturatedHours:
    """Return how long a held surface takes to bring a carbon content to a depth, at one diffusivity.

    (C_s - C)/(C_s - C_0) = erf(x/(2 √(D t)))

    Parameters
    ----------
    core_carbon_wt, surface_carbon_wt, carbon_wt : float or array
        C_0, C_s and C in % by mass.
    depth_mm : float or array
        x in mm.
    diffusivity_m2_s : float or array
        D in m²/s.

    Returns
    -------
    SaturatedHours
        t in h; a stop notice and no value where C does not lie between core and surface.

    Raises
    ------
    InputError
        A depth or diffusivity that is not above 0.

    Notes
    -----
    Source: Carslaw and Jaeger; identity.
    Valid for: one diffusivity, a flat and deep section.
    Departures: none.
    Checked: CARB-05, CARB-06.

    Examples
    --------
    >>> found = saturated_hours(core_carbon_wt=0.25, surface_carbon_wt=1.2, carbon_wt=0.8, depth_mm=0.5,
    ...     diffusivity_m2_s=1.6e-11)
    >>> round(found.hours, 2)
    7.05
    """
    C_0, C_s, C = array(core_carbon_wt), array(surface_carbon_wt), array(carbon_wt)
    x, D = array(depth_mm), array(diffusivity_m2_s)
    faults = Faults()
    faults.need(bool((x > 0).all()), "depth_mm", depth_mm, "a depth above 0 mm")
    faults.need(bool((D > 0).all()), "diffusivity_m2_s", diffusivity_m2_s, "a diffusivity above 0 m²/s")
    faults.check()
    notices: tuple[Notice, ...] = ()
    between = (np.minimum(C_0, C_s) < C) & (np.maximum(C_0, C_s) > C)
    if not between.all():
        text = "The carbon wanted does not lie between core and surface: no time brings it there."
        notices = (Notice(Level.STOP, "carslaw.half_space.carbon", text),)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(between, (C_s - C) / (C_s - C_0), np.nan)
        u = erfinv(share)
        hours = (x / (2 * u)) ** 2 / (3.6e9 * D)
    return SaturatedHours(
        core_carbon_wt=C_0,
        surface_carbon_wt=C_s,
        carbon_wt=C,
        depth_mm=x,
        diffusivity_m2_s=D,
        share=share,
        ratio=u,
        hours=hours,
        notices=notices,
    )


def transfer_profile(
    *,
    core_carbon_wt: Number,
    carbon_potential_wt: Number,
    diffusivity_m2_s: Number,
    transfer_m_s: Number,
    hours: Number,
    depth_mm: Number,
) -> TransferProfile:
    """Return carbon over depth below a flat surface with transfer from a gas, at one diffusivity.

    C = C_0 + (C_p - C_0) (erfc(x/L) - exp(2 h x/L + h²) erfc(x/L + h)), L = 2 √(D t), h = β √(t/D)

    Parameters
    ----------
    core_carbon_wt, carbon_potential_wt : float or array
        C_0 and C_p in % by mass, shape (samples).
    diffusivity_m2_s, transfer_m_s, hours : float or array
        D in m²/s, β in m/s and t in h, each above 0, shape (samples).
    depth_mm : float or array
        x in mm; depths on the last axis.

    Returns
    -------
    TransferProfile
        C at each depth, shape (samples, depths), and the carbon taken up.

    Raises
    ------
    InputError
        A depth below 0, or a diffusivity, transfer coefficient or time that is not above 0.

    Notes
    -----
    Source: Carslaw and Jaeger; identity, with erfcx so that no exponential overflows. The uptake is
    (C_p - C_0) L/2 (2/√π - (1 - erfcx(h))/h).
    Valid for: one diffusivity, a flat and deep section.
    Departures: none.
    Checked: CARB-08.

    Examples
    --------
    >>> found = transfer_profile(core_carbon_wt=0.2, carbon_potential_wt=1.1, diffusivity_m2_s=1.6e-11,
    ...     transfer_m_s=2e-7, hours=4, depth_mm=[0.0, 1.0])
    >>> found.carbon_wt.round(4).tolist()
    [1.0165, 0.3025]
    """
    C_0, C_p, x = array(core_carbon_wt), array(carbon_potential_wt), array(depth_mm)
    D, beta, t = array(diffusivity_m2_s), array(transfer_m_s), array(hours)
    faults = Faults()
    faults.need(bool((x >= 0).all()), "depth_mm", depth_mm, "a depth of 0 mm or more")
    for name, value in (("diffusivity_m2_s", D), ("transfer_m_s", beta), ("hours", t)):
        faults.need(bool((value > 0).all()), name, value, "a value above 0")
    faults.check()
    last = (..., None) if x.ndim else ...
    length = 2 * np.sqrt(3.6e9 * D * t)
    h = beta * length / (2000 * D)
    z, hz = np.broadcast_arrays(x / length[last], h[last])
    share = erfc(z) - np.exp(-(z**2)) * erfcx(z + hz)
    uptake = (C_p - C_0) * length / 2 * (2 / np.sqrt(np.pi) - (1 - erfcx(h)) / h)
    return TransferProfile(
        core_carbon_wt=C_0,
        carbon_potential_wt=C_p,
        diffusivity_m2_s=D,
        transfer_m_s=beta,
        hours=t,
        depth_mm=x,
        length_mm=length,
        transfer_number=h,
        uptake_wt_mm=uptake,
        carbon_wt=C_0[last] + (C_p - C_0)[last] * share,
    )
