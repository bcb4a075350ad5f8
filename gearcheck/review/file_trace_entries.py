"""The entries [[evidence.profile]] and [[evidence.helix]]: held against their files, and made evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from gearcheck.accuracy.inputs import TraceKind
from gearcheck.basics.errors import Fault
from gearcheck.inspection.scopes import is_scoped
from gearcheck.review.evidence_inputs import EvidenceHead, Exclusion, TraceEvidence
from gearcheck.review.file_measured import EvidenceSection, ExcludedEntry, TraceEntry
from gearcheck.review.file_model import GearFile
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_plan import SCOPED
from gearcheck.review.file_traces import TraceFile
from gearcheck.review.file_values import shown

Files = Mapping[TraceKind, list[TraceFile]]


def head_of(
    entry: EvidenceSection, source: str, sha256: str = "", *, uncertainty: float | None = None
) -> EvidenceHead:
    """Return what a piece of evidence says of itself.

    Parameters
    ----------
    entry : EvidenceSection
        Of the gear file.
    source, sha256 : str
        The file or the entry it comes from, and the hash of the file; a value typed into the gear file has
        none of its own: the digest of the record covers it.
    uncertainty : float or None
        In the unit of what was measured.

    Returns
    -------
    EvidenceHead
        Without its key.
    """
    return EvidenceHead(
        source=source,
        sha256=sha256,
        revision=entry.revision,
        applies_to=entry.applies_to,
        by=entry.by,
        date=entry.date,
        instrument=entry.instrument,
        uncertainty=uncertainty,
        document=entry.document or "",
        document_sha256=entry.document_sha256 or "",
    )


def traces_of(entries: list[TraceEntry], kind: TraceKind, files: Files) -> tuple[TraceEvidence, ...]:
    """Return the evidence of one kind, entry by entry."""
    return tuple(
        TraceEvidence(
            head=head_of(entry, entry.file, data.file.sha256, uncertainty=entry.uncertainty),
            kind=kind,
            tooth=data.tooth,
            flank=data.flank,
            across_mm=data.across_mm,
            place_mm=data.place_mm,
            deviation_um=data.deviation_um,
            excluded=tuple(_exclusion(one) for one in entry.excluded),
            source_text=data.file.text,
        )
        for entry, data in zip(entries, files[kind], strict=True)
    )


def _exclusion(entry: ExcludedEntry) -> Exclusion:
    return Exclusion(
        tooth=entry.tooth, flank=entry.flank, from_mm=entry.from_, to_mm=entry.to, reason=entry.reason
    )


def trace_faults(file: GearFile, files: Files, lines: Mapping[Place, int]) -> list[Fault]:
    """Say what is wrong between the entries of traces and their files.

    Parameters
    ----------
    file : GearFile
        Checked section by section.
    files : mapping of TraceKind to list of TraceFile
        Those that could be read.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    list of Fault
        A part that is not named, an exclusion of a trace or of points that there are not.
    """
    found: list[Fault] = []
    for kind in TraceKind:
        entries: list[TraceEntry] = getattr(file.evidence, kind)
        for index, entry in enumerate(entries):
            if not is_scoped(entry.applies_to):
                field = place_words(("evidence", kind, index), lines)
                found.append(Fault(f"{field}, applies_to", shown(entry.applies_to), SCOPED))
        if len(files[kind]) != len(entries):
            continue  # a file that could not be read has its own faults
        for index, (entry, data) in enumerate(zip(entries, files[kind], strict=True)):
            for number, excluded in enumerate(entry.excluded):
                field = place_words(("evidence", kind, index, "excluded", number), lines)
                found += _of_exclusion(excluded, data, field)
    return found


def _of_exclusion(entry: ExcludedEntry, data: TraceFile, field: str) -> Iterator[Fault]:
    if entry.to < entry.from_:
        yield Fault(f"{field}, to", f"{entry.to:g} mm", f"at least {entry.from_:g} mm, where it starts")
        return
    of_trace = (data.tooth == entry.tooth) & np.array([one is entry.flank for one in data.flank])
    if not of_trace.any():
        teeth = ", ".join(map(str, dict.fromkeys(data.tooth.tolist())))
        given = f"tooth {entry.tooth}, {entry.flank} flank"
        yield Fault(field, given, f"a trace of {data.file.name}: it has teeth {teeth}")
        return
    place = data.place_mm[of_trace]
    if not ((place >= entry.from_) & (place <= entry.to)).any():
        reach = f"from {np.nanmin(place):g} to {np.nanmax(place):g} mm"
        given = f"{entry.from_:g} to {entry.to:g} mm"
        yield Fault(field, given, f"at least one point of the trace, which goes {reach}")
