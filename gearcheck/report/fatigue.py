"""What a report says of the tests of specimens: levels, curve, transfers, pedigree, and what was left out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gearcheck.basics.digits import decimals_text, number_text, value_text, with_unit
from gearcheck.basics.numbers import Number, array
from gearcheck.fatigue.inputs import Curve, TransferKind
from gearcheck.report.sections import Section, piece
from gearcheck.review.fatigue import FatigueLife
from gearcheck.review.fatigue_inputs import PlannedTest
from gearcheck.review.results import Review, stop_words

SCATTER = {
    Curve.ONE_LEVEL: "in the direction of life, of ln N at the one level",
    Curve.STRAIGHT: "in the direction of life, of ln N about the line",
    Curve.CURVED: "in the direction of life, of ln N about the curve",
    Curve.SPREADING: "in the direction of life, of ln N about the curve, wider or narrower with the stress",
    Curve.FIXED_LIMIT: "in the direction of life, of ln N about the curve above one limit for all",
    Curve.RANDOM_LIMIT: "of ln N about the curve above the limit of each specimen, and of the logarithm of "
    "these limits",
    Curve.TWO_SLOPES: "in the direction of load, of the logarithm of strength about both branches",
}
"""In which direction the scatter of each form of curve is told, and of what it is."""
_LEAST = 0.05
"""In percent: what would be rounded to none, or to all, is told as less or more than that."""


def fatigue(whole: Review) -> Section:
    """Return the tests of specimens as they were told, counted and led to the part.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    Section
        One part for each place that was tested.
    """
    evidence = whole.record.fatigue
    planned = None if evidence is None else evidence.endurance
    items = [_told(one, planned) for one in whole.fatigue]
    return piece("fatigue.html.j2", "tests", "Tests of specimens", items=items)


def _told(life: FatigueLife, planned: PlannedTest | None) -> dict[str, Any]:
    tests, table = life.tests, life.tests.table
    return {
        "tests": tests,
        "count": len(table.specimen),
        "excluded": [(one.specimen, one.reason) for one in tests.excluded],
        "again": [name for name, first in zip(table.specimen, table.retest_of, strict=True) if first],
        "run_out": number_text(tests.run_out_cycles),
        "reasons": sorted({reason for reason in table.reason if reason}),
        "confidence": value_text(100 * tests.confidence, "%"),
        "levels": list(_levels(life)),
        "scatter": SCATTER[tests.curve],
        "fit": life.fit,
        "parameters": list(_parameters(life)),
        "transfers": list(_transfers(life)),
        "lines": life.pedigree.lines,
        "open": int(array(life.pedigree.open)),
        "supported": [
            (one.mesh, value_text(one.stress.stress_MPa, "MPa"), value_text(one.stress.supported_MPa, "MPa"))
            for one in life.supported
            if not one.stress.stops
        ],
        "stopped": [(one.mesh, stop_words(one.stress)) for one in life.supported if one.stress.stops],
        "few": _few(life),
        **_planned(life, planned),
        "reason": life.reason,
    }


def _few(life: FatigueLife) -> dict[str, str]:
    """What is left open because the specimens are teeth of few gears; empty where nothing is."""
    few, levels = life.few_gears, life.levels
    if few is None or levels is None or few.log_deviation is None or not array(few.log_deviation).any():
        return {}
    return {
        "gears": str(len(set(levels.data.gears))),
        "shift": value_text(round(-100 * float(array(few.log_shift)), 1), "%"),
        "deviation": value_text(round(100 * float(array(few.log_deviation)), 1), "%"),
    }


def _planned(life: FatigueLife, planned: PlannedTest | None) -> dict[str, str]:
    """The long test that is planned, in words, and how likely it is passed; empty where none is."""
    if life.passing is None or planned is None:
        return {"planned": "", "torque": "", "time": "", "passing": "", "plug_in": ""}
    gears = "One gear" if planned.gears == 1 else f"{planned.gears} gears"
    return {
        "planned": gears,
        "torque": value_text(planned.torque_Nm, "N·m"),
        "time": value_text(planned.hours, "h"),
        "passing": _chance(life.passing.passed),
        "plug_in": _chance(life.passing.plug_in),
    }


def _chance(share: Number) -> str:
    """A chance to a tenth of a percent; nothing is sure, and nothing is impossible."""
    percent = 100 * float(array(share))
    if percent < _LEAST:
        return f"under {with_unit('0.1', '%')}"
    if percent >= 100 - _LEAST:
        return f"over {with_unit('99.9', '%')}"
    return decimals_text(percent, 1, "%")


def _levels(life: FatigueLife) -> Iterator[tuple[str, ...]]:
    """One row a level, highest stress first."""
    found = life.levels
    if found is None:
        return
    columns = (
        found.stress_MPa,
        found.specimens,
        found.failures,
        found.run_outs,
        found.first_failure_cycles,
        found.last_cycles,
    )
    rows = zip(*(np.atleast_1d(array(column)) for column in columns), strict=True)
    for stress, *counts, first, last in reversed(list(rows)):
        yield (
            f"{stress:.0f}",
            *(f"{count:.0f}" for count in counts),
            "" if np.isnan(first) else number_text(first),
            number_text(last),
        )


def _parameters(life: FatigueLife) -> Iterator[tuple[str, str, str]]:
    """Each parameter with the standard error of the likelihood."""
    fit = life.fit
    if fit is None or fit.stops:
        return
    errors = np.sqrt(np.diag(fit.covariance))
    for name, value, error in zip(fit.model.names, fit.parameters, errors, strict=True):
        yield name, number_text(value), "" if np.isnan(error) else number_text(error)


def _transfers(life: FatigueLife) -> Iterator[tuple[str, ...]]:
    for transfer, factor in zip(life.transfers.transfers, life.transfers.factors, strict=True):
        weakest = transfer.kind is TransferKind.WEAKEST_TOOTH
        variation = 100 * float(array(transfer.variation))
        yield (
            transfer.name,
            ", ".join(transfer.covers),
            "counted with the teeth" if weakest else number_text(float(array(factor))),
            "" if weakest else with_unit(f"{variation:.3g}", "%"),
            transfer.source,
            str(transfer.status),
            transfer.despite,
        )
