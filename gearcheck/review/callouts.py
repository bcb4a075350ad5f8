"""The callouts of the drawing: what stands on it, what sets it, and what happens if it is relaxed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from typing import Any

from gearcheck.accuracy.inputs import FlankModification, Group
from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import array
from gearcheck.basics.tables import table
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.requirements.types import Requirement
from gearcheck.review.changes import CHANGES, changed
from gearcheck.review.findings import window_text
from gearcheck.review.inputs import GearData, Record
from gearcheck.review.judge import judged
from gearcheck.review.modification import LEAVES
from gearcheck.review.remedies import costs_of
from gearcheck.review.results import Review


@dataclass(frozen=True, kw_only=True)
class Callout:
    """One callout.

    Parameters
    ----------
    key, title : str
        Its name, and in the trade's words.
    lines : tuple of str
        What stands on the drawing.
    set_by : tuple of Requirement
        The requirements that set it.
    if_relaxed : str
        What the trade says of relaxing it.
    step, effects : str and tuple of str
        A step that was worked out, and what it costs on the real calculation; empty where no number of this
        review depends on it.
    """

    key: str
    title: str
    lines: tuple[str, ...]
    set_by: tuple[Requirement, ...]
    if_relaxed: str
    step: str
    effects: tuple[str, ...]


def callouts(whole: Review) -> tuple[Callout, ...]:
    """Return the callouts of a review that has an inspection plan.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    tuple of Callout
        In the order of making; what the record does not fix is left out. None without a plan.
    """
    if whole.inspected is None:
        return ()
    rows = ((row, _lines(whole, whole.inspected.plan, row)) for row in table("callouts").rows)
    return tuple(_callout(whole, row, lines) for row, lines in rows if lines)


def _callout(whole: Review, row: Mapping[str, Any], lines: tuple[str, ...]) -> Callout:
    step = _STEPS.get(row["relax"])
    effects: tuple[str, ...] = ()
    words = ""
    if step is not None and (moved := step[1](whole.record)) is not None:
        words = step[0]
        effects = costs_of(whole.requirements, judged(moved), "") or ("no reserve falls that is shown",)
    return Callout(
        key=row["name"],
        title=row["title"],
        lines=lines,
        set_by=tuple(item for item in whole.requirements if _fits(item.key, row["set_by"])),
        if_relaxed=row["if_relaxed"],
        step=words,
        effects=effects,
    )


def _fits(key: str, patterns: list[str]) -> bool:
    return any(fnmatchcase(key, pattern) for pattern in patterns)


def _lines(whole: Review, plan: InspectionPlan, row: Mapping[str, Any]) -> tuple[str, ...]:
    shown = [item for item in plan.characteristics if _fits(item.key, row["shows"])]
    return (*_given(whole.record, row["name"]), *(_line(item, row.get("read", "")) for item in shown))


def _line(item: Characteristic, read: str) -> str:
    where = f", {item.place}" if item.place else ""
    if not item.wants_number:
        return f"{item.title}: {item.limit.words}{where}"
    window = window_text(item.limit, item.digits, item.unit)
    words = "" if item.limit.words in ("", "drawing") else f", {item.limit.words}"
    by = "" if item.document == "drawing" else f" ({item.document})"
    at = f" {read}" if read else ""
    return f"{item.title}: {window}{at}{words}{where}{by}"


def _given(record: Record, name: str) -> Iterator[str]:
    """What stands on the drawing besides characteristics."""
    gear = record.gear
    if name == "steel" and gear.steel is not None:
        yield f"{gear.steel.grade}, material quality {gear.steel.quality} of ISO 6336-5"
    if name == "relief" and gear.finish is not None:
        yield f"Tip relief {decimals_text(float(gear.tip_relief_um), 0, 'µm')}{_from_diameter(gear)}"
    if name == "modification" and gear.modification is not None:
        yield from _modified(gear.modification)
    if name == "accuracy" and gear.accuracy is not None:
        own = {group: getattr(gear.accuracy, f"{group}_class") for group in Group}
        said = "".join(f", {group} class {float(one):g}" for group, one in own.items() if one is not None)
        yield f"Class {float(gear.accuracy.tolerance_class):g} of {gear.accuracy.edition}{said}"


def _from_diameter(gear: GearData) -> str:
    start = None if gear.modification is None else gear.modification.tip_relief_start_mm
    return "" if start is None else f" from diameter {decimals_text(float(start), 3, 'mm')} on"


def _modified(drawn: FlankModification) -> Iterator[str]:
    """Each modification drawn beside the tip relief."""
    for name, label, unit, digits, _ in LEAVES:
        given = getattr(drawn, name)
        if name != "tip_relief_start_mm" and given is not None:
            said = decimals_text(float(given), digits, unit) if unit else str(given)
            yield f"{label[0].upper()}{label[1:]}: {said}"


def _by_change(key: str, more: float) -> Callable[[Record], Record | None]:
    change = next(one for one in CHANGES if one.key == key)

    def moved(record: Record) -> Record | None:
        before = change.read(record)
        return None if before is None else changed(record, {key: float(before) + more})

    return moved


def _softer(name: str, less: float) -> Callable[[Record], Record | None]:
    def moved(record: Record) -> Record | None:
        steel = record.gear.steel
        if steel is None:
            return None
        values: dict[str, Any] = {name: float(array(getattr(steel, name))) - less}
        return replace(record, gear=replace(record.gear, steel=replace(steel, **values)))

    return moved


def _rougher(name: str, share: float) -> Callable[[Record], Record | None]:
    def moved(record: Record) -> Record | None:
        finish = record.gear.finish
        if finish is None:
            return None
        values: dict[str, Any] = {name: float(array(getattr(finish, name))) * share}
        return replace(record, gear=replace(record.gear, finish=replace(finish, **values)))

    return moved


_STEPS: Mapping[str, tuple[str, Callable[[Record], Record | None]]] = {
    "case": ("0.1 mm less case", _by_change("case_depth", -0.1)),
    "stock": ("0.05 mm more stock", _by_change("stock", 0.05)),
    "class": ("one class coarser", _by_change("class", 1)),
    "hardness": ("30 HV softer", _softer("surface_hardness_HV", 30)),
    "core": ("30 HV softer", _softer("core_hardness_HV", 30)),
    "flank_finish": ("half as rough again", _rougher("flank_roughness_um", 1.5)),
    "root_finish": ("half as rough again", _rougher("root_roughness_um", 1.5)),
}
"""Steps that are worked out on the real calculation, by the name that the table of callouts gives them."""
