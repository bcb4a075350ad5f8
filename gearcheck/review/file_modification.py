"""The section [gear.modification] of a gear file: what the drawing takes off the flanks, and from where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator

from gearcheck.accuracy.inputs import FlankModification
from gearcheck.basics.errors import Fault
from gearcheck.gear.inputs import ReliefForm
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Size
from gearcheck.review.file_words import Choice
from gearcheck.review.modification import LEAVES

Diameter = Annotated[float | None, BeforeValidator(Size("mm", 1, 20000))]
Relief = Annotated[float | None, BeforeValidator(Size("µm", 0, 1000))]
Signed = Annotated[float | None, BeforeValidator(Size("µm", -1000, 1000))]


class ModificationSection(Section):
    """[gear.modification]; the amount of the tip relief is that of [gear.finish]."""

    control_diameter: Diameter = None
    tip_relief_start: Diameter = None
    root_relief: Relief = None
    root_relief_end: Diameter = None
    relief_form: Annotated[ReliefForm | None, BeforeValidator(Choice(ReliefForm))] = None
    profile_crowning: Signed = None
    profile_slope: Signed = None
    helix_crowning: Signed = None
    end_relief: Relief = None
    end_relief_length: Annotated[float | None, BeforeValidator(Size("mm", 0.01, 1000))] = None
    left_helix_slope: Signed = None
    right_helix_slope: Signed = None
    bias: Signed = None


def modification_of(section: ModificationSection) -> FlankModification:
    """Return the section as inputs of the accuracy room."""
    return FlankModification(**{name: getattr(section, key) for name, *_, key in LEAVES})


def modification_faults(file: Any, lines: Mapping[Place, int]) -> list[Fault]:
    """Say what does not go together in the sections [gear.modification] and [mesh.mate.modification].

    Parameters
    ----------
    file : GearFile
        Checked.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    list of Fault
        A relief without its place, a place without a relief, places below the control diameter.
    """
    mates: list[tuple[Place, Any]] = [
        (("mesh", number, "mate"), mesh.mate) for number, mesh in enumerate(file.mesh)
    ]
    return [
        Fault(place_words((*place, "modification", key), lines), given, needed, why)
        for place, body in ((("gear",), file.gear), *mates)
        if (drawn := body.modification) is not None
        for key, given, needed, why in (*_pairs(drawn), *_places(drawn, internal=_inwards(body)))
    ]


def _inwards(body: Any) -> bool:
    return bool(getattr(body, "internal", False))


def _pairs(drawn: ModificationSection) -> Iterator[tuple[str, str, str, str]]:
    for amount, place in (("root_relief", "root_relief_end"), ("end_relief", "end_relief_length")):
        if bool(getattr(drawn, amount)) != (getattr(drawn, place) is not None):
            missing = place if getattr(drawn, amount) else amount
            yield missing, "", f"{amount} and {place} together", "a relief has an amount and a place"


def _places(drawn: ModificationSection, *, internal: bool) -> Iterator[tuple[str, str, str, str]]:
    """Among themselves alone: a draft may move tip and face, and what lies off them is told in the review."""
    low = drawn.control_diameter
    for key in ("tip_relief_start", "root_relief_end"):
        at = getattr(drawn, key)
        if at is not None and low is not None and (at >= low if internal else at <= low):
            side = "below" if internal else "above"
            yield key, f"{at:g} mm", f"a diameter {side} the control diameter of {low:g} mm", ""
