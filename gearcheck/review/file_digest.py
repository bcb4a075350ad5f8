"""The digest that names a record: the same inputs give the same digest, however they were written down."""

from __future__ import annotations

import hashlib
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any

import numpy as np
import rfc8785

from gearcheck.review.evidence_inputs import TraceEvidence
from gearcheck.review.inputs import KINDS, Record
from gearcheck.review.remembered import remembered

FORMAT = 1
_NOT_INPUTS = ("digest", "source_text", "stale", "key")


def digest(record: Record) -> str:
    """Return the SHA-256 of a record's inputs as canonical JSON (RFC 8785), in the units of the package.

    What is absent or left at its default is left out, so that a section added to the format later does not
    change the digest of a file without it; a default must therefore never change within a format. Measured
    values are named by the hash of their file.

    Parameters
    ----------
    record : Record
        As read, without arrays of samples.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    content = _plain(record)
    # it stood there before a mate had one too: a record that has it keeps its name
    drawn = content["gear"].pop("modification", None)
    return _hashed(content if drawn is None else {**content, "modification": drawn})


def plain_digest(value: Any) -> str:
    """Return the SHA-256 of a dataclass of the inputs as canonical JSON, in the same form."""
    return _hashed(_plain(value))


def _hashed(content: dict[str, Any]) -> str:
    return hashlib.sha256(rfc8785.dumps({"format": FORMAT, **content})).hexdigest()


def evidence_key(item: Any) -> str:
    """Return the name of a piece of evidence: a hash of all it says, wherever and however it is written.

    Parameters
    ----------
    item : PitchEvidence or another kind
        As read.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    return _remembered_key(item) if isinstance(item, TraceEvidence) else _key(item)


def _key(item: Any) -> str:
    bare = replace(item, head=replace(item.head, source="", sha256=""))
    values = (getattr(item, one.name) for one in fields(item))
    samples = [_listed(value) for value in values if isinstance(value, np.ndarray)]
    return hashlib.sha256(rfc8785.dumps([plain_digest(bare), *samples])).hexdigest()


_remembered_key = remembered(_key)  # of thousands of points; a record is read again for each step


def _listed(samples: Any) -> Any:
    """Samples as lists; NaN, which JSON does not know, is nothing."""
    if samples.dtype.kind != "f" or not np.isnan(samples).any():
        return samples.tolist()
    listed = samples.astype(object)
    listed[np.isnan(samples)] = None
    return listed.tolist()


def with_keys(record: Record) -> Record:
    """Return a record whose pieces of evidence carry their names."""
    named: dict[str, Any] = {
        kind: tuple(
            replace(item, head=replace(item.head, key=evidence_key(item))) for item in getattr(record, kind)
        )
        for kind in KINDS
    }
    return replace(record, **named)


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {
            item.name: _plain(given)
            for item in fields(value)
            if item.name not in _NOT_INPUTS
            and not isinstance(given := getattr(value, item.name), np.ndarray)
            and given is not None
            and given != item.default
        }
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value.value if isinstance(value, Enum) else value
