"""What the laboratory measures of the case: limit, document, prediction, what was found."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.digits import NO_BREAK, decimals_text
from gearcheck.basics.numbers import array
from gearcheck.desk.panels.numbers import whole
from gearcheck.desk.panels.route_line import asked, got
from gearcheck.desk.words import answer, text
from gearcheck.figures.hardness import hardness_curves
from gearcheck.inspection.acceptance import ITEMS
from gearcheck.inspection.decide import Limit
from gearcheck.inspection.plan import Characteristic
from gearcheck.requirements.types import CONFIRMED
from gearcheck.review.limits import asked as asked_by_quality
from gearcheck.review.results import Inspected, Review

KEYS = (
    "case.as_treated",
    "case.tip",
    "case.root",
    "hardness.surface",
    "hardness.core",
    "retained_austenite",
    "oxidation",
    "carbides",
    "surface_temper",
)
"""The characteristics of the case, in the order of the work."""

NO_PLAN = (
    "The record has no section [inspection]: by which document the metal is accepted, and what shows it, is "
    "not said."
)
_SAID = "What the finished case has to be, and what shows that it is. The inspection sheet takes the results."
_DRAWING = "drawing"


def metal_html(shown: Review) -> str:
    """Return a table of the characteristics of the case that stand in the inspection plan.

    Parameters
    ----------
    shown : Review
        Of a record without arrays.

    Returns
    -------
    str
        HTML: limit with its document, what is predicted where a furnace is given, and the answer by evidence.
    """
    head = '<h2 id="laboratory">What the laboratory measures</h2>'
    found = shown.inspected
    if found is None:
        return f"{head}<p>{NO_PLAN}</p>"
    items = [item for key in KEYS if (item := found.plan.find(key)) is not None]
    told = _predicted(shown)
    names = ("Characteristic", "asked", *(("predicted",) if told else ()), "by evidence")
    heads = "".join(f'<th scope="col">{name}</th>' for name in names)
    rows = "".join(
        f'<tr><th scope="row">{text(item.title)}<br><span class="gc-quiet">{text(item.place)}</span></th>'
        f"<td>{_limit(shown, item)}</td>"
        f"{f'<td>{_told(item, told.get(item.key))}</td>' if told else ''}"
        f"<td>{_shown(found, item)}</td></tr>"
        for item in items
    )
    table = f'<table class="gc-table"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'
    return f"{head}<p>{_SAID}</p>{table}"


def _limit(shown: Review, item: Characteristic) -> str:
    """The limit, its document and how well that is known; what the material quality asks beside it."""
    said = asked(item) or text(item.limit.words)
    by = whole(item.limit.words) if item.wants_number else ""
    if item.key in ITEMS:
        quality = asked_by_quality(shown.record, item.key)
        if quality is not None and quality.document not in item.limit.words:
            most = decimals_text(float(array(quality.value)), item.digits, item.unit)
            words = quality.words if quality.is_rank else f"at most {most}"
            by += f"{'; ' if by else ''}{whole(f'{quality.document}: {words}')}"
    status = next((one.status for one in shown.requirements if one.key in item.needs), "")
    known = item.limit.words == _DRAWING or status in ("", "published", CONFIRMED)
    mark = "" if known else f' <span class="gc-memory">{text(status)}</span>'
    return f'{said}<br><span class="gc-quiet">{by}{mark}</span>'


def _shown(found: Inspected, item: Characteristic) -> str:
    """The answer by evidence, and what was found."""
    measured = got(item, found.findings[item.key]).replace(" ±", f"{NO_BREAK}±")
    return f"{answer(found.answers[item.key])}{f'<br>{measured}' if measured else ''}"


def _told(item: Characteristic, ends: tuple[float, float] | None) -> str:
    """The range that is predicted, and whether it keeps the limit."""
    if ends is None:
        return ""
    if np.isnan(ends).any():
        return "not read"
    low, high = decimals_text(ends[0], item.digits), decimals_text(ends[1], item.digits, item.unit)
    wrong = _outside(item.limit, *ends)
    more = f'<br><span class="gc-stop">{wrong}</span>' if wrong else ""
    return f'<span class="gc-whole">{text(low)} to {text(high)}</span>{more}'


def _outside(limit: Limit, low: float, high: float) -> str:
    least = -np.inf if limit.least is None else limit.least
    most = np.inf if limit.most is None else limit.most
    if high < least or low > most:
        return "outside"
    return "partly outside" if low < least or high > most else ""


def _predicted(shown: Review) -> dict[str, tuple[float, float]]:
    """What the furnace is predicted to bring of each characteristic, from its softest to its hardest case."""
    found = None if shown.predicted is None else shown.predicted.treated
    if shown.predicted is None or found is None:
        return {}
    low, high = found.case_depths_mm.tolist()
    ground = {one.label: float(array(one.hardness_HV)[0]) for one in hardness_curves(shown)}
    told = {
        "case.as_treated": (low, high),
        "hardness.core": (float(array(found.core.least_HV)), float(array(found.core.greatest_HV))),
        "retained_austenite": (
            float(array(found.austenite.least_percent).flat[0]),
            float(array(found.austenite.greatest_percent).flat[0]),
        ),
    }
    if "predicted, softest" in ground and "predicted, hardest" in ground:
        told["hardness.surface"] = (ground["predicted, softest"], ground["predicted, hardest"])
    for one in shown.predicted.places[1:]:
        least, most = one.treated.case_depths_mm.tolist()
        told[f"case.{one.name}"] = (least, most)
    return told
