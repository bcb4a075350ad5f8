"""The sections of a gear file that say how thick the teeth are, and what the backlash rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator

from gearcheck.basics.errors import Fault
from gearcheck.basics.tables import table
from gearcheck.gear.backlash import expansion
from gearcheck.gear.inputs import BacklashConditions, SizeMeasure, SizeSpecification
from gearcheck.review.file_places import Place
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Kind, Plain, Size, Span, Whole
from gearcheck.review.file_words import Choice

_EXPANSION = Size("µm/(m·K)", 0, 100)


@dataclass(frozen=True)
class Expansion(Kind):
    """A material whose thermal expansion is known, or the expansion itself."""

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        names = ", ".join(f'"{name}"' for name in table("thermal_expansion").names)
        return f'one of {names}, or the thermal expansion itself, such as "10.5 µm/(m·K)"'

    def __call__(self, value: object) -> float:
        """Read it in µm/(m·K)."""
        if not isinstance(value, str):
            self.refuse(value)
        if value in table("thermal_expansion").names:
            return expansion(value)
        if not value.strip()[:1].isdigit():
            self.refuse(value)
        return _EXPANSION(value)


Between = Annotated[tuple[float, float], BeforeValidator(Span(Size("°C", -80, 250)))]


class SizeSection(Section):
    """[gear.size] and [mesh.mate.size]: allowance of the normal tooth thickness, and its measure."""

    allowance: Annotated[tuple[float, float], BeforeValidator(Span(Size("mm", -10, 2)))]
    measure: Annotated[SizeMeasure, BeforeValidator(Choice(SizeMeasure))]
    teeth: Annotated[int | None, BeforeValidator(Whole(1, 300))] = None
    diameter: Annotated[float | None, BeforeValidator(Size("mm", 0.2, 200))] = None


class BacklashSection(Section):
    """[mesh.backlash]: centre distance, temperatures cold and warm, and the housing."""

    centre_distance: Annotated[tuple[float, float], BeforeValidator(Span(Size("mm", -5, 5)))]
    gear_temperature: Between
    mate_temperature: Between
    housing_temperature: Between
    housing: Annotated[float, BeforeValidator(Expansion())]
    runout_share: Annotated[float, BeforeValidator(Plain(0, 1))]


class AgreedBacklashSection(Section):
    """The keys of [required] that say what backlash was agreed."""

    least_backlash: Annotated[float | None, BeforeValidator(Size("mm", 0, 10))] = None
    greatest_backlash: Annotated[float | None, BeforeValidator(Size("mm", 0, 20))] = None


def size_of(size: SizeSection) -> SizeSpecification:
    """Return the tooth thickness that a section allows."""
    return SizeSpecification(
        allowance_min_mm=size.allowance[0],
        allowance_max_mm=size.allowance[1],
        measure=size.measure,
        span_teeth=size.teeth,
        body_diameter_mm=size.diameter,
    )


def conditions_of(given: BacklashSection) -> BacklashConditions:
    """Return what a section says of the backlash of its mesh."""
    return BacklashConditions(
        distance_min_mm=given.centre_distance[0],
        distance_max_mm=given.centre_distance[1],
        gear_cold_C=given.gear_temperature[0],
        gear_warm_C=given.gear_temperature[1],
        mate_cold_C=given.mate_temperature[0],
        mate_warm_C=given.mate_temperature[1],
        housing_cold_C=given.housing_temperature[0],
        housing_warm_C=given.housing_temperature[1],
        housing_expansion_um_m_K=given.housing,
        runout_share=given.runout_share,
    )


def between_size_keys(gear: Mapping[str, Any], place: Place) -> Iterator[tuple[Place, Fault]]:
    """Yield the faults between the keys of [gear.size] or [mesh.mate.size].

    Parameters
    ----------
    gear : mapping
        The gear or the mate that the section stands in.
    place : tuple
        Its place in the file.

    Yields
    ------
    tuple of Place and Fault
        A measure without what it is taken with, or with what belongs to another.
    """
    size = gear.get("size")
    measure = size.get("measure") if isinstance(size, dict) else None
    if not isinstance(size, dict) or measure not in list(SizeMeasure):
        return  # said where the sections are checked
    wanted, other = ("teeth", "diameter") if measure == SizeMeasure.SPAN else ("diameter", "teeth")
    needed = {
        "teeth": "the number of teeth that are spanned, such as 4",
        "diameter": 'the diameter of a ball or pin, such as "9 mm"',
    }
    if wanted not in size:
        yield (*place, "size", wanted), Fault("", "", needed[wanted], f"the measure is {measure}")
    if other in size:
        fault = Fault("", str(size[other]), f"no {other} here: the measure is {measure}")
        yield (*place, "size", other), fault
    if gear.get("internal") is True and measure == SizeMeasure.SPAN:
        yield (*place, "size", "measure"), Fault("", measure, '"balls" or "pins" between internal teeth')
