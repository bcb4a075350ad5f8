"""Materials, special processes and tests of a route with the documents that specify them."""

from __future__ import annotations

from gearcheck.basics.methods import Status
from gearcheck.inspection.route import Operation
from gearcheck.requirements.types import Finding
from gearcheck.review.results import Inspected, Review

_DRAWING = "drawing"
_METAL = {"material", "mask", "case", "structure", "hardness", "core", "stress", "surface"}
_CERTIFICATE = "material certificate"


def processes(whole: Review, found: Inspected) -> tuple[dict[str, str], ...]:
    """Return what a first article report lists beside its characteristics.

    Parameters
    ----------
    whole : Review
        With an inspection plan.
    found : Inspected
        That plan.

    Returns
    -------
    tuple of dict
        What each entry holds: the material, then each operation that does something to the metal besides
        cutting it, tests it, or follows a document of its own.
    """
    listed = [item for item in found.plan.route.operations if _is_special(item) and _is_done(found, item)]
    return (_material(whole), *(_process(found, item) for item in listed))


def _is_special(item: Operation) -> bool:
    """Cutting to the drawing and the final inspection are covered by the characteristics themselves."""
    cuts = {"dimension", "stock"} <= {*item.changes} or "marking" in item.changes
    return not cuts and bool(_METAL & {*item.changes} or _own_documents(item))


def _is_done(found: Inspected, item: Operation) -> bool:
    """An operation that only looks, and for which nothing is left to be seen, is not done."""
    return bool(item.changes or item.spoils or found.plan.at(item))


def _own_documents(item: Operation) -> list[str]:
    parts = (part.strip() for part in item.document.split(";"))
    return [part for part in parts if part and not part.startswith(_DRAWING)]


def _material(whole: Review) -> dict[str, str]:
    """The steel as the drawing names it; which bar was ordered says the operation that receives it."""
    steel = whole.record.gear.steel
    if steel is None:
        return {"process": "Material: the gear file names no steel"}
    return {
        "process": f"Material: {steel.grade}",
        "specification": f"drawing; quality {steel.quality} of ISO 6336-5",
    }


def _process(found: Inspected, item: Operation) -> dict[str, str]:
    papers = (
        paper
        for one in found.plan.at(item)
        for finding in found.findings[one.key]
        if not finding.stale and (paper := _paper(one.kind, finding))
    )
    return {
        "process": item.title,
        "specification": item.document,
        "certificate": "; ".join(dict.fromkeys(papers)),
        "comments": "; ".join(_comments(item)),
    }


def _paper(kind: str, finding: Finding) -> str:
    """The paper behind a result; of a certificate the one that it was read from."""
    return finding.document or (finding.instrument if kind == _CERTIFICATE else "")


def _comments(item: Operation) -> list[str]:
    said = [f"operation {item.number}"]
    if item.temperature_C is not None:
        hours = f", {item.hours:g} h" if item.hours is not None else ""
        said.append(f"{item.temperature_C:g} °C{hours}")
    if item.document and item.status is not Status.PUBLISHED:
        said.append(f"specification {item.status}: check against the order")
    return [*said, item.reason] if item.reason else said
