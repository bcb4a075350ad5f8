"""The inspection sections of a gear file, held against one another and against the evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.units import quantity
from gearcheck.inspection.plan import CharacteristicEdit, Strike
from gearcheck.inspection.route import OperationEdit, route
from gearcheck.inspection.rules import rule_of, rules
from gearcheck.inspection.scopes import is_scoped
from gearcheck.review.file_inspection import InspectionFiles, ReadResult
from gearcheck.review.file_measured import ResidualStressEntry, ResultEntry, TraverseEntry
from gearcheck.review.file_model import CharacteristicEntry, GearFile, InspectionSection
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_values import Hardness, Rockwell, shown
from gearcheck.review.file_words import close_name
from gearcheck.review.inputs import Inspection

SCOPED = "design, heat, furnace load or serial number with its name, such as furnace load 3117"


def all_results(file: GearFile, files: InspectionFiles, lines: Mapping[Place, int]) -> tuple[ReadResult, ...]:
    """Return the results of the gear file itself, then those of its files."""
    own = (
        ReadResult(
            entry=entry,
            source=f"evidence.result[{index + 1}]",
            field=place_words(("evidence", "result", index), lines),
        )
        for index, entry in enumerate(file.evidence.result)
    )
    return (*own, *files.results)


def inspection_faults(
    file: GearFile, results: tuple[ReadResult, ...], lines: Mapping[Place, int]
) -> list[Fault]:
    """Say what is wrong between the inspection sections and the evidence.

    Parameters
    ----------
    file : GearFile
        Checked section by section.
    results : tuple of ReadResult
        From the gear file and from files.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    list of Fault
        Values without the right unit, unknown characteristics, operations without a number, ...
    """
    found: list[Fault] = []
    if file.inspection is not None:
        found += _of_section(file.inspection, lines)
    units = units_of(file.inspection)
    for item in results:
        found += _of_result(item, file.inspection is not None, units)
    for index, entry in enumerate(file.evidence.traverse):
        found += _of_traverse(entry, place_words(("evidence", "traverse", index), lines))
    for index, stress in enumerate(file.evidence.residual_stress):
        found += _of_stress(stress, place_words(("evidence", "residual_stress", index), lines))
    return found


def units_of(section: InspectionSection | None) -> dict[str, str]:
    """Return the unit of the result of each characteristic; empty where words are due."""
    units = {item.key: item.unit for item in rules()}
    for edit in section.characteristic if section else ():
        if edit.unit is not None or edit.key not in units:
            units[edit.key] = edit.unit or ""
    return units


def _of_section(section: InspectionSection, lines: Mapping[Place, int]) -> Iterator[Fault]:
    base = {item.key for item in route(section.route).operations}
    for index, entry in enumerate(section.operation):
        field = place_words(("inspection", "operation", index), lines)
        if entry.key not in base and (entry.number is None or entry.title is None):
            why = f'route "{section.route}" has no such operation'
            yield Fault(f"{field}, key", shown(entry.key), "number and title for a new operation", why)
    yield from _twice("operation", [entry.key for entry in section.operation], lines)
    yield from _twice("characteristic", [edit.key for edit in section.characteristic], lines)
    for index, edit in enumerate(section.characteristic):
        field = place_words(("inspection", "characteristic", index), lines)
        if rule_of(edit.key) is None and (edit.title is None or edit.operation is None):
            why = "no rule of this program has this key"
            yield Fault(f"{field}, key", shown(edit.key), "title and operation for a new one", why)
        yield from _edit_faults(edit, units_of(section), field)
    known = [*(item.key for item in rules()), *(edit.key for edit in section.characteristic)]
    for index, strike in enumerate(section.strike):
        if strike.characteristic not in known:
            field = place_words(("inspection", "strike", index, "characteristic"), lines)
            why = close_name(strike.characteristic, known)
            yield Fault(field, shown(strike.characteristic), "the key of a characteristic", why)


def _twice(name: str, keys: list[str], lines: Mapping[Place, int]) -> Iterator[Fault]:
    for index, key in enumerate(keys):
        if key in keys[:index]:
            field = place_words(("inspection", name, index, "key"), lines)
            yield Fault(field, shown(key), "each key once", "the gear file has it already: change it there")


def _edit_faults(edit: CharacteristicEntry, units: Mapping[str, str], field: str) -> Iterator[Fault]:
    rule = rule_of(edit.key)
    if rule is not None and edit.unit not in (None, rule.unit):
        needed = f"{rule.unit}, or no unit" if rule.unit else "no unit"
        why = "its limit and its results are held in that unit" if rule.unit else "words are due here"
        yield Fault(f"{field}, unit", shown(edit.unit or ""), needed, why)
        return
    if units[edit.key] and edit.accept is not None:
        why = f"a number in {units[edit.key]} is due here"
        yield Fault(f"{field}, accept", shown(edit.accept), "least, most, or both", why)
    limits = [fault for name in ("least", "most") for fault in _limit_fault(edit, name, units, field)]
    yield from limits
    if edit.least is not None and edit.most is not None and not limits:
        least, most = (read_value(value, units[edit.key]) for value in (edit.least, edit.most))
        if least > most:
            yield Fault(f"{field}, most", shown(edit.most), f"at least {shown(edit.least)}, the least value")


def _limit_fault(
    edit: CharacteristicEntry, name: str, units: Mapping[str, str], field: str
) -> Iterator[Fault]:
    given = getattr(edit, name)
    if given is None:
        return
    unit = units[edit.key]
    if not unit:
        yield Fault(f"{field}, {name}", shown(given), "a unit for a characteristic with numbers")
        return
    try:
        read_value(given, unit)
    except InputError as error:
        yield Fault(f"{field}, {name}", shown(given), error.faults[0].needed, error.faults[0].why)


def _of_result(item: ReadResult, planned: bool, units: Mapping[str, str]) -> Iterator[Fault]:
    entry, field = item.entry, item.field
    if not planned:
        why = "without a route nothing says what is inspected"
        yield Fault(field, shown(entry.characteristic), "a section [inspection] in the gear file", why)
        return
    if not is_scoped(entry.applies_to):
        yield Fault(f"{field}, applies_to", shown(entry.applies_to), SCOPED)
    if entry.characteristic not in units:
        why = close_name(entry.characteristic, list(units))
        given = shown(entry.characteristic)
        yield Fault(f"{field}, characteristic", given, "the key of a characteristic", why)
        return
    unit = units[entry.characteristic]
    if unit:
        if entry.value is None:
            needed = f"a number in {unit}" if unit != "1" else "a ratio"
            given = shown(entry.found) if entry.found else ""
            yield Fault(f"{field}, value", given, needed, "words are no number")
        if entry.conforms is not None:
            why = "the number is held against the limit"
            yield Fault(f"{field}, conforms", shown(entry.conforms), "no verdict beside a number", why)
        yield from _value_faults(entry, unit, field)
    elif entry.found is None or entry.conforms is None or entry.value is not None:
        given = shown(entry.value) if entry.value is not None else shown(entry.found or "")
        yield Fault(f"{field}, found", given, "what was found, in words, and conforms = true or false")


def _value_faults(entry: ResultEntry, unit: str, field: str) -> Iterator[Fault]:
    for name in ("value", "uncertainty"):
        given = getattr(entry, name)
        if given is None:
            continue
        try:
            value = read_value(given, unit, spread=name == "uncertainty")
            # one of the drawing may be a difference; of what a rule inspects a stress and a slope have a sign
            signed = unit == "MPa" or "_slope." in entry.characteristic
            negative = not signed and rule_of(entry.characteristic) is not None
            if value < 0 and (name == "uncertainty" or negative):
                yield Fault(f"{field}, {name}", shown(given), "0 or more")
            if value > 100 and unit == "%" and rule_of(entry.characteristic) is not None:
                yield Fault(f"{field}, {name}", shown(given), "at most 100 %", "it is a share")
        except InputError as error:
            yield Fault(f"{field}, {name}", shown(given), error.faults[0].needed, error.faults[0].why)


def _of_traverse(entry: TraverseEntry, field: str) -> Iterator[Fault]:
    if not is_scoped(entry.applies_to):
        yield Fault(f"{field}, applies_to", shown(entry.applies_to), SCOPED)
    on_flank = entry.place == "pitch line"
    if on_flank and entry.flank is None:
        why = "a traverse at the pitch line runs in from one flank"
        yield Fault(f"{field}, flank", "", "left or right", why)
    if not on_flank and entry.flank is not None:
        yield Fault(
            f"{field}, flank", shown(entry.flank), "no flank", f"the {entry.place} belongs to neither"
        )
    if entry.state == "finished" and entry.stock_removed is not None:
        why = "nothing is ground off a finished tooth"
        yield Fault(f"{field}, stock_removed", shown(entry.stock_removed), "no stock", why)


def _of_stress(entry: ResidualStressEntry, field: str) -> Iterator[Fault]:
    if not is_scoped(entry.applies_to):
        yield Fault(f"{field}, applies_to", shown(entry.applies_to), SCOPED)
    if entry.place == "pitch line" and entry.flank is None:
        yield Fault(f"{field}, flank", "", "left or right", "at the pitch line it is that of one flank")
    if entry.place != "pitch line" and entry.flank is not None:
        why = f"the {entry.place} belongs to neither"
        yield Fault(f"{field}, flank", shown(entry.flank), "no flank", why)


def read_value(given: str | float, unit: str, *, spread: bool = False) -> float:
    """Return a measured value as a number in the unit of its characteristic.

    Parameters
    ----------
    given : str or float
        A number with its unit; a plain number for a ratio.
    unit : str
        ``1`` for a ratio.
    spread : bool
        Whether it is an uncertainty: a difference, which no scale of hardness converts.

    Returns
    -------
    float
        Finite.

    Raises
    ------
    InputError
        What is needed instead; its field is empty.

    Examples
    --------
    >>> read_value("0.0006 in", "mm"), read_value(1.2, "1")
    (0.01524, 1.2)
    """
    if unit == "1":
        if isinstance(given, str):
            raise InputError([Fault("", shown(given), "a ratio, without quotes and without unit")])
        return given
    if unit in ("HV", "HRC") and not spread:
        return float((Hardness(50, 1200) if unit == "HV" else Rockwell(20, 68))(given))
    return float(f"{quantity(given, unit, ''):.12g}")


def inspection_of(section: InspectionSection) -> Inspection:
    """Return the inspection section as inputs; it is free of faults."""
    units = units_of(section)
    return Inspection(
        route=section.route,
        decision_rule=section.decision_rule,
        acceptance=section.acceptance,
        operations=tuple(
            OperationEdit(
                **entry.model_dump(exclude={"temperature", "time"}),
                temperature_C=entry.temperature,
                hours=entry.time,
            )
            for entry in section.operation
        ),
        characteristics=tuple(
            CharacteristicEdit(
                **entry.model_dump(exclude={"least", "most"}),
                least=None if entry.least is None else read_value(entry.least, units[entry.key]),
                most=None if entry.most is None else read_value(entry.most, units[entry.key]),
            )
            for entry in section.characteristic
        ),
        strikes=tuple(
            Strike(key=entry.characteristic, reason=entry.reason, by=entry.by) for entry in section.strike
        ),
    )
