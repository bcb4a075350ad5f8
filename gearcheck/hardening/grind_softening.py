"""Hardness over depth after a grinding pass: the case tempered again by the heat of the grind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.hardening.grind_heat import GrindHeat, grind_temperature
from gearcheck.hardening.tempering import tempering_parameter

SOFTENING = Method(
    key="grind_softening",
    title="Softening by the heat of grinding",
    source="Hollomon and Jaffe, Trans. AIME 162; shop practice for the loss",
    edition="1945",
    clause="tempering parameter at the peak temperature of each depth for the time of contact",
    status=Status.COMMON_PRACTICE,
    valid=(Range("temper_temperature_C", "T_t", 100, 250, "°C", Level.CAUTION),),
    implements=(
        "tempering parameter of the pass and of the case temper, times in hours, constant 20",
        "loss of 40 to 80 HV for each 1000 that the pass exceeds the temper",
        "depth that passes the austenitising temperature: rehardened, no hardness credited",
    ),
    leaves_out=(
        "further passes at the same depth: ten of them add one to the logarithm of the time",
        "residual stress of the pass",
        "cracks",
    ),
    departures=(
        "The parameter was measured for tempers of minutes to hours; milliseconds are an extrapolation.",
        "The peak of each depth is held for the time of contact, longer than it lasts at the surface.",
    ),
)

_LEAST_HV = 150.0  # no tempered steel of a case is softer


@dataclass(frozen=True, kw_only=True)
class GrindSoftening(Result):
    """Hardness before and after a pass over depth; depths on the last axis."""

    method: ClassVar[Method] = SOFTENING
    depth_mm: Number = term("Depth below the ground surface", "z", "mm")
    temperature_C: Number = term("Peak temperature at that depth", "T_z", "°C")
    contact_time_s: Number = term("Time of contact", "t_c", "s")
    temper_temperature_C: Number = term("Temperature of the case temper", "T_t", "°C")
    temper_time_h: Number = term("Time of the case temper", "t_t", "h")
    austenitising_temperature_C: Number = term("Austenitising temperature", "T_a", "°C")
    parameter: Number = term(
        "Tempering parameter of the pass", "P", "", "(T_z + 273.15)·(20 + log10(t_c/3600))"
    )
    temper_parameter: Number = term(
        "Tempering parameter of the case temper", "P_t", "", "(T_t + 273.15)·(20 + log10(t_t))"
    )
    before_HV: Number = term("Hardness before the pass", "HV_b", "HV")
    least_loss_HV: Number = term("Least loss of hardness", "Δ_1", "HV", "40·max(P - max(P_t, 7463), 0)/1000")
    greatest_loss_HV: Number = term(
        "Greatest loss of hardness", "Δ_2", "HV", "80·max(P - max(P_t, 7463), 0)/1000"
    )
    hardness_HV: Number = term(
        "Hardness after the pass, by the greatest loss",
        "HV_a",
        "HV",
        words="HV_b - Δ_2, not below 150 HV; HV_b where it rehardens",
    )
    highest_HV: Number = term(
        "Hardness after the pass, by the least loss",
        "HV_h",
        "HV",
        words="HV_b - Δ_1, not below 150 HV; HV_b where it rehardens",
    )
    softened_depth_mm: Number = term(
        "Depth that is softened", "z_s", "mm", words="where P falls to P_t or 7463, linear between the depths"
    )
    rehardened_depth_mm: Number = term(
        "Depth that is rehardened",
        "z_r",
        "mm",
        words="where T_z falls to T_a, linear between the depths",
    )


def tempered_loss_HV(  # noqa: N802 - carries its unit
    *, temperature_C: Number, time_h: Number, temper_temperature_C: Number, temper_time_h: Number
) -> tuple[Array, Array]:
    """Return the least and the greatest loss of hardness of a case that is tempered a second time.

    Δ = (40 to 80 HV) · max(P - max(P_t, 7463), 0)/1000, P = T (20 + log10 t)

    Parameters
    ----------
    temperature_C, time_h : float or array
        The second temper, °C and h.
    temper_temperature_C, temper_time_h : float or array
        The first, °C and h.

    Returns
    -------
    least, greatest : tuple of ndarray
        In HV.

    Notes
    -----
    Source: Hollomon and Jaffe; shop practice.
    Checked: GRIND-07-LOSS, TEMP-04-BAKE.
    """
    values = table("tempering").value
    first = _softens_from(_parameter(temper_temperature_C, temper_time_h))
    excess = np.maximum(_parameter(temperature_C, time_h) - first, 0) / 1000
    return values("least loss") * excess, values("greatest loss") * excess


def _parameter(temperature_C: Number, time_h: Number) -> Array:
    # without its caution: a pass is always outside the times that the parameter was measured for
    return array(tempering_parameter(temperature_C=temperature_C, time_h=time_h).parameter)


def _softens_from(temper_parameter: Array) -> Array:
    return np.maximum(temper_parameter, table("tempering").value("start of softening"))


def grind_softening(
    *,
    heat: GrindHeat,
    depth_mm: Number,
    hardness_HV: Number,
    temper_temperature_C: Number,
    temper_time_h: Number,
    austenitising_temperature_C: Number,
) -> GrindSoftening:
    """Return the hardness over depth that a grinding pass leaves of a given one.

    HV_a = HV_b - 80 HV · max(P - max(P_t, 7463), 0)/1000, P = (T_z + 273.15) (20 + log10 t_c)

    Parameters
    ----------
    heat : GrindHeat
        The pass, shape (samples).
    depth_mm : array
        z below the ground surface, mm, rising, depths on the last axis.
    hardness_HV : array
        HV_b at each depth, shape (samples, depths).
    temper_temperature_C, temper_time_h : float or array
        T_t in °C and t_t in h of the case temper, shape (samples).
    austenitising_temperature_C : float or array
        From here on the skin rehardens, °C, shape (samples).

    Returns
    -------
    GrindSoftening
        Hardness at each depth by the greatest and the least loss, softened and rehardened depth.

    Raises
    ------
    InputError
        Depths that do not rise from 0 or more, a time that is not above 0, a temper above the austenitising
        temperature.

    Notes
    -----
    Source: Hollomon and Jaffe; shop practice for the loss.
    Valid for: cases tempered at 100 to 250 °C; a pass of milliseconds is an extrapolation.
    Departures: each depth is held at its peak for the time of contact.
    Checked: TEMP-03, GRIND-07-LOSS, TEMP-04-BAKE.

    Examples
    --------
    >>> from gearcheck.hardening.grind_heat import grind_heat
    >>> from gearcheck.hardening.moving_band import HeatFlux
    >>> heat = grind_heat(equivalent_diameter_mm=200, depth_of_cut_mm=0.02, work_speed_mm_s=100,
    ...     specific_energy_J_mm3=40, partition=None, flux=HeatFlux.UNIFORM, conductivity_W_mK=34,
    ...     diffusivity_mm2_s=8.22, work_temperature_C=20)
    >>> softened = grind_softening(heat=heat, depth_mm=[0.0, 0.1, 0.2, 0.3], hardness_HV=[720, 715, 710, 700],
    ...     temper_temperature_C=180, temper_time_h=2, austenitising_temperature_C=727)
    >>> softened.hardness_HV.round().tolist()
    [592.0, 691.0, 710.0, 700.0]
    """
    z, before = np.atleast_1d(array(depth_mm)), array(hardness_HV)
    t_t, T_t, T_a = array(temper_time_h), array(temper_temperature_C), array(austenitising_temperature_C)
    _check(z, t_t, T_t, T_a)
    below = grind_temperature(heat=heat, depth_mm=z)
    hot, t_c = array(below.largest_temperature_C), array(heat.contact_time_s)[..., None]
    least, greatest = tempered_loss_HV(
        temperature_C=hot,
        time_h=t_c / 3600,
        temper_temperature_C=T_t[..., None],
        temper_time_h=t_t[..., None],
    )
    P, P_t = _parameter(hot, t_c / 3600), _parameter(T_t, t_t)[..., None]
    fresh = hot >= T_a[..., None]

    def left(loss: Array) -> Array:
        return np.where(fresh, before, np.minimum(before, np.maximum(before - loss, _LEAST_HV)))

    softened, rehardened = _reach(z, P - _softens_from(P_t)), _reach(z, hot - T_a[..., None])
    return GrindSoftening(
        depth_mm=z,
        temperature_C=hot,
        contact_time_s=t_c,
        temper_temperature_C=T_t[..., None],
        temper_time_h=t_t[..., None],
        austenitising_temperature_C=T_a[..., None],
        parameter=P,
        temper_parameter=P_t,
        before_HV=before,
        least_loss_HV=least,
        greatest_loss_HV=greatest,
        hardness_HV=left(greatest),
        highest_HV=left(least),
        softened_depth_mm=softened,
        rehardened_depth_mm=rehardened,
        notices=heat.notices + _notices(softened, rehardened, T_t, z),
    )


def _check(z: Array, t_t: Array, T_t: Array, T_a: Array) -> None:
    faults = Faults()
    rising = bool((np.diff(z) > 0).all() and (z >= 0).all())
    faults.need(rising, "depth_mm", z, "depths of 0 mm or more, each larger than the one before")
    faults.need(not (t_t <= 0).any(), "temper_time_h", t_t, "a time above 0 h")
    needed = "a temperature above that of the temper"
    faults.need(not (T_a <= T_t).any(), "austenitising_temperature_C", T_a, needed)
    faults.check()


def _reach(z: Array, excess: Array) -> Array:
    """Return the depth down to which `excess` is above 0, linear between the depths; it falls with depth."""
    z, excess = np.broadcast_arrays(z, excess)
    inside = (excess > 0).sum(axis=-1)
    upper, lower = np.maximum(inside - 1, 0), np.minimum(inside, z.shape[-1] - 1)

    drop = taken(excess, upper) - taken(excess, lower)
    share = np.where(drop > 0, taken(excess, upper) / np.where(drop > 0, drop, 1.0), 0.0)
    reached = taken(z, upper) + np.clip(share, 0, 1) * (taken(z, lower) - taken(z, upper))
    return np.where(np.isnan(excess).any(axis=-1), np.nan, np.where(inside > 0, reached, 0.0))


def _notices(softened: Array, rehardened: Array, T_t: Array, z: Array) -> tuple[Notice, ...]:
    found = list(SOFTENING.outside(temper_temperature_C=T_t))
    if (softened > 0).any():
        text = (
            f"The pass tempers the case again down to {np.nanmax(softened):.3g} mm below the ground surface."
        )
        found.append(Notice(Level.CAUTION, "grind_softening.softened", text))
    if (softened >= z.max(axis=-1)).any():
        text = f"It is softened down to the last depth looked at, {z.max():.3g} mm: look deeper."
        found.append(Notice(Level.CAUTION, "grind_softening.deeper", text))
    if (rehardened > 0).any():
        text = (
            f"A skin of {np.nanmax(rehardened):.3g} mm rehardens: new, brittle martensite that must not be "
            "left on the flank; it is credited with no hardness above that of the case."
        )
        found.append(Notice(Level.CAUTION, "grind_softening.rehardened", text))
    return tuple(found)
