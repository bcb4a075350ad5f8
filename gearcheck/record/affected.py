"""What a change takes away from evidence: a part made to other inputs than those that hold shows nothing."""

from __future__ import annotations

from collections.abc import Mapping

from gearcheck.basics.digits import decimals_text
from gearcheck.review.inputs import Record
from gearcheck.review.leaves import Leaf, Place, alike, leaf_of, leaves

_TEETH: tuple[Place, ...] = (
    ("normal_module_mm",),
    ("pressure_angle_deg",),
    ("helix_angle_deg",),
    ("gear", "tooth"),
)
_STEEL: tuple[Place, ...] = (("gear", "steel"),)
_TREATED: tuple[Place, ...] = (
    ("gear", "case", "as_treated_min_mm"),
    ("gear", "case", "as_treated_max_mm"),
)
_GROUND: tuple[Place, ...] = tuple(
    ("gear", "case", f"{flank}_stock_{end}_mm") for flank in ("left", "right") for end in ("min", "max")
)

RESTS_ON: Mapping[str, tuple[Place, ...]] = {
    # other teeth are other pitches; grinding with another stock is another grinding
    "pitch": (*_TEETH, *_GROUND),
    # depth follows from the steel, the furnace, the curvature of the tooth, and what is ground off
    "case_depth": (*_TEETH, *_STEEL, *_TREATED, *_GROUND),
    # hardness follows from the steel, the treatment, and the section that is quenched
    "hardness": (*_TEETH, *_STEEL, *_TREATED),
}
"""What the measured part is made to, by kind of evidence: conservative, for nobody knows what another part
would measure. Limits (class, finished depth, required values) and loads are not in it: the same measured
value is held against the new limit."""


def why_stale(then: Record, now: Record, kind: str) -> str:
    """Say why evidence that came in on one revision no longer holds on another.

    Parameters
    ----------
    then, now : Record
        The revision that the evidence came in on, and the one that holds.
    kind : str
        ``pitch``, ``case_depth`` or ``hardness``.

    Returns
    -------
    str
        Which input changed since; empty where none did that it rests on.
    """
    before, after = leaves(then), leaves(now)
    moved = [
        place
        for place in dict.fromkeys([*before, *after])
        if _rests(place, kind) and not alike(before.get(place), after.get(place))
    ]
    if not moved:
        return ""
    shown = next((place for place in moved if leaf_of(place).key), moved[0])
    leaf = leaf_of(shown)
    said = (
        f"{leaf.label} changed from {said_of(before.get(shown), leaf)} to {said_of(after.get(shown), leaf)}"
    )
    named = {leaf_of(place).label for place in moved if leaf_of(place).key} - {leaf.label}
    more = f", and {len(named)} more {'input' if len(named) == 1 else 'inputs'}" if named else ""
    return f"{said}{more}, after this was measured"


def _rests(place: Place, kind: str) -> bool:
    return any(place[: len(start)] == start for start in RESTS_ON[kind])


def said_of(value: float | str | None, leaf: Leaf) -> str:
    """Return an input as it is read: a number with its unit and all the digits that it needs.

    Parameters
    ----------
    value : float, str or None
        None where it is not given.
    leaf : Leaf
        What is known of it.

    Returns
    -------
    str
        In words.
    """
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return value or "nothing"
    short = f"{value:.6g}"
    needed = len(short.partition(".")[2]) if "e" not in short else leaf.digits
    return decimals_text(float(value), needed, leaf.unit)
