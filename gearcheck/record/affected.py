"""What a change takes away from evidence: a part made to other inputs than those that hold shows nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from gearcheck.accuracy.inputs import FlankModification
from gearcheck.basics.digits import decimals_text
from gearcheck.inspection.plan import Characteristic
from gearcheck.inspection.route import Operation, route
from gearcheck.inspection.rules import rule_of
from gearcheck.review.carried import with_stale
from gearcheck.review.inputs import KINDS, Inspection, Record
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
    # what is done to the part; by which fit it is predicted makes no other part
    *(
        ("furnace", name)
        for name in (
            "steps",
            "bath",
            "quench_temperature_C",
            "temper_temperature_C",
            "temper_time_h",
            "cold_temperature_C",
            "cold_delay_h",
            "tempered_before_cold",
        )
    ),
)
# where the mask lies; how thick it has to be is a limit
_MASKED: tuple[Place, ...] = (("mask", "distance_mm"),)
# from which diameter a profile is evaluated makes no other part
_MODIFIED: tuple[Place, ...] = (
    ("gear", "tip_relief_um"),
    *(
        ("gear", "modification", item.name)
        for item in fields(FlankModification)
        if item.name != "control_diameter_mm"
    ),
)
# by what a size is measured: another span or ball gives another number of the same tooth
_MEASURE: tuple[Place, ...] = tuple(
    ("gear", "size", name) for name in ("measure", "span_teeth", "body_diameter_mm")
)
_GROUND: tuple[Place, ...] = (
    # what is done to the part; what runout, holding and indexing are reckoned with makes no other part
    *(
        ("grinding", name)
        for name in (
            "equivalent_diameter_mm",
            "depth_of_cut_mm",
            "work_speed_mm_s",
            "specific_energy_J_mm3",
            "flux",
            "work_temperature_C",
            "shift_mm",
            "superfinish_min_mm",
            "superfinish_max_mm",
        )
    ),
    *(("gear", "case", f"{flank}_stock_{end}_mm") for flank in ("left", "right") for end in ("min", "max")),
)

# with which mate, and how both axes lie; what follows the number of the mesh
_MATED: tuple[Place, ...] = (
    ("hand",),
    *(
        ("meshes", *place)
        for place in (
            ("centre_distance_mm",),
            ("loaded_flank",),
            ("contact",),
            ("mate", "tooth"),
            ("mate", "tip_relief_um"),
            ("mate", "modification"),
        )
    ),
)
_TORQUE: tuple[Place, ...] = tuple(("meshes", name) for name in ("torque_Nm", "mates", "mesh_load_factor"))

_PARTS: Mapping[str, tuple[Place, ...]] = {
    "teeth": _TEETH,
    "steel": _STEEL,
    "treated": _TREATED,
    "ground": _GROUND,
    "masked": _MASKED,
    "modified": _MODIFIED,
    "measure": _MEASURE,
    "mated": _MATED,
    "torque": _TORQUE,
}
_OF_THE_GEAR = tuple(name for name in _PARTS if name not in ("mated", "torque"))
_PROPERTIES: Mapping[str, tuple[str, ...]] = {
    "teeth": (),  # the teeth that are meant are inputs, not operations; so is the place of a mask
    "steel": ("material",),
    "treated": ("structure", "core"),  # every treatment changes one of them, and grinding neither
    "ground": ("stock", "case", "surface", "dimension"),
    "masked": (),
    "modified": ("dimension",),
    "measure": (),
    "mated": (),
    "torque": (),
}
"""What operations can change in each part of how a gear is made."""
_LOOKS_AT = {
    "pitch": "dimension",
    "profile": "dimension",
    "helix": "dimension",
    "case_depth": "case",
    "traverse": "case",
    "hardness": "hardness",
    "residual_stress": "stress",
}

RESTS_ON: Mapping[str, tuple[str, ...]] = {
    # other teeth are other pitches; grinding with another stock is another grinding
    "pitch": ("teeth", "ground"),
    "profile": ("teeth", "ground", "modified"),
    "helix": ("teeth", "ground", "modified"),
    # depth follows from the steel, the furnace, the curvature of the tooth, and what is ground off
    "case_depth": ("teeth", "steel", "treated", "ground"),
    "traverse": ("teeth", "steel", "treated", "ground"),
    # hardness follows from the steel, the treatment, the section that is quenched, and on the finished flank
    # from how deep it is ground
    "hardness": ("teeth", "steel", "treated", "ground"),
    # quench and martensite leave it, and the grind another one in the skin; what peens is an operation
    "residual_stress": ("teeth", "steel", "treated", "ground"),
}
"""What the measured part is made to, by kind of evidence: conservative, for nobody knows what another part
would measure. A result rests on what its rule says. Limits (class, finished depth, required values) and loads
are not in it: the same measured value is held against the new limit."""


Moved = Mapping[Place, tuple[float | str | None, float | str | None]]
"""Inputs that moved, each with its value before and after."""


def inputs_moved(then: Record, now: Record) -> Moved:
    """Return every input that moved from one record to another."""
    before, after = leaves(then), leaves(now)
    return {
        place: (before.get(place), after.get(place))
        for place in dict.fromkeys([*before, *after])
        if not alike(before.get(place), after.get(place))
    }


def why_stale(
    then: Record, now: Record, kind: str, characteristic: str = "", *, inputs: Moved | None = None
) -> str:
    """Say why evidence that came in on one revision no longer holds on another.

    Parameters
    ----------
    then, now : Record
        The revision that the evidence came in on, and the one that holds.
    kind : str
        One of `review.inputs.KINDS`.
    characteristic : str
        The key of its characteristic, for a result.
    inputs : Moved, optional
        The inputs that moved between the two, where they are at hand.

    Returns
    -------
    str
        Which input or operation changed since; empty where none did that it rests on.
    """
    inputs = inputs_moved(then, now) if inputs is None else inputs
    parts = _parts(kind, characteristic)
    moved = [place for place in inputs if _rests(place, parts)]
    if not moved:
        return _other_route(then, now, _touchable(kind, characteristic, parts))
    shown = next((place for place in moved if leaf_of(place).key), moved[0])
    leaf = leaf_of(shown)
    was, now_is = both_of(*inputs[shown], leaf)
    said = f"{leaf.label} changed from {was} to {now_is}"
    named = {leaf_of(place).label for place in moved if leaf_of(place).key} - {leaf.label}
    more = f", and {len(named)} more {'input' if len(named) == 1 else 'inputs'}" if named else ""
    return f"{said}{more}, after this was measured"


def aged_by_draft(record: Record, drafted: Record) -> Record:
    """Return a drafted record in which evidence of parts that were made to other inputs no longer holds.

    Parameters
    ----------
    record : Record
        That which holds, and which the parts were made to.
    drafted : Record
        The same with inputs that moved.

    Returns
    -------
    Record
        What was stale stays stale for its own reason.
    """
    moved = inputs_moved(record, drafted)
    stale = {
        item.head.key: item.head.stale
        or why_stale(record, drafted, kind, getattr(item, "characteristic", ""), inputs=moved)
        for kind in KINDS
        for item in getattr(drafted, kind)
    }
    return with_stale(drafted, stale)


def _parts(kind: str, characteristic: str) -> tuple[str, ...]:
    if kind != "result":
        return RESTS_ON[kind]
    rule = rule_of(characteristic)
    return _OF_THE_GEAR if rule is None else rule.rests


def _rests(place: Place, parts: tuple[str, ...]) -> bool:
    place = ("meshes", *place[2:]) if place[0] == "meshes" else place
    return any(place[: len(start)] == start for part in parts for start in _PARTS[part])


def _touchable(kind: str, characteristic: str, parts: tuple[str, ...]) -> set[str]:
    """The properties by which an operation can take the evidence away."""
    rule = rule_of(characteristic)
    looks_at = _LOOKS_AT.get(kind, "") if rule is None else rule.looks_at
    return {looks_at, *(name for part in parts for name in _PROPERTIES[part])} - {""}


def _other_route(then: Record, now: Record, touched: set[str]) -> str:
    """A gear that ran another route is another gear, as far as its operations touch what was measured."""
    if then.inspection is None or now.inspection is None:
        return ""
    before, after = (
        {step.key: _made(step) for step in steps if touched & {*step.changes, *step.spoils}}
        for steps in (_operations(then.inspection), _operations(now.inspection))
    )
    for key in dict.fromkeys([*before, *after]):
        if before.get(key) != after.get(key):
            said = "left out" if key not in after else "new in it" if key not in before else "changed"
            return f"the route changed after this was measured: operation {key} is {said}"
    if list(before) != list(after):
        return "the order of the operations changed after this was measured"
    return ""


def touched_by(item: Characteristic, steps: tuple[Operation, ...]) -> bool:
    """Whether operations change or can spoil what a characteristic looks at or rests on.

    Parameters
    ----------
    item : Characteristic
        Of the plan.
    steps : tuple of Operation
        Those that run.

    Returns
    -------
    bool
        Conservative, as all that makes evidence stale; but what has to be seen before an operation is past
        when that runs, and stays as it was: the stock before hardening, when the gear is ground again.
    """
    if item.before is not None:
        steps = tuple(step for step in steps if step.number < item.before.number)
    looked_at = {item.looks_at, *(name for part in item.rests for name in _PROPERTIES[part])} - {""}
    return any(looked_at & {*step.changes, *step.spoils} for step in steps)


def _operations(given: Inspection) -> tuple[Operation, ...]:
    return route(given.route, given.operations).operations


def _made(step: Operation) -> tuple[object, ...]:
    return step.changes, step.spoils, step.temperature_C, step.hours, step.of_sample


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
