"""What acceptance documents allow in the metal: each document with its own limits, never mixed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.tables import table

METALLURGY = Method(
    key="inspection.metallurgy",
    title="Metallurgy that the strength values rest on",
    source="ISO 6336-5",
    edition="2016",
    clause="requirements of the material qualities on case-carburised steels",
    status=Status.FROM_MEMORY,
    implements=(
        "retained austenite, oxidation by case depth, carbides, cleanliness, cracks, surface temper",
        "the limits of another acceptance document are held against those of the material quality",
    ),
    leaves_out=("decarburisation", "bainite", "microcracks", "surface carbon", "forging reduction"),
    departures=("Where the acceptance document says nothing, ISO 6336-5 for the material quality stands.",),
)

ITEMS = ("retained_austenite", "oxidation", "carbides", "cleanliness", "cracks", "surface_temper")
"""What the table of acceptance speaks of."""


class Acceptance(StrEnum):
    """The document whose limits the gear is accepted by."""

    ISO_6336_5 = "ISO 6336-5"
    AGMA_923 = "AGMA 923"
    AMS_2759_7_CLASS_1 = "AMS 2759/7 class 1"
    AMS_2759_7_CLASS_2 = "AMS 2759/7 class 2"


_GRADES = {"ML": "1", "MQ": "2", "ME": "3"}


@dataclass(frozen=True, kw_only=True)
class Allowed:
    """What a document allows: the less `value`, the stricter.

    Parameters
    ----------
    document : str
        With its class, grade or quality.
    value : float or array
        The largest value in the unit of the item, or a rank where words say it.
    words : str
        What is accepted; empty where the number says all.
    is_rank : bool
        Whether `value` only ranks the words.
    """

    document: str
    value: Number
    words: str
    is_rank: bool


def document_name(acceptance: Acceptance, quality: str) -> str:
    """Return the name of an acceptance document in the table, for a material quality of ISO 6336-5.

    Examples
    --------
    >>> document_name(Acceptance.AGMA_923, "MQ")
    'AGMA 923 grade 2'
    """
    if acceptance is Acceptance.ISO_6336_5:
        return f"ISO 6336-5 {quality}"
    return f"AGMA 923 grade {_GRADES[quality]}" if acceptance is Acceptance.AGMA_923 else str(acceptance)


def by_case_depth(item: str, document: str) -> bool:
    """Whether a document limits an item by the case depth."""
    return "depth_to_mm" in (_row(item, document) or {})


def _row(item: str, document: str) -> Mapping[str, Any] | None:
    rows = table("acceptance").rows
    return next((one for one in rows if (one["item"], one["document"]) == (item, document)), None)


def allowed(item: str, document: str, case_depth_mm: Number = None) -> Allowed | None:
    """Return what a document allows of an item.

    Parameters
    ----------
    item : str
        One of `ITEMS`.
    document : str
        As `document_name` gives it.
    case_depth_mm : float, array or None
        The finished case depth, by which oxidation is limited.

    Returns
    -------
    Allowed or None
        None where the document says nothing of it, or a case depth is needed and not given.

    Examples
    --------
    >>> allowed("retained_austenite", "AMS 2759/7 class 2").value
    20.0
    """
    row = _row(item, document)
    if row is None:
        return None
    words = row.get("words", "")
    if "depth_to_mm" in row:
        if case_depth_mm is None:
            return None
        bands = np.minimum(
            np.searchsorted(row["depth_to_mm"], array(case_depth_mm)), len(row["depth_to_mm"]) - 1
        )
        most = np.array(row["most_by_depth"])[bands]
        return Allowed(document=document, value=most, words=words, is_rank=False)
    is_rank = "allows" in row
    value = float(row["allows"] if is_rank else row["most"])
    return Allowed(document=document, value=value, words=words, is_rank=is_rank)
