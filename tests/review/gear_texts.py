"""Gear files for the tests of their reader: the starter, with its evidence switched on."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.inputs import Record
from gearcheck.review.starter import starter_text

TEETH = 21
HEADER = "tooth,flank,deviation_um"
_COMMENTED = re.compile(
    r"^# (\[(?:\[evidence|\[inspection|duty\]|\[duty|gear\.|mesh\.|\[gear|\[?fatigue)|[a-z0-9_]+ = )",
    re.MULTILINE,
)
_EVIDENCE, _MORE = "# Evidence:", "# [[evidence.traverse]]"


def with_evidence() -> str:
    """The starter with the commented sections of what feeds the calculation taken in."""
    head, rest = starter_text().split(_EVIDENCE)
    evidence, more = rest.split(_MORE)
    head = head.replace('# life_at_1e10 = "1.0"', 'life_at_1e10 = "1.0"')
    return head + _EVIDENCE + _COMMENTED.sub(r"\1", evidence) + _MORE + more


def with_everything() -> str:
    """The starter with all that is commented in it taken in, but what the comments call an alternative."""
    return _COMMENTED.sub(r"\1", starter_text().replace("# leave_out = true", "##"))


def pitch_rows(teeth: int = TEETH) -> list[str]:
    """Single pitches that close, as far as their rounding goes: 0.1, -0.2, 0.3 and so on."""
    deviations = [f"{tooth / 10 if tooth % 2 else -tooth / 10}" for tooth in range(1, teeth + 1)]
    return [
        f"{tooth},{flank},{one}" for flank in ("left", "right") for tooth, one in enumerate(deviations, 1)
    ]


def write_pitch(folder: Path, rows: list[str] | None = None) -> Path:
    path = folder / "pitch.csv"
    path.write_text("\n".join([HEADER, *(pitch_rows() if rows is None else rows)]) + "\n", encoding="utf-8")
    return path


def swapped(text: str, old: str, new: str) -> str:
    """Replace the first `old`, which must be there."""
    assert old in text, old
    return text.replace(old, new, 1)


def faults_of(text: str, folder: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_gear_text(text, folder=folder)
    return [str(fault) for fault in caught.value.faults]


def line_of(text: str, part: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), 1) if part in line)


def read(text: str, folder: Path) -> Record:
    return read_gear_text(text, folder=folder)
