"""What measured traces show: total, slope and form of each flank, each held against its own limit."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.accuracy.inputs import Flank, Group
from gearcheck.basics.digits import MINUS
from gearcheck.basics.numbers import array
from gearcheck.inspection.decide import Limit
from gearcheck.requirements.compare import reaches
from gearcheck.review.findings import finding
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Held
from gearcheck.review.traced import PARAMETERS, ReadTraces

SIGNED = ("slope",)
"""The parameters that may be negative."""


def trace_characteristic(kind: str, parameter: str, flank: str) -> str:
    """Return the key of the characteristic of a parameter: ``accuracy.profile_slope.left``."""
    part = "" if parameter == "total" else f"_{parameter}"
    return f"accuracy.{kind}{part}.{flank}"


def trace_limit_um(record: Record, chain: Chain, kind: str, parameter: str) -> Limit | None:
    """Return what the class drawn allows of a parameter, µm; None where no class is drawn or it stops."""
    if chain.drawn is None or record.gear.accuracy is None:
        return None
    most = float(np.ravel(array(getattr(chain.drawn, f"{kind}_{parameter}_um")))[0])
    if np.isnan(most):
        return None
    return Limit(least=-most if parameter in SIGNED else None, most=most)


def held_traces(record: Record, chain: Chain, traces: tuple[ReadTraces, ...]) -> Iterator[Held]:
    """Hold the worst trace of each flank against the limits drawn.

    Parameters
    ----------
    record : Record
        With its traces.
    chain : Chain
        Of it, without arrays.
    traces : tuple of ReadTraces
        Evaluated.

    Yields
    ------
    Held
        One finding for each parameter of each flank that could be evaluated.
    """
    for read in traces:
        for flank in read.flanks:
            for parameter in PARAMETERS:
                yield from _held(record, chain, read, flank, parameter)


def _held(record: Record, chain: Chain, read: ReadTraces, flank: Flank, parameter: str) -> Iterator[Held]:
    kind, head = read.item.kind, read.item.head
    limit = trace_limit_um(record, chain, kind, parameter)
    value, trace = read.worst(flank, parameter)
    if limit is None or limit.most is None or value is None or trace is None:
        return
    assert record.gear.accuracy is not None
    sign = "±" if parameter in SIGNED else ""
    said = "within" if reaches(limit.most, abs(value)) else "over"
    shown = f"{MINUS if value < 0 else ''}{abs(value):.1f}"
    number = float(record.gear.accuracy.class_of(Group(kind)))
    text = (
        f"{kind.capitalize()} {parameter}, {flank} flank, tooth {read.item.tooth[trace]}: {shown} µm "
        f"measured, {said} {sign}{limit.most:.1f} µm of class {number:g}{_excluded(read, flank)}."
    )
    key = trace_characteristic(kind, parameter, flank)
    yield Held(key, finding(record, head, key, text, value, limit, "µm"))


def excluded_points(read: ReadTraces, flank: Flank) -> int:
    """Return how many points that were measured on a flank do not count."""
    traces = read.on(flank)
    known = np.isfinite(array(read.evaluation.deviation_um)[traces])
    return int((known & ~np.asarray(read.evaluation.used)[traces]).sum())


def _excluded(read: ReadTraces, flank: Flank) -> str:
    count = excluded_points(read, flank)
    if not count:
        return ""
    reasons = dict.fromkeys(one.reason.rstrip(".") for one in read.item.excluded if one.flank is flank)
    return f", {count} point{'s' if count != 1 else ''} excluded ({'; '.join(reasons)})"
