"""How thick the teeth may be, as the measure of the drawing says it, and the backlash that this leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result
from gearcheck.gear.backlash import Backlash, expansion
from gearcheck.gear.backlash_limits import BacklashLimits, Temperatures, backlash_limits
from gearcheck.gear.between import BetweenBodies, dimension_between_bodies
from gearcheck.gear.body_size import BodiesThickness, thickness_from_bodies
from gearcheck.gear.inputs import MeasuringBody, SizeMeasure, SizeSpecification
from gearcheck.gear.measured import tooth_arguments
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.gear.span import SpanThickness, thickness_from_span
from gearcheck.gear.thickness import (
    ChordAt,
    OverBodies,
    Span,
    chord_at,
    dimension_over_bodies,
    generating_shift,
    span,
)
from gearcheck.review.inputs import GearData, Mesh, Record

SIZE = "size.teeth"
"""The characteristic that holds the tooth size."""
NO_SIZE = "[gear.size] missing"
NO_CONDITIONS = "[mesh.backlash] missing"
POSSIBLE_SHARES = 0.7, 1.4
"""Of the nominal thickness: beyond them a size is of another body, or over other teeth. Common practice."""
STATES = ("cold", "at 20 °C", "warm")

Measure = Span | OverBodies | BetweenBodies


def measure_name(size: SizeSpecification, *, internal: bool = False) -> str:
    """Return what is measured, in words: span over 4 teeth, dimension over balls of 9 mm."""
    if size.measure is SizeMeasure.SPAN:
        return f"span over {float(array(size.span_teeth)):.0f} teeth"
    side = "between" if internal else "over"
    return f"dimension {side} {size.measure} of {float(array(size.body_diameter_mm)):g} mm"


@dataclass(frozen=True, kw_only=True)
class ToothSize:
    """The size of the teeth of one gear as it is measured, at both ends of its allowance.

    Parameters
    ----------
    drawn : SizeSpecification
        As the gear file has it.
    thinnest, thickest : Span, OverBodies or BetweenBodies
        The measure of the thinnest and of the thickest tooth allowed.
    chords : tuple of ChordAt
        The chord of both on the reference circle; empty inside.
    form_diameter_mm, tip_diameter_mm : float, array or None
        Between which the measure has to touch.
    """

    drawn: SizeSpecification
    thinnest: Measure
    thickest: Measure
    chords: tuple[ChordAt, ...]
    form_diameter_mm: Number
    tip_diameter_mm: Number

    @property
    def internal(self) -> bool:
        """Whether it is measured between internal teeth."""
        return isinstance(self.thickest, BetweenBodies)

    @property
    def name(self) -> str:
        """What is measured, in words."""
        return measure_name(self.drawn, internal=self.internal)

    @property
    def limits_mm(self) -> tuple[Array, Array]:
        """Least and largest value of the measure."""
        ends = measured_mm(self.thinnest), measured_mm(self.thickest)
        return np.minimum(*ends), np.maximum(*ends)

    @property
    def clear_mm(self) -> Array:
        """How far from form and tip circle the measure touches, on the diameter; the least."""
        side = -1.0 if self.internal else 1.0
        found = []
        for end in (self.thinnest, self.thickest):
            touching = array(end.contact_diameter_mm)
            found += [side * (touching - array(self.form_diameter_mm))]
            found += [side * (array(self.tip_diameter_mm) - touching)]
        return np.asarray(reduce(np.fmin, found))


@dataclass(frozen=True, kw_only=True)
class MeshBacklash:
    """The backlash of one mesh, cold, at 20 °C and warm.

    Parameters
    ----------
    states : tuple of BacklashLimits
        In the order of `STATES`.
    """

    states: tuple[BacklashLimits, ...]

    @property
    def least_mm(self) -> Array:
        """Least normal backlash of all states."""
        return np.asarray(np.minimum.reduce(np.broadcast_arrays(*self._ends("least"))))

    @property
    def greatest_mm(self) -> Array:
        """Greatest normal backlash of all states."""
        return np.asarray(np.maximum.reduce(np.broadcast_arrays(*self._ends("greatest"))))

    @property
    def tightest(self) -> tuple[str, Backlash]:
        """The state of the least backlash, of the first sample."""
        place = int(np.argmin([float(np.ravel(end)[0]) for end in self._ends("least")]))
        return STATES[place], self.states[place].least

    @property
    def widest(self) -> tuple[str, Backlash]:
        """The state of the greatest backlash, of the first sample."""
        place = int(np.argmax([float(np.ravel(end)[0]) for end in self._ends("greatest")]))
        return STATES[place], self.states[place].greatest

    def _ends(self, end: str) -> list[Array]:
        return [array(getattr(state, end).normal_backlash_mm) for state in self.states]


def measured_mm(measure: Measure) -> Array:
    """Return the value of a measure; NaN at a stop."""
    return array(measure.span_mm if isinstance(measure, Span) else measure.dimension_mm)


def tooth_of(record: Record, gear: GearData) -> dict[str, Any]:
    """Return what every measure of the teeth of a gear is given, by the names of the arguments."""
    tooth = gear.tooth
    angles = record.pressure_angle_deg, record.helix_angle_deg
    return tooth_arguments(record.normal_module_mm, *angles, tooth.teeth, tooth.profile_shift)


def _made(tooth: dict[str, Any], allowance: Number) -> dict[str, Any]:
    names = ("normal_module_mm", "pressure_angle_deg", "profile_shift")
    shift = generating_shift(**{name: tooth[name] for name in names}, allowance_mm=allowance)
    return {**tooth, "profile_shift": shift}


def tooth_size(
    record: Record, gear: GearData, geometry: GearGeometry, form_diameter_mm: Number
) -> ToothSize | None:
    """Return the size of the teeth of one gear; None where the gear file does not say it.

    Parameters
    ----------
    record : Record
        It may hold arrays.
    gear : GearData
        The gear of it that is meant.
    geometry : GearGeometry
        Of that gear.
    form_diameter_mm : float, array or None
        Its root form diameter.

    Returns
    -------
    ToothSize or None
        With stops where the measure cannot be taken.
    """
    size = gear.size
    if size is None:
        return None
    tooth, tip = tooth_of(record, gear), gear.tooth.tip_diameter_mm
    limits = {"form_diameter_mm": form_diameter_mm, "tip_diameter_mm": tip}
    ends = [_made(tooth, given) for given in (size.allowance_min_mm, size.allowance_max_mm)]
    thinnest, thickest = (_measured(end, gear, size, limits) for end in ends)
    on = {"diameter_mm": geometry.reference_diameter_mm, "tip_diameter_mm": tip}
    return ToothSize(
        drawn=size,
        thinnest=thinnest,
        thickest=thickest,
        chords=() if gear.tooth.internal else tuple(chord_at(**end, **on) for end in ends),
        form_diameter_mm=form_diameter_mm,
        tip_diameter_mm=tip,
    )


def _measured(
    tooth: dict[str, Any], gear: GearData, size: SizeSpecification, limits: dict[str, Number]
) -> Measure:
    if size.measure is SizeMeasure.SPAN:
        width = gear.tooth.face_width_mm
        return span(**tooth, span_teeth=size.span_teeth, face_width_mm=width, **limits)
    taken = dimension_between_bodies if gear.tooth.internal else dimension_over_bodies
    body = MeasuringBody(str(size.measure))
    return taken(**tooth, body_diameter_mm=size.body_diameter_mm, body=body, **limits)


def missing_for_backlash(record: Record, mesh: Mesh) -> str:
    """Return which section the backlash of a mesh still wants; empty where all are there."""
    if record.gear.size is None:
        return NO_SIZE
    if mesh.mate.size is None:
        return "[mesh.mate.size] missing"
    if mesh.backlash is None:
        return NO_CONDITIONS
    counted = np.any(array(mesh.backlash.runout_share) > 0.0)
    if counted and record.gear.accuracy is None:
        return "[gear.accuracy] missing"
    if counted and mesh.mate.accuracy is None:
        return "[mesh.mate.accuracy] missing"
    return ""


def mesh_backlash(
    record: Record, mesh: Mesh, pair: PairGeometry, runouts: tuple[Tolerances | None, Tolerances | None]
) -> MeshBacklash | None:
    """Return the backlash of one mesh, cold, at 20 °C and warm; None where a section is missing.

    Parameters
    ----------
    record : Record
        It may hold arrays.
    mesh : Mesh
        The mesh of it that is meant.
    pair : PairGeometry
        Of that mesh.
    runouts : tuple of Tolerances or None
        The tolerances of gear and mate.

    Returns
    -------
    MeshBacklash or None
        Over the allowances of both teeth and of the centre distance.
    """
    if missing_for_backlash(record, mesh):
        return None
    given, sizes = mesh.backlash, (record.gear.size, mesh.mate.size)
    assert given is not None
    first, second = ((one.allowance_min_mm, one.allowance_max_mm) for one in sizes if one is not None)
    swapped = bool(record.gear.tooth.teeth > mesh.mate.tooth.teeth)  # the pinion of the pair is the mate
    pinion, wheel = (second, first) if swapped else (first, second)
    share = array(given.runout_share)
    runout = sum((array(one.runout_um) for one in runouts if one is not None), start=array(0.0))
    counted = np.where(share > 0.0, share * runout / 2000.0, 0.0)
    return MeshBacklash(
        states=tuple(
            backlash_limits(
                pair=pair,
                pinion_allowance_mm=pinion,
                wheel_allowance_mm=wheel,
                centre_distance_allowance_mm=(given.distance_min_mm, given.distance_max_mm),
                runout_mm=counted,
                temperatures=_temperatures(mesh, state, swapped=swapped),
            )
            for state in STATES
        )
    )


def _temperatures(mesh: Mesh, state: str, *, swapped: bool) -> Temperatures:
    given = mesh.backlash
    gear, mate, housing = (
        20.0 if state not in ("cold", "warm") else getattr(given, f"{body}_{state}_C")
        for body in ("gear", "mate", "housing")
    )
    pinion, wheel = (mate, gear) if swapped else (gear, mate)
    return Temperatures(
        pinion_C=pinion,
        wheel_C=wheel,
        housing_C=housing,
        gear_um_m_K=expansion("steel"),
        housing_um_m_K=None if given is None else given.housing_expansion_um_m_K,
    )


def thickness_of(record: Record, value_mm: float) -> SpanThickness | BodiesThickness | None:
    """Return the tooth thickness that a measured size of the gear stands for; None where none is drawn."""
    size = record.gear.size
    if size is None:
        return None
    tooth = tooth_of(record, record.gear)
    if size.measure is SizeMeasure.SPAN:
        return thickness_from_span(**tooth, span_teeth=size.span_teeth, span_mm=value_mm)
    return thickness_from_bodies(
        **tooth,
        body_diameter_mm=size.body_diameter_mm,
        body=MeasuringBody(str(size.measure)),
        dimension_mm=value_mm,
        internal=bool(record.gear.tooth.internal),
    )


def cannot_be_words(record: Record, value_mm: float) -> str:
    """Say that a measured size is none of the teeth of the gear; empty where it may be, or none is drawn."""
    found, size = thickness_of(record, value_mm), record.gear.size
    if found is None or size is None:
        return ""
    thick, allowance = array(found.thickness_mm), array(found.allowance_mm)
    low, high = POSSIBLE_SHARES
    share = thick / (thick - allowance)
    if ((share >= low) & (share <= high)).all():
        return ""
    name = measure_name(size, internal=bool(record.gear.tooth.internal))
    return f"cannot be the {name} of these teeth"


def thickness_words(record: Record, value_mm: float) -> str:
    """Say the tooth thickness that a measured size stands for, with a comma before; empty without one."""
    wrong, found = cannot_be_words(record, value_mm), thickness_of(record, value_mm)
    if wrong:
        return f", which {wrong}"
    if found is None or found.thickness_mm is None:
        return ""
    thick, allowance = (decimals_text(one, 3, "mm") for one in (found.thickness_mm, found.allowance_mm))
    return f", a normal tooth thickness of {thick} (allowance {allowance})"


def size_results(found: ToothSize) -> Iterator[tuple[str, Result]]:
    """Yield the results of a size with what they are, in reading order."""
    named = (("thinnest", found.thinnest), ("thickest", found.thickest))
    for word, measure in named:
        yield f"{found.name.capitalize()}, {word} tooth", measure
    for word, chord in zip(("thinnest", "thickest"), found.chords, strict=False):
        yield f"Chord, {word} tooth", chord


def backlash_results(found: MeshBacklash) -> Iterator[tuple[str, Result]]:
    """Yield the least and the greatest backlash with the state that each is found in."""
    for word, (state, result) in (("Least", found.tightest), ("Greatest", found.widest)):
        yield f"{word} backlash, {state}", result
