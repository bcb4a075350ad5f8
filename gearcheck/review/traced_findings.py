"""What measured traces show: total, slope and form of each flank, each held against its own limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from gearcheck.accuracy.inputs import Flank, Group
from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import array
from gearcheck.inspection.decide import Limit
from gearcheck.inspection.scopes import piece
from gearcheck.requirements.compare import decimals_apart, reaches
from gearcheck.review.findings import finding, why_stale
from gearcheck.review.inputs import Record
from gearcheck.review.modification import NOT_TAKEN
from gearcheck.review.results import Chain, Held
from gearcheck.review.traced import PARAMETERS, ReadTraces, fewest_teeth

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
            why = _why_open(record, traces, read, flank)
            for parameter in PARAMETERS:
                yield from _held(record, chain, read, flank, parameter, why)


def _why_open(record: Record, traces: tuple[ReadTraces, ...], read: ReadTraces, flank: Flank) -> str:
    """Why traces that keep their limits do not show that the flanks do; empty where they do.

    What is over its limit contradicts all the same.
    """
    kind, part = read.item.kind, piece(read.item.head.applies_to)
    same = [
        one
        for one in traces
        if one.item.kind is kind
        and flank in one.flanks
        and piece(one.item.head.applies_to) == part
        and not why_stale(record, one.item.head)
    ]
    if any(one.worst(flank, "total")[0] is None for one in same):
        return "another trace of this flank could not be evaluated"
    teeth = {int(tooth) for one in same for tooth in one.item.tooth[one.on(flank)]}
    if same and len(teeth) < fewest_teeth():
        asked = f"at least {fewest_teeth()} are asked"
        return f"traced on {len(teeth)} {'tooth' if len(teeth) == 1 else 'teeth'}, {asked}"
    if any(one.key.startswith(NOT_TAKEN) for one in read.evaluation.notices):
        return "a relief that is drawn is not taken off, so whether it was made is not known"
    return ""


def _held(
    record: Record, chain: Chain, read: ReadTraces, flank: Flank, parameter: str, why: str
) -> Iterator[Held]:
    kind, head = read.item.kind, read.item.head
    limit = trace_limit_um(record, chain, kind, parameter)
    value, trace = read.worst(flank, parameter)
    if limit is None or limit.most is None or value is None or trace is None:
        return
    assert record.gear.accuracy is not None
    sign = "±" if parameter in SIGNED else ""
    said = "within" if reaches(limit.most, abs(value)) else "over"
    shown = decimals_text(value, decimals_apart(abs(value), limit.most, 1), "µm")
    number = float(record.gear.accuracy.class_of(Group(kind)))
    text = (
        f"{kind.capitalize()} {parameter}, {flank} flank, tooth {read.item.tooth[trace]}: {shown} "
        f"measured, {said} {sign}{limit.most:.1f} µm of class {number:g}{_excluded(read, flank)}."
    )
    key = trace_characteristic(kind, parameter, flank)
    found = finding(record, head, key, text, value, limit, "µm")
    if why and found.ok:
        text = f"{found.text.rstrip('.')}; {why}."
        found = replace(found, ok=False, within=True, one_sided=True, text=text)
    yield Held(key, found)


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
