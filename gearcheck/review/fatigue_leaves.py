"""How the inputs of fatigue tests are called, and where they stand in the gear file."""

from __future__ import annotations

from gearcheck.review.leaf import Leaf, Place

_TESTS = {
    "place": Leaf("place", key=("place",)),
    "rig": Leaf("rig", key=("rig",)),
    "by": Leaf("who tested", key=("by",)),
    "date": Leaf("date", key=("date",)),
    "run_out_cycles": Leaf("run-out life", "", 0, ("run_out",)),
    "curve": Leaf("curve that governs", key=("curve",)),
    "distribution": Leaf("distribution that governs", key=("distribution",)),
    "because": Leaf("why they govern", key=("because",)),
    "confidence": Leaf("confidence", "", 3, ("confidence",)),
    "within_gear_share": Leaf("share of the scatter within a gear", "", 2, ("within_gear_share",)),
    "teeth_loaded": Leaf("teeth that a test loads alike", "", 0, ("teeth_loaded",)),
    "mode": Leaf("mode that counts", key=("mode",)),
}
_TABLE = {
    "source": Leaf("file of the specimens", key=("file",)),
    "sha256": Leaf("content of the file of the specimens"),
}
_GEAR = {
    "normal_module_mm": Leaf("normal module", "mm", 4, ("normal_module",)),
    "pressure_angle_deg": Leaf("pressure angle", "°", 3, ("pressure_angle",)),
    "helix_angle_deg": Leaf("helix angle", "°", 3, ("helix_angle",)),
    "load_diameter_mm": Leaf("diameter where the force acts", "mm", 3, ("load_diameter",)),
    "span_teeth": Leaf("teeth between the jaws", "", 0, ("span_teeth",)),
    "centre_distance_mm": Leaf("centre distance", "mm", 3, ("centre_distance",)),
    "tip_relief_um": Leaf("tip relief", "µm", 0, ("tip_relief",)),
}
_FACTORS = {
    "application": Leaf("application factor", "", 3, ("application",)),
    "dynamic": Leaf("dynamic factor", "", 3, ("dynamic",)),
    "face": Leaf("face load factor", "", 3, ("face",)),
    "transverse": Leaf("transverse load factor", "", 3, ("transverse",)),
    "source": Leaf("source of the load factors", key=("source",)),
    "status": Leaf("status of the load factors", key=("status",)),
}
_ENTRIES = {
    "transfers": (
        "transfer",
        {
            "name": Leaf("name"),
            "kind": Leaf("kind"),
            "source": Leaf("source"),
            "status": Leaf("status"),
            "covers": Leaf("what it covers"),
            "factor": Leaf("factor", "", 3),
            "variation": Leaf("variation", "", 3),
            "sensitivity": Leaf("mean stress sensitivity", "", 3),
            "despite": Leaf("why it may stand beside another"),
        },
    ),
    "differences": (
        "difference",
        {
            "what": Leaf("what"),
            "specimen": Leaf("the specimen"),
            "part": Leaf("the part"),
            "reason": Leaf("reason"),
        },
    ),
    "excluded": ("excluded", {"specimen": Leaf("specimen"), "reason": Leaf("reason")}),
}
_ENDURANCE = {
    "torque_Nm": Leaf("torque of the endurance test", "N·m", 1, ("torque",)),
    "hours": Leaf("time of the endurance test", "h", 1, ("time",)),
    "gears": Leaf("gears of the endurance test", "", 0, ("gears",)),
    "speed_rpm": Leaf("speed of the endurance test", "rpm", 1, ("speed",)),
}

OF_TESTS = " of fatigue tests "
"""What a label says of which entry it is, before its number."""


def fatigue_leaf(place: Place, tooth: dict[str, Leaf]) -> Leaf:
    """Return what is known of an input of the fatigue tests.

    Parameters
    ----------
    place : tuple
        Its place in a record, below ``fatigue``.
    tooth : dict of str to Leaf
        How the teeth of any gear are called.

    Returns
    -------
    Leaf
        With the place from the top of the gear file.

    Raises
    ------
    KeyError
        If a record has no such input.
    """
    match place:
        case ("gears_in_set",):
            return Leaf("equal gears that share the life", "", 0, ("fatigue", "gears_in_set"))
        case ("endurance", str(name)):
            leaf = _ENDURANCE[name]
            return Leaf(leaf.label, leaf.unit, leaf.digits, ("fatigue", "endurance", *leaf.key))
        case ("tests", int(number), *rest):
            label, leaf, key = _of_tests(tuple(rest), tooth)
            where = ("fatigue", "tests", number, *key) if key else ()
            return Leaf(f"{label}{OF_TESTS}{number + 1}", leaf.unit, leaf.digits, where)
        case _:
            raise KeyError(place)


def _of_tests(place: Place, tooth: dict[str, Leaf]) -> tuple[str, Leaf, Place]:
    """The label without whose it is, the leaf, and the key below the entry."""
    match place:
        case ("table", str(name)):
            return _TABLE[name].label, _TABLE[name], _TABLE[name].key
        case ("gear", "tooth", str(name)):
            return f"{tooth[name].label} of the specimens", tooth[name], _below(tooth[name], "gear")
        case ("gear", "mate", str(name)):
            return f"{tooth[name].label} of their mate", tooth[name], _below(tooth[name], "gear", "mate")
        case ("gear", "factors", str(name)):
            return _FACTORS[name].label, _FACTORS[name], ("gear", "factors", *_FACTORS[name].key)
        case ("gear", str(name)):
            return f"{_GEAR[name].label} of the specimens", _GEAR[name], ("gear", *_GEAR[name].key)
        case (str(entries), int(number), str(name), *rest):
            key, known = _ENTRIES[entries]
            label = f"{known[name].label} of {key} {number + 1}"
            return label, known[name], (key, number, name, *rest)
        case _:
            name = str(place[0])
            return _TESTS[name].label, _TESTS[name], _TESTS[name].key


def _below(leaf: Leaf, *section: str) -> Place:
    return (*section, *leaf.key) if leaf.key else ()
