"""The sections of evidence of a gear file, format 1: every key with the kind of its value and its bounds."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from gearcheck.accuracy.inputs import Flank
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import AsWritten, Hardness, Size, VickersForce, Whole
from gearcheck.review.file_words import Choice, Day, Words, YesNo
from gearcheck.review.inputs import HardnessPlace, State, StressPlace, StressState, TraversePlace

FlankName = Annotated[Flank, BeforeValidator(Choice(Flank))]
Name = Annotated[str, BeforeValidator(Words(60))]
Title = Annotated[str, BeforeValidator(Words(200))]
Sentence = Annotated[str, BeforeValidator(Words(500))]
Key = Annotated[
    str, BeforeValidator(Words(60, pattern=r"[a-z0-9_.]+", pattern_words=": a-z, 0-9, _ and points"))
]
Measured = Annotated[str | float, BeforeValidator(AsWritten())]


class EvidenceSection(Section):
    """What every entry of evidence says of itself."""

    revision: Name
    applies_to: Title
    by: Title
    date: Annotated[str, BeforeValidator(Day())]
    instrument: Title
    document: Title | None = None
    document_sha256: Annotated[
        str | None,
        BeforeValidator(Words(64, pattern="[0-9a-f]{64}", pattern_words=": 64 digits 0-9 and a-f")),
    ] = None


class PitchEntry(EvidenceSection):
    """[[evidence.pitch]]."""

    file: Title
    uncertainty: Annotated[float | None, BeforeValidator(Size("µm", 0, 1000))] = None


class ExcludedEntry(Section):
    """[[evidence.profile.excluded]] and that of a helix: a stretch of a trace that does not count."""

    tooth: Annotated[int, BeforeValidator(Whole(1, 1000))]
    flank: FlankName
    from_: Annotated[float, BeforeValidator(Size("mm", -5000, 5000))] = Field(alias="from")
    to: Annotated[float, BeforeValidator(Size("mm", -5000, 5000))]
    reason: Sentence


class TraceEntry(EvidenceSection):
    """[[evidence.profile]] and [[evidence.helix]]; the file holds the points of the traces."""

    file: Title
    uncertainty: Annotated[float | None, BeforeValidator(Size("µm", 0, 1000))] = None
    excluded: list[ExcludedEntry] = Field(default=[], max_length=100)


class CaseDepthEntry(EvidenceSection):
    """[[evidence.case_depth]]."""

    flank: FlankName
    as_treated: Annotated[float, BeforeValidator(Size("mm", 0.05, 20))]
    stock_removed: Annotated[float, BeforeValidator(Size("mm", 0, 5))]
    uncertainty: Annotated[float | None, BeforeValidator(Size("mm", 0, 5))] = None


class HardnessEntry(EvidenceSection):
    """[[evidence.hardness]]."""

    place: Annotated[HardnessPlace, BeforeValidator(Choice(HardnessPlace))]
    hardness: Annotated[float, BeforeValidator(Hardness(100, 1000))]
    uncertainty: Annotated[float | None, BeforeValidator(Size("HV", 0, 500))] = None


class TraverseEntry(EvidenceSection):
    """[[evidence.traverse]]; the file holds depths and hardnesses."""

    file: Title
    place: Annotated[TraversePlace, BeforeValidator(Choice(TraversePlace))]
    state: Annotated[State, BeforeValidator(Choice(State))]
    flank: FlankName | None = None
    stock_removed: Annotated[float | None, BeforeValidator(Size("mm", 0, 5))] = None
    test_force: Annotated[float | None, BeforeValidator(VickersForce(0.01, 10))] = None
    sideways_offset: Annotated[float | None, BeforeValidator(Size("mm", 0, 5))] = None
    uncertainty: Annotated[float | None, BeforeValidator(Size("mm", 0, 5))] = None


class ResidualStressEntry(EvidenceSection):
    """[[evidence.residual_stress]]; the file holds depths and stresses, compression negative."""

    file: Title
    place: Annotated[StressPlace, BeforeValidator(Choice(StressPlace))]
    state: Annotated[StressState, BeforeValidator(Choice(StressState))]
    technique: Title
    flank: FlankName | None = None
    layer_removal_corrected: Annotated[bool | None, BeforeValidator(YesNo())] = None
    uncertainty: Annotated[float | None, BeforeValidator(Size("MPa", 0, 1000))] = None


class ResultEntry(EvidenceSection):
    """[[evidence.result]]: a number with its unit, or what was found and whether it conforms."""

    characteristic: Key
    value: Measured | None = None
    uncertainty: Measured | None = None
    found: Sentence | None = None
    conforms: Annotated[bool | None, BeforeValidator(YesNo())] = None


class ResultsEntry(Section):
    """[[evidence.results]]: a file with one result a row."""

    file: Title


class AllEvidence(Section):
    """[evidence]."""

    pitch: list[PitchEntry] = Field(default=[], max_length=100)
    profile: list[TraceEntry] = Field(default=[], max_length=100)
    helix: list[TraceEntry] = Field(default=[], max_length=100)
    case_depth: list[CaseDepthEntry] = Field(default=[], max_length=100)
    hardness: list[HardnessEntry] = Field(default=[], max_length=100)
    traverse: list[TraverseEntry] = Field(default=[], max_length=100)
    residual_stress: list[ResidualStressEntry] = Field(default=[], max_length=100)
    result: list[ResultEntry] = Field(default=[], max_length=1000)
    results: list[ResultsEntry] = Field(default=[], max_length=100)
