"""What a gear file adds to the plan, changes in it and strikes from it, with the forms that do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from itertools import count
from typing import Any

from gearcheck.basics.errors import Faults
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import choice, entry, form, lines
from gearcheck.desk.panels.measuring import with_unit
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.inspection.rules import Rule, rule_of, rules
from gearcheck.record import inspecting
from gearcheck.requirements.types import Requirement
from gearcheck.review.findings import window_text

_ADDED = ("title", "operation", "place", "unit", "accept", "method", "sample", "document", "reason")


def edits_html(kept: Kept, folds: Folds) -> str:
    """Return what was added, changed and struck, what waits for a limit, and the forms.

    Parameters
    ----------
    kept : Kept
        The record.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    shown = kept.whole()
    assert shown.inspected is not None
    plan = shown.inspected.plan
    said = [*_edited(plan), *_struck(plan)]
    there = (
        f'<ol class="gc-decided">{"".join(f"<li>{one}</li>" for one in said)}</ol>'
        if said
        else "<p>The plan is that of the rules: nothing was added, changed or struck.</p>"
    )
    adds = folds.fold(
        "add", "add a characteristic of the drawing", lambda: _add_form(plan, shown.requirements)
    )
    strikes = folds.fold("strike", "strike a characteristic", lambda: _strike_form(plan))
    return f'{there}<div class="gc-tight">{_unlimited(plan, folds)}{adds}{strikes}</div>'


def _edited(plan: InspectionPlan) -> Iterator[str]:
    for item in plan.characteristics:
        if item.edit is not None:
            what = "changed" if rule_of(item.key) is not None else "added"
            where = f" at {item.operation}" if item.operation is not None else ""
            yield (
                f"<p><b>{text(item.title)}</b>, {what}{text(where)}: {_asked(item)}</p>"
                f'<p>{text(item.edit.reason)} <span class="gc-quiet">{text(item.edit.by)}</span></p>'
            )


def _asked(item: Characteristic) -> str:
    return marked(window_text(item.limit, item.digits, item.unit)) if item.has_limit else "no limit yet"


def _struck(plan: InspectionPlan) -> Iterator[str]:
    for item in plan.struck:
        yield (
            f"<p><b>{text(item.title)}</b>, struck</p><p>{text(item.strike.reason)} "
            f'<span class="gc-quiet">{text(item.strike.by)}</span></p>'
        )


def _unlimited(plan: InspectionPlan, folds: Folds) -> str:
    """What a rule would inspect, each with the form that names its limit."""
    known = {item.title: item for item in rules()}
    waiting = [known[item.title] for item in plan.unlimited if item.title in known]
    each = "".join(_named_limit(rule, folds) for rule in waiting)
    said = "<p>Not inspected, since neither drawing nor material quality names a limit:</p>"
    return f"{said}{each}" if each else ""


def _named_limit(rule: Rule, folds: Folds) -> str:
    said = f"name a limit for {text(rule.title)}"
    return folds.fold(f"limit:{rule.key}", said, lambda: _limit_form(rule))


def _limit_form(rule: Rule) -> str:
    unit = "" if rule.unit == "1" else f" in {rule.unit}"
    ends = entry("least", f"At least{unit}", hint="no limit") + entry(
        "most", f"At most{unit}", hint="no limit"
    )
    limit = (
        f'<div class="gc-two">{ends}</div>' if rule.unit else lines("accept", "What is accepted, in words")
    )
    return form(f"limit:{rule.key}", limit + lines("reason", "Why this limit"), "Name the limit")


def _add_form(plan: InspectionPlan, items: tuple[Requirement, ...]) -> str:
    steps = [("", "choose"), *((one.key, str(one)) for one in plan.route.operations)]
    needs = [(item.key, item.title) for item in items if item.key in plan.requirements]
    pairs = (
        (entry("title", "What is inspected", hint="Bore diameter"), choice("operation", "At", steps)),
        (
            entry("place", "Place", hint="bore, two sections"),
            entry("unit", "Unit; none for words", hint="mm"),
        ),
        (entry("least", "At least", hint="no limit"), entry("most", "At most", hint="no limit")),
        (entry("method", "Method", hint="bore gauge"), entry("sample", "Sample", hint="every gear")),
        (
            entry("document", "Document", hint="drawing"),
            choice("needs", "Serves", [("", "the drawing alone"), *needs]),
        ),
    )
    inside = "".join(f'<div class="gc-two">{one}{other}</div>' for one, other in pairs)
    inside += lines("accept", "Where words are due: what is accepted") + lines("reason", "Why it is added")
    return form("add:", inside, "Add the characteristic")


def _strike_form(plan: InspectionPlan) -> str:
    each = [("", "choose"), *((item.key, _named(item)) for item in plan.characteristics)]
    inside = choice("characteristic", "Characteristic", each) + lines("reason", "Why it is not inspected")
    return form("strike:", inside, "Strike it")


def _named(item: Characteristic) -> str:
    return item.title if item.operation is None else f"{item.operation.number} {item.title}"


def edit(kept: Kept, key: str, values: Mapping[str, str]) -> None:
    """Write down what a form of this panel asks for.

    Parameters
    ----------
    kept : Kept
        The record.
    key : str
        Of the form: what, and of which rule.
    values : mapping of str to str
        What was typed.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    what, _, about = key.partition(":")
    steps: dict[str, Callable[[], None]] = {
        "add": lambda: kept.do(inspecting.add_characteristic, values=_new(kept, values)),
        "limit": lambda: kept.do(inspecting.add_characteristic, values=_limited(about, values)),
        "strike": lambda: kept.do(
            inspecting.strike,
            characteristic=values.get("characteristic", ""),
            reason=values.get("reason", ""),
        ),
    }
    steps[what]()


def _new(kept: Kept, values: Mapping[str, str]) -> dict[str, Any]:
    """A characteristic of the drawing: its key is made from its title."""
    faults = Faults()
    faults.need(bool(values.get("title", "").strip()), "title", "", "what is inspected")
    faults.need(bool(values.get("operation")), "operation", "", "the operation at which it is inspected")
    faults.check()
    found = kept.whole().inspected
    taken = {item.key for item in rules()}
    taken |= set() if found is None else {item.key for item in found.plan.characteristics}
    stem = re.sub(r"[^a-z0-9]+", "_", values["title"].lower())[:50].strip("_") or "characteristic"
    names = (stem if number == 1 else f"{stem}_{number}" for number in count(1))
    given: dict[str, Any] = {name: values.get(name, "") for name in _ADDED}
    for name in ("least", "most"):
        given[name] = with_unit(values.get(name, ""), values.get("unit", "").strip())
    if values.get("needs"):
        given["needs"] = [values["needs"]]
    return given | {"key": next(name for name in names if name not in taken)}


def _limited(about: str, values: Mapping[str, str]) -> dict[str, Any]:
    rule = rule_of(about)
    unit = "" if rule is None else rule.unit
    ends = {name: with_unit(values.get(name, ""), unit) for name in ("least", "most")}
    said = {name: values.get(name, "") for name in ("accept", "reason")}
    return {"key": about, **ends, **said}
