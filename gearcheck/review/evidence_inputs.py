"""What every piece of evidence says of itself, and measured traces of profile and helix."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.basics.numbers import Array


@dataclass(frozen=True, kw_only=True)
class EvidenceHead:
    """What every piece of evidence says of itself.

    Parameters
    ----------
    source, sha256 : str
        The file or the entry that it comes from, and the hash of that file.
    revision, applies_to, by, date, instrument : str
        Of which drawing revision, of which part, by whom, when, and with what.
    uncertainty : float or None
        Expanded (k = 2), in the unit of what was measured; None where none is stated.
    document, document_sha256 : str
        The paper behind it, a certificate or a chart, and its hash; empty where there is none.
    stale : str
        Why it no longer holds.
    key : str
        Its name: a hash of all it says.
    """

    source: str
    sha256: str
    revision: str
    applies_to: str
    by: str
    date: str
    instrument: str
    uncertainty: float | None = None
    document: str = ""
    document_sha256: str = ""
    stale: str = ""
    key: str = ""


@dataclass(frozen=True, kw_only=True)
class Exclusion:
    """A stretch of one trace that does not count, in mm along it, both ends inside, and why."""

    tooth: int
    flank: Flank
    from_mm: float
    to_mm: float
    reason: str


@dataclass(frozen=True, kw_only=True)
class TraceEvidence:
    """Measured traces of profile or helix, one a row, and their file as text.

    Parameters
    ----------
    head : EvidenceHead
        With the uncertainty of each deviation in µm.
    kind : TraceKind
        Profile, along the roll length, or helix, along the face.
    tooth : ndarray of int
        The tooth of each trace, counted from 1 as in the measured pitch, shape (traces,).
    flank : tuple of Flank
        The flank of each trace.
    across_mm : ndarray or None
        Where each trace lies the other way, mm, shape (traces,): a profile along the face, a helix along the
        roll length; None where the file does not say.
    place_mm, deviation_um : ndarray
        Places along each trace, rising, and the deviation there, positive for material beyond the nominal
        flank, shape (traces, points); NaN fills up a shorter trace, and stands for a point that is missing.
    excluded : tuple of Exclusion
        What does not count.
    source_text : str
        The file.
    """

    head: EvidenceHead
    kind: TraceKind
    tooth: NDArray[np.int64]
    flank: tuple[Flank, ...]
    across_mm: Array | None
    place_mm: Array
    deviation_um: Array
    excluded: tuple[Exclusion, ...] = ()
    source_text: str = ""
