"""The whole review as plain data for JSON: every value with its symbol, unit, formula, method and status."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from gearcheck.basics.methods import Method, Notice
from gearcheck.basics.results import Result, terms
from gearcheck.requirements.types import Requirement
from gearcheck.review.results import Inspected, Review, Settled
from gearcheck.review.whole import blocking, outcome

FORMAT = 1


def as_plain(whole: Review) -> dict[str, Any]:
    """Turn a review into dicts, lists, texts and numbers.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    dict
        Strictly JSON: NaN and infinity never occur.
    """
    part = whole.record.part
    return {
        "format": FORMAT,
        "part": {"number": part.number, "revision": part.revision, "title": part.title, "stage": part.stage},
        "digest": whole.record.digest,
        "outcome": outcome(whole),
        "blocking": [item.key for item in blocking(whole)],
        "requirements": [_requirement(item) for item in whole.requirements],
        "beside": [_settled(item) for item in whole.settled],
        "workings": [
            {"station": step.station, "title": step.title, **_result(step.result)} for step in whole.workings
        ],
        "measured": [_result(item) for item in (*whole.pitch, *whole.classes)],
        "notices": [_notice(item) for item in whole.notices],
        "readings": {} if whole.record.methods is None else asdict(whole.record.methods.readings),
        **({} if whole.inspected is None else {"inspection": _inspection(whole.inspected)}),
        "versions": dict(whole.versions),
    }


def _requirement(item: Requirement) -> dict[str, Any]:
    return {**asdict(item), "findings": [asdict(finding) for finding in item.findings]}


def _inspection(found: Inspected) -> dict[str, Any]:
    """The route, each characteristic with its answer, and what the plan leaves open."""
    plan = found.plan
    return {
        "route": [str(item) for item in plan.route.operations],
        "characteristics": [
            {
                "key": item.key,
                "title": item.title,
                "operation": None if item.operation is None else item.operation.key,
                "needs": list(item.needs),
                "limit": asdict(item.limit),
                "unit": item.unit,
                "answer": str(found.answers[item.key]),
                "findings": [one.text for one in found.findings[item.key]],
            }
            for item in plan.characteristics
        ],
        "struck": [asdict(item) for item in plan.struck],
        "gaps": [asdict(item) for item in found.gaps],
        "loose": list(found.loose),
    }


def _settled(item: Settled) -> dict[str, Any]:
    return {
        "mesh": item.mesh,
        "solved_case_depth_mm": None if item.required is None else item.required.depth_mm,
        "single_contact_case_depth_mm": (
            None if item.single_contact is None else item.single_contact.depth_mm
        ),
        "case_depth_by_criterion_mm": (
            None
            if item.side_by_side is None
            else {str(name): found.depth_mm for name, found in item.side_by_side.fatigue.items()}
        ),
        "reserve": None if item.reserve is None else asdict(item.reserve),
        "reason": item.reason,
    }


def _result(result: Result) -> dict[str, Any]:
    return {
        "method": _method(result.method),
        "terms": [
            {
                "name": name,
                "label": term.label,
                "symbol": term.symbol,
                "unit": term.unit,
                "formula": term.formula or term.words,
                "value": _value(value),
            }
            for name, term, value in terms(result)
        ],
        "notices": [_notice(item) for item in result.notices],
    }


def _method(method: Method) -> dict[str, Any]:
    return {
        "key": method.key,
        "title": method.title,
        "cite": method.cite,
        "status": method.status,
        "valid": [str(limits) for limits in method.valid],
        "leaves_out": list(method.leaves_out),
        "departures": list(method.departures),
    }


def _notice(notice: Notice) -> dict[str, str]:
    return {"level": notice.level, "key": notice.key, "text": notice.text}


def _value(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return [_value(item) for item in value.tolist()]
    if isinstance(value, list):
        return [_value(item) for item in value]
    return value if value is None or np.isfinite(value) else None
