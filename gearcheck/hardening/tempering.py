"""Tempering: the parameter of time and temperature, and the hardness that it costs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

PARAMETER = Method(
    key="hollomon_jaffe.parameter",
    title="Tempering parameter",
    source="Hollomon and Jaffe, Trans. AIME 162",
    edition="1945",
    clause="T (20 + log t), T in K, t in h",
    status=Status.FROM_MEMORY,
    valid=(
        Range("time_h", "t", 0.1, 100, "h", Level.CAUTION),
        Range("temperature_C", "T", 100, 700, "°C", Level.CAUTION),
    ),
    implements=("the parameter with the time in hours and the constant 20",),
    leaves_out=("the rise and fall of the temperature around the hold",),
    departures=(
        "The time of a grinding pass lies four to six powers of ten below that of any temper: extrapolation.",
        "Some pages feed minutes: with the constant 20 that raises the parameter by 1.78 T.",
    ),
)

SOFTENING = Method(
    key="case.tempered_hardness",
    title="Hardness lost in a temper",
    source="Shop practice, over the parameter of Hollomon and Jaffe",
    edition="",
    clause="40 to 80 HV for each 1000 of the parameter above 7463",
    status=Status.COMMON_PRACTICE,
    valid=(
        Range("parameter", "P", 0, 12000, "", Level.CAUTION),
        Range("parameter", "P", 0, 14000, "", Level.STOP),
    ),
    implements=("a loss in proportion to the rise of the parameter, as a range",),
    leaves_out=(
        "carbon below about 0.6 %: towards the core less hardness is lost than this",
        "retained austenite that turns to bainite above about 200 °C",
        "secondary hardening",
        "regressions for tempered low- and medium-carbon steel from 204 °C on, which do not hold for a case",
    ),
)

_ZERO_C_IN_K = 273.15
_HIGHEST = 14000.0  # of the parameter: no low temper any more
_LEAST_HV = 150.0  # no tempered steel of a case is softer
_SHARED_TO = 9606.0  # 2 h at 200 °C: up to there a place of little carbon loses less than the case


@dataclass(frozen=True, kw_only=True)
class TemperingParameter(Result):
    """The parameter of one hold."""

    method: ClassVar[Method] = PARAMETER
    temperature_C: Number = term("Temperature", "T", "°C")
    time_h: Number = term("Time", "t", "h")
    parameter: Number = term("Tempering parameter", "P", "", "(T+273.15)·(20 + log10(t))")


@dataclass(frozen=True, kw_only=True)
class EquivalentTemper(Result):
    """The hold at another temperature that tempers as much."""

    method: ClassVar[Method] = PARAMETER
    temperature_C: Number = term("Temperature", "T", "°C")
    time_h: Number = term("Time", "t", "h")
    parameter: Number = term("Tempering parameter", "P", "", "(T+273.15)·(20 + log10(t))")
    at_temperature_C: Number = term("Other temperature", "T_2", "°C")
    at_time_h: Number = term("Time at the other temperature", "t_2", "h", "10^(P/(T_2+273.15) - 20)")


@dataclass(frozen=True, kw_only=True)
class TemperedHardness(Result):
    """Hardness after tempering, as a range."""

    method: ClassVar[Method] = SOFTENING
    hardness_HV: Number = term("Hardness before", "HV_0", "HV")
    before_parameter: Number = term("Parameter that went before", "P_0")
    parameter: Number = term("Tempering parameter", "P")
    carbon_share: Number = term("Share of the loss, by the carbon", "s_C")
    rise: Number = term("Rise of the parameter", "ΔP", "", "max(P - max(P_0, 7463), 0)")
    least_loss_HV: Number = term("Least loss of hardness", "ΔHV_1", "HV", "s_C·40·ΔP/1000")
    greatest_loss_HV: Number = term("Greatest loss of hardness", "ΔHV_2", "HV", "s_C·80·ΔP/1000")
    softest_HV: Number = term("Least hardness after", "HV_1", "HV", "max(HV_0 - ΔHV_2, min(HV_0, 150))")
    hardest_HV: Number = term("Greatest hardness after", "HV_2", "HV", "max(HV_0 - ΔHV_1, min(HV_0, 150))")


@dataclass(frozen=True, kw_only=True)
class BakeAgainstTemper(Result):
    """Whether a bake after the case temper tempers more than it, and what it costs."""

    method: ClassVar[Method] = SOFTENING
    temper_temperature_C: Number = term("Temperature of the case temper", "T_1", "°C")
    temper_time_h: Number = term("Time of the case temper", "t_1", "h")
    bake_temperature_C: Number = term("Temperature of the bake", "T_2", "°C")
    bake_time_h: Number = term("Time of the bake", "t_2", "h")
    temper_parameter: Number = term(
        "Parameter of the case temper", "P_1", "", "(T_1+273.15)·(20 + log10(t_1))"
    )
    bake_parameter: Number = term("Parameter of the bake", "P_2", "", "(T_2+273.15)·(20 + log10(t_2))")
    equivalent_time_h: Number = term(
        "Time at the bake that is worth the case temper", "t_e", "h", "10^(P_1/(T_2+273.15) - 20)"
    )
    both_parameter: Number = term(
        "Parameter of both together", "P_12", "", "(T_2+273.15)·(20 + log10(t_2 + t_e))"
    )
    least_loss_HV: Number = term("Least loss of hardness by the bake", "ΔHV_1", "HV", words="40 HV for 1000")
    greatest_loss_HV: Number = term(
        "Greatest loss of hardness by the bake", "ΔHV_2", "HV", words="80 HV for 1000"
    )


def _holds(**given: Number) -> tuple[Array, ...]:
    """Check temperatures and times by the endings of their names."""
    faults = Faults()
    for name, value in given.items():
        if name.endswith("time_h"):
            faults.need(not (array(value) <= 0).any(), name, value, "a time above 0 h")
        else:
            ok = not (array(value) <= -_ZERO_C_IN_K).any()
            faults.need(ok, name, value, "a temperature in °C above absolute zero")
    faults.check()
    return tuple(array(value) for value in given.values())


def _parameter(temperature: Array, time: Array) -> Array:
    return array((temperature + _ZERO_C_IN_K) * (table("tempering").value("constant") + np.log10(time)))


def _time(parameter: Array, temperature: Array) -> Array:
    return array(10.0 ** (parameter / (temperature + _ZERO_C_IN_K) - table("tempering").value("constant")))


def tempering_parameter(*, temperature_C: Number, time_h: Number) -> TemperingParameter:
    """Return the parameter of Hollomon and Jaffe of one hold.

    P = (T + 273.15) (20 + log10 t)

    Parameters
    ----------
    temperature_C : float or array
        T of the hold, °C.
    time_h : float or array
        t of the hold in hours; minutes would belong to another constant.

    Returns
    -------
    TemperingParameter
        P; a caution for times outside 0.1 to 100 h, as of a grinding pass, and outside 100 to 700 °C.

    Raises
    ------
    InputError
        A time that is not above 0, or a temperature below absolute zero.

    Notes
    -----
    Source: Hollomon and Jaffe 1945, from memory.
    Valid for: 0.1 to 100 h, 100 to 700 °C.
    Departures: constant 20 for hours.
    Checked: TEMP-01, TEMP-03, TEMP-04-P.

    Examples
    --------
    >>> round(tempering_parameter(temperature_C=180, time_h=2).parameter)
    9199
    """
    T, t = _holds(temperature_C=temperature_C, time_h=time_h)
    notices = PARAMETER.outside(time_h=t, temperature_C=T)
    return TemperingParameter(temperature_C=T, time_h=t, parameter=_parameter(T, t), notices=notices)


def equivalent_temper(*, temperature_C: Number, time_h: Number, at_temperature_C: Number) -> EquivalentTemper:
    """Return the time at another temperature that tempers as much.

    t_2 = 10^(P/(T_2 + 273.15) - 20)

    Parameters
    ----------
    temperature_C, time_h : float or array
        The hold, °C and h.
    at_temperature_C : float or array
        T_2, the other temperature, °C.

    Returns
    -------
    EquivalentTemper
        t_2 in h.

    Raises
    ------
    InputError
        A time that is not above 0, or a temperature below absolute zero.

    Notes
    -----
    Source: Hollomon and Jaffe 1945, from memory.
    Valid for: 0.1 to 100 h, 100 to 700 °C.
    Departures: constant 20 for hours.
    Checked: TEMP-04-HOURS.

    Examples
    --------
    >>> round(equivalent_temper(temperature_C=177, time_h=4, at_temperature_C=191).at_time_h, 2)
    0.96
    """
    T, t, T_2 = _holds(temperature_C=temperature_C, time_h=time_h, at_temperature_C=at_temperature_C)
    P = _parameter(T, t)
    return EquivalentTemper(
        temperature_C=T,
        time_h=t,
        parameter=P,
        at_temperature_C=T_2,
        at_time_h=_time(P, T_2),
        notices=PARAMETER.outside(time_h=t, temperature_C=T),
    )


def tempered_hardness(
    *, hardness_HV: Number, parameter: Number, before_parameter: Number, carbon_share: Number = 1.0
) -> TemperedHardness:
    """Return the hardness of a case after tempering, as a range.

    HV = HV_0 - s_C (40 to 80) (P - P_0)/1000

    Parameters
    ----------
    hardness_HV : float or array
        HV_0 before: as quenched, or as tempered at P_0.
    parameter : float or array
        P of the temper, of a bake or of the flash of a grinding pass.
    before_parameter : float or array
        P_0 of the temper that went before; 0 for a case as quenched.
    carbon_share : float or array
        s_C, from 0 to 1: 1 for a case, less where there is less carbon to lose, as `temper_share` gives it.

    Returns
    -------
    TemperedHardness
        Losses and hardness in HV; no loss where P stays below P_0 or 7463; a stop notice and no value above
        14000.

    Raises
    ------
    InputError
        A hardness below 0, or a share outside 0 to 1.

    Notes
    -----
    Source: shop practice.
    Valid for: a case of about 0.8 % carbon tempered low, P up to 12000.
    Departures: none.
    Checked: TEMPER-LOSS, TEMPER-SHOP.

    Examples
    --------
    >>> found = tempered_hardness(hardness_HV=800, parameter=9199, before_parameter=0)
    >>> round(found.softest_HV), round(found.hardest_HV)
    (661, 731)
    """
    HV, P, P_0 = array(hardness_HV), array(parameter), array(before_parameter)
    share = array(carbon_share)
    faults = Faults()
    faults.need(not (HV < 0).any(), "hardness_HV", hardness_HV, "a hardness of 0 HV or more")
    inside = not ((share < 0) | (share > 1)).any()
    faults.need(inside, "carbon_share", carbon_share, "a share from 0 to 1")
    faults.check()
    rows = table("tempering")
    P = np.where(P > _HIGHEST, np.nan, P)
    rise = np.maximum(P - np.maximum(P_0, rows.value("start of softening")), 0)
    least, greatest = (share * rows.value(name) * rise / 1000 for name in ("least loss", "greatest loss"))
    return TemperedHardness(
        hardness_HV=HV,
        before_parameter=P_0,
        parameter=P,
        carbon_share=share,
        rise=rise,
        least_loss_HV=least,
        greatest_loss_HV=greatest,
        softest_HV=np.maximum(HV - greatest, np.minimum(HV, _LEAST_HV)),
        hardest_HV=np.maximum(HV - least, np.minimum(HV, _LEAST_HV)),
        notices=SOFTENING.outside(parameter=parameter) + _shared(P, share),
    )


def _shared(P: Array, share: Array) -> tuple[Notice, ...]:
    P, share = np.broadcast_arrays(P, share)
    beyond = (P > _SHARED_TO) & (share < 1)
    if not beyond.any():
        return ()
    text = (
        f"P = {P[beyond].flat[0]:.0f} is beyond the low tempers, {_SHARED_TO:.0f}, in which a place of "
        "little carbon loses less than the case: core and foot of the case may lose more than is said."
    )
    return (Notice(Level.CAUTION, "case.tempered_hardness.share", text),)


def bake_against_temper(
    *, temper_temperature_C: Number, temper_time_h: Number, bake_temperature_C: Number, bake_time_h: Number
) -> BakeAgainstTemper:
    """Return whether a bake tempers more than the case temper, and the hardness that it costs.

    P_12 = (T_2 + 273.15) (20 + log10(t_2 + t_e)), t_e the time at T_2 that is worth the case temper

    Parameters
    ----------
    temper_temperature_C, temper_time_h : float or array
        The case temper, °C and h.
    bake_temperature_C, bake_time_h : float or array
        The bake, such as after etching, at the hot end of its tolerance, °C and h.

    Returns
    -------
    BakeAgainstTemper
        Both parameters and the loss as a range in HV; a caution where the bake tempers more.

    Raises
    ------
    InputError
        A time that is not above 0, or a temperature below absolute zero.

    Notes
    -----
    Source: Hollomon and Jaffe 1945, from memory; the loss is shop practice.
    Valid for: a case of about 0.8 % carbon tempered low.
    Departures: times at one temperature add up.
    Checked: ETCH-05-BAKE, TEMP-04-BAKE.

    Examples
    --------
    >>> found = bake_against_temper(temper_temperature_C=177, temper_time_h=4, bake_temperature_C=191,
    ...     bake_time_h=4)
    >>> round(found.bake_parameter - found.temper_parameter), round(found.greatest_loss_HV)
    (288, 27)
    """
    T_1, t_1, T_2, t_2 = _holds(
        temper_temperature_C=temper_temperature_C,
        temper_time_h=temper_time_h,
        bake_temperature_C=bake_temperature_C,
        bake_time_h=bake_time_h,
    )
    P_1, P_2 = _parameter(T_1, t_1), _parameter(T_2, t_2)
    t_e = _time(P_1, T_2)
    P_12 = _parameter(T_2, t_2 + t_e)
    lost = tempered_hardness(hardness_HV=0.0, parameter=P_12, before_parameter=P_1)
    notices = tuple(
        notice
        for time, temperature in ((t_1, T_1), (t_2, T_2))
        for notice in PARAMETER.outside(time_h=time, temperature_C=temperature)
    )
    found = BakeAgainstTemper(
        temper_temperature_C=T_1,
        temper_time_h=t_1,
        bake_temperature_C=T_2,
        bake_time_h=t_2,
        temper_parameter=P_1,
        bake_parameter=P_2,
        equivalent_time_h=t_e,
        both_parameter=P_12,
        least_loss_HV=lost.least_loss_HV,
        greatest_loss_HV=lost.greatest_loss_HV,
    )
    return replace(found, notices=notices + lost.notices + _out_tempers(found))


def _out_tempers(found: BakeAgainstTemper) -> tuple[Notice, ...]:
    worse = array(found.bake_parameter) > array(found.temper_parameter)
    if not worse.any():
        return ()

    def first(value: Number) -> float:
        return float(np.broadcast_to(array(value), worse.shape)[worse][0])

    text = (
        f"The bake of {first(found.bake_time_h):.3g} h at {first(found.bake_temperature_C):.4g} °C "
        f"(P = {first(found.bake_parameter):.0f}) tempers more than the case temper of "
        f"{first(found.temper_time_h):.3g} h at {first(found.temper_temperature_C):.4g} °C "
        f"(P = {first(found.temper_parameter):.0f}): it governs and may cost "
        f"{first(found.least_loss_HV):.0f} to {first(found.greatest_loss_HV):.0f} HV."
    )
    return (Notice(Level.CAUTION, "case.tempered_hardness.bake", text),)
