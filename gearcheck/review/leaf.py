"""One input as it is known: its name in the trade's words, its unit, and where it stands in the gear file."""

from __future__ import annotations

from dataclasses import dataclass

Place = tuple[str | int, ...]
"""Where an input stands: names of fields, and numbers of entries from 0."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """One input.

    Parameters
    ----------
    label : str
        In the trade's words.
    unit : str
        That of the package; empty for a pure number or a word.
    digits : int
        Decimals shown.
    key : tuple of str and int
        Its place below its section of the gear file; empty where it follows from others.
    """

    label: str
    unit: str = ""
    digits: int = 2
    key: Place = ()


SIZE: dict[Place, Leaf] = {
    ("size", "allowance_min_mm"): Leaf(
        "lower allowance of the tooth thickness", "mm", 3, ("size", "allowance", 0)
    ),
    ("size", "allowance_max_mm"): Leaf(
        "upper allowance of the tooth thickness", "mm", 3, ("size", "allowance", 1)
    ),
    ("size", "measure"): Leaf("measure of the size", key=("size", "measure")),
    ("size", "span_teeth"): Leaf("number of teeth spanned", "", 0, ("size", "teeth")),
    ("size", "body_diameter_mm"): Leaf("diameter of ball or pin", "mm", 3, ("size", "diameter")),
}
"""Of one gear: how thick its teeth may be, and by what that is measured."""

BACKLASH: dict[str, Leaf] = {
    "distance_min_mm": Leaf("lower allowance of the centre distance", "mm", 3, ("centre_distance", 0)),
    "distance_max_mm": Leaf("upper allowance of the centre distance", "mm", 3, ("centre_distance", 1)),
    **{
        f"{body}_{state}_C": Leaf(
            f"temperature of the {body}, {state}", "°C", 0, (f"{body}_temperature", end)
        )
        for body in ("gear", "mate", "housing")
        for end, state in enumerate(("cold", "warm"))
    },
    "housing_expansion_um_m_K": Leaf("thermal expansion of the housing", "µm/(m·K)", 1, ("housing",)),
    "runout_share": Leaf("share of the runouts that counts", "", 2, ("runout_share",)),
}
"""Of one mesh: what its backlash rests on besides both tooth thicknesses."""

CONTACT: dict[str, Leaf] = {
    "in_plane_um": Leaf("deviation of the axes in their plane", "µm", 1, ("in_plane",)),
    "out_of_plane_um": Leaf("deviation of the axes out of their plane", "µm", 1, ("out_of_plane",)),
}
"""Of one mesh: how its axes deviate from parallel."""
