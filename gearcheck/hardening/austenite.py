"""Start of martensite, and the austenite that the quench and a cold treatment leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.composition import Composition

_COUNTED = ("manganese", "nickel", "chromium", "molybdenum")
START = Method(
    key="martensite.start",
    title="Start of martensite",
    source="Andrews, JISI 203; Steven and Haynes, JISI 183",
    edition="1965 and 1956",
    clause="linear and product formula; formula for low-alloy steels",
    status=Status.FROM_MEMORY,
    valid=(Range("carbon_percent", "C", 0.1, 0.6, "%", Level.NOTE),),
    implements=("three formulas side by side, and the range over them",),
    leaves_out=("carbon and alloy bound in carbides", "size of the austenite grain"),
    departures=(
        "Above 0.6 % carbon, as in a case, the formulas are extrapolated and part: their range stands.",
    ),
)

AUSTENITE = Method(
    key="koistinen_marburger.austenite",
    title="Retained austenite",
    source="Koistinen and Marburger, Acta Metall. 7",
    edition="1959",
    clause="share of austenite over the undercooling below the start of martensite",
    status=Status.FROM_MEMORY,
    implements=("exp(-0.011 (M_s - T)), over a range of M_s", "a measured value in its place"),
    leaves_out=(
        "austenite made stable by slow cooling or a hold",
        "its decay in a temper above about 200 °C",
    ),
    departures=("The constant 0.011 of plain and alloy steels stands for every carbon content.",),
)

COLD = Method(
    key="koistinen_marburger.cold_treatment",
    title="Retained austenite after cold treatment",
    source="Koistinen and Marburger, Acta Metall. 7; shop practice",
    edition="1959",
    clause="from no benefit to the formula",
    status=Status.COMMON_PRACTICE,
    implements=(
        "a range from the austenite before the cold to what the formula leaves of it",
        "no benefit after a temper or a delay of more than an hour, which make the austenite stable",
    ),
    leaves_out=("time at the cold temperature", "cracks and residual stress of the cold treatment"),
    departures=(
        "A measured case kept 22 and 14 % of 28 % at -80 and -196 °C, where the formula leaves 8.8 and 2.5: "
        "the lower end is a hope, not a prediction.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class MartensiteStart(Result):
    """Start of martensite by three formulas; least and greatest over them."""

    method: ClassVar[Method] = START
    carbon_percent: Number = term("Carbon", "C", "%")
    manganese_percent: Number = term("Manganese", "Mn", "%")
    nickel_percent: Number = term("Nickel", "Ni", "%")
    chromium_percent: Number = term("Chromium", "Cr", "%")
    molybdenum_percent: Number = term("Molybdenum", "Mo", "%")
    andrews_linear_C: Number = term(
        "Andrews, linear", "M_A1", "°C", "539 - 423·C - 30.4·Mn - 17.7·Ni - 12.1·Cr - 7.5·Mo"
    )
    andrews_product_C: Number = term(
        "Andrews, products",
        "M_A2",
        "°C",
        "512 - 453·C - 16.9·Ni + 15·Cr - 9.5·Mo + 217·C² - 71.5·C·Mn - 67.6·C·Cr",
    )
    steven_haynes_C: Number = term(
        "Steven and Haynes", "M_SH", "°C", "561 - 474·C - 33·Mn - 17·Ni - 17·Cr - 21·Mo"
    )
    least_C: Number = term("Lowest start of martensite", "M_s1", "°C", "min(M_A1, M_A2, M_SH)")
    greatest_C: Number = term("Highest start of martensite", "M_s2", "°C", "max(M_A1, M_A2, M_SH)")


@dataclass(frozen=True, kw_only=True)
class RetainedAustenite(Result):
    """Retained austenite after the quench, as a range."""

    method: ClassVar[Method] = AUSTENITE
    start_least_C: Number = term("Lowest start of martensite", "M_s1", "°C")
    start_greatest_C: Number = term("Highest start of martensite", "M_s2", "°C")
    quench_temperature_C: Number = term("Temperature that the quench reaches", "T_q", "°C")
    predicted_least_percent: Number = term(
        "Least by the formula", "RA_1", "%", "100·exp(-0.011·max(M_s2-T_q, 0))"
    )
    predicted_greatest_percent: Number = term(
        "Greatest by the formula", "RA_2", "%", "100·exp(-0.011·max(M_s1-T_q, 0))"
    )
    least_percent: Number = term("Least retained austenite", "RA_min", "%", words="measured, or RA_1")
    greatest_percent: Number = term("Greatest retained austenite", "RA_max", "%", words="measured, or RA_2")


@dataclass(frozen=True, kw_only=True)
class ColdTreatedAustenite(Result):
    """Retained austenite after a cold treatment, from no benefit to the formula."""

    method: ClassVar[Method] = COLD
    before_least_percent: Number = term("Least before the cold", "RA_1", "%")
    before_greatest_percent: Number = term("Greatest before the cold", "RA_2", "%")
    quench_temperature_C: Number = term("Temperature that the quench reached", "T_q", "°C")
    cold_temperature_C: Number = term("Temperature of the cold treatment", "T_c", "°C")
    share_left: Number = term("Share that the formula leaves", "k", "", "exp(-0.011·max(T_q-T_c, 0))")
    benefit: Number = term(
        "Benefit possible", "s", "", words="1; 0 after a temper or a delay of more than an hour"
    )
    predicted_least_percent: Number = term("Least by the formula", "RA_k", "%", "RA_1·(1 - s·(1-k))")
    least_percent: Number = term("Least retained austenite", "RA_min", "%", words="measured, or RA_k")
    greatest_percent: Number = term("Greatest retained austenite", "RA_max", "%", words="measured, or RA_2")


def _shares(**percents: Number) -> None:
    faults = Faults()
    for name, value in percents.items():
        given = array(value)
        ok = not ((given < 0) | (given > 100)).any()
        faults.need(ok, name, value, "a share from 0 to 100 %")
    faults.check()


def _measured_or(measured: Number, predicted: Array) -> Array:
    found = array(measured)
    return np.where(np.isnan(found), predicted, found)


def undercooled_share(undercooling_C: Array) -> Array:
    """Return the share of austenite that an undercooling leaves, exp(-0.011 ΔT); all of it above 0.

    Parameters
    ----------
    undercooling_C : ndarray
        ΔT in °C, below the start of martensite.

    Returns
    -------
    ndarray of float
        From 0 to 1.
    """
    return array(np.exp(-table("quenched_steel").value("undercooling") * np.maximum(undercooling_C, 0)))


def martensite_start(*, carbon_percent: Number, composition: Composition) -> MartensiteStart:
    """Return the temperature at which martensite starts, by three formulas.

    M_s = constant + Σ coefficient · mass percent

    Parameters
    ----------
    carbon_percent : float or array
        C where it is asked for, such as over the depth of a case, mass percent, any shape.
    composition : Composition
        The steel; its other elements count, its own carbon does not.

    Returns
    -------
    MartensiteStart
        Each in °C, with the least and the greatest; a note above 0.6 % carbon.

    Raises
    ------
    InputError
        A share below 0 or above 100 %.

    Notes
    -----
    Source: Andrews 1965, Steven and Haynes 1956, coefficients from memory.
    Valid for: 0.1 to 0.6 % carbon in solution; above it the range over the formulas counts.
    Departures: none.
    Checked: HARD-10, MS-TABLE-9310, MS-TABLE-8620, MS-TABLE-18Cr.

    Examples
    --------
    >>> from gearcheck.materials.composition import steel_composition
    >>> start = martensite_start(carbon_percent=0.8, composition=steel_composition(grade="SAE 9310"))
    >>> round(start.least_C), round(start.greatest_C)
    (86, 154)
    """
    given = {"carbon_percent": carbon_percent}
    given |= {f"{name}_percent": getattr(composition, f"{name}_percent") for name in _COUNTED}
    _shares(**given)
    C, Mn, Ni, Cr, Mo = (array(value) for value in given.values())
    shares = {"C": C, "Mn": Mn, "Ni": Ni, "Cr": Cr, "Mo": Mo, "CC": C * C, "CMn": C * Mn, "CCr": C * Cr}
    starts = [
        row["constant"] + sum(row[name] * share for name, share in shares.items())
        for row in table("martensite_start").rows
    ]
    return MartensiteStart(
        **given,
        andrews_linear_C=starts[0],
        andrews_product_C=starts[1],
        steven_haynes_C=starts[2],
        least_C=np.minimum.reduce(starts),
        greatest_C=np.maximum.reduce(starts),
        notices=START.outside(carbon_percent=C),
    )


def retained_austenite(
    *,
    start_least_C: Number,
    start_greatest_C: Number,
    quench_temperature_C: Number,
    measured_percent: Number = None,
) -> RetainedAustenite:
    """Return the austenite that the quench leaves, as a range.

    RA = 100 exp(-0.011 (M_s - T_q))

    Parameters
    ----------
    start_least_C, start_greatest_C : float or array
        M_s1 and M_s2, the range of the start of martensite, °C.
    quench_temperature_C : float or array
        T_q, the temperature that the quench reaches, °C.
    measured_percent : float, array or None
        Measured retained austenite, which replaces the formula wherever it is given.

    Returns
    -------
    RetainedAustenite
        Least and greatest in percent of volume.

    Raises
    ------
    InputError
        A measured share below 0 or above 100 %, or a range upside down.

    Notes
    -----
    Source: Koistinen and Marburger 1959, constant from memory.
    Valid for: a quench without a hold above T_q, before tempering.
    Departures: a range over the start of martensite.
    Checked: HARD-12, HARD-13-9310, HARD-13-8620, HARD-13-18Cr.

    Examples
    --------
    >>> found = retained_austenite(start_least_C=150, start_greatest_C=200, quench_temperature_C=25)
    >>> round(found.least_percent, 1), round(found.greatest_percent, 1)
    (14.6, 25.3)
    """
    low, high, T_q = array(start_least_C), array(start_greatest_C), array(quench_temperature_C)
    _shares(measured_percent=measured_percent)
    faults = Faults()
    faults.need(not (high < low).any(), "start_greatest_C", start_greatest_C, "at least start_least_C")
    faults.check()
    least, greatest = 100 * undercooled_share(high - T_q), 100 * undercooled_share(low - T_q)
    return RetainedAustenite(
        start_least_C=low,
        start_greatest_C=high,
        quench_temperature_C=T_q,
        predicted_least_percent=least,
        predicted_greatest_percent=greatest,
        least_percent=_measured_or(measured_percent, least),
        greatest_percent=_measured_or(measured_percent, greatest),
    )


def cold_treated_austenite(
    *,
    before_least_percent: Number,
    before_greatest_percent: Number,
    quench_temperature_C: Number,
    cold_temperature_C: Number,
    delay_h: Number,
    tempered_before: bool,
    measured_percent: Number = None,
) -> ColdTreatedAustenite:
    """Return the austenite after a cold treatment, from no benefit to the formula.

    RA_min = RA_1 (1 - s (1 - exp(-0.011 (T_q - T_c)))), RA_max = RA_2

    Parameters
    ----------
    before_least_percent, before_greatest_percent : float or array
        RA_1 and RA_2 after the quench, measured or predicted, percent.
    quench_temperature_C, cold_temperature_C : float or array
        T_q that the quench reached and T_c of the cold treatment, °C.
    delay_h : float, array or None
        Time between quench and cold treatment, h; None where it is not known, which leaves the whole range.
    tempered_before : bool or array
        Whether a temper came between.
    measured_percent : float, array or None
        Measured after the cold treatment; it replaces the range wherever it is given.

    Returns
    -------
    ColdTreatedAustenite
        Least and greatest in percent; a caution where delay or temper leave no benefit.

    Raises
    ------
    InputError
        A share below 0 or above 100 %, a delay below 0, a range upside down.

    Notes
    -----
    Source: Koistinen and Marburger, from memory; the hour of delay is shop practice.
    Valid for: any range of austenite before the cold.
    Departures: the formula is the hopeful end of the range, not the answer.
    Checked: HARD-14, HARD-14-FORMULA, HARD-14-STABLE.

    Examples
    --------
    >>> found = cold_treated_austenite(before_least_percent=28, before_greatest_percent=28,
    ...     quench_temperature_C=25, cold_temperature_C=-80.15, delay_h=0.5, tempered_before=False)
    >>> round(found.least_percent, 1), found.greatest_percent
    (8.8, 28.0)
    """
    low, high, delay = array(before_least_percent), array(before_greatest_percent), array(delay_h)
    T_q, T_c = array(quench_temperature_C), array(cold_temperature_C)
    _shares(before_least_percent=low, before_greatest_percent=high, measured_percent=measured_percent)
    faults = Faults()
    faults.need(not (high < low).any(), "before_greatest_percent", high, "at least before_least_percent")
    faults.need(not (delay < 0).any(), "delay_h", delay_h, "a delay of 0 h or more")
    faults.check()
    longest = table("quenched_steel").value("longest delay before cold")
    benefit = np.where((delay > longest) | np.asarray(tempered_before), 0.0, 1.0)
    left = undercooled_share(T_q - T_c)
    least = low * (1 - benefit * (1 - left))
    return ColdTreatedAustenite(
        before_least_percent=low,
        before_greatest_percent=high,
        quench_temperature_C=T_q,
        cold_temperature_C=T_c,
        share_left=left,
        benefit=benefit,
        predicted_least_percent=least,
        least_percent=_measured_or(measured_percent, least),
        greatest_percent=_measured_or(measured_percent, high),
        notices=_no_benefit((benefit == 0) & np.isnan(array(measured_percent)), delay, longest),
    )


def _no_benefit(stable: NDArray[np.bool_], delay: Array, longest: float) -> tuple[Notice, ...]:
    if not stable.any():
        return ()
    late = delay[delay > longest]
    why = (
        f"a delay of {late.flat[0]:.3g} h, more than {longest:.3g} h,"
        if late.size
        else "the temper before it"
    )
    text = f"The cold treatment may bring nothing: {why} makes the austenite stable."
    return (Notice(Level.CAUTION, "koistinen_marburger.cold_treatment.stable", text),)
