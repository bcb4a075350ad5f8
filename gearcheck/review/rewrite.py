"""Writes a draft into the text of its gear file: comments, order and what did not change stay as they are."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from typing import Any

import tomlkit

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.units import quantity
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import changed
from gearcheck.review.file_record import MM_PER_INCH
from gearcheck.review.file_values import rounded
from gearcheck.review.inputs import KINDS, Record
from gearcheck.review.leaves import Leaf, Place, alike, leaf_of, leaves

_NUMBER = re.compile(r"\s*[+-]?[0-9.]+(?:[eE][+-]?[0-9]+)?")
_READ_AS = {"rpm": "1/min"}
_DUST_BELOW = 12  # decimals: what is smaller is left over from a subtraction, such as 0.12 - 0.04 - 0.08


def rewritten(record: Record, values: Mapping[str, float]) -> str:
    """Return the gear file of a record with a draft in it.

    Parameters
    ----------
    record : Record
        As read.
    values : mapping of str to float
        The draft, by the keys of the changes.

    Returns
    -------
    str
        TOML. A value that moved keeps the unit in which it was written where that says it exactly; else it
        has the unit of the package. Where sections of the gear stand between those of a mate, the sections
        may come out in another order.

    Examples
    --------
    >>> from gearcheck.basics.places import scenarios
    >>> from gearcheck.review.gear_file import read_gear_file
    >>> text = rewritten(read_gear_file(scenarios() / "ship_lift" / "gear.toml"), {"torque": 14600.0})
    >>> [line for line in text.splitlines() if line.startswith("torque")]
    ['torque = "14.6 kN·m"']
    """
    if record.pitch and "teeth" in values:
        needed = "a record of its own: the pitch was measured on a gear with another number of teeth"
        raise InputError([Fault("number of teeth", f"{values['teeth']:g}", needed)])
    document = tomlkit.parse(record.source_text)
    before, after = leaves(record), _without_dust(leaves(changed(record, values)))
    for place, value in after.items():
        leaf = leaf_of(place)
        if leaf.key and not alike(value, before.get(place)):
            _write(document, leaf, value)
    text = tomlkit.dumps(document)
    _check(record, text, after)
    return text


def evidence_texts(record: Record) -> dict[str, str]:
    """Return the text of each evidence file of a record by its name."""
    found: dict[str, str] = {}
    for items in (getattr(record, kind) for kind in KINDS):
        found |= {item.head.source: item.source_text for item in items if getattr(item, "source_text", "")}
    if record.duty is not None and record.duty.source_text:
        found[record.duty.source] = record.duty.source_text
    for tests in () if record.fatigue is None else record.fatigue.tests:
        found[tests.table.source] = tests.table.source_text
    return found


def evidence_hashes(record: Record) -> dict[str, str]:
    """Return the SHA-256 of each evidence file of a record by its name."""
    texts = evidence_texts(record)
    return {name: hashlib.sha256(text.encode("utf-8")).hexdigest() for name, text in texts.items()}


def _without_dust(found: Mapping[Place, Any]) -> dict[Place, Any]:
    return {
        place: value if isinstance(value, str) else round(value, _DUST_BELOW) + 0
        for place, value in found.items()
    }


def _check(record: Record, text: str, wanted: Mapping[Place, Any]) -> None:
    """What was written must be read as what was drafted."""
    found = leaves(carried_record(text, evidence_texts(record)))
    wrong = [place for place in wanted if not alike(found.get(place), wanted[place])]
    if wrong or found.keys() != wanted.keys():
        raise AssertionError(f"a draft was not written as it stands: {wrong}")


def _write(document: Any, leaf: Leaf, value: float) -> None:
    home = document
    for step in leaf.key[:-1]:
        home = home[step]
    if leaf.key == ("gear", "normal_module") and "normal_module" not in home:  # the file is in inches
        home["normal_diametral_pitch"] = f"{MM_PER_INCH / value:.12g} 1/in"
        return
    name = leaf.key[-1]
    left_out = isinstance(name, str) and name not in home
    home[name] = _written(None if left_out else home[name], leaf, value)


def _written(old: Any, leaf: Leaf, value: float) -> Any:
    if not leaf.unit:
        short = float(f"{value:.12g}")
        return int(short) if isinstance(old, int) and short == int(short) else short
    number = _NUMBER.match(str(old))
    if number is None:  # it was left at its default
        return f"{value:.12g} {leaf.unit}"
    unit = str(old)[number.end() :]
    read_as = _READ_AS.get(leaf.unit, leaf.unit)
    try:
        one = quantity(f"1{unit}", read_as, "")
        text = f"{value / one:.12g}{unit}"
        if rounded(quantity(text, read_as, "")) == rounded(value):
            return text
    except InputError:
        pass
    return f"{value:.12g} {leaf.unit}"
