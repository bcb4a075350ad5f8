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
    # hardness follows from the steel, the treatment, the section that is quenched, and on the finished flank
    # from how deep it is ground
    "hardness": (*_TEETH, *_STEEL, *_TREATED, *_GROUND),
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
    was, now_is = both_of(before.get(shown), after.get(shown), leaf)
    said = f"{leaf.label} changed from {was} to {now_is}"
    named = {leaf_of(place).label for place in moved if leaf_of(place).key} - {leaf.label}
    more = f", and {len(named)} more {'input' if len(named) == 1 else 'inputs'}" if named else ""
    return f"{said}{more}, after this was measured"


def _rests(place: Place, kind: str) -> bool:
    return any(place[: len(start)] == start for start in RESTS_ON[kind])


def both_of(was: float | str | None, now: float | str | None, leaf: Leaf) -> tuple[str, str]:
    """Return two values of an input as they are read, with as many digits as tell them apart.

    Parameters
    ----------
    was, now : float, str or None
        None where it is not given.
    leaf : Leaf
        What is known of it.

    Returns
    -------
    tuple of str
        In words, a number with its unit.

    Examples
    --------
    >>> both_of(0.4, 0.45, Leaf("profile shift"))
    ('0.4', '0.45')
    >>> both_of(2000.001, 2000.002, Leaf("tip diameter"))
    ('2000.001', '2000.002')
    """
    words = [(_said(was, leaf, digits), _said(now, leaf, digits)) for digits in (6, 9, 12)]
    return next((pair for pair in words if pair[0] != pair[1]), words[-1])


def _said(value: float | str | None, leaf: Leaf, digits: int) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return value or "nothing"
    short = f"{value:.{digits}g}"
    needed = len(short.partition(".")[2]) if "e" not in short else leaf.digits
    return decimals_text(float(value), needed, leaf.unit)
