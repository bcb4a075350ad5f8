"""The section [gear.modification] of a gear file: what the drawing takes off the flanks, and from where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator

from gearcheck.accuracy.inputs import FlankModification, ReliefForm
from gearcheck.basics.errors import Fault
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


def modification_of(section: ModificationSection) -> FlankModification:
    """Return the section as inputs of the accuracy room."""
    return FlankModification(**{name: getattr(section, key) for name, *_, key in LEAVES})


def modification_faults(gear: Any, lines: Mapping[Place, int]) -> list[Fault]:
    """Say what does not go together in the section [gear.modification].

    Parameters
    ----------
    gear : GearSection
        The section [gear], checked.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    list of Fault
        A relief without its place, a place without a relief, places off the flank.
    """
    drawn = gear.modification
    if drawn is None:
        return []
    found = [*_pairs(gear, drawn), *_places(gear, drawn)]
    return [
        Fault(place_words(("gear", "modification", key), lines), given, needed, why)
        for key, given, needed, why in found
    ]


def _pairs(gear: Any, drawn: ModificationSection) -> Iterator[tuple[str, str, str, str]]:
    tip = gear.finish.tip_relief if gear.finish else 0.0
    if drawn.tip_relief_start is not None and not tip:
        given = f"{drawn.tip_relief_start:g} mm"
        yield (
            "tip_relief_start",
            given,
            "tip_relief in [gear.finish] above 0 µm",
            "there is no relief to start",
        )
    for amount, place in (("root_relief", "root_relief_end"), ("end_relief", "end_relief_length")):
        if bool(getattr(drawn, amount)) != (getattr(drawn, place) is not None):
            missing = place if getattr(drawn, amount) else amount
            yield missing, "", f"{amount} and {place} together", "a relief has an amount and a place"


def _places(gear: Any, drawn: ModificationSection) -> Iterator[tuple[str, str, str, str]]:
    low, tip = drawn.control_diameter or 0.0, gear.tip_diameter
    for key in ("control_diameter", "tip_relief_start", "root_relief_end"):
        at = getattr(drawn, key)
        if at is None:
            continue
        least = low if key != "control_diameter" else 0.0
        if not least < at < tip:
            above = f"above the control diameter of {least:g} mm and " if least else ""
            yield key, f"{at:g} mm", f"a diameter {above}below the tip diameter of {tip:g} mm", ""
    half = gear.face_width / 2
    if drawn.end_relief_length is not None and drawn.end_relief_length > half:
        given = f"{drawn.end_relief_length:g} mm"
        yield "end_relief_length", given, f"at most half the face width, {half:g} mm", "one at each end"
