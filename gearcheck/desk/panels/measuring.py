"""The forms that take in what was measured or found: a number, words, a course over depth, a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from gearcheck.accuracy.inputs import Flank
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import choice, entry, form, lines
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.record import inspecting
from gearcheck.review.file_inspection import RESULT_COLUMNS
from gearcheck.review.inputs import State, StressPlace, StressState, TraversePlace

HEAD = ("instrument", "date", "by", "applies_to")
"""What the next form begins with as the last one had it: a person at a bench enters many results."""

_TRAVERSE = "hardness traverse"
_STRESS = "residual stress over depth"
_RESULT = ("characteristic", "value", "uncertainty", "found", "conforms", "document", *HEAD)
_ALONG = (
    *("place", "flank", "state", "stock_removed", "test_force", "sideways_offset", "uncertainty", "document"),
    *HEAD,
)
_BELOW = (
    *("place", "flank", "state", "technique", "layer_removal_corrected", "uncertainty", "document"),
    *HEAD,
)
_UNITS = {"uncertainty": "mm", "stock_removed": "mm", "sideways_offset": "mm"}


def entry_html(item: Characteristic, known: Mapping[str, str], folds: Folds) -> str:
    """Return the form for a result of a characteristic, beside what is known of it.

    Parameters
    ----------
    item : Characteristic
        Of the plan.
    known : mapping of str to str
        What the form begins with, by the names in `HEAD`.
    folds : Folds
        Of the piece.

    Returns
    -------
    str
        HTML.
    """
    if item.kind == _STRESS:
        alone = folds.fold(f"stress:{item.key}", "enter a stress alone", lambda: _result_form(item, known))
        return _stress_form(item, known) + alone
    if item.kind != _TRAVERSE:
        return _result_form(item, known)
    alone = folds.fold(f"depth:{item.key}", "enter a depth alone", lambda: _result_form(item, known))
    return _traverse_form(item, known) + alone


def _result_form(item: Characteristic, known: Mapping[str, str]) -> str:
    first = _number(item) if item.wants_number else _words()
    return form(f"result:{item.key}", first + _head(known), "Enter the result")


def _number(item: Characteristic) -> str:
    unit = "" if item.unit == "1" else f" in {item.unit}"
    two = entry("value", f"Measured{unit}" if unit else "Ratio")
    two += entry("uncertainty", f"Uncertainty{unit}, k = 2", hint="none stated")
    return _beside(two)


def _words() -> str:
    kept = (("", "choose"), ("yes", "yes, it conforms"), ("no", "no, it does not conform"))
    return lines("found", "What was found, in words") + choice("conforms", "Does it conform?", kept)


def _head(known: Mapping[str, str]) -> str:
    first = entry("instrument", "Instrument", value=known.get("instrument", ""))
    first += entry("date", "Measured on", kind="date", value=known.get("date", ""))
    second = entry("by", "Measured by", value=known.get("by", ""))
    second += entry("document", "Certificate or chart", hint="none")
    hint = "furnace load 3117, serial number 0007"
    scope = entry("applies_to", "Applies to", hint=hint, value=known.get("applies_to", ""))
    return _beside(first) + _beside(second) + scope


def _beside(two: str) -> str:
    return f'<div class="gc-two">{two}</div>'


def _traverse_form(item: Characteristic, known: Mapping[str, str]) -> str:
    place, flank, state = _along(item.key)
    points = lines("points", "Depth in mm and hardness, a pair a line", hint="0.10 705", rows=7)
    scale = choice("scale", "Scale of the hardness", (("HV", "HV"), ("HRC", "HRC, converted")), value="HV")
    scale += entry("test_force", "Test force", hint="HV 0.5")
    scale += entry("sideways_offset", "Zigzag: offset sideways, in mm", hint="one row")
    flanks = (("", "none"), *((str(one), str(one)) for one in Flank))
    where = choice("place", "From", [(str(one), str(one)) for one in TraversePlace], value=place)
    where += choice("flank", "Flank", flanks, value=flank)
    how = choice("state", "Tooth", [(str(one), str(one)) for one in State], value=state)
    how += entry("stock_removed", "Stock ground off later, in mm", hint="not known")
    sure = entry("uncertainty", "Uncertainty of the depth in mm, k = 2", hint="none stated")
    inside = points + _beside(scale) + _beside(where) + _beside(how) + sure + _head(known)
    return form(f"traverse:{item.key}", inside, "Enter the traverse")


def _stress_form(item: Characteristic, known: Mapping[str, str]) -> str:
    last = item.key.rpartition(".")[2]
    at_root = last == StressPlace.ROOT
    points = lines("points", "Depth in mm and stress in MPa, compression negative", hint="0.10 -260", rows=7)
    flanks = (("", "none"), *((str(one), str(one)) for one in Flank))
    place = StressPlace.ROOT if at_root else StressPlace.PITCH_LINE
    where = choice("place", "From", [(str(one), str(one)) for one in StressPlace], value=str(place))
    where += choice("flank", "Flank", flanks, value="" if at_root else last)
    state = StressState.PEENED if at_root else StressState.FINISHED
    how = choice("state", "Surface", [(str(one), str(one)) for one in StressState], value=str(state))
    how += entry("technique", "Technique", value="X-ray diffraction")
    corrected = (("", "not said"), ("yes", "yes"), ("no", "no"))
    sure = choice("layer_removal_corrected", "Corrected for the layers taken off?", corrected)
    sure += entry("uncertainty", "Uncertainty in MPa, k = 2", hint="none stated")
    inside = points + _beside(where) + _beside(how) + _beside(sure) + _head(known)
    return form(f"stress:{item.key}", inside, "Enter the residual stress")


def _along(key: str) -> tuple[str, str, str]:
    """Place, flank and state that a traverse for a characteristic usually has."""
    last = key.rpartition(".")[2]
    if last in (TraversePlace.ROOT, TraversePlace.TIP):
        return last, "", str(State.AS_TREATED)
    flank = last if last in [str(one) for one in Flank] else str(Flank.LEFT)
    state = State.FINISHED if key.startswith(("case.left.", "case.most.")) else State.AS_TREATED
    return str(TraversePlace.PITCH_LINE), flank, str(state)


def table_html(plan: InspectionPlan, folds: Folds) -> str:
    """Return the fold with the form that takes in a table of results, and the keys that it speaks of."""

    def body() -> str:
        columns = ",".join(RESULT_COLUMNS)
        said = "<p>One result a row, with these columns; what a characteristic does not need stays empty:</p>"
        keys = "; ".join(f"{text(item.title)} <code>{text(item.key)}</code>" for item in plan.characteristics)
        wanted = lines("text", "Table, with commas or semicolons between", hint=columns, rows=6)
        takes = form("table:", wanted, "Take in the table")
        return f"{said}<p><code>{text(columns)}</code></p>{takes}<p>Keys: {keys}.</p>"

    return folds.fold("table", "take in a table of results", body)


def take(kept: Kept, key: str, values: Mapping[str, str]) -> None:
    """Write down what a form of this panel took in.

    Parameters
    ----------
    kept : Kept
        The record.
    key : str
        Of the form: what, and of which characteristic.
    values : mapping of str to str
        What was typed.

    Raises
    ------
    InputError
        What is missing or wrong; then nothing is written.
    """
    what, _, about = key.partition(":")
    steps: dict[str, Callable[[], None]] = {
        "result": lambda: kept.do(inspecting.add_result, values=_result(kept, about, values)),
        "traverse": lambda: kept.do(
            inspecting.add_traverse,
            values=_traverse(kept, values),
            points=values.get("points", ""),
            scale=values.get("scale", "HV"),
        ),
        "stress": lambda: kept.do(
            inspecting.add_residual_stress, values=_stress(kept, values), points=values.get("points", "")
        ),
        "table": lambda: kept.do(inspecting.add_results_file, text=values.get("text", "")),
    }
    steps[what]()


def _result(kept: Kept, about: str, values: Mapping[str, str]) -> dict[str, str]:
    found = kept.whole().inspected
    item = None if found is None else found.plan.find(about)
    unit = "" if item is None else item.unit
    given = {name: values[name] for name in _RESULT if name in values} | {"characteristic": about}
    for name in ("value", "uncertainty"):
        given[name] = with_unit(given.get(name, ""), unit)
    return given | {"revision": kept.book.drawing_revision}


def _traverse(kept: Kept, values: Mapping[str, str]) -> dict[str, str]:
    given = {name: with_unit(values.get(name, ""), _UNITS.get(name, "")) for name in _ALONG}
    return given | {"revision": kept.book.drawing_revision}


def _stress(kept: Kept, values: Mapping[str, str]) -> dict[str, str]:
    given = {name: values.get(name, "") for name in _BELOW}
    given["uncertainty"] = with_unit(given["uncertainty"], "MPa")
    return given | {"revision": kept.book.drawing_revision}


def with_unit(typed: str, unit: str) -> str:
    """Return what was typed with the unit that its label names, where it is a bare number.

    Examples
    --------
    >>> with_unit("0.94", "mm"), with_unit("0.037 in", "mm"), with_unit("1.2", "1")
    ('0.94 mm', '0.037 in', '1.2')
    """
    if unit in ("", "1"):
        return typed
    try:
        float(typed)
    except ValueError:
        return typed
    return f"{typed.strip()} {unit}"
