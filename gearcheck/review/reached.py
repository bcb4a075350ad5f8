"""The class of each measured part: by flank and in all, what spoils it on which tooth, and how sure it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gearcheck.accuracy.gear_class import GearClass, gear_class
from gearcheck.accuracy.grade import FOR_INFORMATION
from gearcheck.accuracy.grade import PARAMETERS as WORDS
from gearcheck.accuracy.inputs import AccuracyEdition, Flank
from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import Number, array
from gearcheck.inspection.decide import guard_band
from gearcheck.inspection.scopes import piece
from gearcheck.review.chain import toothing
from gearcheck.review.evidence_inputs import EvidenceHead
from gearcheck.review.findings import decision_rule_of, why_stale
from gearcheck.review.inputs import Record
from gearcheck.review.remembered import remembered
from gearcheck.review.traced import PARAMETERS, ReadTraces

_BOTH = "both"


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """One measured deviation: of which flank and parameter, on which tooth, and how sure.

    Parameters
    ----------
    flank : Flank or None
        None for the runout.
    parameter : str
        By its name in ``accuracy_class``: ``single_pitch``.
    value_um, guard_um : float
        As measured, and the guard band of the decision rule; a value is NaN where a trace has none.
    tooth : int or None
        The tooth that has it, where one has.
    """

    flank: Flank | None
    parameter: str
    value_um: float
    guard_um: float
    tooth: int | None = None

    @property
    def words(self) -> str:
        """What it is: ``single pitch, right flank, tooth 12``."""
        where = ("" if self.flank is None else f", {self.flank} flank") + (
            "" if self.tooth is None else f", tooth {self.tooth}"
        )
        return f"{WORDS[self.parameter]}{where}"


@dataclass(frozen=True, kw_only=True)
class ReachedClass:
    """The class of one measured part.

    Parameters
    ----------
    part : str
        What the evidence applies to.
    deviations : tuple of Deviation
        All that was measured and still holds, the worst of each parameter and flank.
    as_measured, surely_kept, no_finer_than : GearClass
        The class of the deviations as they are, larger by the guard band, and smaller by it.
    spoiled_by : tuple of Deviation
        Those that make the class of the gear.
    """

    part: str
    deviations: tuple[Deviation, ...]
    as_measured: GearClass
    surely_kept: GearClass
    no_finer_than: GearClass
    spoiled_by: tuple[Deviation, ...]

    @property
    def sentence(self) -> str:
        """The class in words, with what spoils it and how sure it is."""
        last = self.as_measured.overall
        if last is None and not self.spoiled_by:
            return f"{self.part} has no class: one of its deviations could not be evaluated."
        said = "worse than all classes" if last is None else f"class {last:g}"
        spoiled = "; ".join(
            f"{item.words} ({decimals_text(item.value_um, 1, 'µm')})" for item in self.spoiled_by
        )
        text = f"{self.part} is {said} by what was measured, for its {spoiled}.{self._not_measured}"
        sure, best = self.surely_kept.overall, self.no_finer_than.overall
        if sure == best:
            return text
        kept = "no class is surely kept" if sure is None else f"it surely keeps class {sure:g}"
        at_best = "" if best is None else f" and can be class {best:g} at best"
        return f"{text} With the uncertainty {kept}{at_best}."

    @property
    def _not_measured(self) -> str:
        """What a class of the gear would have to know too: a part of it is no class of the whole."""
        known = {(item.parameter.partition("_")[0], item.flank) for item in self.deviations}
        named = {"pitch": "single", "profile": "profile", "helix": "helix"}
        missing = [
            words if not any((name, one) in known for one in Flank) else f"{words} of the {flank} flanks"
            for words, name in named.items()
            for flank in Flank
            if (name, flank) not in known
        ]
        return f" Not measured: {', '.join(dict.fromkeys(missing))}." if missing else ""


def reached_by_part(
    record: Record, pitch: tuple[PitchDeviations, ...], traces: tuple[ReadTraces, ...]
) -> tuple[ReachedClass, ...]:
    """Return the class of each part that was measured and whose evidence still holds.

    Parameters
    ----------
    record : Record
        With its evidence, without arrays.
    pitch : tuple of PitchDeviations
        In the order of ``record.pitch``.
    traces : tuple of ReadTraces
        Profile and helix.

    Returns
    -------
    tuple of ReachedClass
        In the order in which the parts are named first; empty where no class is drawn.
    """
    if record.gear.accuracy is None:
        return ()
    found: dict[tuple[str, str], tuple[str, list[Deviation]]] = {}
    for head, deviations in (*_of_pitch(record, pitch), *_of_traces(record, traces)):
        if not why_stale(record, head):
            # one gear is one part, also where one sheet names its furnace load and another does not
            found.setdefault(piece(head.applies_to), (head.applies_to, []))[1].extend(deviations)
    edition, sizes = record.gear.accuracy.edition, tuple(toothing(record, record.gear).items())
    return tuple(_reached(edition, sizes, part, _worst(items)) for part, items in found.values() if items)


def _of_pitch(
    record: Record, pitch: tuple[PitchDeviations, ...]
) -> Iterator[tuple[EvidenceHead, list[Deviation]]]:
    for item, result in zip(record.pitch, pitch, strict=True):
        guard = _guard(record, item.head)
        tooth = {flank: getattr(result, f"{flank}_spoiling_tooth") for flank in Flank}
        found = [
            Deviation(
                flank=flank,
                parameter=name,
                value_um=float(array(getattr(result, f"{flank}_{field}_um"))),
                guard_um=guard,
                tooth=tooth[flank] if name == "single_pitch" else None,
            )
            for flank in Flank
            for name, field in _PITCH.items()
        ]
        if result.runout_um is not None:
            found.append(
                Deviation(flank=None, parameter="runout", value_um=float(result.runout_um), guard_um=guard)
            )
        yield item.head, found


_PITCH = {
    "single_pitch": "single_pitch",
    "cumulative_pitch": "cumulative_pitch",
    "sector_pitch": "sector_pitch",
    "adjacent_pitch": "adjacent",
}


def _of_traces(
    record: Record, traces: tuple[ReadTraces, ...]
) -> Iterator[tuple[EvidenceHead, list[Deviation]]]:
    for read in traces:
        guard = _guard(record, read.item.head)
        yield (
            read.item.head,
            [
                Deviation(
                    flank=flank,
                    parameter=f"{read.item.kind}_{parameter}",
                    value_um=float(array(read.worst(flank, parameter)[0])),
                    guard_um=guard,
                    tooth=read.spoiling_tooth(flank, parameter),
                )
                for flank in read.flanks
                for parameter in PARAMETERS
            ],
        )


def _guard(record: Record, head: EvidenceHead) -> float:
    return guard_band(head.uncertainty, decision_rule_of(record))


def _worst(items: list[Deviation]) -> tuple[Deviation, ...]:
    """The largest of each parameter and flank; one without a value is worse than all.

    Its guard band reaches as far as that of any other: a smaller value that is less sure may be larger.
    """
    found: dict[tuple[str, Flank | None], list[Deviation]] = {}
    for item in items:
        found.setdefault((item.parameter, item.flank), []).append(item)
    return tuple(_largest(same) for same in found.values())


def _largest(same: list[Deviation]) -> Deviation:
    worst = max(same, key=_size)
    if len(same) == 1 or np.isnan(worst.value_um):
        return worst
    reach = max(abs(item.value_um) + item.guard_um for item in same)
    return replace(worst, guard_um=reach - abs(worst.value_um))


def _size(item: Deviation) -> float:
    return np.inf if np.isnan(item.value_um) else abs(item.value_um)


@remembered
def _reached(
    edition: AccuracyEdition, sizes: tuple[tuple[str, Number], ...], part: str, items: tuple[Deviation, ...]
) -> ReachedClass:
    def graded(sign: int) -> GearClass:
        by_flank: dict[str, dict[str, Any]] = {}
        for item in items:
            moved = max(abs(item.value_um) + sign * item.guard_um, 0.0)
            moved = np.nan if np.isnan(item.value_um) else moved
            by_flank.setdefault(str(item.flank or _BOTH), {})[f"{item.parameter}_um"] = moved
        return gear_class(
            edition=edition,
            sizes=dict(sizes),
            left=by_flank.get(Flank.LEFT),
            right=by_flank.get(Flank.RIGHT),
            both=by_flank.get(_BOTH),
        )

    measured = graded(0)
    return ReachedClass(
        part=part,
        deviations=items,
        as_measured=measured,
        surely_kept=graded(1),
        no_finer_than=graded(-1),
        spoiled_by=tuple(item for item in items if _spoils(measured, item)),
    )


def _spoils(found: GearClass, item: Deviation) -> bool:
    """Whether a deviation has the class of the gear, or is worse than all classes where one is."""
    if np.isnan(item.value_um) or item.parameter in FOR_INFORMATION:
        return False
    of = getattr(found, str(item.flank or _BOTH))
    return bool(getattr(of, item.parameter) == found.overall)
