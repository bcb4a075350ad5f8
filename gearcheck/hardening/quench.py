"""Hardness of the core from section, quench and the hardenability of the steel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import ClassVar

import numpy as np
from scipy.special import j0, j1, jn_zeros

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.hardenability import jominy_band
from gearcheck.materials.hardness import HV_from_HRC
from gearcheck.materials.names import known_name

QUENCH = Method(
    key="grossmann.quench",
    title="Section and quench to the distance on the Jominy bar",
    source="Grossmann, severity of quench; ASTM A255, ideal critical diameter and Jominy distance",
    edition="",
    clause="equal time to half the temperature",
    status=Status.FROM_MEMORY,
    valid=(
        Range("section_mm", "D", 3, 200, "mm", Level.CAUTION),
        Range("severity", "H", 0.1, 10, "1/in", Level.CAUTION),
        Range("biot", "Bi", 1e-3, 1e4, "", Level.STOP),
        Range("ideal_diameter_mm", "D_I", 0, 148.844, "mm", Level.STOP),
    ),
    implements=(
        "a round bar that gives off heat in proportion to its surface temperature, Bi = H D",
        "bars are alike whose centres take the same time to half the temperature of the furnace",
        "distance on the Jominy bar by its ideal critical diameter",
    ),
    leaves_out=("places other than the centre", "the boiling of the bath", "heat set free by transformation"),
    departures=("A tooth is not round: the section is the round bar that cools like it.",),
)

_INCH_MM = 25.4
_ROOTS = 12
_HALVINGS = 60
_BIOT = np.geomspace(1e-3, 1e4, 400)
_IDEAL_BIOT = 1e9


@dataclass(frozen=True, kw_only=True)
class JominyDistance(Result):
    """The distance on the Jominy bar that cools like the centre of a section."""

    method: ClassVar[Method] = QUENCH
    section_mm: Number = term("Round section", "D", "mm")
    severity: Number = term("Severity of quench", "H", "1/in")
    biot: Number = term("Heat given off over heat conducted", "Bi", "", "H·D/25.4")
    half_time: Number = term("Time to half the temperature", "Fo", "", words="conduction in a round bar")
    ideal_half_time: Number = term("The same in an ideal quench", "Fo_I", "", words="conduction, Bi infinite")
    ideal_diameter_mm: Number = term("Section in an ideal quench", "D_I", "mm", "D·√(Fo/Fo_I)")
    distance_mm: Number = term("Distance from the quenched end", "E", "mm", words="ASTM A255 by D_I")


@dataclass(frozen=True, kw_only=True)
class CoreHardness(Result):
    """Least and greatest hardness of the core, from the slack and the brisk end of the quench."""

    method: ClassVar[Method] = QUENCH
    slack: JominyDistance
    brisk: JominyDistance
    slack_distance_mm: Number = term("Jominy distance of the slack quench", "E_1", "mm", words="as E")
    brisk_distance_mm: Number = term("Jominy distance of the brisk quench", "E_2", "mm", words="as E")
    least_HRC: Number = term("Least core hardness", "HRC_1", "HRC", words="least of the band at E_1")
    greatest_HRC: Number = term("Greatest core hardness", "HRC_2", "HRC", words="greatest of the band at E_2")
    least_HV: Number = term("Least core hardness", "HV_1", "HV", words="HRC_1 by ASTM E140")
    greatest_HV: Number = term("Greatest core hardness", "HV_2", "HV", words="HRC_2 by ASTM E140")


def quench_severity(*, bath: str) -> tuple[float, float]:
    """Return the severity of a bath, from its slack to its brisk end.

    Parameters
    ----------
    bath : str
        A name of the table, such as "oil, moderate agitation".

    Returns
    -------
    tuple of float
        Least and greatest H in 1/in.

    Raises
    ------
    InputError
        No such bath in the table.

    Notes
    -----
    Source: Grossmann, from memory.
    Valid for: baths in good order.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> quench_severity(bath="oil, moderate agitation")
    (0.35, 0.4)
    """
    baths = table("quench_severity")
    row = baths.row(known_name("bath", bath, baths.names))
    return row["least_H"], row["greatest_H"]


def _roots(biot: Array) -> Array:
    """Solve x J_1(x) = Bi J_0(x) by bisection between the zeros of J_1 and of J_0, shape (Biot, roots)."""
    low = np.broadcast_to(np.append(0.0, jn_zeros(1, _ROOTS - 1)), (biot.size, _ROOTS))
    high = np.broadcast_to(jn_zeros(0, _ROOTS), low.shape)
    for _ in range(_HALVINGS):
        x = (low + high) / 2
        beyond = (x * j1(x) - biot[:, None] * j0(x)) * j0(x) > 0
        low, high = np.where(beyond, low, x), np.where(beyond, x, high)
    return array((low + high) / 2)


def _half_times(biot: Array) -> Array:
    """Fourier number at which the centre of a round bar has lost half its excess temperature."""
    x = _roots(biot)
    share = 2 * j1(x) / (x * (j0(x) ** 2 + j1(x) ** 2))
    low, high = np.zeros(biot.size), 1 + 1 / biot
    for _ in range(_HALVINGS):
        Fo = (low + high) / 2
        warm = (share * np.exp(-(x**2) * Fo[:, None])).sum(axis=-1) > 0.5
        low, high = np.where(warm, Fo, low), np.where(warm, high, Fo)
    return array((low + high) / 2)


@cache
def _half_time_curve() -> tuple[Array, float]:
    """Logarithms of the half times over `_BIOT`, and the half time of the ideal quench."""
    return np.log(_half_times(_BIOT)), float(_half_times(array([_IDEAL_BIOT]))[0])


def jominy_distance(*, section_mm: Number, severity: Number) -> JominyDistance:
    """Return the distance on the Jominy bar that cools like the centre of a round section.

    D_I = D √(Fo/Fo_I), Fo the time to half the temperature at Bi = H D

    Parameters
    ----------
    section_mm : float or array
        D, the diameter of the round bar that cools like the tooth, mm.
    severity : float or array
        H of the bath in 1/in.

    Returns
    -------
    JominyDistance
        E in mm; a stop notice and no value beyond an ideal diameter of 148.8 mm.

    Raises
    ------
    InputError
        A section or a severity that is not above 0.

    Notes
    -----
    Source: Grossmann; ASTM A255; both from memory, the half times from conduction.
    Valid for: H from 0.1 to 10 in 1/in, D from 3 to 200 mm, the centre of the section.
    Departures: none.
    Checked: QUENCH-DISTANCE, QUENCH-OIL-CHART, QUENCH-WATER-CHART.

    Examples
    --------
    >>> round(jominy_distance(section_mm=25.4, severity=0.35).distance_mm, 1)
    9.5
    """
    D, H = array(section_mm), array(severity)
    faults = Faults()
    faults.need(not (D <= 0).any(), "section_mm", section_mm, "a section above 0 mm")
    faults.need(not (H <= 0).any(), "severity", severity, "a severity of quench above 0 1/in")
    faults.check()
    curve, ideal = _half_time_curve()
    biot = H * D / _INCH_MM
    half = np.exp(np.interp(np.log(biot), np.log(_BIOT), curve, left=np.nan, right=np.nan))
    diameter = D * np.sqrt(half / ideal)
    rows = table("jominy_ideal_diameter")
    bar, printed = rows.column("sixteenths_in"), rows.column("ideal_diameter_in")
    sixteenths = np.interp(diameter / _INCH_MM, np.append(0.0, printed), np.append(0.0, bar), right=np.nan)
    return JominyDistance(
        section_mm=D,
        severity=H,
        biot=biot,
        half_time=half,
        ideal_half_time=ideal,
        ideal_diameter_mm=diameter,
        distance_mm=sixteenths * _INCH_MM / 16,
        notices=QUENCH.outside(section_mm=D, severity=H, biot=biot, ideal_diameter_mm=diameter),
    )


def core_hardness(
    *, band: str, section_mm: Number, severity_min: Number, severity_max: Number
) -> CoreHardness:
    """Return the least and the greatest hardness that the core may have after the quench.

    Least of the band where the slack quench leads to, greatest where the brisk one does.

    Parameters
    ----------
    band : str
        A name of the table of hardenability bands, such as "18CrNiMo7-6 +H".
    section_mm : float or array
        D, the diameter of the round bar that cools like the tooth, mm.
    severity_min, severity_max : float or array
        H of the bath at its slack and at its brisk end, 1/in.

    Returns
    -------
    CoreHardness
        In HRC and HV; a stop notice and no least hardness where the band leaves it open.

    Raises
    ------
    InputError
        An unknown band, or a section or severity that is not above 0.

    Notes
    -----
    Source: hardenability bands; Grossmann; ASTM A255; most of it from memory.
    Valid for: the centre of the section, heats within the band, before tempering.
    Departures: none.
    Checked: HARD-09, CORE-HAND.

    Examples
    --------
    >>> core = core_hardness(band="18CrNiMo7-6 +H", section_mm=30, severity_min=0.35, severity_max=0.5)
    >>> round(core.least_HRC, 1), round(core.greatest_HRC, 1)
    (36.0, 47.0)
    """
    slack = jominy_distance(section_mm=section_mm, severity=severity_min)
    brisk = jominy_distance(section_mm=section_mm, severity=severity_max)
    faults = Faults()
    upright = not (array(severity_max) < array(severity_min)).any()
    faults.need(upright, "severity_max", severity_max, "a severity of at least severity_min")
    faults.check()
    least = jominy_band(band=band, distance_mm=slack.distance_mm)
    greatest = jominy_band(band=band, distance_mm=brisk.distance_mm)
    notices = dict.fromkeys(slack.notices + brisk.notices + least.notices)
    return CoreHardness(
        slack=slack,
        brisk=brisk,
        slack_distance_mm=slack.distance_mm,
        brisk_distance_mm=brisk.distance_mm,
        least_HRC=least.least_HRC,
        greatest_HRC=greatest.greatest_HRC,
        least_HV=HV_from_HRC(hardness_HRC=least.least_HRC).hardness_HV,
        greatest_HV=HV_from_HRC(hardness_HRC=greatest.greatest_HRC).hardness_HV,
        notices=tuple(notices),
    )
