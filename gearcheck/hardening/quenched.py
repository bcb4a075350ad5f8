"""Hardness over depth of a quenched case, from carbon, hardenability and retained austenite."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.hardness import HV_from_HRC

MARTENSITE = Method(
    key="just.martensite_hardness",
    title="Hardness of martensite",
    source="Just, hardness of martensite",
    edition="",
    clause="20 + 60 √C",
    status=Status.FROM_MEMORY,
    valid=(Range("carbon_percent", "C", 0.05, 0.6, "%", Level.NOTE),),
    implements=("hardness that rises with the root of the carbon up to 0.6 %",),
    leaves_out=("retained austenite", "martensite that tempers itself during the quench"),
    departures=("Above 0.6 % the hardness at 0.6 % stands, 66.5 HRC.",),
)

QUENCHED = Method(
    key="case.quenched_hardness",
    title="Hardness over depth as quenched",
    source="Just, hardness of martensite and on the Jominy bar; rule of mixtures with austenite",
    edition="",
    clause="the softer of martensite and of what hardenability allows",
    status=Status.FROM_MEMORY,
    implements=(
        "hardness of the core, which rises towards martensite with 95 HRC times the root of the carbon",
        "soft austenite of 250 HV mixed in by volume, so that a surface rich in it is softer",
    ),
    leaves_out=("surface oxidation and loss of alloy", "carbides", "tempering"),
    departures=(
        "Where the core is given harder than martensite of its carbon, martensite stands.",
        "What hardenability allows grows by carbon alone, above 0.6 % too; it cools as the core does.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class MartensiteHardness(Result):
    """Hardness of martensite by its carbon."""

    method: ClassVar[Method] = MARTENSITE
    carbon_percent: Number = term("Carbon", "C", "%")
    counted_percent: Number = term("Carbon that counts", "C_c", "%", "min(C, 0.6)")
    hardness_HRC: Number = term("Hardness of martensite", "HRC_m", "HRC", "20 + 60·√(C_c)")
    hardness_HV: Number = term("Hardness of martensite", "HV_m", "HV", words="HRC_m by ASTM E140")


@dataclass(frozen=True, kw_only=True)
class QuenchedHardness(Result):
    """Hardness as quenched at each carbon content."""

    method: ClassVar[Method] = QUENCHED
    carbon_percent: Number = term("Carbon", "C", "%")
    core_carbon_percent: Number = term("Carbon of the core", "C_k", "%")
    core_hardness_HRC: Number = term("Hardness of the core", "HRC_k", "HRC")
    austenite_percent: Number = term("Retained austenite", "RA", "%")
    martensite_HRC: Number = term("Hardness of martensite", "HRC_m", "HRC", "20 + 60·√(min(C, 0.6))")
    hardenability_HRC: Number = term(
        "What hardenability allows", "HRC_h", "HRC", "HRC_k + 95·(√(C) - √(C_k))"
    )
    without_austenite_HRC: Number = term("Hardness without austenite", "HRC_q", "HRC", "min(HRC_m, HRC_h)")
    without_austenite_HV: Number = term(
        "Hardness without austenite", "HV_q", "HV", words="HRC_q by ASTM E140"
    )
    hardness_HV: Number = term("Hardness as quenched", "HV", "HV", "HV_q·(1-RA/100) + 250·RA/100")


@dataclass(frozen=True, kw_only=True)
class QuenchedCase(Result):
    """The softest and the hardest case that carbon, core and retained austenite allow; depths last."""

    method: ClassVar[Method] = QUENCHED
    softest: QuenchedHardness
    hardest: QuenchedHardness
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    softest_HV: Number = term("Softest hardness", "HV_1", "HV", words="least core, greatest austenite")
    hardest_HV: Number = term("Hardest hardness", "HV_2", "HV", words="greatest core, least austenite")


def martensite_hardness(*, carbon_percent: Number) -> MartensiteHardness:
    """Return the hardness of martensite without retained austenite.

    HRC = 20 + 60 √C, C up to 0.6 %

    Parameters
    ----------
    carbon_percent : float or array
        C in mass percent, any shape.

    Returns
    -------
    MartensiteHardness
        In HRC and HV; a note outside 0.05 to 0.6 % carbon.

    Raises
    ------
    InputError
        Carbon below 0 or above 2 %.

    Notes
    -----
    Source: Just, from memory.
    Valid for: 0.05 to 0.6 % carbon in solution.
    Departures: above 0.6 % the hardness at 0.6 % stands.
    Checked: HARD-17.

    Examples
    --------
    >>> found = martensite_hardness(carbon_percent=[0.25, 0.8])
    >>> found.hardness_HRC.round(1).tolist()
    [50.0, 66.5]
    """
    C = _carbon(carbon_percent=carbon_percent)[0]
    HRC = _martensite_HRC(C)
    return MartensiteHardness(
        carbon_percent=C,
        counted_percent=_counted(C),
        hardness_HRC=HRC,
        hardness_HV=HV_from_HRC(hardness_HRC=HRC).hardness_HV,
        notices=MARTENSITE.outside(carbon_percent=C),
    )


def _carbon(**contents: Number) -> tuple[Array, ...]:
    faults = Faults()
    for name, content in contents.items():
        wrong = (array(content) < 0) | (array(content) > 2)
        faults.need(not wrong.any(), name, content, "0 to 2 % carbon")
    faults.check()
    return tuple(array(content) for content in contents.values())


def _counted(carbon: Array) -> Array:
    return np.minimum(carbon, table("quenched_steel").value("most carbon that counts"))


def _martensite_HRC(carbon: Array) -> Array:  # noqa: N802 - carries its unit
    rows = table("quenched_steel")
    root = np.sqrt(_counted(carbon))
    return rows.value("martensite without carbon") + rows.value("martensite over root of carbon") * root


def quenched_hardness(
    *,
    carbon_percent: Number,
    core_carbon_percent: Number,
    core_hardness_HRC: Number,
    austenite_percent: Number,
) -> QuenchedHardness:
    """Return the hardness as quenched at a carbon content.

    HV = HV_q (1 - RA) + 250 RA, HRC_q = min(20 + 60 √C, HRC_k + 95 (√C - √C_k))

    Parameters
    ----------
    carbon_percent : float or array
        C over depth, mass percent.
    core_carbon_percent, core_hardness_HRC : float or array
        C_k of the steel and HRC_k of its core.
    austenite_percent : float or array
        RA at that carbon, percent of volume.

    Returns
    -------
    QuenchedHardness
        In HV; a stop notice and no value where it falls below 20 HRC.

    Raises
    ------
    InputError
        Carbon outside 0 to 2 %, or austenite outside 0 to 100 %.

    Notes
    -----
    Source: Just, from memory; austenite of 250 HV is common practice.
    Valid for: cases without carbides and surface oxidation, before tempering.
    Departures: carbon above 0.6 % does not harden further.
    Checked: QUENCHED-HAND.

    Examples
    --------
    >>> found = quenched_hardness(carbon_percent=[0.8, 0.2], core_carbon_percent=0.2,
    ...     core_hardness_HRC=38, austenite_percent=[30, 0])
    >>> found.hardness_HV.round().tolist()
    [692.0, 372.0]
    """
    C, C_k = _carbon(carbon_percent=carbon_percent, core_carbon_percent=core_carbon_percent)
    core, RA = array(core_hardness_HRC), array(austenite_percent)
    faults = Faults()
    faults.need(
        not ((RA < 0) | (RA > 100)).any(), "austenite_percent", austenite_percent, "a share from 0 to 100 %"
    )
    faults.check()
    rows = table("quenched_steel")
    martensite = _martensite_HRC(C)
    rise = rows.value("hardenability over root of carbon") * (np.sqrt(C) - np.sqrt(C_k))
    hardenable = core + rise
    HRC = np.minimum(martensite, hardenable)
    converted = HV_from_HRC(hardness_HRC=HRC)
    share = RA / 100
    HV_q = array(converted.hardness_HV)
    return QuenchedHardness(
        carbon_percent=C,
        core_carbon_percent=C_k,
        core_hardness_HRC=core,
        austenite_percent=RA,
        martensite_HRC=martensite,
        hardenability_HRC=hardenable,
        without_austenite_HRC=HRC,
        without_austenite_HV=HV_q,
        hardness_HV=HV_q * (1 - share) + rows.value("austenite") * share,
        notices=converted.notices,
    )


def quenched_case(
    *,
    depth_mm: Number,
    carbon_percent: Number,
    core_carbon_percent: Number,
    core_least_HRC: Number,
    core_greatest_HRC: Number,
    austenite_least_percent: Number,
    austenite_greatest_percent: Number,
) -> QuenchedCase:
    """Return hardness over depth as quenched, from the softest to the hardest.

    Softest: least core with the greatest austenite; hardest: greatest core with the least.

    Parameters
    ----------
    depth_mm, carbon_percent : array
        z in mm and C at each depth, mass percent; depths on the last axis, shape (..., depths).
    core_carbon_percent, core_least_HRC, core_greatest_HRC : float or array
        Carbon and range of hardness of the core, shape (...).
    austenite_least_percent, austenite_greatest_percent : float or array
        Range of the retained austenite at each depth, percent, shape (..., depths).

    Returns
    -------
    QuenchedCase
        Both over depth in HV, shape (..., depths).

    Raises
    ------
    InputError
        Carbon outside 0 to 2 %, austenite outside 0 to 100 %, a range upside down.

    Notes
    -----
    Source: Just, from memory; rule of mixtures with austenite of 250 HV.
    Valid for: cases without carbides and surface oxidation, before tempering.
    Departures: as `quenched_hardness`.
    Checked: CASE-AS-QUENCHED, CARBON-550.

    Examples
    --------
    >>> case = quenched_case(depth_mm=[0, 1, 2], carbon_percent=[0.8, 0.4, 0.18], core_carbon_percent=0.18,
    ...     core_least_HRC=34, core_greatest_HRC=44, austenite_least_percent=[18, 3, 1],
    ...     austenite_greatest_percent=[32, 6, 2])
    >>> case.softest_HV.round().tolist(), case.hardest_HV.round().tolist()
    ([680.0, 554.0, 334.0], [768.0, 640.0, 432.0])
    """
    z, C, C_k = array(depth_mm), array(carbon_percent), array(core_carbon_percent)
    low, high = array(core_least_HRC), array(core_greatest_HRC)
    least, greatest = array(austenite_least_percent), array(austenite_greatest_percent)
    faults = Faults()
    faults.need(not (high < low).any(), "core_greatest_HRC", core_greatest_HRC, "at least core_least_HRC")
    upright = not (greatest < least).any()
    faults.need(upright, "austenite_greatest_percent", greatest, "at least austenite_least_percent")
    faults.check()
    softest, hardest = (
        quenched_hardness(
            carbon_percent=C,
            core_carbon_percent=C_k[..., None],
            core_hardness_HRC=core[..., None],
            austenite_percent=austenite,
        )
        for core, austenite in ((low, greatest), (high, least))
    )
    return QuenchedCase(
        softest=softest,
        hardest=hardest,
        depth_mm=z,
        softest_HV=softest.hardness_HV,
        hardest_HV=hardest.hardness_HV,
        notices=tuple(dict.fromkeys(softest.notices + hardest.notices)),
    )
