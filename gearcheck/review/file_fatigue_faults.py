"""What is wrong between the keys of fatigue tests, and between them and the files that they name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from gearcheck.basics.errors import Fault
from gearcheck.fatigue.inputs import Curve, Distribution, Place, TransferKind
from gearcheck.fatigue.transfers import overlaps
from gearcheck.review.fatigue_inputs import LoadKind, Rig, SpecimenTable
from gearcheck.review.file_fatigue import (
    FatigueSection,
    SpecimenGearSection,
    SpecimenTestsEntry,
    transfer_of,
)
from gearcheck.review.file_places import Place as Where
from gearcheck.review.file_places import place_words
from gearcheck.review.file_values import shown

LOGNORMAL_ALONE = (Curve.RANDOM_LIMIT, Curve.TWO_SLOPES)
"""The curves that scatter in one way only."""
_LOAD_OF = {Rig.PULSATOR: LoadKind.FORCE, Rig.RUNNING: LoadKind.TORQUE}
_WRITTEN = {LoadKind.FORCE: "force_N or force_kN", LoadKind.TORQUE: "torque_Nm"}


def fatigue_faults(
    section: FatigueSection | None, files: list[SpecimenTable], lines: Mapping[Where, int]
) -> list[Fault]:
    """Say what is wrong between the entries of fatigue tests and their files.

    Parameters
    ----------
    section : FatigueSection or None
        [fatigue], checked section by section; None where the file has none.
    files : list of SpecimenTable
        Those that could be read.
    lines : mapping of tuple to int
        The line of each key.

    Returns
    -------
    list of Fault
        Each with its place.
    """
    if section is None:
        return []
    found: list[Fault] = []
    places = [entry.place for entry in section.tests]
    complete = len(files) == len(section.tests)
    for index, entry in enumerate(section.tests):
        start: Where = ("fatigue", "tests", index)

        def at(*keys: str | int, start: Where = start) -> str:
            return place_words((*start, *keys), lines)

        if entry.place in places[:index]:
            found.append(Fault(at("place"), f"{entry.place} again", "all tests of one place in one entry"))
        faults = [
            *_of_curve(entry),
            *_of_rig(entry),
            *_of_transfers(entry),
            *_of_overlaps(entry),
            *_of_differences(entry),
        ]
        if complete:  # a file that could not be read has its own faults
            table = files[index]
            faults += [*_of_load(entry, table), *_of_ratio(entry, table), *_of_excluded(entry, table)]
        found += [Fault(at(*keys), fault.given, fault.needed, fault.why) for keys, fault in faults]
    return found


Found = Iterator[tuple[tuple[str | int, ...], Fault]]


def _of_curve(entry: SpecimenTestsEntry) -> Found:
    if entry.curve in LOGNORMAL_ALONE and entry.distribution is not Distribution.LOGNORMAL:
        needed = f"{shown(Distribution.LOGNORMAL)} with the {entry.curve}"
        yield ("distribution",), Fault("", shown(entry.distribution), needed)


def _of_rig(entry: SpecimenTestsEntry) -> Found:
    if entry.place is Place.FLANK and entry.rig is Rig.PULSATOR:
        why = "a pulsator bends teeth, it does not roll flanks"
        yield ("rig",), Fault("", entry.rig, f'"{Rig.RUNNING}" for tests of the flank', why)
    yield from _of_teeth_loaded(entry)
    if entry.gear is None:
        return
    pulsator = {"load_diameter": entry.gear.load_diameter, "span_teeth": entry.gear.span_teeth}
    running = {name: getattr(entry.gear, name) for name in ("mate", "centre_distance", "factors")}
    own, other = (pulsator, running) if entry.rig is Rig.PULSATOR else (running, pulsator)
    for name, value in other.items():
        if value is not None:
            yield ("gear", name), Fault("", "a value", f"nothing: it does not belong to a {entry.rig} test")
    if entry.rig is Rig.PULSATOR:
        given = [name for name, value in own.items() if value is not None]
        if len(given) != 1:
            words = "both load_diameter and span_teeth" if given else ""
            needed = "exactly one of load_diameter, where the force acts, and span_teeth, that the jaws span"
            yield ("gear", "load_diameter"), Fault("", words, needed)
        return
    for name, value in own.items():
        if value is None:
            yield ("gear", name), Fault("", "", "the stress of running gears needs it")


def _of_teeth_loaded(entry: SpecimenTestsEntry) -> Found:
    """A pulsator loads one tooth or two, running gears all of theirs."""
    given, needed = entry.teeth_loaded, ""
    weakest = any(one.kind is TransferKind.WEAKEST_TOOTH for one in entry.transfer)
    if entry.rig is Rig.PULSATOR and given > 2:
        needed = "1 or 2: a pulsator bends one tooth, or two alike"
    elif entry.rig is Rig.RUNNING and entry.gear is not None and given != 1:
        needed = "nothing: running gears load all of their teeth"
    elif entry.rig is Rig.RUNNING and entry.gear is None and weakest and given == 1:
        needed = "how many teeth the gear that ran has, where the file gives stresses: its weakest failed"
    if needed:
        yield ("teeth_loaded",), Fault("", f"{given}" * (given > 1), needed)


def _of_load(entry: SpecimenTestsEntry, table: SpecimenTable) -> Found:
    """The load of the file and what turns it into a stress belong together."""
    kind = table.load_kind
    if kind is LoadKind.STRESS:
        if isinstance(entry.gear, SpecimenGearSection):
            needed = (
                "no section where the file gives stresses; forces and torques are turned into stress by it"
            )
            yield ("gear",), Fault("", "a section", needed)
        return
    if _LOAD_OF[entry.rig] is not kind:
        needed = f"the column {_WRITTEN[_LOAD_OF[entry.rig]]}, or stress_MPa, for the rig {shown(entry.rig)}"
        yield ("file",), Fault("", f"the column of a {kind}", needed)
    elif entry.gear is None:
        needed = (
            f"the section [fatigue.tests.gear]: a {kind} is turned into stress by the gear that was tested"
        )
        yield ("gear",), Fault("", "", needed)


def _of_ratio(entry: SpecimenTestsEntry, table: SpecimenTable) -> Found:
    """A transfer to another stress ratio starts from that of the tests."""
    wanted = any(one.kind is TransferKind.STRESS_RATIO for one in entry.transfer)
    if wanted and not np.isfinite(table.stress_ratio).any():
        needed = (
            f"the column stress_ratio: a transfer of the kind {shown(TransferKind.STRESS_RATIO)} needs it"
        )
        yield ("file",), Fault("", "no stress ratio", needed)


def _of_excluded(entry: SpecimenTestsEntry, table: SpecimenTable) -> Found:
    seen: set[str] = set()
    for place, one in enumerate(entry.excluded):
        if one.specimen not in table.specimen:
            given = shown(one.specimen)
            yield ("excluded", place, "specimen"), Fault("", given, f"a specimen of {table.source}")
        elif one.specimen in seen:
            yield (
                ("excluded", place, "specimen"),
                Fault("", f"{shown(one.specimen)} again", "one entry for each"),
            )
        seen.add(one.specimen)
    if len(seen & {*table.specimen}) == len(table.specimen):
        yield ("excluded",), Fault("", "every specimen", "one specimen or more that counts")


def _of_transfers(entry: SpecimenTestsEntry) -> Found:
    names: set[str] = set()
    for place, one in enumerate(entry.transfer):
        start = ("transfer", place)
        if one.name in names:
            yield (*start, "name"), Fault("", shown(one.name), "another name for each transfer")
        names.add(one.name)
        if not one.covers:
            yield (*start, "covers"), Fault("", "nothing", "one difference or more that it answers")
        for name, kind in (("factor", TransferKind.FACTOR), ("sensitivity", TransferKind.STRESS_RATIO)):
            given = getattr(one, name)
            if (given is None) == (one.kind is kind):
                needed = f"a number for the kind {shown(kind)}, and for no other"
                yield (*start, name), Fault("", "" if given is None else f"{given:g}", needed)
        if one.kind is TransferKind.STRESS_RATIO and entry.place is Place.FLANK:
            needed = "another kind: a flank is only pressed, whichever way its gear turns"
            yield (*start, "kind"), Fault("", shown(one.kind), needed)
        if one.kind is TransferKind.WEAKEST_TOOTH and entry.within_gear_share is None:
            needed = "the share of the scatter within a gear, which the weakest tooth follows from"
            yield ("within_gear_share",), Fault("", "", needed)


def _of_overlaps(entry: SpecimenTestsEntry) -> Found:
    """What two transfers cover is taken off twice, unless it is said why both stand."""
    transfers = [transfer_of(one) for one in entry.transfer]
    for first, second, both, said in overlaps(transfers=transfers):
        if not said:
            needed = f"another difference, or despite = why both stand: {shown(first.name)} covers it too"
            yield (
                ("transfer", transfers.index(second), "covers"),
                Fault("", both, needed, "what is taken off twice is not safer but wrong"),
            )


def _of_differences(entry: SpecimenTestsEntry) -> Found:
    rows = [one.what for one in entry.difference]
    for place, what in enumerate(rows):
        if what in rows[:place]:
            yield ("difference", place, "what"), Fault("", f"{shown(what)} again", "one entry for each")
